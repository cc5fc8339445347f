"""Panels of the first lessons: the words follow the controls, at both ends, for every demo."""

from __future__ import annotations

import itertools
import re

import pytest
from rooms import faults

from mixlib.chain import Rig, commands
from mixlib.describe import Setup, plain_setup, shipped, shipped_names
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup
from mixlib.draw.shapes import Room
from mixlib.panel import surfaces as panels
from mixlib.say.readout import command_words, limit_notes, readout

DEMOS = [flaperon_setup, four_surface_setup, v_tail_setup, elevon_setup]
each_demo = pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.__name__)


def corners(setup: Setup):
    names = panels.moving_commands(setup)
    ends = [(0.0, 1.0) if name == "brake" else (-1.0, 0.0, 1.0) for name in names]
    for values in itertools.product(*ends):
        yield dict(zip(names, values, strict=True))


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


def test_gains_follow_at_once_and_what_is_not_accepted_stays_typed():
    panel = panels.gains(flaperon_setup(), ("roll", "camber"))
    panel.controls["camber"].value = 1.0
    both_down = plain(panel.sentence)
    assert "right aileron down" in both_down
    panel.controls["gains"].value = ((100, 100), (100, 100))
    assert "right aileron up" in plain(panel.sentence)
    panel.controls["gains"].value = ((100, 100), (300, 100))
    assert "-100 to 100 %" in plain(panel.error)
    assert panel.controls["gains"].faults


def test_direct_gains_are_in_the_table_where_the_radio_can_set_them():
    setup = four_surface_setup()
    grid = panels.gains(setup).controls["gains"]
    assert len(grid.rows) == len(setup.outputs) + len(setup.free_mixes)
    assert len(panels.gains(flaperon_setup()).controls["gains"].rows) == 2


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
