"""What is left of the sticks, and what runs out, worked by hand: with a parallelogram 100 % are 45 deg."""

import numpy as np
import pytest

from mixlib.bench.surface.left import left_in_phases, runs_out
from mixlib.chain import Rig, commands
from mixlib.describe import Mark, Phase, Setup
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup


def square(setup: Setup, stop_deg: float = 80.0) -> Setup:
    parts = tuple(
        s.replace(
            linkage=s.linkage.replace(arm_mm=12.0, horn_mm=12.0, rod_mm=None),
            stop_up_deg=stop_deg,
            stop_down_deg=stop_deg,
        )
        for s in setup.aircraft.surfaces
    )
    return setup.replace(aircraft=setup.aircraft.replace(surfaces=parts))


def throw_mm(chord_mm: float, angle_deg: float) -> float:
    return 2 * chord_mm * np.sin(np.radians(angle_deg) / 2)


def test_droop_and_roll_add_up_past_the_end_point():
    """Roll and droop ask for 200 %; end points at 100 % cut off what would turn it from 45 to 90 deg."""
    setup = square(flaperon_setup())
    chord = setup.aircraft.surface("left aileron").chord_mm
    first, *_ = runs_out(setup)
    assert first.lost_mm == pytest.approx(throw_mm(chord, 90) - throw_mm(chord, 45))
    assert first.reason == "the end point"
    assert first.roll_share == pytest.approx(0.5)
    told = {(one.where, one.surface) for one in runs_out(setup)}
    assert told == {
        ("stick right and droop", "left aileron"),
        ("stick left and droop", "right aileron"),
        ("stick right and reflex", "right aileron"),
        ("stick left and reflex", "left aileron"),
    }


def test_a_stop_ends_what_the_output_still_asks_for():
    """A stop at 30 deg takes 15 deg of a full stick's 45, both ways, with and without droop."""
    setup = square(flaperon_setup(), stop_deg=30.0)
    rudder = [one for one in runs_out(setup) if one.surface == "rudder"]
    chord = setup.aircraft.surface("rudder").chord_mm
    assert {one.where for one in rudder} >= {"nose right", "nose left"}
    assert rudder[0].lost_mm == pytest.approx(throw_mm(chord, 45) - throw_mm(chord, 30))
    assert rudder[0].reason == "the stop of the surface (rudder)"


def test_end_points_that_scale_cut_nothing_off():
    """An end point of 60 % makes a full stick 60 %: only what is above 100 % is lost."""
    setup = four_surface_setup().with_output(6, end_low_percent=60, end_high_percent=60)
    assert not [one for one in runs_out(setup) if one.surface == "rudder"]
    above = setup.with_output(6, gain_above_percent=140)
    (rudder,) = {one.surface: one for one in runs_out(above) if "rudder" in one.surface}.values()
    assert rudder.reason == "the most that the radio passes on"


def test_what_reaches_its_place_loses_nothing_reversed_or_not():
    """45 deg each way are within stops and end points; a nearer end point on one side costs that side."""
    setup = square(flaperon_setup()).with_output(4, reversed=True, sub_trim_percent=0)
    assert not [one for one in runs_out(setup) if one.surface == "rudder"]
    uneven = setup.with_output(4, end_high_percent=60)
    rudder = [one for one in runs_out(uneven) if one.surface == "rudder"]
    (one,) = (one for one in rudder if " and " not in one.where)
    chord = setup.aircraft.surface("rudder").chord_mm
    assert one.lost_mm == pytest.approx(throw_mm(chord, 45) - throw_mm(chord, 27))


def test_two_sticks_on_one_surface():
    told = {(one.where, one.surface) for one in runs_out(square(elevon_setup()))}
    assert ("stick right and stick back", "right elevon") in told
    assert not [where for where, _ in told if " and " not in where]  # none runs out by one stick alone


def test_left_with_half_of_it_gone_by_hand():
    """At full droop a square flaperon moves up only: 45 deg of 90, half of the way."""
    rows = {(row.where, row.command): row for row in left_in_phases(square(flaperon_setup()))}
    neutral, droop = rows["neutral", "roll"], rows["droop", "roll"]
    assert (neutral.share, neutral.down_share) == (1, pytest.approx(1))
    assert (droop.share, droop.down_mm) == (pytest.approx(0.5), 0)
    assert droop.surface == "right aileron"
    assert droop.up_mm == pytest.approx(neutral.down_mm)
    assert rows["reflex", "roll"].up_mm == 0


def test_left_is_what_the_chain_moves_and_phases_are_named():
    angles = {"left aileron": 20.0, "right aileron": 20.0}
    phases = (Phase(name="landing", angles_deg={}), Phase(name="slow", angles_deg=angles))
    rows = {
        (row.where, row.command): row for row in left_in_phases(four_surface_setup().replace(phases=phases))
    }
    assert {where for where, _ in rows} == {
        "neutral",
        "brake out (landing)",
        "half brake",
        "droop",
        "reflex",
        "slow",
    }
    rig = Rig(four_surface_setup())
    place = rig.surface_names.index("right aileron")
    right, still, left = rig.run([commands(roll=roll, brake=1) for roll in (1, 0, -1)]).throw[:, place]
    found = rows["brake out (landing)", "roll"]
    assert (found.up_mm, found.down_mm) == pytest.approx((still - right, left - still))
    assert rows["slow", "roll"].share < 1


def test_past_the_mark_less_is_left():
    setup = square(flaperon_setup()).replace(marks=(Mark(command="camber", percent=40),))
    rows = {row.where: row.share for row in left_in_phases(setup) if row.command == "roll"}
    assert rows["camber past its mark, droop"] == pytest.approx(0.5)
    assert rows["droop to the mark at 40 %"] > 0.75
