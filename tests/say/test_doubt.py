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
from mixlib.air.aircraft.balance import moved_to
from mixlib.air.landing import landing
from mixlib.air.wing.lifting_line import solve
from mixlib.describe import ORCHARD_FIELD, shipped
from mixlib.say.balance import moved_rows, moved_words
from mixlib.say.doubt import balance_words, doubt, marked

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
        field=ORCHARD_FIELD,
        clearance_m=1.5,
    )["clean"]
    assert np.isnan(far.touchdown_m).any() == ("Not every path" in doubt(far))
    low = landing.land(
        GLIDER,
        {"clean": known_performance(TWO)},
        height_m=7,
        head_wind_m_s=0,
        field=ORCHARD_FIELD,
        clearance_m=1.5,
    )["clean"]
    assert "Not every path clears what stands in front and comes down" in doubt(low)


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


def moved(cg_mm):
    found = known_performance(TWO)
    trimmed = trimmed_at(GLIDER, None, found.best_glide.speed_m_s)
    return moved_to(GLIDER, cg_mm, trimmed, float(found.stall.speed_m_s), balance(GLIDER))


def test_what_moving_the_balance_point_does_is_told_until_it_is_behind():
    where = balance(GLIDER)
    forward, back = where.usual_cg_mm
    assert "it settles at 7.8 m/s" in moved_words(moved(TWO.cg_mm))
    assert "comes up gently" in moved_words(moved(TWO.cg_mm))
    assert "comes up hard" in moved_words(moved(forward - 20))
    assert "gets slower until it stalls" in moved_words(moved(back + 3))
    assert "slowly, if at all" in moved_words(moved(where.neutral_mm[0] - 1))
    behind = moved_words(moved(where.neutral_mm[1] + 5))
    assert "Make no dive test" in behind
    assert "settles" not in behind
    cells = moved_rows(moved(TWO.cg_mm), moved(where.neutral_mm[1] + 5))
    assert [row[2] for row in cells[-2:]] == ["not told", "not told"]
    assert cells[0][2].startswith("−")


def test_nose_heavy_needs_up_elevator_and_flies_faster_by_itself():
    here, forward = moved(TWO.cg_mm), moved(TWO.cg_mm - 8)
    assert all(f[0] < h[0] for f, h in zip(forward.elevator_deg, here.elevator_deg, strict=True))
    assert (
        forward.hands_off_m_s
        > here.hands_off_m_s
        == pytest.approx(known_performance(TWO).best_glide.speed_m_s, abs=0.05)
    )
    assert forward.dive.pull_g[0] > here.dive.pull_g[0]


@pytest.mark.parametrize("flag", Doubt)
def test_a_number_is_marked_or_withheld(flag):
    told = marked("8.4 m/s", 0, flag)
    if flag in (Doubt.NOT_CONVERGED, Doubt.CUT_OFF):
        assert told == "no answer*"
    elif flag is Doubt.ELEVATOR_STOP:
        assert told == "cannot be flown*"
    else:
        assert told == "8.4 m/s*"
    assert marked("8.4 m/s", 0) == "8.4 m/s"
