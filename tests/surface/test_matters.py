"""What one millimetre does: the same as the levers' ratio says, and as the chain gives it."""

from __future__ import annotations

import math

import pytest

from mixlib.bench.surface.matters import matters
from mixlib.chain import Rig, commands
from mixlib.describe.demo import hopper_as_bought


def test_one_mm_on_the_arm_is_what_square_levers_make_of_it():
    """Square arm and horn and a long rod: sin(surface) is arm / horn x sin(arm), by plane trigonometry."""
    setup = hopper_as_bought()
    found = {(one.surface, one.field): one for one in matters(setup)}
    rudder = setup.aircraft.surface("rudder")
    link, turn = rudder.linkage, math.radians(rudder.servo.arm_deg_per_500us)

    def throw(arm: float, horn: float) -> float:
        return 2 * rudder.chord_mm * math.sin(math.asin(arm / horn * math.sin(turn)) / 2)

    arm, horn = link.arm_mm, link.horn_mm
    more = throw(arm + 1, horn) - throw(arm, horn)
    assert found["rudder", "linkage.arm_mm"].change_mm == pytest.approx(more, rel=0.06)
    less = throw(arm, horn - 1) - throw(arm, horn)
    assert found["rudder", "linkage.horn_mm"].change_mm == pytest.approx(less, rel=0.06)


def test_the_most_telling_comes_first_and_each_is_what_the_chain_gives():
    setup = hopper_as_bought()
    found = matters(setup)
    assert [one.change_mm for one in found] == sorted((one.change_mm for one in found), reverse=True)
    throws = abs(Rig(setup).run([commands(yaw=1.0), commands(yaw=-1.0)]).throw)[:, 3]
    assert next(one for one in found if one.surface == "rudder").throw_mm == pytest.approx(throws.max())


def test_it_is_said_in_words_and_what_nothing_moves_is_left_out():
    setup = hopper_as_bought().with_output(4, control=None)
    assert "rudder" not in {one.surface for one in matters(setup)}
    first = matters(setup)[0]
    assert f"{first.surface}: {first.words} is {first.change_mm:.1f} mm at the edge" in str(first)
