"""Landing on the strip: the window of the turn, hand-worked glides, and what a reader expects of flaps."""

import numpy as np
import pytest

from mixlib.air.aircraft import Airframe, known_performance
from mixlib.air.landing import landing
from mixlib.describe import ORCHARD_FIELD, shipped

THREE = Airframe.from_aircraft(shipped("aircraft", "orchard_three"))
CROW = {"left flap": 60.0, "right flap": 60.0, "left aileron": -20.0, "right aileron": -20.0}


def land(flown, **how):
    """Land in several ways on the club's field, or on another."""
    usual = {"field": ORCHARD_FIELD, "height_m": 25.0, "head_wind_m_s": 2.0, "clearance_m": 1.5}
    return landing.land(THREE, flown, **usual | how)


@pytest.fixture(scope="module")
def flown():
    half = {"left flap": 30.0, "right flap": 30.0}
    ways = {"clean": {}, "half": half, "crow": CROW}
    return {name: known_performance(THREE.aircraft, angles) for name, angles in ways.items()}


@pytest.fixture(scope="module")
def landings(flown):
    return land(flown)


def fits(landed):
    """Whether the plan has a turn that lands it on the strip."""
    nearest, furthest = landed.windows_m[0]
    return nearest <= furthest


def test_flown_together_they_land_as_each_alone(flown, landings):
    alone = land({"crow": flown["crow"]})["crow"]
    assert landings["crow"].touchdown_m == pytest.approx(alone.touchdown_m, abs=1e-9)
    assert landings["crow"].turn_m == pytest.approx(alone.turn_m, abs=1e-9)


def test_the_glide_to_the_hedge_is_height_times_glide_ratio(flown):
    """Still air, steady glide: distance = height x L/D (any textbook); start and flare left out."""
    high, low = (land(flown, height_m=height, head_wind_m_s=0) for height in (60, 40))
    for name, item in flown.items():
        way = high[name].turn_m[0] - low[name].turn_m[0]
        assert way == pytest.approx(20 * float(item.approach.glide_ratio), rel=0.03)


def test_the_window_is_what_clears_and_what_stops(landings):
    crow = landings["crow"]
    nearest, furthest = crow.windows_m[0]
    assert furthest == crow.turn_m[0]
    # Turned at the furthest place the touchdown comes soonest; at the nearest it stops at the very end.
    assert crow.touchdown_m[0] == pytest.approx(crow.paths.touchdown_m[0] - furthest)
    assert crow.paths.touchdown_m[0] - nearest + crow.slides_m[0] == pytest.approx(60)
    paths = crow.paths
    assert np.interp(furthest, paths.x_m[:, 0], paths.z_m[:, 0]) == pytest.approx(6 + 1.5, abs=0.05)


def test_only_the_air_brake_gets_the_big_glider_on_to_the_strip(landings):
    assert not fits(landings["clean"])
    assert fits(landings["crow"])
    widths = [float(np.diff(landings[name].windows_m[0])[0]) for name in ("clean", "half", "crow")]
    assert widths == sorted(widths)


def test_slips_move_the_touchdown_their_own_way(landings):
    for landed in landings.values():
        case = dict(zip(landing.CASES, landed.touchdown_m, strict=True))
        assert case["less drag"] > case["as planned"] > case["more drag"]
        drift = dict(zip(landing.CASES, landed.paths.drift_m, strict=True))
        assert drift["nose 1 deg left of the wind"] < 0 < drift["nose 1 deg right of the wind"]
        assert drift["as planned"] == pytest.approx(0, abs=1e-9)


def test_slips_can_only_make_the_window_smaller(landings):
    for landed in landings.values():
        nearest, furthest = landed.safe_window_m
        assert nearest >= landed.windows_m[0, 0]
        assert furthest <= landed.windows_m[0, 1]


def test_a_longer_strip_and_a_lower_hedge_help(flown, landings):
    half = {"half": flown["half"]}
    assert not fits(landings["half"])
    assert fits(land(half, field=ORCHARD_FIELD.replace(length_m=120))["half"])
    lower = land(half, field=ORCHARD_FIELD.replace(obstacle_m=1))["half"]
    assert lower.touchdown_m[0] < landings["half"].touchdown_m[0]


def test_an_air_brake_set_late_lies_between(flown, landings):
    late = land({"late": flown["clean"]}, late={"late": flown["crow"]}, late_height_m=12)["late"]
    assert landings["crow"].paths.touchdown_m[0] < late.paths.touchdown_m[0]
    assert late.paths.touchdown_m[0] < landings["clean"].paths.touchdown_m[0]


def test_configuration_rises_to_the_stall(flown):
    for name, item in flown.items():
        made = landing.configuration(item, name)
        assert np.all(np.diff(made.lift) > 0)
        assert made.lift[-1] == pytest.approx(float(item.slowest.lift), rel=0.02)
        assert made.speed_m_s == pytest.approx(float(item.approach.speed_m_s))


def test_the_slide_is_that_of_an_even_deceleration(flown):
    """s = v^2 / (2 mu g), any textbook of mechanics; v over the ground."""
    crow = {"crow": flown["crow"]}
    for ground, friction in landing.FRICTION.items():
        landed = land(crow, field=ORCHARD_FIELD.replace(ground=ground))["crow"]
        speed = landed.paths.ground_speed_m_s
        assert landed.slides_m == pytest.approx(speed**2 / (2 * friction * 9.80665))
        assert landed.stop_m - landed.touchdown_m == pytest.approx(landed.slides_m)
    still, windy = (land(crow, head_wind_m_s=wind)["crow"] for wind in (0, 5))
    assert np.all(windy.slides_m < still.slides_m)


def test_a_height_to_spare_below_nothing_is_refused(flown):
    with pytest.raises(ValueError, match="must not be less than 0"):
        land(flown, clearance_m=-1)
