"""The stall told on the safe side, and that the polar's speed and its Reynolds number agree."""

import numpy as np
import pytest

from mixlib.air.aircraft import Airframe, known_performance, performance, trimmed_at
from mixlib.air.aircraft.flight import APPROACH_FACTOR
from mixlib.air.section import curves
from mixlib.describe import shipped
from mixlib.units import GRAVITY_M_S2, SEA_LEVEL_DENSITY_KG_M3, SEA_LEVEL_VISCOSITY_M2_S

DEMOS = ("orchard_two", "orchard_three", "orchard_hopper", "orchard_vee")


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("finish", ["smooth", "foam"])
def test_the_stall_is_where_a_hand_calculation_says(name, finish):
    """Most lift of a wing 0.9 of its section's, at the mean chord; D. P. Raymer, Aircraft Design, chapter 12
    (from memory).  Within 5 %."""
    aircraft = shipped("aircraft", name).replace(finish=finish)
    airframe = Airframe.from_aircraft(aircraft)
    speed = float(performance(airframe).stall.speed_m_s)
    reynolds = speed * airframe.wing.mean_chord_m / SEA_LEVEL_VISCOSITY_M2_S
    section = curves(aircraft.wing.stations[0].section, 0.0, reynolds, 0.25, finish=finish)
    most = 0.9 * section.evaluate(np.arange(0.0, 20.0)).cl.max()
    weight = aircraft.mass_kg * GRAVITY_M_S2
    by_hand = np.sqrt(2 * weight / (SEA_LEVEL_DENSITY_KG_M3 * airframe.wing.area_m2 * most))
    assert 0.95 < speed / by_hand < 1.05


@pytest.mark.parametrize("name", DEMOS)
def test_it_lets_go_before_it_can_no_longer_be_held(name):
    found = known_performance(shipped("aircraft", name))
    assert 1.02 < found.stall.speed_m_s / found.slowest.speed_m_s < 1.12
    assert found.approach.speed_m_s == pytest.approx(APPROACH_FACTOR * found.stall.speed_m_s, rel=1e-3)
    assert 0 < found.stall.margin_deg < 3
    assert np.all(found.polar.margin_deg[found.polar.alpha_deg < found.stall.alpha_deg] > 0)


def test_air_brake_lets_go_at_the_edge_of_its_flap_first():
    """Flaps far down next to the body stall at the gap there, long before the wing does."""
    crow = {"left flap": 60.0, "right flap": 60.0, "left aileron": -20.0, "right aileron": -20.0}
    found = known_performance(shipped("aircraft", "orchard_three"), crow)
    assert abs(found.stall.first_to_stall_m) < 0.2
    assert 1.03 < found.stall.speed_m_s / found.slowest.speed_m_s < 1.2


def test_in_a_turn():
    """Lift = weight / cos 30 deg: the speed grows by 1 / sqrt(cos 30) = 1.0746."""
    found = known_performance(shipped("aircraft", "orchard_two"))
    assert found.banked_m_s / float(found.stall.speed_m_s) == pytest.approx(1.0746, abs=1e-4)


@pytest.mark.parametrize("name", [*DEMOS, "orchard_wing"])
def test_the_polar_is_what_each_of_its_speeds_gives(name):
    """The polar starts from incidences, `trimmed_at` from speeds: both must meet, most of all when fast and
    small, where the lift hangs on the Reynolds number."""
    airframe = Airframe.from_aircraft(shipped("aircraft", name))
    row = known_performance(airframe.aircraft).polar
    row = row[row.converged & (row.margin_deg > 1) & (row.speed_m_s < 30)]
    alone = trimmed_at(airframe, {}, row.speed_m_s)
    assert row.glide_ratio == pytest.approx(alone.glide_ratio, rel=0.02)
    assert row.alpha_deg == pytest.approx(alone.alpha_deg, abs=0.1)
