"""The motor at the bench: nothing here moves the throttle, and its faults are looked for, never tried."""

import numpy as np
import pytest

from mixlib.bench.cautions import BENCH_CAUTIONS, bench_cautions
from mixlib.bench.faults import Finder
from mixlib.bench.faults.edits import apply_faults
from mixlib.bench.faults.kinds import motor_faults
from mixlib.bench.faults.observe import bench_tests, every_test, starts_and_ends
from mixlib.chain import Rig
from mixlib.describe import FreeMix, plain_setup, shipped, shipped_names
from mixlib.describe.demo import flaperon_setup, four_surface_setup, hopper_as_bought, hopper_flaperons
from mixlib.units import COMMANDS

HOPPER = shipped("aircraft", "orchard_hopper")
WITH_THROTTLE_MIX = hopper_as_bought().replace(free_mixes=(FreeMix.straight("throttle", 2, -10),))
SETUPS = [
    hopper_as_bought(),
    hopper_flaperons(),
    WITH_THROTTLE_MIX,
    *(plain_setup(HOPPER, shipped("radio", name), name) for name in shipped_names("radio")),
]
each = pytest.mark.parametrize("setup", SETUPS, ids=lambda setup: setup.name)


@each
def test_no_bench_test_moves_the_throttle_or_lets_the_motor_run(setup):
    """All tests there are, with every fault that the finder knows: closed throttle, and no power."""
    finder = Finder(setup, 1)
    tests = {*finder.tests, *bench_tests(setup), *every_test(setup)}
    rows = starts_and_ends(list(tests))
    assert np.all(rows[..., COMMANDS.index("throttle")] == 0)
    assert not [test for test in tests if "throttle" in test.words]
    for faults in ([], *([fault] for fault in finder.faults)):
        assert not np.any(Rig(apply_faults(setup, faults)).run(rows).power)


@each
def test_no_fault_that_is_tried_concerns_the_motor(setup):
    motor = ("output", setup.wiring["motor"]), ("wiring", "motor")
    for fault in Finder(setup, 1).faults:
        assert "throttle" not in fault.words
        assert not [edit for edit in fault.edits if (edit.part, edit.which) in motor]


def test_faults_of_the_motor_are_looked_for_before_power_is_connected():
    finder = Finder(hopper_flaperons())
    kinds = [fault.kind for fault in finder.look_first]
    assert kinds == ["motor's output reversed", *["motor plug swapped with a servo"] * 4]
    reversed_, *swapped = finder.look_first
    assert reversed_.change == "set the direction of output 3 to normal before the battery is connected"
    assert "plug the motor into output 3 and left aileron into output 6 before" in swapped[0].change
    assert not any(fault.edits for fault in finder.look_first)
    assert finder.causes({}).words.startswith(
        "No test moves the throttle: look for motor's output reversed and motor plug swapped with a servo "
        "before the battery is connected. Nothing wrong was seen so far."
    )
    test, surface = finder.tests[0].name, "elevator"
    assert "battery" not in finder.causes({(test, surface): "still"}).words
    assert motor_faults(flaperon_setup()) == ()
    assert "battery" not in Finder(flaperon_setup(), 1).causes({}).words


def test_a_servo_that_stays_still_may_sit_in_the_motors_output():
    finder = Finder(hopper_flaperons(), 1)
    dead = [fault for fault in finder.faults if fault.kind == "servo dead or unplugged"]
    assert len(dead) == 4
    assert all(
        "with the battery off, that it is not in the motor's output 3" in fault.change for fault in dead
    )


def test_the_motors_danger_stands_first():
    """A reversed output is full power with the throttle closed; an output that nothing drives is half."""
    safe, glider = hopper_as_bought(), four_surface_setup()
    assert bench_cautions(glider) == BENCH_CAUTIONS
    assert bench_cautions(safe)[1:] == BENCH_CAUTIONS
    assert "motor's plug sits in output 3" in bench_cautions(safe)[0]
    for change, words in (
        ({"reversed": True}, "sends 2000 us, 100 % of full power. Connect no battery; set the direction of"),
        ({"control": None}, "sends 1500 us, 50 % of full power. Connect no battery; assign the throttle to"),
        (
            {"end_low_percent": 60},
            "sends 1200 us, 12 % of full power. Connect no battery; let output 3 send 1100 us",
        ),
    ):
        danger, look, *others = bench_cautions(safe.with_output(3, **change))
        assert danger.startswith(f"Danger: with the throttle closed output 3 {words}")
        assert look.startswith("Before the battery is connected, look")
        assert tuple(others) == BENCH_CAUTIONS
    assert "output 3 to normal first" in bench_cautions(safe.with_output(3, reversed=True))[0]
    learnt = safe.replace(aircraft=HOPPER.replace(motor=HOPPER.motor.replace(off_us=1200)))
    assert bench_cautions(learnt.with_output(3, end_low_percent=60))[1:] == BENCH_CAUTIONS
