"""Flight phases in the air: the elevator, the speeds, and a change from one to another."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.balance import hands_off_m_s
from mixlib.air.aircraft.bands import BANDS, CHECKS, band
from mixlib.air.aircraft.elevator import compensation
from mixlib.air.aircraft.flight import APPROACH_FACTOR
from mixlib.air.aircraft.from_setup import angles_at, known_performance
from mixlib.air.aircraft.phases import (
    change,
    complete,
    fly_phase,
    phase_at,
    phase_speed_m_s,
    usual_phases,
    wing_angles,
)
from mixlib.bench.surface.levers import PHASE_NAMES
from mixlib.describe import Mark, Phase
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup

DEMOS = [flaperon_setup, four_surface_setup, v_tail_setup, elevon_setup]


@pytest.mark.parametrize("demo", DEMOS)
def test_usual_phases_are_complete_and_ordered_in_speed(demo):
    setup = demo()
    phases = usual_phases(setup)
    droops = any(angles_at(setup, camber=1.0).values())
    assert tuple(phase.name for phase in phases) == PHASE_NAMES[not droops :]  # without droop, no launch
    flown = {phase.name: fly_phase(setup, phase) for phase in phases}
    speeds = {name: float(item.glide.speed_m_s) for name, item in flown.items()}
    assert speeds["thermal"] < speeds["cruise"] < speeds["speed"]
    assert all(item.glide.converged for item in flown.values())
    for item in flown.values():  # angles are kept to a tenth
        assert item.set_deg == pytest.approx(item.elevator_deg, abs=0.06)
    assert not any(flown["cruise"].phase.angles_deg.values())


def test_usual_phases_go_no_further_than_the_marks():
    marks = Mark(command="camber", percent=10), Mark(command="camber", side="below", percent=5)
    setup = four_surface_setup()
    setup = setup.replace(marks=(*marks, Mark(command="brake", percent=60)))
    phases = {phase.name: phase.angles_deg for phase in usual_phases(setup)}
    ends = {"thermal": {"camber": 0.1}, "speed": {"camber": -0.05}, "landing": {"brake": 0.6}}
    for name, values in ends.items():
        most = angles_at(setup, **values)["left aileron"]
        given = phases[name]["left aileron"]
        assert abs(given) <= abs(most) + 0.05
        assert given == pytest.approx(most, abs=0.051) or name != "landing"


def test_the_elevator_of_a_phase_is_the_compensation_at_its_speed():
    setup = four_surface_setup()
    crow = phase_at(setup, "landing", brake=1.0)
    angles = angles_at(setup, brake=1.0)
    found = known_performance(setup.aircraft, angles)
    airframe = Airframe.from_aircraft(setup.aircraft)
    curve = compensation(airframe, [{}, angles], float(found.approach.speed_m_s))
    assert crow.angles_deg["elevator"] == pytest.approx(curve.change_deg[-1], abs=0.06)


@pytest.mark.parametrize("demo", DEMOS)
def test_with_its_trim_a_phase_flies_its_own_speed_hands_off(demo):
    """The elevator of cruise and the trim together leave it in balance at one speed: the phase's own."""
    setup = demo()
    airframe = Airframe.from_aircraft(setup.aircraft)
    cruise = known_performance(setup.aircraft).best_glide
    for phase in usual_phases(setup):
        item = fly_phase(setup, phase)
        stands = float(cruise.elevator_deg) + item.trim_deg
        settled = hands_off_m_s(airframe, stands, wing_angles(setup, phase))
        assert settled == pytest.approx(float(item.glide.speed_m_s), rel=0.02), phase.name


