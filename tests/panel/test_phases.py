"""Panels of the flight phases, and how what is kept in one panel reaches the next."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from rooms import label_faults

from mixlib.air.aircraft.phases import complete, fly_phase
from mixlib.bench.card import bench_card
from mixlib.bench.fit.phase_wants import wants_of_phases
from mixlib.describe import DescriptionError, Phase, shelf
from mixlib.describe.demo import (
    elevon_setup,
    flaperon_setup,
    four_surface_setup,
    hopper_as_bought,
    v_tail_setup,
)
from mixlib.draw.phases import phase_columns, rows_of
from mixlib.panel import fit as fit_panel
from mixlib.panel import flight as air_panels
from mixlib.panel import handling as handling_panels
from mixlib.panel import phases as phase_panels
from mixlib.panel.landing import landing_panel
from mixlib.say.changed import change_lines
from mixlib.say.phases import own_roll_words, rests_table
from mixlib.say.strip import field_strip

DEMOS = [flaperon_setup, four_surface_setup, v_tail_setup, elevon_setup]


def plain(text: str) -> str:
    return re.sub(r"<[^>]+>", " ", text).replace("&#x27;", "'")


def press(panel, words):
    (button,) = (button for button in panel._more if button.description == words)
    button.click()
    return button


@pytest.fixture
def own(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path / "mine"))
    return tmp_path / "mine"


@pytest.mark.parametrize("demo", DEMOS)
def test_phases_stand_side_by_side_with_bands_and_origin(demo):
    panel = phase_panels.phase_panel(demo())
    assert panel.error == ""
    for word in ("Thermal", "Cruise", "Speed", "Landing"):
        assert f"{word}:" in plain(panel.sentence)
    for quantity in ("sink, m/s", "glide, m for 1 m", "lets go, m/s", "hands off", "worked out from"):
        assert quantity in plain(panel.extra)
    assert re.search(r"\d \(\d+\.\d+ to \d+\.\d+\)", plain(panel.extra))


def test_an_angle_beyond_a_stop_is_named_and_nothing_typed_is_lost(own):
    setup = four_surface_setup()
    panel = phase_panels.phase_panel(setup)
    grid = panel.controls["angles"]
    typed = [list(row) for row in grid.value]
    stop = setup.aircraft.surface("left flap").stop_down_deg
    landing = grid.columns.index("landing")
    typed[0][landing] = stop + 1
    grid.value = typed
    assert f"Both flaps, landing, is {stop + 1:g} deg. Accepted:" in plain(panel.error)
    panel.press("Keep these phases as my own")
    assert "Not saved" in plain(panel.saved)
    assert shelf.kept_names() == ()
    typed[0][landing] = 400
    grid.value = typed
    assert "Both flaps, landing is 400. Accepted: −90 to 90." in plain(panel.error)
    assert grid._fields[0][landing].value == "400"


def test_the_worked_out_elevator_is_told_beside_the_typed_one_and_taken_by_one_press():
    setup = four_surface_setup()
    panel = phase_panels.phase_panel(setup)
    grid, aim = panel.controls["angles"], panel.controls["aim"]
    assert "as worked out in every phase" in plain(panel.sentence)
    (row,) = (n for n, label in enumerate(grid.rows) if "levator" in label)
    typed = [list(values) for values in grid.value]
    typed[row][grid.columns.index("landing")] = 1.0
    grid.value = typed
    assert re.search(r"landing, worked out: \d\.\d mm down\*?; you have 0\.8 mm down", plain(panel.sentence))
    take = press(panel, "Take the worked-out elevator")
    assert "as worked out in every phase" in plain(panel.sentence)
    aim.value = True
    assert "thermal, worked out:" in plain(panel.sentence)
    take.click()
    assert "as worked out in every phase" in plain(panel.sentence)
    flown = {phase.name: fly_phase(setup, phase) for phase in complete(setup)}
    for name, degrees in zip(grid.columns, grid.value[row], strict=True):
        assert degrees == pytest.approx(flown[name].trim_deg, abs=0.06)


def test_roll_of_its_own_from_the_panel_to_what_is_left_the_card_and_the_strip(own):
    """Speed at 75 % of the rate; landing with crow goes down as far as up: common practice, no source."""
    setup = four_surface_setup()
    panel = phase_panels.phase_panel(setup)
    roll = panel.controls["roll"]
    rate, differential = (dict(zip(roll.columns, row, strict=True)) for row in roll.value)
    assert rate == {"launch": 100, "thermal": 100, "cruise": 100, "speed": 75, "landing": 100}
    assert differential == {"launch": 36, "thermal": 36, "cruise": 36, "speed": 36, "landing": 0}  # 1 - 45/70
    assert own_roll_words(setup).startswith(
        "Roll rate: the share of full roll that full stick gives. Differential: "
    )
    panel.press("Keep A")
    typed = [list(row) for row in roll.value]
    typed[0][roll.columns.index("speed")] = 120
    typed[1][roll.columns.index("landing")] = 120
    roll.value = typed
    assert roll.faults == ("Differential, landing is 120. Accepted: −100 to 100.",)
    typed[0][roll.columns.index("speed")] = 60
    typed[1][roll.columns.index("landing")] = 10
    roll.value = typed
    assert "rate 60 %" in plain(panel.extra)
    assert re.search(r"Speed, full roll 0\.\d\d rad less", plain(panel.stage.said))
    panel.press("Keep these phases as my own")
    (name,) = shelf.kept_names()
    kept = shelf.open_kept(name)
    rolls = {phase.name: phase.own_roll for phase in kept.phases if phase.own_roll}
    assert rolls == {"speed": {"roll rate": 60}, "landing": {"differential": 10}}
    card = bench_card(kept)
    assert "In the phase speed: roll rate 60 %" in card.shaping.lines
    rows = {row[2]: row for row in card.left.rows if row[:2] == ("roll", "right aileron")}
    assert rows["Speed (reflex)"][-1] == "61 %"  # of the throw: a linkage gives a little less at its ends
    assert rows["Brake out"][-1] < rows["Landing (brake out)"][-1]  # what differential robs there
    assert "phase speed, roll rate: not there → 60 %" in change_lines(setup, kept)
    thermal, *others = kept.phases[1], kept.phases[0], *kept.phases[2:]
    a_touch = thermal.replace(
        angles_deg=thermal.angles_deg | {"left flap": thermal.angles_deg["left flap"] + 0.01}
    )
    assert change_lines(kept, kept.replace(phases=(a_touch, *others))) == (
        "thermal: moved by less than 0.25 mm",
    )
    assert not change_lines(kept, kept.replace(name="Other"))
    strip = {row[0]: " ".join(row) for row in field_strip(kept)[1].rows}
    assert "differential 10 %" in strip["Landing"]
    again = phase_panels.phase_panel(kept)
    press(again, "Take the usual roll")
    assert [dict(zip(roll.columns, row, strict=True)) for row in again.controls["roll"].value] == [
        rate,
        differential,
    ]


def test_other_panels_leave_the_roll_of_a_phase_alone(own):
    setup = four_surface_setup().replace(
        name="Mine", phases=(Phase(name="thermal", angles_deg={}, roll_rate_percent=80),)
    )
    shelf.keep(setup)
    air_panels.polar_panel(setup).press("Keep as my thermal phase")
    (thermal,) = shelf.open_kept("mine").phases
    assert thermal.own_roll == {"roll rate": 80}
    assert thermal.angles_deg


@pytest.mark.parametrize(
    ("demo", "one"), [(flaperon_setup, "roll rate and differential"), (elevon_setup, "roll rate")]
)
def test_a_radio_without_it_is_told_once_and_what_to_do(demo, one):
    panel, said = phase_panels.phase_panel(demo()), own_roll_words(demo())
    assert f"Simple six has one {one} for all phases" in said
    assert "roll" not in panel.controls


def test_what_to_take_along_is_what_was_kept_and_the_usual_for_the_rest():
    """By hand: 45 mm of flap at 3 deg are 2 x 45 x sin(1.5 deg) = 2.4 mm."""
    setup = four_surface_setup()
    flap = setup.aircraft.surface("left flap").replace(chord_mm=45.0)
    parts = [
        flap.replace(name=part.name, side=part.side) if part.kind == "flap" else part
        for part in setup.aircraft.surfaces
    ]
    setup = setup.replace(aircraft=setup.aircraft.replace(surfaces=tuple(parts)))
    kept = Phase(name="thermal", angles_deg={"left flap": 3.0, "right flap": 3.0}, roll_rate_percent=80)
    first, flaps, *_, rolls = rests_table(setup.replace(phases=(kept,)), ("thermal", "landing")).splitlines()
    assert first.split()[-2:] == ["thermal", "landing"]
    assert "down 2.4 mm (3.0°)" in flaps
    assert "roll rate 80 %" in rolls
    assert "differential 0 %" in rolls
    assert "roll" not in rests_table(flaperon_setup(), ("thermal",))


def test_lesson_seven_says_what_the_differential_of_the_landing_brings():
    """Full roll with the brake out, of that in cruise: with the gains' differential, and with none."""
    setup = four_surface_setup()
    (landing,) = (phase for phase in complete(setup) if phase.name == "landing")
    shares = [
        fly_phase(setup, phase).left["roll"].share
        for phase in (landing.with_roll({"differential": None}), landing)
    ]
    words = "from {:.0f} % to {:.0f} %".format(*(100 * share for share in shares))
    lesson = Path(__file__).parents[2] / "notebooks" / "07_air_brake.ipynb"
    assert words in lesson.read_text(encoding="utf-8")


