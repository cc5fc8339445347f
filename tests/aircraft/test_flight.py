"""Trim, glide polar and dive against closed forms of gliding flight, one sign at a time."""

from dataclasses import fields, replace

import numpy as np
import pytest
from air_reference import IdealSections, elliptic_wing, line, plain_flap_effectiveness

from mixlib.air.aircraft import Air, Airframe, camber, flight, trim
from mixlib.air.aircraft.airframe import downwash_matrix
from mixlib.air.aircraft.from_setup import known_performance
from mixlib.air.aircraft.glide import Trimmed
from mixlib.air.wing.lifting_line import section_curves, solve
from mixlib.describe import shipped
from mixlib.units import GRAVITY_M_S2, SEA_LEVEL_DENSITY_KG_M3

THREE = Airframe.from_aircraft(shipped("aircraft", "orchard_three"))
WING_ONLY = Airframe.from_aircraft(shipped("aircraft", "orchard_wing"))
VEE = Airframe.from_aircraft(shipped("aircraft", "orchard_vee"))
FLAPS = {"left flap": 30.0, "right flap": 30.0}
CAMBER = dict.fromkeys(("left flap", "right flap", "left aileron", "right aileron"), 1.0)


def with_aircraft(**changes):
    return Airframe.from_aircraft(THREE.aircraft.replace(**changes))


def parabolic_polar(points=400):
    """CD0 .02, span efficiency .9, aspect ratio 12, 2 kg, .5 m2, sea level."""
    lift = np.linspace(0.05, 1.6, points)
    drag = 0.02 + lift**2 / (np.pi * 0.9 * 12)
    speed = np.sqrt(2 * 2 * GRAVITY_M_S2 / (SEA_LEVEL_DENSITY_KG_M3 * 0.5 * np.hypot(lift, drag)))
    path = np.arctan2(drag, lift)
    values = {field.name: np.zeros(points) for field in fields(Trimmed)}
    values |= {"alpha_deg": lift * 10, "lift": lift, "drag": drag, "drag_low": drag, "drag_high": drag}
    values |= {"speed_m_s": speed, "path_deg": np.degrees(path), "sink_m_s": speed * np.sin(path)}
    values |= {"converged": np.ones(points, bool)}
    return Trimmed(**values)


class TestReadingAPolar:
    """Closed forms of the parabolic polar; J. D. Anderson, Introduction to Flight, ch. 6 (from memory)."""

    row = parabolic_polar()
    results = flight.Performance.from_polar(row)

    def test_best_glide(self):
        best = self.results.best_glide
        assert best.lift == pytest.approx(0.8238, rel=2e-3)
        assert best.glide_ratio == pytest.approx(20.594, rel=1e-4)
        assert best.speed_m_s == pytest.approx(8.817, rel=2e-3)

    def test_least_sink(self):
        """At 3^(-1/4) of the best-glide speed, but for the small-angle terms that the closed form drops."""
        slow = self.results.least_sink
        assert slow.speed_m_s == pytest.approx(6.700, rel=4e-3)
        assert slow.sink_m_s == pytest.approx(0.3757, rel=4e-3)
        assert slow.speed_m_s == pytest.approx(3**-0.25 * self.results.best_glide.speed_m_s, rel=4e-3)

    @pytest.mark.parametrize(
        "wind, speed, ratio", [(0, 8.817, 20.594), (3, 9.855, 13.977), (5, 11.005, 10.217)]
    )
    def test_best_speed_into_wind(self, wind, speed, ratio):
        best = flight.best_into_wind(self.row, wind)
        assert best.speed_m_s == pytest.approx(speed, rel=4e-3)
        assert best.reach_m(100, wind) == pytest.approx(100 * ratio, rel=2e-3)
        low, high = best.reach_band_m(100, wind)
        assert low == pytest.approx(high)  # this polar has no band

    @pytest.mark.parametrize("wind, gained", [(0, 0.0), (3, 39.9), (5, 131.6)])
    def test_metres_gained_upwind(self, wind, gained):
        """From 100 m.  Best glide goes V cos - W over the ground while it sinks V sin, with tan = 1 / 20.594
        and V = 8.817 m/s: 13.578 m for each metre against 3 m/s and 8.901 against 5; the best: see above."""
        still, best = (flight.best_into_wind(self.row, blow) for blow in (0.0, wind))
        assert flight.Upwind(wind, still, best).gained_m(100) == pytest.approx(gained, abs=1.5)

    def test_stall_and_approach(self):
        assert self.results.slowest.lift == pytest.approx(1.6)
        safe = self.results.slowest.speed_m_s / 0.93**0.5  # at 0.93 of the lift
        assert self.results.stall.speed_m_s == pytest.approx(safe, rel=1e-3)
        assert self.results.approach.speed_m_s == pytest.approx(1.3 * safe, rel=1e-3)


