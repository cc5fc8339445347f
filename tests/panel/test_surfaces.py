"""Panels of the first lessons: the words follow the controls, at both ends, for every demo."""

from __future__ import annotations

import itertools
import re

import numpy as np
import pytest
from rooms import faults

from mixlib.chain import Rig, commands
from mixlib.describe import Setup, plain_setup, shipped, shipped_names
from mixlib.describe.demo import (
    elevon_setup,
    flaperon_setup,
    four_surface_setup,
    hopper_as_bought,
    hopper_flaperons,
    v_tail_setup,
)
from mixlib.draw.shapes import Line, Polygon, Room, every_shape
from mixlib.panel import surfaces as panels
from mixlib.say.readout import command_words, limit_notes, readout

DEMOS = [flaperon_setup, four_surface_setup, v_tail_setup, elevon_setup, hopper_flaperons]
each_demo = pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.__name__)


def corners(setup: Setup):
    names = panels.moving_commands(setup)
    ends = [(0.0, 1.0) if name == "brake" else (-1.0, 0.0, 1.0) for name in names]
    for values in itertools.product(*ends):
        yield dict(zip(names, values, strict=True))


def dial_moves(setup: Setup) -> bool:
    return "camber" in setup.radio.marked_commands and "camber" in panels.moving_commands(setup)


def plain(text: str) -> str:
    return re.sub(r"<[^>]+>", "", text)


def test_the_flaperon_panel_says_what_the_surfaces_do():
    panel = panels.surfaces(flaperon_setup(), ("roll", "camber"))
    assert "neutral" in plain(panel.sentence)
    panel.controls["roll"].value = 1.0
    assert "Left aileron down 21.1 mm (30.6°); right aileron up 20.7 mm (30.0°)" in plain(panel.sentence)
    panel.controls["roll"].value = 0.0
    panel.controls["camber"].value = 1.0
    assert "Left aileron down 21.1 mm (30.6°); right aileron down 21.1 mm (30.6°)" in plain(panel.sentence)
    panel.controls["roll"].value = 1.0
    assert "asked for 200 % and gives 100 %" in plain(panel.sentence)
    assert "travel cut off" in panel.picture


@pytest.mark.slow
@each_demo
def test_every_corner_of_the_sliders_is_shown_without_a_fault(demo):
    setup = demo()
    panel = panels.surfaces(setup)
    for values in corners(setup):
        for name, value in values.items():
            panel.controls[name].value = value
        assert panel.error == ""
        said = plain(panel.sentence).lower()
        if "all surfaces are neutral" not in said:
            assert [name for name in setup.aircraft.surface_names if name.lower() not in said] == []


def ways(panel) -> dict[str, Line]:
    """The ways of trailing edges in the picture, by their meaning."""
    shapes = every_shape(panel._draw(room=Room(690, 430)).shapes)
    return {s.meaning: s for s in shapes if isinstance(s, Line) and s.meaning.startswith("way of")}


def test_one_side_shows_the_way_of_the_control_that_was_moved_last():
    panel = panels.surfaces(four_surface_setup())
    assert ways(panel) == {}
    panel.controls["roll"].value = 0.4
    assert set(ways(panel)) == {"way of the right aileron", "way of the right flap"}
    panel.controls["roll"].value = 0.0
    assert ways(panel) == {}  # the first picture is back
    panel.controls["pitch"].value = 0.5
    assert set(ways(panel)) == {"way of the elevator"}
    rolled = panels.surfaces(four_surface_setup(), ("roll", "brake"))
    rolled.controls["brake"].value = 1.0
    lowered = ways(rolled)["way of the right flap"]
    rolled.controls["roll"].value = 1.0  # the way of roll, from where the brake holds the flap
    assert ways(rolled)["way of the right flap"].points[0] != lowered.points[0]
    shapes = every_shape(rolled._draw(room=Room(690, 430)).shapes)
    (leaf,) = (s for s in shapes if isinstance(s, Polygon) and s.meaning == "right flap down")
    end = ways(rolled)["way of the right flap"].points[-1]  # roll is at its end now, and so is the flap
    assert min(np.hypot(x - end[0], y - end[1]) for x, y in leaf.points) < 0.001
    rolled.reset()
    assert ways(rolled) == {}


def test_a_slider_is_named_after_what_the_hand_moves_and_one_step_is_less_than_a_millimetre():
    setup = four_surface_setup()
    panel = panels.surfaces(setup)
    assert panel.controls["brake"].entry.description == setup.radio.lever("brake")
    rig = Rig(setup)
    for name, slider in panel.controls.items():
        step = next(one for one in slider.widget._dom_classes if one.startswith("mix-step-"))
        at = np.append(np.arange(0, 1, float(step.removeprefix("mix-step-")) / 100), 1.0)
        values = commands(**{name: at})
        assert abs(np.diff(rig.run(values).throw, axis=0)).max() < 1.0


