"""What the air model does not know is said at the number, and nothing where there is no doubt."""

from types import SimpleNamespace

import numpy as np
import pytest

from mixlib.air.aircraft import (
    Airframe,
    Balance,
    Doubt,
    balance,
    balanced_at,
    known_performance,
    roll,
    roll_to_right,
    trimmed_at,
)
from mixlib.air.landing import landing
from mixlib.air.wing.lifting_line import solve
from mixlib.describe import shipped
from mixlib.say.doubt import balance_words, doubt

TWO = shipped("aircraft", "orchard_two")
GLIDER = Airframe.from_aircraft(TWO)


def test_ordinary_flight_is_not_doubted():
    assert doubt(known_performance(TWO)) == ""
    assert doubt(trimmed_at(GLIDER, {}, np.array([8.0, 12.0, 20.0]))) == ""
    assert doubt(roll(GLIDER, roll_to_right(GLIDER, 10, 10), 10.0)) == ""


@pytest.mark.parametrize("flag", Doubt)
def test_every_reason_has_a_sentence(flag):
    said = doubt(SimpleNamespace(doubts=np.array([0, int(flag)])))
    assert said.endswith(".")
    assert len(said) > 30


def test_several_reasons_are_all_said():
    both = doubt(SimpleNamespace(doubts=int(Doubt.SWEPT | Doubt.NOT_CONVERGED)))
    assert both.startswith("No steady answer")
    assert "swept" in both


def test_too_slow_to_fly():
    assert "No steady answer was found" in doubt(trimmed_at(GLIDER, {}, 4.0))


def test_an_elevator_at_its_stop():
    stops = TWO.surface("elevator").replace(stop_up_deg=1.0)
    short = TWO.replace(surfaces=tuple(stops if s.name == "elevator" else s for s in TWO.surfaces))
    forward = Airframe.from_aircraft(balanced_at(short, 30))
    assert "The elevator meets its stop first" in doubt(trimmed_at(forward, {}, 7.5))


def test_past_the_first_stall():
    assert "A part of the wing has let go" in doubt(known_performance(TWO).polar)


def test_two_answers_only_where_it_is_said():
    """Started from the attached and from the stalled side, the wing gives one answer wherever no part has let
    go."""
    row = known_performance(TWO).polar
    wing = GLIDER.right_half.wing
    for index in np.flatnonzero(row.margin_deg > 0):
        curves = GLIDER.right_half.wing_curves(
            np.zeros(len(GLIDER.names)), row.speed_m_s[index], known_performance(TWO).air
        )
        one = solve(wing, curves, row.alpha_deg[index])
        other = solve(wing, curves, row.alpha_deg[index], start_m=0.3 * one.circulation_m)
        assert other.lift == pytest.approx(float(one.lift), abs=2e-3)


def test_a_speed_at_the_edge_is_cut_off():
    heavy = Airframe.from_aircraft(TWO.replace(mass_kg=25.0, body_drag_area_cm2=0.0))
    row = known_performance(heavy.aircraft).polar
    cut = row.speed_m_s >= 120
    assert cut.any()
    assert not row.converged[cut].any()
    assert "beyond what is looked at" in doubt(row[cut])


def test_short_and_swept_wings():
    assert "swept by more than 15°" in doubt(known_performance(shipped("aircraft", "orchard_wing")))
    stations = tuple(s.replace(chord_mm=2.4 * s.chord_mm) for s in TWO.wing.stations)
    assert "shorter, for its chord" in doubt(
        known_performance(TWO.replace(wing=TWO.wing.replace(stations=stations)))
    )


def test_a_landing_that_never_comes_down_is_told():
    far = landing.land(
        GLIDER,
        {"clean": known_performance(TWO)},
        height_m=120,
        head_wind_m_s=0,
        obstacle_m=6,
        strip_m=60,
        clearance_m=1.5,
    )["clean"]
    assert np.isnan(far.touchdown_m).any() == ("Not every path" in doubt(far))
    low = landing.land(
        GLIDER,
        {"clean": known_performance(TWO)},
        height_m=7,
        head_wind_m_s=0,
        obstacle_m=6,
        strip_m=60,
        clearance_m=1.5,
    )["clean"]
    assert "Not every path clears the hedge and comes down" in doubt(low)


def test_the_balance_point_is_told_in_mm():
    assert balance_words(balance(GLIDER)) == ""
    behind = Airframe.from_aircraft(balanced_at(TWO, TWO.cg_mm + 30))
    low, high = balance(behind).margin_mm
    said = balance_words(balance(behind))
    assert said.startswith("Do not fly it like this: the balance point is ")
    assert f"{-high:.0f} to {-low:.0f} mm behind the neutral point" in said
    assert "common practice, no source" in said
    assert "nose-heavy" in balance_words(Balance(30.0, (90.0, 96.0), 200.0))
    assert "tail-heavy" in balance_words(Balance(88.0, (90.0, 96.0), 200.0))
    assert "may be behind" in balance_words(Balance(92.0, (90.0, 96.0), 200.0))