def test_upwind_is_the_fastest_way_of_all_speeds():
    """No speed that was solved gets further by a third of a percent; more wind asks for more speed; in still
    air it is the best glide."""
    speeds = np.linspace(7.5, 25.0, 36)
    found = [flight.upwind(THREE, wind) for wind in (0.0, 3.0, 5.0)]
    for item in found:
        reached = flight.trimmed_at(THREE, {}, speeds).reach_m(100, item.head_wind_m_s)
        assert item.best.reach_m(100, item.head_wind_m_s) > 0.997 * reached.max()
    assert found[0].gained_m(100) == 0
    assert (
        found[0].best.speed_m_s == found[2].still.speed_m_s == flight.performance(THREE).best_glide.speed_m_s
    )
    assert found[0].best.speed_m_s < found[1].best.speed_m_s < found[2].best.speed_m_s
    assert 0 < found[1].gained_m(100) < found[2].gained_m(100)
    low, high = found[2].best.reach_band_m(100, 5.0)
    assert low < found[2].best.reach_m(100, 5.0) < high
    with pytest.raises(ValueError, match="head_wind_m_s is 60; give less than"):
        flight.upwind(THREE, 60.0)


def test_standard_air():
    """1.2250 kg/m3 and 1.4607e-5 m2/s at sea level and 15 degC; ISO 2533:1975."""
    assert Air().density_kg_m3 == pytest.approx(1.2250, rel=1e-6)
    assert Air().viscosity_m2_s == pytest.approx(1.4607e-5, rel=1e-4)


@pytest.mark.parametrize("aspect_ratio, slope", [(6, 0.5), (10, 1 / 3), (14, 0.25)])
def test_downwash_far_behind_an_elliptic_wing(aspect_ratio, slope):
    """4/(AR + 2), twice the wing's own; e.g. B. Etkin and L. D. Reid, Dynamics of Flight (from memory)."""
    plain = line(elliptic_wing(aspect_ratio))
    wash = downwash_matrix(plain, 1e5, plain.y_m, 0.0)
    found = np.degrees(wash @ solve(plain, IdealSections(), 1.0).circulation_m)
    assert found == pytest.approx(slope, rel=0.01)


def test_downwash_fades_to_the_side_and_above():
    plain = elliptic_wing(10)
    load = solve(plain, IdealSections(), 1.0).circulation_m
    middle, high, outside = (
        (downwash_matrix(plain, 0.8, [place], above) @ load)[0]
        for place, above in ((0.0, 0.05), (0.0, 0.5), (1.4, 0.05))
    )
    assert middle > high > 0 > outside


@pytest.mark.parametrize("airframe", [THREE, VEE, WING_ONLY], ids=lambda item: item.aircraft.name)
def test_steady_glide_carries_the_weight_and_balances(airframe):
    row = flight.polar(airframe)
    good = row[row.converged]
    pressure = 0.5 * SEA_LEVEL_DENSITY_KG_M3 * good.speed_m_s**2 * airframe.wing.area_m2
    path, weight = np.radians(good.path_deg), airframe.aircraft.mass_kg * GRAVITY_M_S2
    assert pressure * (good.lift * np.cos(path) + good.drag * np.sin(path)) == pytest.approx(weight, rel=1e-6)
    assert pressure * (good.drag * np.cos(path) - good.lift * np.sin(path)) == pytest.approx(0, abs=1e-9)
    assert good.sink_m_s == pytest.approx(good.speed_m_s * np.sin(path), rel=1e-9)
    assert len(good.lift) > 15
    assert np.all(good.drag_low < good.drag)
    assert np.all(good.drag < good.drag_high)


def test_half_for_both_and_whole_agree():
    """A surface half a thousandth of a degree apart makes the whole aircraft be computed."""
    alike = flight.trimmed_at(THREE, FLAPS, 9.0)
    apart = flight.trimmed_at(THREE, FLAPS | {"left flap": 30.0005}, 9.0)
    for name in ("alpha_deg", "elevator_deg", "drag", "downwash_deg"):
        assert getattr(alike, name) == pytest.approx(getattr(apart, name), rel=5e-3), name


def test_speed_and_incidence_are_two_ways_to_one_glide():
    speeds = np.array([8.0, 10.0, 14.0])
    found = flight.trimmed_at(THREE, {}, speeds)
    again = trim.at_incidence(THREE, THREE.angles_deg(), found.alpha_deg)
    assert found.converged.all()
    assert again.speed_m_s == pytest.approx(speeds, rel=0.01)
    assert again.elevator_deg == pytest.approx(found.elevator_deg, abs=0.15)
    row = known_performance(THREE.aircraft).polar
    row = row[: int(np.argmax(row.lift)) + 1]  # up to the stall, where speeds turn round
    read = np.interp(speeds, row.speed_m_s[::-1], row.glide_ratio[::-1])
    assert read == pytest.approx(found.glide_ratio, rel=0.02)


