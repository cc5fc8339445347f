"""Throws, steps and differential of one surface, against a second way to solve the linkage."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from mixlib.bench.throws import differential_percent, throw_ends, travel_to_throw_mm, with_holes
from mixlib.chain import Rig, commands
from mixlib.chain.linkage import surface_angle_deg
from mixlib.describe import Linkage, plain_setup, shipped

TWO, SIMPLE = shipped("aircraft", "orchard_two"), shipped("radio", "simple_six")
AILERON = TWO.surface("left aileron")


def solved_deg(arm_mm, horn_mm, distance_mm, arm_angle_deg, turn_deg):
    """Turn of the horn from the fixed length of the rod alone, by a root finder (scipy's brentq)."""

    def gap(horn_deg, arm_deg):
        a, h = np.radians(arm_angle_deg + arm_deg), np.radians(90 + horn_deg)
        return np.hypot(
            distance_mm + horn_mm * np.cos(h) - arm_mm * np.cos(a), horn_mm * np.sin(h) - arm_mm * np.sin(a)
        )

    rod = gap(0, 0)
    return brentq(lambda horn: gap(horn, turn_deg) - rod, -60, 60)


@pytest.mark.parametrize(("arm", "known"), [(-40, -27.465), (-20, -13.375), (20, 11.904), (40, 21.416)])
def test_an_arm_leaning_forward_gives_less_one_way_than_the_other(arm, known):
    """Arm leaning to 110 deg, arm 10, horn 15, 100 mm apart: values derived from the rod's fixed length."""
    link = Linkage(arm_mm=10, horn_mm=15, distance_mm=100, arm_angle_deg=110)
    ours = float(surface_angle_deg(link, arm))
    assert ours == pytest.approx(known, abs=1e-3)
    assert ours == pytest.approx(solved_deg(10, 15, 100, 110, arm), abs=1e-6)


def test_throws_agree_with_the_whole_chain():
    setup = plain_setup(TWO, SIMPLE)
    rig = Rig(setup)
    for roll in (-1.0, -0.3, 0.0, 0.6, 1.0):
        stages = rig.run(commands(roll=roll))
        travel = stages.travel[setup.wiring["left aileron"] - 1]
        assert float(travel_to_throw_mm(AILERON, SIMPLE, travel)) == pytest.approx(stages.throw[0], abs=1e-9)


def test_a_longer_arm_gives_more_and_a_longer_horn_gives_less():
    start = throw_ends(AILERON, SIMPLE)
    assert throw_ends(with_holes(AILERON, 12, 14), SIMPLE).up_mm > start.up_mm
    finer = throw_ends(with_holes(AILERON, 10, 16), SIMPLE)
    assert finer.up_mm < start.up_mm
    assert finer.step_mm < start.step_mm
    assert finer.leverage > start.leverage


def test_step_and_leverage_near_neutral_follow_the_ratio_of_the_holes():
    ends = throw_ends(AILERON, SIMPLE)
    assert ends.leverage == pytest.approx(14 / 10, rel=0.01)
    one_percent_deg = 0.01 * 500 / 500 * AILERON.servo.arm_deg_per_500us * 10 / 14
    assert ends.step_mm == pytest.approx(AILERON.chord_mm * np.radians(one_percent_deg), rel=0.01)


def test_differential_of_known_throws():
    assert differential_percent(20, 10) == 50
    assert differential_percent(20, 20) == 0
    assert differential_percent(10, 12) < 0
    with pytest.raises(ValueError, match="more than 0 mm"):
        differential_percent(0, 5)