def test_the_brake_put_in_at_once_is_told_in_the_right_direction():
    panel = phase_panels.change_panel(four_surface_setup())
    said = plain(panel.sentence)
    assert "too far up, so the nose wants to rise" in said
    before, after, later = map(float, re.findall(r"(?:sink of|it is) (\d\.\d\d) m/s", said))
    assert after > before > later
    panel.controls["from"].value, panel.controls["to"].value = "cruise", "landing"
    assert "too far down, so the nose wants to drop" in plain(panel.sentence)


def test_where_no_phase_moves_a_surface_there_is_no_change_to_follow():
    panel = phase_panels.change_panel(hopper_as_bought())
    assert "no phase moves a surface" in plain(panel.sentence)
    assert not panel.controls
    assert not panel.picture


def test_a_star_that_stands_in_the_table_alone_is_looked_for_there():
    """On this wing it is the roll in the thermal alone that is in doubt."""
    panel = phase_panels.phase_panel(hopper_as_bought())
    assert panel.sentence.count("*") == panel.extra.count("*") == 1
    assert plain(panel.sentence).strip().endswith("The star is in the table.")


@pytest.mark.parametrize("demo", DEMOS)
def test_the_picture_can_be_read(demo):
    setup = demo()
    phases = complete(setup)
    extra = Phase(name="a rather long name of a fifth phase", angles_deg={})
    for shown in (phases, (*phases, extra)):
        notes = {phase.name: "18.8 m/s, sinks 1.74 m/s" for phase in shown}
        assert label_faults(phase_columns(setup.aircraft, shown, notes)) == []


