"""The path of a landing from the turn to the stop, on a field as the reader describes it."""

from __future__ import annotations

import numpy as np
import pytest

from mixlib.air.landing import decide, landings
from mixlib.air.landing.field import CLEARANCE_M, turn_height_m
from mixlib.describe import ORCHARD_FIELD, LandingField
from mixlib.describe.demo import flaperon_setup

SETUP = flaperon_setup()
DROOP = {"droop": {"camber": 1.0}}


def flown(wind=0.0, **field):
    setup = SETUP.replace(field=ORCHARD_FIELD.replace(**field))
    return landings(setup, DROOP, wind)["droop"]


def test_the_clock_begins_over_the_obstacle():
    path = flown(obstacle_m=10.0).path
    assert np.interp(0.0, path.time_s, path.x_m) == pytest.approx(0, abs=0.01)
    assert np.interp(0.0, path.time_s, path.z_m) == pytest.approx(10 + CLEARANCE_M, abs=0.05)
    assert np.all(np.diff(path.time_s) > 0)


def test_the_slide_begins_at_the_speed_over_the_ground_and_ends_at_rest():
    for wind in (0.0, 4.0):
        item = flown(wind)
        path, speed = item.path, float(item.landing.paths.ground_speed_m_s[0])
        slide = path.x_m >= path.touchdown_m - 1e-9
        speeds = np.gradient(path.x_m[slide], path.time_s[slide])
        assert speeds[0] == pytest.approx(speed, rel=0.1)
        assert speeds[-1] == pytest.approx(0, abs=0.1 * speed)
        assert path.x_m[-1] == pytest.approx(path.stop_m)
        before = np.gradient(path.x_m, path.time_s)[~slide][-2]
        assert speed == pytest.approx(before, rel=0.1)


def test_a_higher_obstacle_and_a_softer_ground_work_their_own_way():
    usual, high, soft = flown(), flown(obstacle_m=12.0), flown(ground="long grass")
    assert high.path.touchdown_m > usual.path.touchdown_m
    assert soft.path.touchdown_m == usual.path.touchdown_m
    assert soft.path.stop_m < usual.path.stop_m
    assert turn_height_m(ORCHARD_FIELD.replace(obstacle_m=30)) > 30 + CLEARANCE_M


def test_it_all_stops_only_where_the_worst_case_does():
    """On a strip as long as the plan's stop, and on one as long as the worst stop."""
    found = decide(SETUP, "camber", 6.0)
    worst = float(found.flown.landing.stop_m.max())
    assert found.flown.path.stop_m < worst < 60
    assert found.all_stop
    for length, fits in ((worst + 1, True), (worst - 1, False)):
        short = type(found)(**{**vars(found), "field": LandingField(length_m=length, obstacle_m=6)})
        assert short.stops
        assert short.all_stop == fits
