"""The landing approach against closed forms of the steady glide, its signs, and its limits.

Closed forms: steady glide, tan(path) = drag / lift (any textbook of flight mechanics; here J. D. Anderson,
"Introduction to Flight", chapter 6, from memory).  Wind power law: see `mixlib.air.landing.approach`.
"""

from __future__ import annotations

import numpy as np
import pytest

from mixlib.air.landing.approach import FLARES, NORMAL, Configuration, Flare, fly, wind_m_s
from mixlib.air.landing.approach import _saved as saved
from mixlib.units import GRAVITY_M_S2, SEA_LEVEL_DENSITY_KG_M3

MASS, AREA = 0.85, 0.318


def polar(name: str, drag: float, most: float = 1.1, factor: float = 1.3) -> Configuration:
    lift = np.linspace(0, most, 60)
    stall = np.sqrt(2 * MASS * GRAVITY_M_S2 / (SEA_LEVEL_DENSITY_KG_M3 * AREA * most))
    return Configuration(name, lift, drag + 0.03 * lift**2, factor * stall)


CLEAN, FULL, BRAKE = polar("clean", 0.022), polar("full flap", 0.09, 1.35), polar("air brake", 0.16, 1.2)


def lands_m(flown, obstacle_m: float = 6.0, clearance_m: float = 1.5) -> np.ndarray:
    """Touchdown behind an obstacle that is cleared by just so much."""
    return flown.touchdown_m - flown.turn_distance_m(obstacle_m, clearance_m)


def steady(configuration: Configuration) -> tuple[float, float]:
    """Path angle in rad and lift-to-drag ratio of the steady glide at the approach speed, by iteration."""
    path = 0.0
    for _ in range(50):
        pressure = 0.5 * SEA_LEVEL_DENSITY_KG_M3 * AREA * configuration.speed_m_s**2
        lift = MASS * GRAVITY_M_S2 * np.cos(path) / pressure
        ratio = lift / np.interp(lift, configuration.lift, configuration.drag)
        path = -np.arctan(1 / ratio)
    return path, ratio


@pytest.mark.parametrize("configuration", [CLEAN, FULL, BRAKE], ids=lambda item: item.name)
def test_still_air_the_distance_is_height_times_lift_to_drag(configuration):
    path, ratio = steady(configuration)
    flown = fly([configuration], MASS, AREA, height_m=40, flare=None)
    high, low = flown.turn_distance_m(5.0, 0.0)[0], flown.turn_distance_m(30.0, 0.0)[0]
    # The pilot's rule aims at the steady path for level-flight lift, so steep glides differ a little.
    assert (high - low) / 25.0 == pytest.approx(ratio, rel=0.02)
    assert flown.speed_m_s[-1, 0] == pytest.approx(configuration.speed_m_s, rel=0.02)
    assert flown.sink_at_touchdown_m_s[0] == pytest.approx(-configuration.speed_m_s * np.sin(path), rel=0.03)


def test_an_even_wind_takes_its_own_distance_away():
    still = fly([CLEAN], MASS, AREA, height_m=20, flare=None)
    windy = fly([CLEAN], MASS, AREA, height_m=20, head_wind_m_s=3, gradient_exponent=0.0, flare=None)
    assert windy.touchdown_s == pytest.approx(still.touchdown_s, rel=1e-6)
    assert windy.touchdown_m == pytest.approx(still.touchdown_m - 3 * still.touchdown_s, rel=1e-6)


def test_a_heading_error_drifts_to_its_own_side_by_its_sine():
    flown = fly([CLEAN], MASS, AREA, height_m=20, heading_error_deg=[-1.0, 0.0, 1.0])
    left, middle, right = flown.drift_m
    assert middle == 0
    assert right > 0 > left
    assert right == pytest.approx(-left)
    assert right / flown.touchdown_m[2] == pytest.approx(np.tan(np.radians(1)), rel=1e-6)


def test_more_drag_lands_shorter_and_more_wind_lands_shorter():
    lands = lands_m(fly([CLEAN, FULL, BRAKE], MASS, AREA, height_m=15))
    assert np.all(np.diff(lands) < 0)
    windy = lands_m(fly([FULL], MASS, AREA, height_m=15, head_wind_m_s=[0, 2, 4]))
    assert np.all(np.diff(windy) < 0)
    draggy = lands_m(fly([FULL], MASS, AREA, height_m=15, drag_factor=[0.8, 1.0, 1.2]))
    assert np.all(np.diff(draggy) < 0)


def test_flying_too_fast_floats_further():
    """Over the last metre; before it, a speed above that of the best glide makes the path steeper instead."""
    for configuration in (CLEAN, FULL):
        flown = fly([configuration], MASS, AREA, height_m=15, speed_error_m_s=[0, 1, 2])
        assert np.all(np.diff(lands_m(flown, 1.0, 0.0)) > 0)
    glides = fly([CLEAN], MASS, AREA, height_m=15, speed_error_m_s=[0, 1, 2]).turn_distance_m(6, 1.5)
    assert np.all(np.diff(glides) < 0)


def test_a_brake_set_late_lies_between_never_and_always():
    always, never = lands_m(fly([BRAKE, CLEAN], MASS, AREA, height_m=20))
    late = lands_m(fly([CLEAN], MASS, AREA, height_m=20, late=[BRAKE], late_height_m=6))[0]
    assert always < late < never