def test_surfaces_that_differ_left_and_right_have_rows_of_their_own():
    setup = flaperon_setup()
    uneven = Phase(name="thermal", angles_deg={"left aileron": 4.0, "right aileron": 3.0})
    angles = [phase.angles_deg for phase in complete(setup.replace(phases=(uneven,)))]
    labels = [row.label for row in rows_of(setup.aircraft, angles)]
    assert labels == ["left aileron", "right aileron", "elevator"]


def test_what_is_kept_in_the_lessons_meets_in_one_set_up(own):
    """Lessons 05 to 07 each keep something of the same set-up; lesson 08 and the card find all of it."""
    setup = four_surface_setup().replace(name="My glider")
    shelf.keep(setup)
    polar, landing = air_panels.polar_panel(setup), landing_panel(setup, "brake")
    elevator = handling_panels.compensation_panel(setup, "brake")
    polar.controls["camber"].value = 0.4
    polar.press("Keep as my thermal phase")
    polar.controls["camber"].value = -0.5
    polar.press("Keep as my speed phase")
    landing.press("Keep as my landing phase")
    elevator.press("Keep this mix as my own")
    for panel in (polar, landing, elevator):
        assert "Saved" in plain(panel.saved)
    kept = shelf.chosen(flaperon_setup()).setup
    assert {phase.name for phase in kept.phases} == {"thermal", "speed", "landing"}
    output = kept.wiring["elevator"]
    mix = next(mix for mix in kept.free_mixes if (mix.leader, mix.follower) == ("brake", output))
    assert len(mix.curve_percent) == 9
    panel = fit_panel.fit_panel(kept)
    assert sorted(map(repr, panel.wishes.value)) == sorted(map(repr, wants_of_phases(kept)))
    panel.press("Find the settings")
    panel.wait()
    panel.press("Keep these settings as my own")
    assert "Saved" in plain(panel.saved)
    fitted = shelf.chosen(flaperon_setup()).setup
    assert fitted.name.endswith(", fitted")
    assert {phase.name for phase in fitted.phases} == {"thermal", "speed", "landing"}
    bent = [mix for mix in fitted.free_mixes if mix.leader == "brake" and mix.curve_percent]
    assert [mix.follower for mix in bent] == [fitted.wiring["elevator"]]
    again = fit_panel.fit_panel(fitted)
    again.press("Find the settings")
    again.wait()
    again.press("Keep these settings as my own")
    assert shelf.chosen(flaperon_setup()).setup.name == fitted.name


def test_a_mix_too_many_for_the_radio_is_told(own):
    panel = handling_panels.compensation_panel(flaperon_setup(), "camber")
    panel.press("Keep this mix as my own")
    assert "at most 2, the free mixes of the radio 'Simple six'" in plain(panel.saved)
    assert shelf.kept_names() == ()


def test_a_set_up_of_another_aircraft_is_not_overwritten(own):
    mine = flaperon_setup().replace(name="Mine")
    shelf.keep(v_tail_setup().replace(name=mine.name))
    panel = air_panels.polar_panel(mine)
    panel.press("Keep as my speed phase")
    assert "kept for another aircraft or radio" in plain(panel.saved)
    with pytest.raises(DescriptionError, match="kept for another aircraft"):
        shelf.keep_change(mine, lambda newest: newest)
