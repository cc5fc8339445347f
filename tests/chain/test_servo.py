"""Reversing, end points, sub-trim, the pulse and the servo arm."""

import numpy as np
import pytest
from description_strategies import numbers, outputs, radios, servos
from hypothesis import given
from hypothesis import strategies as st

from mixlib.chain.servo import (
    SERVO_CENTRE_US,
    arm_angle_deg,
    arm_angles_deg,
    pulse_us,
    travel_percent,
    travels_percent,
)
from mixlib.describe import Output, Servo, shipped

SIMPLE, RICH, BARE = (shipped("radio", name) for name in ("simple_six", "rich_ten", "bare_four"))
SERVO = Servo(arm_deg_per_500us=45, longer_pulse_moves_arm="forward")


@pytest.mark.parametrize("travel, pulse", [(-100, 1000), (0, 1500), (100, 2000)])
def test_pulse_of_the_ends_and_the_middle(travel, pulse):
    """MAVLink common message set, SERVO_OUTPUT_RAW (36) and RC_CHANNELS_RAW: "1000 microseconds: 0%, 2000
    microseconds: 100%"; the middle is half way.  Their 0 to 100 % is our -100 to 100 % of travel."""
    assert pulse_us(travel, SIMPLE)[0] == pulse
    assert pulse_us(travel, RICH)[0] == pulse


def test_middle_pulse_leaves_the_arm_alone():
    assert SERVO_CENTRE_US == 1500
    assert arm_angle_deg(1500, SERVO) == 0


@pytest.mark.parametrize("way, sign", [("forward", 1), ("back", -1)])
def test_which_way_the_arm_goes(way, sign):
    """40 to 60 degrees each way for 500 us is usual; common practice, no source."""
    servo = SERVO.replace(longer_pulse_moves_arm=way)
    assert arm_angle_deg(2000, servo) == sign * 45
    assert arm_angle_deg(1000, servo) == -sign * 45
    assert arm_angle_deg(1750, servo) == sign * 22.5


def test_arm_that_was_fitted_off_centre():
    assert arm_angle_deg(1500, SERVO.replace(arm_offset_deg=3)) == 3
    assert arm_angle_deg(2000, SERVO.replace(arm_offset_deg=3, longer_pulse_moves_arm="back")) == 3 - 45


def test_servo_stays_at_the_end_of_its_range():
    servo = SERVO.replace(min_us=1000, max_us=2000)
    assert arm_angle_deg([900, 2100], servo).tolist() == [-45, 45]


@pytest.mark.parametrize(
    "demand, settings, travel, clipped",
    [
        (80, {}, 80, False),
        (80, {"reversed": True}, -80, False),
        (130, {}, 100, True),  # the end point cuts off
        (-130, {"end_low_percent": 120}, -120, True),
        (130, {"end_high_percent": 40}, 40, True),
        (30, {"end_high_percent": 40}, 30, False),
        (40, {"end_high_percent": 40}, 40, False),
        (130, {"reversed": True, "end_low_percent": 60}, -60, True),  # end points are those of the pulse
        (50, {"sub_trim_percent": 10}, 60, False),
        (130, {"sub_trim_percent": 10}, 110, True),  # sub-trim comes after the end point
        (50, {"reversed": True, "sub_trim_percent": 10}, -40, False),  # and is not turned round
    ],
)
def test_end_points_that_clip(demand, settings, travel, clipped):
    assert travel_percent(demand, Output(number=1, **settings), SIMPLE) == (pytest.approx(travel), clipped)


@pytest.mark.parametrize(
    "demand, settings, travel, clipped",
    [
        (80, {}, 80, False),
        (80, {"end_high_percent": 50}, 40, False),  # all of that side gets smaller
        (-80, {"end_high_percent": 50}, -80, False),  # the other side does not
        (100, {"end_high_percent": 150}, 150, False),
        (130, {"end_high_percent": 50}, 50, True),
        (80, {"reversed": True, "end_low_percent": 50}, -40, False),
        (80, {"end_high_percent": 50, "sub_trim_percent": 5}, 45, False),
        (80, {"end_high_percent": 0}, 0, False),
    ],
)
def test_end_points_that_scale(demand, settings, travel, clipped):
    assert travel_percent(demand, Output(number=1, **settings), RICH) == (pytest.approx(travel), clipped)


def test_radio_cuts_its_own_pulse_off():
    """Simple six sends 900 to 2100 us: 130 % would be 2150."""
    assert pulse_us([130, 120, -120, -121], SIMPLE)[0].tolist() == [2100, 2100, 900, 900]
    assert pulse_us([130, 120, -120, -121], SIMPLE)[1].tolist() == [True, False, False, True]


def test_pulse_of_full_travel_is_the_radio_s_own():
    assert pulse_us(100, BARE)[0] == 1900
    assert pulse_us(100, BARE.replace(centre_us=1520))[0] == 1920


@given(st.data(), radios())
def test_travel_stays_between_its_ends(data, radio):
    output = data.draw(outputs(radio, 1))
    travel, clipped = travel_percent(np.linspace(-400, 400, 161), output, radio)
    middle = travel - output.sub_trim_percent
    assert np.all(middle >= -output.end_low_percent - 1e-9)
    assert np.all(middle <= output.end_high_percent + 1e-9)
    assert clipped[[0, -1]].all()
    assert np.all(np.diff(travel) * (-1 if output.reversed else 1) >= -1e-9)


@given(st.data(), radios(), numbers(-300, 300))
def test_reversing_turns_the_demand_round(data, radio, demand):
    output = data.draw(outputs(radio, 1)).replace(reversed=False)
    turned = output.replace(reversed=True)
    assert travel_percent(demand, turned, radio)[0] == travel_percent(-demand, output, radio)[0]


@given(st.data(), radios())
def test_many_outputs_at_once_are_each_one_alone(data, radio):
    each = [data.draw(outputs(radio, 1)) for _ in range(3)]
    demand = np.linspace(-200, 200, 12).reshape(4, 3)
    travel, clipped = travels_percent(demand, each, radio)
    for column, output in enumerate(each):
        alone = travel_percent(demand[:, column], output, radio)
        assert np.array_equal(travel[:, column], alone[0])
        assert np.array_equal(clipped[:, column], alone[1])


@given(st.lists(servos(), min_size=1, max_size=4))
def test_many_servos_at_once_are_each_one_alone(each):
    pulse = np.linspace(500, 2500, 5 * len(each)).reshape(5, len(each))
    together = arm_angles_deg(pulse, each)
    for column, servo in enumerate(each):
        assert np.array_equal(together[:, column], arm_angle_deg(pulse[:, column], servo))
