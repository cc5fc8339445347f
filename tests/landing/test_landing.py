"""Landing on the strip: the window of the turn, hand-worked glides, and what a reader expects of flaps."""

from dataclasses import replace

import numpy as np
import pytest

from mixlib.air.aircraft import flight
from mixlib.air.landing import landing
from mixlib.describe import shipped

THREE = flight.Airframe.from_aircraft(shipped("aircraft", "orchard_three"))
CROW = {"left flap": 60.0, "right flap": 60.0, "left aileron": -20.0, "right aileron": -20.0}


@pytest.fixture(scope="module")
def settings():
    half = {"left flap": 30.0, "right flap": 30.0}
    return {name: flight.performance(THREE, s) for name, s in (("clean", {}), ("half", half), ("crow", CROW))}


@pytest.fixture(scope="module")
def landings(settings):
    return landing.land(THREE, settings)


def land_one(flown, late=None, **how):
    """Land in one setting."""
    return landing.land(THREE, {"one": flown}, late={"one": late} if late else None, **how)["one"]


def test_settings_flown_together_land_as_each_alone(settings, landings):
    for name, flown in settings.items():
        alone = land_one(flown)
        assert landings[name].touchdown_m == pytest.approx(alone.touchdown_m, abs=1e-9)
        assert landings[name].turn_m == pytest.approx(alone.turn_m, abs=1e-9)


def test_the_glide_to_the_hedge_is_height_times_glide_ratio(settings):
    """Still air, steady glide: distance = height x L/D (any textbook); start and flare left out."""
    for flown in settings.values():
        high = land_one(flown, height_m=60, head_wind_m_s=0)
        low = land_one(flown, height_m=40, head_wind_m_s=0)
        assert high.turn_m[0] - low.turn_m[0] == pytest.approx(
            20 * float(flown.approach.glide_ratio), rel=0.03
        )


def test_the_window_is_what_clears_and_what_stops(landings):
    crow = landings["crow"]
    nearest, furthest = crow.windows_m[0]
    assert furthest == crow.turn_m[0]
    # Turned at the furthest place the touchdown comes soonest; at the nearest it uses all but the roll-out.
    assert crow.touchdown_m[0] == pytest.approx(crow.paths.touchdown_m[0] - furthest)
    assert crow.paths.touchdown_m[0] - nearest == pytest.approx(60 - 8)
    assert crow.height_over_m[0] == pytest.approx(6 + 1.5, abs=0.05)


def test_only_the_air_brake_gets_the_big_glider_on_to_the_strip(landings):
    assert not landings["clean"].fits[0]
    assert landings["crow"].fits[0]
    widths = [float(np.diff(landings[name].windows_m[0])[0]) for name in ("clean", "half", "crow")]
    assert widths == sorted(widths)


def test_slips_move_the_touchdown_their_own_way(landings):
    for flown in landings.values():
        case = dict(zip(landing.CASES, flown.touchdown_m, strict=True))
        assert case["less drag"] > case["as planned"] > case["more drag"]
        drift = dict(zip(landing.CASES, flown.drift_m, strict=True))
        assert drift["nose 1 deg left of the wind"] < 0 < drift["nose 1 deg right of the wind"]
        assert drift["as planned"] == pytest.approx(0, abs=1e-9)


def test_slips_can_only_make_the_window_smaller(landings):
    for flown in landings.values():
        nearest, furthest = flown.safe_window_m
        assert nearest >= flown.windows_m[0, 0]
        assert furthest <= flown.windows_m[0, 1]


def test_a_longer_strip_and_a_lower_hedge_help(settings):
    plain = land_one(settings["half"])
    long = land_one(settings["half"], strip_m=120)
    low = land_one(settings["half"], obstacle_m=1)
    assert not plain.fits[0]
    assert long.fits[0]
    assert low.touchdown_m[0] < plain.touchdown_m[0]


def test_an_air_brake_set_late_lies_between(settings, landings):
    late = land_one(settings["clean"], late=settings["crow"], late_height_m=12)
    assert landings["crow"].paths.touchdown_m[0] < late.paths.touchdown_m[0]
    assert late.paths.touchdown_m[0] < landings["clean"].paths.touchdown_m[0]


def test_configuration_rises_to_the_stall(settings):
    for name, flown in settings.items():
        made = landing.configuration(flown, name)
        assert np.all(np.diff(made.lift) > 0)
        assert made.lift[-1] == pytest.approx(float(flown.stall.lift), rel=0.02)
        assert made.speed_m_s == pytest.approx(float(flown.approach.speed_m_s))


def test_a_shorter_strip_than_the_roll_out_is_refused(settings):
    with pytest.raises(ValueError, match="strip_m must be more than roll_out_m"):
        land_one(replace(settings["clean"]), strip_m=5)