def test_gains_follow_at_once_and_what_is_not_accepted_stays_typed():
    panel = panels.gains(flaperon_setup(), ("roll", "camber"))
    panel.controls["camber"].value = 1.0
    both_down = plain(panel.sentence)
    assert "right aileron down" in both_down
    panel.controls["gains"].value = ((100, 100), (100, 100), (100, 100), (100, 100))
    assert "right aileron up" in plain(panel.sentence)
    panel.controls["gains"].value = ((100, 100), (100, 100), (100, 100), (300, 100))
    assert "−100 to 100 %" in plain(panel.error)
    assert panel.controls["gains"].faults


def test_all_shares_are_in_the_table_and_those_that_the_radio_cannot_change_are_marked():
    setup = four_surface_setup()
    grid = panels.gains(setup).controls["gains"]
    assert len(grid.rows) == len(setup.outputs) + len(setup.free_mixes)
    assert not any(field.disabled for field in grid._all())
    grid = panels.gains(hopper_flaperons(), ("roll", "camber")).controls["gains"]
    assert grid.rows == (
        "roll direct, output 1 (right aileron): fixed",
        "camber direct, output 6 (left aileron): fixed",
        "roll into output 6 (left aileron)",
        "camber into output 1 (right aileron)",
    )
    assert grid.value == ((100, 100), (100, 100), (100, 100), (-100, -100))
    assert [field.disabled for field in grid._all()] == [True] * 4 + [False] * 4


def test_only_commands_that_move_something_get_a_slider():
    assert panels.moving_commands(flaperon_setup()) == ("roll", "pitch", "yaw", "camber")
    assert "brake" in panels.moving_commands(four_surface_setup())
    assert "yaw" not in panels.moving_commands(elevon_setup())


@pytest.mark.parametrize("radio", shipped_names("radio"))
@pytest.mark.parametrize("aircraft", shipped_names("aircraft"))
def test_every_pair_opens_in_every_panel(aircraft, radio):
    setup = plain_setup(shipped("aircraft", aircraft), shipped("radio", radio))
    first = setup.aircraft.surface_names[0]
    for panel in (
        panels.surfaces(setup),
        panels.chain(setup, first, panels.moving_commands(setup) or ("roll",)),
        panels.adding(setup),
        panels.wiring(setup),
        panels.trims(setup),
        *([panels.dial(setup)] if dial_moves(setup) else []),
    ):
        assert panel.error == ""
        assert "<svg" in panel.picture


def test_limits_are_said_for_output_and_surface():
    setup = flaperon_setup()
    stages = Rig(setup).run(commands(roll=1, camber=1))
    assert limit_notes(setup, stages)[0] == "travel cut off"
    assert "Output 6 (left aileron)" in readout(setup, stages)
    assert command_words(commands(roll=-0.5), ("roll", "camber")) == "roll 50 % (stick left)"


def test_adding_shows_the_reversed_output_with_its_own_limits():
    setup = flaperon_setup().with_output(1, reversed=True, end_low_percent=40, end_high_percent=90)
    panel = panels.adding(setup, 1, ("roll",))
    panel.controls["roll"].value = 1.0
    travel = Rig(setup).run(commands(roll=1)).travel[0]
    assert travel == pytest.approx(-40)
    assert "−90 % to +40 %" in plain(panel.sentence)


@each_demo
def test_the_chain_fits_the_low_room_of_a_zoomed_page(demo):
    """Strip and linkage stand side by side where one below the other would be too high."""
    setup = demo()
    panel = panels.chain(setup, setup.aircraft.surface_names[0])
    for room, name, roll in itertools.product(
        (Room(423, 270), Room(391, 180), Room(300, 180)), setup.aircraft.surface_names, (-1.0, 0.0, 1.0)
    ):
        panel.controls["surface"].value, panel.controls["roll"].value = name, roll
        assert faults(panel._draw(room=room), room, high=True) == []


def test_the_plugs_of_the_motor_glider_are_said_and_the_throttle_tells_the_motor():
    plugs = plain(panels.wiring(hopper_as_bought()).sentence)
    assert "Output 1: left aileron and right aileron (Y-lead)" in plugs
    assert "output 3: motor" in plugs
    panel = panels.surfaces(hopper_as_bought(), ("throttle",))
    assert "Output 3 sends 1000 us: motor off." in panel.sentence
    panel.controls["throttle"].value = 0.5
    assert "Output 3 sends 1500 us: half power, 50 %." in panel.sentence
    assert "motor" not in panels.surfaces(hopper_as_bought(), ("roll",)).sentence
    assert 3 not in [
        number for _, number in panels.adding(hopper_as_bought()).controls["output"].entry.options
    ]