def test_the_flare_takes_most_of_the_sink_away_and_costs_distance():
    none = fly([FULL], MASS, AREA, height_m=15, flare=None)
    flown = {name: fly([FULL], MASS, AREA, height_m=15, flare=flare) for name, flare in FLARES.items()}
    sinks = [float(item.sink_at_touchdown_m_s[0]) for item in (none, *flown.values())]
    places = [float(item.touchdown_m[0]) for item in (none, *flown.values())]
    assert list(flown) == ["firm", "normal", "floating"]
    assert sinks == sorted(sinks, reverse=True)
    assert sinks[1] < 0.6 * sinks[0]
    assert places == sorted(places)


@pytest.mark.parametrize("name", FLARES)
def test_each_flare_touches_down_at_its_own_speed(name):
    """The approach is flown at 1.3 times the stall; n = 1.2 and 1.15 are Raymer's, see `NORMAL`."""
    flown = fly([CLEAN], MASS, AREA, height_m=15, flare=FLARES[name])
    assert 1.3 * flown.speed_m_s[-1, 0] / CLEAN.speed_m_s == pytest.approx(
        FLARES[name].stall_factor, abs=0.03
    )
    assert (NORMAL.load_factor, NORMAL.stall_factor) == (1.2, 1.15)


def test_the_arc_is_a_circle_of_its_load_factor():
    """Height of the arc: h = w^2 / (2 g (n - 1)), the sink w taken away at an even n - 1 (any textbook)."""
    arc = Flare(1.2, 1.15, 2.0, 0.3)
    flown = fly([BRAKE], MASS, AREA, height_m=25, flare=arc, gradient_exponent=0.0)
    sink = -np.gradient(flown.z_m[:, 0], flown.time_s)
    steady = float(np.median(sink[5:20]))
    height = steady**2 / (2 * GRAVITY_M_S2 * 0.2)
    begins = flown.z_m[np.flatnonzero(sink < 0.9 * steady)[0], 0] - 2.15
    assert begins == pytest.approx(height, abs=0.25 * steady)  # within what the pilot's hand takes


def test_the_ground_effect_makes_it_float_further():
    """At a height of a 16th of the span half of the induced drag is gone (McCormick, from memory)."""
    free, near = (fly([CLEAN], MASS, AREA, height_m=15, span_m=span) for span in (None, 2.0))
    assert 0 < near.touchdown_m[0] - free.touchdown_m[0] < 3
    assert saved(2.0 / 16, 2.0) == pytest.approx(0.5)
    assert saved(10.0, 2.0) < 0.001


def test_the_clearance_is_what_was_asked():
    flown = fly([FULL, BRAKE], MASS, AREA, height_m=15, head_wind_m_s=2)
    distance = flown.turn_distance_m(6, 1.5)
    for case, place in enumerate(distance):
        assert np.interp(place, flown.x_m[:, case], flown.z_m[:, case]) == pytest.approx(7.5, abs=0.02)
    assert np.isnan(fly([FULL], MASS, AREA, height_m=7).turn_distance_m(6, 1.5)).all()


def test_a_quarter_of_the_step_changes_nothing_that_a_reader_sees(monkeypatch):
    coarse = lands_m(fly([CLEAN, FULL, BRAKE], MASS, AREA, height_m=15, head_wind_m_s=4))
    monkeypatch.setattr("mixlib.air.landing.approach._STEP_S", 0.05)
    monkeypatch.setattr("mixlib.air.landing.approach._LONG_STEP_S", 0.05)
    fine = lands_m(fly([CLEAN, FULL, BRAKE], MASS, AREA, height_m=15, head_wind_m_s=4))
    assert coarse == pytest.approx(fine, abs=0.3)


def test_cases_touch_each_other_only_by_the_step_that_the_lowest_asks_for():
    together = fly([CLEAN, FULL, BRAKE], MASS, AREA, height_m=15, head_wind_m_s=[0, 2, 4])
    alone = fly([FULL], MASS, AREA, height_m=15, head_wind_m_s=2)
    assert together.touchdown_m[1] == pytest.approx(alone.touchdown_m[0], abs=0.02)


def test_the_wind_grows_with_height_as_the_power_law_says():
    assert wind_m_s(10, 4) == pytest.approx(4)
    assert wind_m_s(20, 4, 0.2) == pytest.approx(4 * 2**0.2)
    assert wind_m_s(-1, 4) == 0
    assert wind_m_s(3, 4, 0.0) == 4


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"height_m": 1.0}, "2 to 200 m"),
        ({"mass_kg": 0.0}, "more than 0"),
        ({"configurations": [CLEAN, FULL], "head_wind_m_s": [0, 1, 2]}, "shape mismatch"),
    ],
)
def test_numbers_that_make_no_sense_are_refused(changes, words):
    given = {"configurations": [CLEAN], "mass_kg": MASS, "area_m2": AREA, **changes}
    with pytest.raises(ValueError, match=words):
        fly(**given)


def test_a_configuration_must_have_a_rising_lift_and_some_drag():
    with pytest.raises(ValueError, match="rise"):
        Configuration("wrong", np.array([0.5, 0.2]), np.array([0.1, 0.1]), 8.0)
    with pytest.raises(ValueError, match="more than 0"):
        Configuration("wrong", np.array([0.1, 0.2]), np.array([0.0, 0.1]), 8.0)
