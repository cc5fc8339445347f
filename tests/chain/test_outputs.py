"""Reversing, end points, sub-trim and the pulse."""

import numpy as np
import pytest
from description_strategies import numbers, outputs, radios
from hypothesis import given
from hypothesis import strategies as st

from mixlib.chain.outputs import (
    demand_for_travel_percent,
    pulse_us,
    travel_for_pulse_percent,
    travel_percent,
    travels_percent,
)
from mixlib.describe import Output, shipped

SIMPLE, RICH, BARE = (shipped("radio", name) for name in ("simple_six", "rich_ten", "bare_four"))


@pytest.mark.parametrize("travel, pulse", [(-100, 1000), (0, 1500), (100, 2000)])
def test_pulse_of_the_ends_and_the_middle(travel, pulse):
    """MAVLink common message set, SERVO_OUTPUT_RAW (36) and RC_CHANNELS_RAW: "1000 microseconds: 0%, 2000
    microseconds: 100%"; the middle is half way.  Their 0 to 100 % is our -100 to 100 % of travel."""
    assert pulse_us(travel, SIMPLE)[0] == pulse
    assert pulse_us(travel, RICH)[0] == pulse


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
    """Simple six sends 880 to 2120 us: 130 % would be 2150."""
    assert pulse_us([130, 124, -124, -125], SIMPLE)[0].tolist() == [2120, 2120, 880, 880]
    assert pulse_us([130, 124, -124, -125], SIMPLE)[1].tolist() == [True, False, False, True]


def test_pulse_of_full_travel_is_the_radio_s_own():
    assert pulse_us(100, BARE)[0] == 1920
    assert pulse_us(100, BARE.replace(centre_us=1520))[0] == 1940
    assert travel_for_pulse_percent([1080, 1500, 1920], BARE).tolist() == [-100, 0, 100]


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


@pytest.mark.parametrize(
    ("travel", "settings", "demand"),
    [
        (60, {"end_high_percent": 50}, 120),  # the upper side is made half as large
        (-60, {"end_high_percent": 50}, -60),
        (60, {"end_high_percent": 50, "reversed": True}, -120),
        (25, {"end_high_percent": 50, "sub_trim_percent": 5}, 40),
        (5, {"end_high_percent": 0, "sub_trim_percent": 5}, 0),
        (6, {"end_high_percent": 0, "sub_trim_percent": 5}, np.inf),
    ],
)
def test_demand_for_a_travel_where_ends_scale(travel, settings, demand):
    assert demand_for_travel_percent(travel, Output(number=1, **settings), RICH) == pytest.approx(demand)


def test_demand_for_a_travel_where_ends_clip():
    output = Output(number=1, end_high_percent=40, sub_trim_percent=10, reversed=True)
    assert demand_for_travel_percent([60, 10, -30], output, SIMPLE).tolist() == [-50, 0, 40]


@given(st.data(), radios(), numbers(-300, 300))
def test_demand_for_a_travel_is_what_was_passed_on(data, radio, demand):
    """Never more than was asked for, of the same sign, and it gives the same travel."""
    output = data.draw(outputs(radio, 1))
    travel, clipped = travel_percent(demand, output, radio)
    passed = demand_for_travel_percent(travel, output, radio)
    assert travel_percent(passed, output, radio)[0] == pytest.approx(travel, abs=1e-9)
    assert abs(passed) <= abs(demand) + 1e-9
    assert passed * demand >= 0
    nothing = output.end_low_percent == 0 or output.end_high_percent == 0
    assert clipped or nothing or passed == pytest.approx(demand, abs=1e-9)
