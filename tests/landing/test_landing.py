"""Landing on the strip: the window of the turn, hand-worked glides, and what a reader expects of flaps."""

import numpy as np
import pytest

from mixlib.air.aircraft import Airframe, known_performance
from mixlib.air.landing import landing
from mixlib.describe import shipped

THREE = Airframe.from_aircraft(shipped("aircraft", "orchard_three"))
FIELD = {"obstacle_m": 6.0, "strip_m": 60.0, "clearance_m": 1.5}
CROW = {"left flap": 60.0, "right flap": 60.0, "left aileron": -20.0, "right aileron": -20.0}


def land(flown, **how):
    """Land in several ways on the club's field, or on another."""
    return landing.land(THREE, flown, **{"height_m": 25.0, "head_wind_m_s": 2.0} | FIELD | how)


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
    # Turned at the furthest place the touchdown comes soonest; at the nearest it uses all but the roll-out.
    assert crow.touchdown_m[0] == pytest.approx(crow.paths.touchdown_m[0] - furthest)
    assert crow.paths.touchdown_m[0] - nearest == pytest.approx(60 - 8)
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
    assert fits(land(half, strip_m=120)["half"])
    assert land(half, obstacle_m=1)["half"].touchdown_m[0] < landings["half"].touchdown_m[0]


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


def test_a_shorter_strip_than_the_roll_out_is_refused(flown):
    with pytest.raises(ValueError, match="strip_m must be more than 8"):
        land(flown, strip_m=5)
