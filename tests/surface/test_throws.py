"""Throw, steps, slop and leverage of a pair of holes, against a second way to solve the linkage."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from mixlib.bench.surface.throws import (
    PLAY_MM,
    SERVO_STEP_US,
    follow,
    moment_arms_mm,
    throw_ends,
    with_holes,
)
from mixlib.chain import LinkageError, Rig, commands
from mixlib.chain.linkage import surface_angle_deg
from mixlib.describe import DescriptionError, Linkage, plain_setup, shipped
from mixlib.describe.demo import four_surface_setup

TWO, SIMPLE = shipped("aircraft", "orchard_two"), shipped("radio", "simple_six")
AILERON = TWO.surface("left aileron")


def solved_deg(link: Linkage, turn_deg: float, longer_mm: float = 0.0) -> float:
    """Turn of the horn, tip forward positive, from the rod's length alone, by a root finder (scipy's brentq).

    For arm and horn on the same side.  ``longer_mm`` makes the rod longer than it fits at neutral.
    """

    def length(horn_deg, arm_deg):
        a, h = np.radians(link.arm_angle_deg + arm_deg), np.radians(link.horn_angle_deg + horn_deg)
        x = link.distance_mm + link.horn_mm * np.cos(h) - link.arm_mm * np.cos(a)
        return np.hypot(x, link.horn_mm * np.sin(h) - link.arm_mm * np.sin(a))

    rod = length(0, 0) + longer_mm
    return brentq(lambda horn: length(horn, turn_deg) - rod, -60, 60)


@pytest.mark.parametrize(("arm", "known"), [(-40, -27.465), (-20, -13.375), (20, 11.904), (40, 21.416)])
def test_an_arm_leaning_forward_gives_less_one_way_than_the_other(arm, known):
    """Arm leaning to 110 deg, arm 10, horn 15, 100 mm apart: values derived from the rod's fixed length."""
    link = Linkage(arm_mm=10, horn_mm=15, distance_mm=100, arm_angle_deg=110)
    ours = float(surface_angle_deg(link, arm))
    assert ours == pytest.approx(known, abs=1e-3)
    assert ours == pytest.approx(solved_deg(link, arm), abs=1e-6)


@pytest.mark.parametrize("demo", [lambda: plain_setup(TWO, SIMPLE), four_surface_setup])
def test_one_surface_follows_as_in_the_whole_chain(demo):
    setup = demo()
    stages = Rig(setup).run(commands(roll=[-1, -0.3, 0, 0.6, 1], camber=[-1, 0.2, 1, 1, 0]))
    for place, surface in enumerate(setup.aircraft.surfaces):
        travel = stages.travel[:, setup.wiring[surface.name] - 1]
        followed = follow(surface, setup.radio, travel)
        for ours, rigs in zip(
            (followed.arm_deg, followed.angle_deg, followed.throw_mm, followed.binds, followed.at_stop),
            (stages.arm, stages.surface, stages.throw, stages.binds, stages.at_stop),
            strict=True,
        ):
            np.testing.assert_allclose(ours, rigs[:, place], atol=1e-9)


def test_levers_of_square_linkages_are_the_hole_distances():
    """Equal holes, both square to the rod: the parallel linkage of any textbook on mechanisms."""
    assert moment_arms_mm(Linkage(arm_mm=12, horn_mm=12, distance_mm=100)) == pytest.approx((12, 12))
    arm, horn = moment_arms_mm(Linkage(arm_mm=10, horn_mm=14, distance_mm=1500))
    assert (arm, horn) == pytest.approx((10, 14), abs=1e-4)


@pytest.mark.parametrize("arm_side", ["above", "below"])
@pytest.mark.parametrize("horn_side", ["above", "below"])
@pytest.mark.parametrize("arm_deg", [-25.0, 0.0, 30.0])
def test_ratio_of_levers_is_how_fast_the_surface_follows_the_arm(arm_side, horn_side, arm_deg):
    """Virtual work: force times way is the same at both ends of a rod that does not stretch."""
    link = Linkage(
        arm_mm=9,
        horn_mm=15,
        distance_mm=60,
        arm_side=arm_side,
        horn_side=horn_side,
        arm_angle_deg=100,
        horn_angle_deg=80,
    )
    arm, horn = moment_arms_mm(link, arm_deg)
    before, after = surface_angle_deg(link, [arm_deg - 0.01, arm_deg + 0.01])
    assert arm / horn == pytest.approx(abs(after - before) / 0.02, rel=1e-5)


@pytest.mark.parametrize(("arm", "horn"), [(8, 16), (10, 14), (12, 12)])
def test_slop_is_what_a_longer_rod_does_and_the_step_what_a_longer_pulse_does(arm, horn):
    surface = with_holes(AILERON, arm, horn)
    ends = throw_ends(surface, SIMPLE)
    turned = abs(solved_deg(surface.linkage, 0.0, longer_mm=PLAY_MM / 10))
    assert ends.slop_mm == pytest.approx(10 * surface.chord_mm * np.radians(turned), rel=2e-3)
    step = abs(solved_deg(surface.linkage, 0.36))  # 4 us of 500, which are 45 deg
    assert SERVO_STEP_US == 4
    assert ends.servo_step_mm == pytest.approx(surface.chord_mm * np.radians(step), rel=2e-3)
    assert ends.percent_mm == pytest.approx(ends.servo_step_mm * 5 / 4)  # 1 % of this radio is 5 us
    assert ends.leverage == pytest.approx(horn / arm, rel=1e-6)


def test_full_travel_goes_where_the_rod_lets_it():
    surface = with_holes(AILERON, 8, 14)
    ends = throw_ends(surface, SIMPLE)
    assert ends.down_deg == pytest.approx(solved_deg(surface.linkage, 45.0), abs=1e-6)
    assert ends.up_deg == pytest.approx(-solved_deg(surface.linkage, -45.0), abs=1e-6)
    assert ends.down_mm == pytest.approx(2 * 40 * np.sin(np.radians(ends.down_deg) / 2))
    assert ends.held == ""


def test_a_longer_arm_gives_more_and_a_longer_horn_gives_less():
    start = throw_ends(AILERON, SIMPLE)
    assert throw_ends(with_holes(AILERON, 11, 14), SIMPLE).up_mm > start.up_mm
    finer = throw_ends(with_holes(AILERON, 10, 16), SIMPLE)
    assert finer.up_mm < start.up_mm
    assert finer.percent_mm < start.percent_mm
    assert finer.slop_mm < start.slop_mm
    assert finer.leverage > start.leverage


def test_what_holds_the_surface_is_named():
    assert throw_ends(with_holes(AILERON, 12, 14), SIMPLE).held == "at its stop"
    assert throw_ends(with_holes(AILERON, 14, 10), SIMPLE).held == "linkage binds"
    short = SIMPLE.replace(min_us=1200, max_us=1800)
    assert throw_ends(AILERON, short).held == "travel cut off"
    assert throw_ends(AILERON, short).down_deg == pytest.approx(solved_deg(AILERON.linkage, 27.0), abs=1e-6)


def test_holes_and_rods_that_cannot_be_are_told():
    with pytest.raises(DescriptionError, match="Hole in the arm is 1 mm"):
        with_holes(AILERON, 1, 14)
    short = AILERON.replace(linkage=AILERON.linkage.replace(rod_mm=30))
    with pytest.raises(LinkageError, match="cannot close"):
        throw_ends(short, SIMPLE)