def test_each_phase_is_flown_at_its_own_speed():
    setup = flaperon_setup()
    clean = known_performance(setup.aircraft)
    assert phase_speed_m_s("thermal", clean, clean) == pytest.approx(float(clean.least_sink.speed_m_s))
    assert phase_speed_m_s("cruise", clean, clean) == pytest.approx(float(clean.best_glide.speed_m_s))
    stall = float(clean.stall.speed_m_s)  # where it begins to let go, not the slowest that can be held
    assert phase_speed_m_s("landing", clean, clean) == pytest.approx(APPROACH_FACTOR * stall, rel=1e-3)
    assert phase_speed_m_s("speed", clean, clean) == pytest.approx(2 * float(clean.best_glide.speed_m_s))


def test_droop_takes_roll_where_travel_runs_out():
    """Full droop leaves the flaperons one aileron to roll with: about half the roll (lesson 08's budget)."""
    setup = flaperon_setup()
    clean, full = (
        float(fly_phase(setup, phase_at(setup, "landing", camber=camber)).roll.helix) for camber in (0.0, 1.0)
    )
    assert 0.25 < full / clean < 0.55


def test_own_phases_stay_and_the_usual_ones_fill_the_gaps():
    setup = flaperon_setup()
    own = Phase(name="thermal", angles_deg={"left aileron": 4.0, "right aileron": 4.0})
    other = Phase(name="tow", angles_deg={"left aileron": 1.0, "right aileron": 1.0})
    names = [phase.name for phase in complete(setup.replace(phases=(other, own)))]
    assert names == [*PHASE_NAMES, "tow"]
    assert complete(setup.replace(phases=(other, own)))[1] == own


def test_a_change_to_the_same_phase_changes_nothing():
    setup = four_surface_setup()
    landing = phase_at(setup, "landing", brake=0.5)
    seen = change(setup, landing, landing, 0.0, 9.0)
    assert seen.lift_share == pytest.approx(1.0, abs=3e-3)
    assert np.ptp(seen.sink_m_s) < 1e-3
    assert seen.sink_m_s[0] == pytest.approx(seen.settled_sink_m_s, abs=1e-3)


def test_taking_the_brake_out_first_makes_it_sink_faster():
    """Raising a flap at one incidence takes lift away, and at one attitude the path gets steeper by the
    incidence that has to be added: ``sink = V sin(path + change of incidence)`` (kinematics of a glide)."""
    setup = four_surface_setup()
    crow, clean = phase_at(setup, "landing", brake=1.0), phase_at(setup, "cruise")
    seen = change(setup, crow, clean, 0.0, 8.0)
    assert 0.3 < seen.lift_share < 0.8
    assert seen.sink_m_s[-1] > seen.sink_m_s[0] > seen.settled_sink_m_s
    airframe = Airframe.from_aircraft(setup.aircraft)
    curve = compensation(airframe, [wing_angles(setup, crow), {}], 8.0)
    alphas, paths = curve.glides.alpha_deg, curve.glides.path_deg
    expected = 8.0 * np.sin(np.radians(paths[0] + alphas[1] - alphas[0]))
    assert seen.sink_m_s[-1] == pytest.approx(expected, rel=0.02)


def test_a_quick_elevator_is_out_until_the_flaps_arrive():
    setup = four_surface_setup()
    crow, clean = phase_at(setup, "landing", brake=1.0), phase_at(setup, "cruise")
    quick, slow = (change(setup, crow, clean, over, 8.0) for over in (0.0, 4.0))
    at, out = quick.worst
    assert out < -5  # the down elevator of crow is gone, the flaps are still there
    assert 0 < at < quick.transition.arrives_s.max()
    assert abs(slow.worst[1]) < abs(out)
    assert 0 < quick.out_for_s(1.0) <= quick.transition.arrives_s.max()
    assert quick.out_for_s(90.0) == 0


@pytest.mark.parametrize("kind", BANDS)
def test_a_band_names_the_test_that_holds_it(kind):
    file, name = CHECKS[kind].split("::")
    (found,) = Path(__file__).parents[1].rglob(file)
    assert f"def {name}(" in found.read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", BANDS)
def test_a_band_holds_its_number(kind):
    low, high = band(kind, 2.0)
    assert low < 2.0 < high
    assert band(kind, -2.0) == (-low, -high)
