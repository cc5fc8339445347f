"""The fit's panel: the answer follows what was typed, ways are taken over, what is kept can be undone."""

from __future__ import annotations

import html
import re
import threading
from functools import cache

import pytest

from mixlib.bench.fit import fit
from mixlib.bench.fit.typed import changes, entries
from mixlib.chain import Rig, commands
from mixlib.describe import FreeMix, Phase, Setup, Shaping, hopper_ready, load, plain_setup, shelf, shipped
from mixlib.describe.demo import flaperon_setup, four_surface_setup
from mixlib.panel.fit import FitDesk, desk, fit_panel
from mixlib.panel.fit.desk import FIND, KEEP, STOP, UNDO


def plain(text: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


@pytest.fixture(autouse=True)
def own(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    monkeypatch.setattr(desk, "shipped_names", lambda _: ("rich_ten",))  # one other radio is enough
    return tmp_path


def find(panel: FitDesk) -> str:
    """Press the button and wait for the end of the search; what the sentence says then."""
    panel.press(FIND)
    panel.wait()
    return plain(panel.stage.said)


def find_something(panel: FitDesk) -> None:
    """A search that is stopped at once, where it is all one what it finds."""
    panel.press(FIND)
    panel.press(STOP)
    panel.wait()


def kept(panel: FitDesk, folder) -> Setup:
    panel.press(KEEP)
    assert "Saved" in plain(panel.saved), plain(panel.saved)
    (path,) = folder.glob("*fitted.toml")
    return load(path)


def worst_miss_mm(panel: FitDesk) -> float:
    return float(re.search(r"the largest miss is ([\d.]+) mm", plain(panel.sentence))[1])


def typed_rows(panel: FitDesk) -> list[tuple[str, ...]]:
    """Rows of the table of what to type: where, what, now, before."""
    table = panel.stage.extra[panel.stage.extra.index("What to do and to type") :].partition("</table>")[0]
    rows = (re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row) for row in re.findall(r"<tr>(.*?)</tr>", table))
    return [tuple(map(html.unescape, row)) for row in rows][1:]


def coupled(radio: str) -> Setup:
    """Orchard Hopper whose rudder has expo and sub-trim and follows the roll stick by a mix."""
    setup = plain_setup(shipped("aircraft", "orchard_hopper"), shipped("radio", radio), "coupled")
    rudder = setup.wiring["rudder"]
    setup = setup.with_output(rudder, control="yaw", sub_trim_percent=4)
    return setup.with_mix(FreeMix.straight("roll", rudder, 30)).replace(
        shaping={"yaw": Shaping(expo_percent=30)}
    )


def start(aircraft: str, radio: str) -> Setup:
    demos = {("orchard_two", "simple_six"): flaperon_setup, ("orchard_four", "rich_ten"): four_surface_setup}
    if aircraft == "coupled":
        return coupled(radio)
    if (aircraft, radio) in demos:
        return demos[aircraft, radio]()
    return plain_setup(shipped("aircraft", aircraft), shipped("radio", radio), "wing")


@cache
def searched(aircraft: str, radio: str) -> FitDesk:
    """The panel of a pair after its search, for tests that only read it."""
    panel = fit_panel(start(aircraft, radio))
    find(panel)
    return panel


def test_the_answer_shows_all_that_is_typed_in_order_and_what_cannot_be_had():
    panel = searched("orchard_two", "simple_six")
    said = plain(panel.stage.extra)
    order = [
        said.index(words)
        for words in (
            "What to do and to type",
            "What cannot be had",
            "What is left for the stick",
            "What runs out",
        )
    ]
    assert order == sorted(order)
    fitted = panel.shown.setup
    assert len(fitted.free_mixes) <= 2
    rows = typed_rows(panel)
    assert [row[:3] for row in rows[: len(entries(fitted))]] == [
        (one.where, one.what, one.value) for one in entries(fitted)
    ]
    assert any("Rich ten" in words for words in panel.ways_offered)


def test_what_changes_is_marked_with_what_stood_there():
    panel = searched("orchard_two", "simple_six")
    marked = {row[:2] for row in typed_rows(panel) if "●" in row[3]}
    assert marked == {(one.where, one.what) for one in changes(flaperon_setup(), panel.shown.setup)}


def test_the_simple_radio_gets_its_flaperons_with_a_mark_on_the_dial():
    panel = searched("orchard_two", "simple_six")
    assert "Turn the camber dial no further than" in plain(panel.stage.extra)
    moves = Rig(panel.shown.setup).moves(roll=1)
    assert moves["left aileron"] > 0 > moves["right aileron"]


def test_a_rich_radio_gives_all_of_it():
    panel = searched("orchard_four", "rich_ten")
    assert "All of what you want can be had" in plain(panel.stage.said)
    assert worst_miss_mm(panel) < 0.5


def test_what_the_reader_has_besides_stays():
    """Expo and sub-trim of the rudder, and its coupling with roll, for which nothing is asked."""
    panel = searched("coupled", "rich_ten")
    fitted, before = panel.shown.setup, coupled("rich_ten")
    assert fitted.shaping["yaw"].expo_percent == 30
    assert fitted.output(fitted.wiring["rudder"]).sub_trim_percent == 4
    assert ("yaw", "expo", "+30 %", "the same") in typed_rows(panel)
    with_roll = [Rig(one).run(commands(roll=1)).throw[3] for one in (before, fitted)]
    assert with_roll[1] == pytest.approx(with_roll[0], abs=0.5)
    assert abs(with_roll[0]) > 5


def test_what_is_dropped_and_what_stood_there_is_told_before_it_is_saved(own):
    """The radio has two mixes; flaperons take both, so the rudder's mix from roll has to go."""
    panel = searched("coupled", "simple_six")
    said = plain(panel.stage.extra)
    assert "before and this one does not Rudder with roll above" in said
    assert "mix roll into output 4 gain no more ● +30 % both sides" in said
    assert not list(own.iterdir())
    rig = Rig(panel.shown.setup)
    moved = rig.run([commands(roll=1), commands()]).throw[:, 3]
    assert moved[0] == pytest.approx(moved[1], abs=0.01)


def test_stop_ends_the_search_with_the_best_so_far(monkeypatch, own):
    """The kernel hears the button while the search runs: the search has a thread of its own."""
    begun, pressed = threading.Event(), threading.Event()

    def slow(*given, progress, **more):
        def judged(tried):
            begun.set()
            pressed.wait(20)
            return progress(tried)

        return fit(*given, progress=judged, **more)

    monkeypatch.setattr(desk, "fit", slow)
    panel = fit_panel(start("orchard_wing", "simple_six"))
    panel.press(FIND)
    assert begun.wait(20)
    assert "Searching." in plain(panel.stage.said)
    panel.press(STOP)
    pressed.set()
    panel.wait()
    assert "Stopped: the best of 1 way so far." in plain(panel.stage.said)
    assert panel.ways_offered == ("As found",)
    assert kept(panel, own).wanted


def test_plugs_that_stay_stay_and_one_surface_can_be_locked_alone():
    before = hopper_ready()
    panel = fit_panel(before)
    panel.locks.mark("directions", "rudder").value = True
    assert panel.locks.value.directions == {"rudder"}
    assert not panel.locks.value.plugs
    *_, motor = panel.locks.widget.children
    assert (motor.value, motor.disabled, motor.description) == (
        True,
        True,
        "motor: its plug stays in output 3",
    )
    for kind in ("plugs", "directions"):
        panel.locks.mark(kind, "all surfaces").value = True
    find_something(panel)
    fitted = panel.shown.setup
    assert not panel.locks.value.holes
    assert fitted.wiring == before.wiring
    assert all(fitted.output(n).reversed == before.output(n).reversed for n in fitted.wiring.values())


def test_a_hole_that_is_locked_is_not_offered():
    panel = fit_panel(plain_setup(shipped("aircraft", "orchard_two"), shipped("radio", "bare_four"), "wing"))
    find(panel)
    assert any(words.startswith("Rudder: the ") for words in panel.ways_offered)
    panel.locks.mark("holes", "rudder").value = True
    find(panel)
    assert not any(words.startswith("Rudder: the ") for words in panel.ways_offered)


def test_another_way_is_taken_over_by_one_press_and_kept(own):
    panel = fit_panel(flaperon_setup())
    find(panel)
    first = worst_miss_mm(panel)
    leaning = next(place for place, words in enumerate(panel.ways_offered) if "servo arms" in words)
    panel.ways.value = leaning
    said = plain(panel.stage.said)
    assert panel.ways_offered[leaning] in said
    assert "Taken over" in said
    assert worst_miss_mm(panel) != first
    assert ("right aileron", "servo arm at neutral") in {row[:2] for row in typed_rows(panel)[:2]}
    fitted = kept(panel, own)
    angles = {link.linkage.arm_angle_deg for link in fitted.aircraft.of_kind("aileron")}
    assert angles != {link.linkage.arm_angle_deg for link in flaperon_setup().aircraft.of_kind("aileron")}
    panel.ways.value = 0
    assert worst_miss_mm(panel) == first
    assert panel.saved == ""


def test_undo_puts_the_set_up_before_back_on_the_shelf_and_as_the_choice(own):
    mine = flaperon_setup().replace(name="Mine")
    shelf.keep(mine)
    panel = fit_panel(shelf.chosen(hopper_ready()).setup)
    find(panel)
    panel.press(KEEP)
    assert shelf.chosen(hopper_ready()).setup.name == "Mine, fitted"
    panel.ways.value = 1
    panel.press(KEEP)
    panel.press(UNDO)
    assert shelf.chosen(hopper_ready()).setup.name == "Mine, fitted"
    panel.press(UNDO)
    assert "Undone" in plain(panel.saved)
    assert shelf.chosen(hopper_ready()).setup == mine
    assert [path.stem for path in own.glob("*.toml")] == ["mine"]
    panel.press(KEEP)
    assert "Saved" in plain(panel.saved)


def test_what_another_panel_saved_since_is_not_undone():
    """The panel stands open since morning; at noon a phase is kept elsewhere."""
    old = flaperon_setup().replace(name="Mine")
    shelf.keep(old)
    panel = fit_panel(old)
    find_something(panel)
    rests = {"left aileron": 6.0, "right aileron": 6.0}
    shelf.keep_change(old, lambda newest: newest.with_phase(Phase(name="speed", angles_deg=rests)))
    panel.press(KEEP)
    assert "Not saved. Mine was saved elsewhere since the search" in plain(panel.saved)
    find_something(panel)
    panel.press(KEEP)
    assert shelf.chosen(old).setup.phase("speed").angles_deg == rests
    assert "Saved" in plain(panel.saved)
    fitted = shelf.chosen(old).setup
    shelf.keep_change(fitted, lambda newest: newest.replace(note="a word of my own"))
    panel.press(KEEP)
    assert "Not saved" in plain(panel.saved)
    panel.press(UNDO)
    assert "Not undone. Mine, fitted was saved elsewhere since" in plain(panel.saved)
    assert shelf.chosen(old).setup.note == "a word of my own"


def test_a_throw_out_of_reach_is_said_and_the_last_answer_stays():
    panel = fit_panel(flaperon_setup())
    find_something(panel)
    before = panel.stage.extra
    field = panel.wishes.entry("ailerons, roll", "stick right")
    field.value = "140"
    assert "Not done" in find(panel)
    assert panel.stage.extra == before
    field.value = "400"
    assert "−150 to 150" in find(panel)
    assert field.value == "400"


def test_a_wish_taken_away_is_left_out_and_stays_for_later(own):
    panel = fit_panel(flaperon_setup())
    panel.wishes.take_away("ailerons, camber")
    find_something(panel)
    assert "ailerons, roll (" in plain(panel.stage.extra)
    assert "ailerons, camber (" not in plain(panel.stage.extra)
    again = fit_panel(kept(panel, own))
    assert "ailerons, camber" in again.wishes.offered
    again.wishes.add("ailerons, camber")
    assert {w.amount for w in again.wishes.value} == {
        w.amount for w in fit_panel(flaperon_setup()).wishes.value
    }


def test_a_wish_that_was_added_is_fitted():
    panel = fit_panel(
        plain_setup(shipped("aircraft", "orchard_hopper"), shipped("radio", "rich_ten"), "wing")
    )
    panel.wishes.add("rudder, roll")
    find(panel)
    right, left = (Rig(panel.shown.setup).run(commands(roll=way)).throw[3] for way in (1, -1))
    wanted = [want for want in panel.wishes.value if (want.surface, want.command) == ("rudder", "roll")]
    assert [right, left] == pytest.approx([want.amount for want in wanted], abs=0.5)


def test_nothing_is_kept_before_it_is_found(own):
    panel = fit_panel(flaperon_setup())
    panel.press(KEEP)
    assert "Not saved. Find the settings first." in plain(panel.saved)
    assert not list(own.iterdir())


@pytest.mark.slow
@pytest.mark.parametrize("radio", ["bare_four", "simple_six", "rich_ten"])
def test_every_layout_finds_an_answer_on_every_radio(radio):
    for aircraft in ("orchard_vee", "orchard_wing"):
        panel = searched(aircraft, radio)
        assert "can be had" in plain(panel.sentence), plain(panel.stage.said)