def test_too_slow_is_said():
    found = flight.trimmed_at(THREE, {}, np.array([4.0, 9.0]))
    assert not found.converged[0]
    assert found.converged[1]
    with pytest.raises(ValueError, match=r"speed_m_s is 0.5; give 2 to 120 m/s"):
        flight.trimmed_at(THREE, {}, 0.5)


def test_signs_of_trim():
    base = flight.trimmed_at(THREE, {}, 10.0)
    slow = flight.trimmed_at(THREE, {}, 8.0)
    assert slow.elevator_deg < base.elevator_deg  # slower: elevator up
    assert slow.alpha_deg > base.alpha_deg
    forward = flight.trimmed_at(with_aircraft(cg_mm=80), {}, 10.0)
    assert forward.elevator_deg < base.elevator_deg  # nose-heavy: elevator up
    flapped = flight.trimmed_at(THREE, FLAPS, 10.0)
    assert flapped.alpha_deg < base.alpha_deg
    assert flapped.sink_m_s > base.sink_m_s
    assert flapped.downwash_deg > base.downwash_deg  # inner flaps push the air at the tail down
    elevon_slow, elevon_fast = (flight.trimmed_at(WING_ONLY, {}, speed) for speed in (8.5, 14.0))
    assert elevon_slow.elevator_deg < elevon_fast.elevator_deg


def test_elevator_power_against_its_closed_form():
    """Cm per rad of elevator = -a_t tau V_H, tail slope by lifting line, tau by thin-aerofoil theory.

    B. Etkin and L. D. Reid, Dynamics of Flight (from memory).  A section at a low Reynolds number has less.
    """
    angles = THREE.angles_deg({"elevator": np.array([-1.0, 1.0])})
    curves = section_curves(THREE.wing, angles, 10.0)
    tail = THREE.tail_forces(solve(THREE.wing, curves, 4.0), angles, 10.0, Air())
    ours = (tail.pitch[1] - tail.pitch[0]) / np.radians(2.0)
    strips = THREE.tail.strips
    slope = 2 * np.pi * strips.aspect_ratio / (strips.aspect_ratio + 2)
    volume = strips.area_m2 * 0.9 / (THREE.wing.area_m2 * THREE.wing.mean_chord_m)
    theory = -slope * plain_flap_effectiveness(44 / 115) * volume
    assert 0.6 < ours / theory < 1.05
    # So a moment of -0.05 is re-trimmed by -dCm/Cm_de of elevator up.
    before = flight.trimmed_at(THREE, {}, 10.0)
    shift_mm = -0.05 * THREE.wing.mean_chord_m * 1000 / float(before.lift)
    after = flight.trimmed_at(with_aircraft(cg_mm=THREE.aircraft.cg_mm + shift_mm), {}, 10.0)
    moved = float(after.elevator_deg - before.elevator_deg)
    assert moved == pytest.approx(np.degrees(0.05 / ours), rel=0.15)


def test_speeds_grow_with_the_root_of_the_weight():
    """V ~ sqrt(W/S), but for the Reynolds number."""
    heavy = flight.performance(with_aircraft(mass_kg=2 * THREE.aircraft.mass_kg))
    light = known_performance(THREE.aircraft)
    assert heavy.stall.speed_m_s / light.stall.speed_m_s == pytest.approx(np.sqrt(2), rel=0.04)
    assert heavy.best_glide.glide_ratio > light.best_glide.glide_ratio


def test_thin_air_is_faster_at_the_same_glide():
    thin = flight.performance(THREE, air=Air(density_kg_m3=1.00649))
    thick = known_performance(THREE.aircraft)
    assert thin.stall.speed_m_s / thick.stall.speed_m_s == pytest.approx(np.sqrt(1.225 / 1.00649), rel=0.02)
    assert thin.best_glide.glide_ratio == pytest.approx(float(thick.best_glide.glide_ratio), rel=0.03)


def test_landing_flap_and_air_brake():
    """Common practice: droop gives a little lift; landing flap slows and steepens, crow steepens more."""
    clean = known_performance(THREE.aircraft)
    droop = flight.performance(THREE, dict.fromkeys(CAMBER, 4.0))
    landing = flight.performance(THREE, {"left flap": 45, "right flap": 45})
    crow = {"left flap": 60, "right flap": 60, "left aileron": -20, "right aileron": -20}
    brake = flight.performance(THREE, crow)
    assert clean.stall.speed_m_s > droop.stall.speed_m_s > landing.stall.speed_m_s
    assert clean.approach.glide_ratio > landing.approach.glide_ratio > brake.approach.glide_ratio
    low, high = brake.approach.glide_ratio_band
    assert low < brake.approach.glide_ratio < high
    assert brake.approach.table_share < clean.approach.table_share