def test_a_trim_left_behind_moves_one_aileron_and_what_to_do_instead_is_said():
    """Stick and mix are both 100 %, so a carried trim moves both ailerons alike."""
    panel = panels.trims(hopper_flaperons())
    assert set(panel.controls) == {"roll", "pitch", "mixes"}
    panel.controls["roll"].entry.value = 20
    said = plain(panel.sentence)
    assert "Trim levers: roll 20 % (stick right). Left aileron neutral; right aileron up 3.3 mm" in said
    assert "Move the sub-trim of output 6 (left aileron) as well, or the rod of the left aileron." in said
    panel.controls["mixes"].value = True
    said = plain(panel.sentence)
    assert "Left aileron down 3.3 mm (5.4°); right aileron up 3.3 mm (5.4°)" in said
    assert "sub-trim" not in said
    carried, left_behind = panel.extra.split("<tr>")[2:]
    assert "down 3.3 mm" in carried
    assert "down" not in left_behind
    panel.controls["roll"].entry.value = 0
    panel.controls["pitch"].entry.value = -25
    assert "elevator down" in plain(panel.sentence)


def test_a_radio_without_trims_says_what_else_moves_the_surfaces():
    setup = hopper_flaperons()
    panel = panels.trims(setup.replace(radio=setup.radio.replace(trim_max_percent=0)))
    assert "no trim lever" in plain(panel.error)


def test_a_dial_is_told_at_rest_at_its_mark_and_at_its_end():
    setup = hopper_flaperons()
    rig = Rig(setup)
    panel = panels.dial(setup)
    panel.controls["mark"].entry.value = 35
    said = plain(panel.sentence)
    for place in (0.6, 0.35, 1.0):
        left, right = rig.run(commands(camber=place)).throw[:2]
        assert f"left aileron and right aileron down {left:.1f} mm" in said
        assert left == pytest.approx(right)
    assert "stands at 60 %, past its mark" in said
    panel.controls["mark"].entry.value = 100
    assert "mark" not in plain(panel.sentence)
    panel.controls["mark"].entry.value = 35
    panel.controls["place"].entry.value = 35
    assert "past its mark" not in plain(panel.sentence)
    assert "switch-on is not known" in said
    assert "no finger feels it" in said


def test_neutral_at_one_end_costs_the_reflex_and_half_of_the_roll():
    """There the dial's share, 100 %, holds both outputs at an end: one way nothing is left to the stick."""
    panel = panels.dial(hopper_flaperons())
    panel.controls["mark"].entry.value = 35
    middle, at_end = [re.findall(r"\d+\.\d", row) for row in panel.extra.split("<tr>")[2:]]
    assert middle[0] == at_end[0] == "5.7"  # the same droop ...
    assert middle[2] == at_end[2] == "3.3"  # ... and the same for a tenth of the way
    assert (middle[1], at_end[1]) == ("15.1", "0.0")
    assert middle[3:] == ["15.1", "15.6", "15.6", "15.1"]
    assert at_end[3:] == ["0.0", "15.6", "15.6", "0.0"]
    panel.controls["neutral"].value = -1.0
    panel.controls["place"].entry.value = -100
    said = plain(panel.sentence)
    assert "stands at −100 %, left aileron and right aileron neutral" in said
    assert "At its mark, −65 %: left aileron and right aileron down 5.7 mm" in said


def test_a_dial_that_is_not_there_or_moves_nothing_is_said():
    bare = plain_setup(hopper_as_bought().aircraft, shipped("radio", "bare_four"))
    assert "no dial and no slider for camber" in plain(panels.dial(bare).error)
    assert "moves nothing yet" in plain(panels.dial(hopper_as_bought()).error)


@each_demo
@pytest.mark.parametrize("room", [Room(640, 370), Room(423, 270), Room(340, 300)])
def test_trims_and_dial_fit_their_room(demo, room):
    setup = demo()
    for panel in (panels.trims(setup), *([panels.dial(setup)] if dial_moves(setup) else [])):
        assert panel.error == ""
        assert faults(panel._draw(room=room), room, high=True) == []
        if "neutral" in panel.controls:
            panel.controls["neutral"].value = -1.0
            assert faults(panel._draw(room=room), room, high=True) == []
