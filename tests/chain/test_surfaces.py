"""The servo's arm for a pulse, and some surfaces side by side."""

import numpy as np
import pytest
from description_strategies import servos
from hypothesis import given
from hypothesis import strategies as st

from mixlib.chain import LinkageError
from mixlib.chain.surfaces import SERVO_CENTRE_US, SurfaceRow, pulse_for_arm_us
from mixlib.describe import Servo, shipped

SERVO = Servo(arm_deg_per_500us=45, longer_pulse_moves_arm="forward")
AILERON = shipped("aircraft", "orchard_two").surface("left aileron")


def arms_deg(pulses, servo):
    """Arm angles of the aileron's linkage, which works well beyond 45 degrees, with another servo."""
    row = SurfaceRow([AILERON.replace(servo=servo)])
    return row.follow(np.asarray(pulses, float)[:, np.newaxis]).arm_deg[:, 0].tolist()


def test_middle_pulse_leaves_the_arm_alone():
    assert SERVO_CENTRE_US == 1500
    assert arms_deg([1500], SERVO) == [0]


@pytest.mark.parametrize("way, sign", [("forward", 1), ("back", -1)])
def test_which_way_the_arm_goes(way, sign):
    """40 to 60 degrees each way for 500 us is usual; common practice, no source."""
    servo = SERVO.replace(longer_pulse_moves_arm=way)
    assert arms_deg([2000, 1000, 1750], servo) == [sign * 45, -sign * 45, sign * 22.5]


def test_arm_that_was_fitted_off_centre():
    assert arms_deg([1500], SERVO.replace(arm_offset_deg=3)) == [3]
    assert arms_deg([2000], SERVO.replace(arm_offset_deg=3, longer_pulse_moves_arm="back")) == [3 - 45]


def test_servo_stays_at_the_end_of_its_range_and_says_so():
    row = SurfaceRow([AILERON.replace(servo=SERVO.replace(min_us=1000, max_us=2000))])
    moved = row.follow([[900], [1000], [2000], [2100]])
    assert moved.arm_deg[:, 0].tolist() == [-45, -45, 45, 45]
    assert moved.cut[:, 0].tolist() == [True, False, False, True]


@given(servos(), st.floats(-90, 90))
def test_pulse_for_an_arm_is_the_inverse(servo, arm_deg):
    pulse = float(pulse_for_arm_us(servo, arm_deg))
    if servo.min_us <= pulse <= servo.max_us and abs(arm_deg) < 60:
        assert arms_deg([pulse], servo) == [pytest.approx(arm_deg, abs=1e-9)]


@given(st.lists(servos(), min_size=1, max_size=4))
def test_many_at_once_are_each_one_alone(each):
    surfaces = [AILERON.replace(servo=servo, stop_up_deg=20 + 9 * n) for n, servo in enumerate(each)]
    pulse = np.linspace(500, 2500, 5 * len(each)).reshape(5, len(each))
    together = vars(SurfaceRow(surfaces).follow(pulse))
    for column, surface in enumerate(surfaces):
        alone = vars(SurfaceRow([surface]).follow(pulse[:, [column]]))
        for name, part in together.items():
            assert np.array_equal(part[:, [column]], alone[name])


def test_a_linkage_that_cannot_close_is_named():
    short = AILERON.replace(linkage=AILERON.linkage.replace(rod_mm=30))
    with pytest.raises(LinkageError, match="left aileron: the linkage cannot close"):
        SurfaceRow([AILERON.replace(name="another"), short])