def test_vertical_dive():
    """Straight down the drag is the weight."""
    down = camber.dive(THREE)
    drag = 0.5 * SEA_LEVEL_DENSITY_KG_M3 * down.speed_m_s**2 * THREE.wing.area_m2 * down.drag
    assert down.path_deg == pytest.approx(90, abs=0.5)
    assert drag == pytest.approx(THREE.aircraft.mass_kg * GRAVITY_M_S2, rel=0.01)
    slopes = [float(camber.dive(THREE, path_deg=slope).speed_m_s) for slope in (25, 45, 90)]
    assert slopes == sorted(slopes)
    assert camber.dive(THREE, path_deg=30).path_deg == pytest.approx(30, abs=0.2)


def test_reflex_dives_faster_than_droop():
    reflex, droop = (camber.dive(THREE, dict.fromkeys(CAMBER, angle)).speed_m_s for angle in (-3, 4))
    assert reflex > camber.dive(THREE).speed_m_s > droop


def test_camber_effect():
    """At the same incidence and weight V ~ CL^(-1/2), so dV/V = -dCL/(2 CL)."""
    effect = camber.camber_effect(THREE, CAMBER, 10.0)
    before = flight.trimmed_at(THREE, {}, 10.0)
    expected = -10.0 * effect.lift_per_deg / (2 * float(before.lift))
    assert effect.lift_per_deg > 0
    assert effect.speed_m_s_per_deg == pytest.approx(expected, rel=0.05)
    with pytest.raises(ValueError, match="trim takes the camber away"):
        camber.camber_effect(WING_ONLY, {"left elevon": 1, "right elevon": 1}, 10.0)


def test_elevator_at_its_stop_is_said():
    tail_heavy = with_aircraft(cg_mm=-200)
    found = flight.trimmed_at(tail_heavy, {}, 9.0)
    assert not found.converged


@pytest.mark.parametrize("airframe", [THREE, VEE, WING_ONLY], ids=lambda item: item.aircraft.name)
def test_any_setting_gives_an_answer_or_says_that_it_is_none(airframe):
    """Surfaces anywhere within +-60 deg, alike or not: finite numbers, drag above 0, no error."""
    rng = np.random.default_rng(7)
    for _ in range(4):
        setting = {name: float(rng.uniform(-60, 60)) for name in airframe.names if name != "rudder"}
        flown = flight.performance(airframe, setting)
        for point in (flown.stall, flown.best_glide, flown.least_sink, flown.approach):
            assert np.isfinite([point.speed_m_s, point.glide_ratio, point.elevator_deg]).all()
            assert 0 < point.drag_low < point.drag_high
        assert flown.stall.speed_m_s <= flown.approach.speed_m_s * 1.001
        assert flown.least_sink.sink_m_s <= flown.best_glide.sink_m_s * 1.02


def test_what_is_set_on_the_elevator_is_taken_off_the_trim():
    plain = flight.trimmed_at(THREE, {}, 10.0)
    offset = flight.trimmed_at(THREE, {"elevator": 3.0}, 10.0)
    assert offset.elevator_deg == pytest.approx(float(plain.elevator_deg) - 3.0, abs=0.1)
    assert offset.drag == pytest.approx(float(plain.drag), rel=1e-3)


def test_unknown_surface_and_silly_angle():
    with pytest.raises(ValueError, match=r"no surface is called 'flaps'; this aircraft has left flap"):
        flight.performance(THREE, {"flaps": 10})
    with pytest.raises(ValueError, match=r"the angle of left flap is 200; give -90 to 90 deg"):
        flight.performance(THREE, {"left flap": 200})


def test_nothing_to_trim_with():
    surfaces = tuple(s for s in THREE.aircraft.surfaces if s.kind != "elevator")
    with pytest.raises(ValueError, match="no elevator, V-tail or elevon"):
        Airframe.from_aircraft(THREE.aircraft.replace(surfaces=surfaces))


def test_two_settings_at_once_equal_one_by_one():
    both = flight.trimmed_at(THREE, {"left flap": np.array([0, 20]), "right flap": np.array([0, 20])}, 9.0)
    for index, angle in enumerate((0, 20)):
        single = flight.trimmed_at(THREE, {"left flap": angle, "right flap": angle}, 9.0)
        assert both.elevator_deg[index] == pytest.approx(float(single.elevator_deg), abs=0.1)
        assert both.drag[index] == pytest.approx(float(single.drag), rel=0.01)


def test_replacing_nothing_changes_nothing():
    row = parabolic_polar(20)
    assert row.between(7.0).speed_m_s == pytest.approx(row.speed_m_s[7])
    assert replace(row).between(7.5).lift == pytest.approx((row.lift[7] + row.lift[8]) / 2)
