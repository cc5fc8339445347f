"""Balance point, neutral point, dive test: signs one at a time, the textbook, and what is withheld."""

import numpy as np
import pytest

from mixlib.air.aircraft import (
    Airframe,
    Balance,
    balance,
    balanced_at,
    elevator_band_deg,
    hands_off_m_s,
    trimmed_at,
)
from mixlib.air.aircraft.balance import DIVE_FACTOR, dive_test
from mixlib.describe import shipped, shipped_names

TWO = shipped("aircraft", "orchard_two")
THREE = shipped("aircraft", "orchard_three")
HOPPER = shipped("aircraft", "orchard_hopper")


def moved(aircraft, back_mm):
    return Airframe.from_aircraft(balanced_at(aircraft, aircraft.cg_mm + back_mm))


@pytest.mark.parametrize("aircraft", [TWO, THREE, HOPPER], ids=lambda item: item.name)
def test_neutral_point_by_the_textbook(aircraft):
    """x_np / c = 1/4 + V_H (a_t / a_w) (1 - de/da), a = 2 pi A / (2 + sqrt(A^2 + 4)), de/da = 2 a_w / (pi A);
    e.g. B. Etkin and L. D. Reid, Dynamics of Flight (from memory), V_H from the wing's own quarter point.
    The wake fades with distance less than that formula says: within 4 % of the mean chord."""
    frame = Airframe.from_aircraft(aircraft)
    wing, tail = frame.wing, frame.tail.strips

    def slope(aspect):
        return 2 * np.pi * aspect / (2 + np.sqrt(aspect**2 + 4))

    back = aircraft.cg_mm / 1000 + aircraft.tail.arm_mm / 1000 - wing.reference_m
    of_tail = slope(tail.aspect_ratio) * tail.area_m2 / wing.area_m2
    of_tail *= 1 - 2 * slope(wing.aspect_ratio) / (np.pi * wing.aspect_ratio)
    of_wing = slope(wing.aspect_ratio)
    neutral_mm = 1000 * (wing.reference_m + back * of_tail / (of_wing + of_tail))
    low, high = balance(frame).neutral_mm
    spare = 40 * wing.mean_chord_m
    assert low - spare < neutral_mm < high + spare


def test_the_neutral_point_stays_where_it_is_when_the_balance_point_moves():
    here, there = balance(moved(THREE, 0)), balance(moved(THREE, 20))
    assert there.neutral_mm == pytest.approx(here.neutral_mm, abs=1.0)
    assert np.subtract(here.margin_mm, there.margin_mm) == pytest.approx(20, abs=1.0)


@pytest.mark.parametrize("name", shipped_names("aircraft"))
def test_each_invented_aircraft_is_well_balanced(name):
    found = balance(Airframe.from_aircraft(shipped("aircraft", name)))
    low, high = found.usual_cg_mm
    assert low < found.cg_mm < high


def test_margin_by_hand():
    found = Balance(cg_mm=80.0, neutral_mm=(90.0, 96.0), mean_chord_mm=200.0)
    assert found.margin_mm == (10.0, 16.0)
    assert found.margin_percent == pytest.approx((5.0, 8.0))
    assert found.usual_cg_mm == pytest.approx((96 - 40, 90 - 10))
    assert found.stable
    assert found.heavy == 0
    assert not Balance(91.0, (90.0, 96.0), 200.0).stable
    assert Balance(40.0, (90.0, 96.0), 200.0).heavy == -1  # 25 to 28 %
    assert Balance(81.0, (90.0, 96.0), 200.0).heavy == 1  # 4.5 to 7.5 %: perhaps too little


def test_a_bigger_tail_moves_the_neutral_point_back():
    bigger = THREE.replace(tail=THREE.tail.replace(span_mm=800))
    assert balance(Airframe.from_aircraft(bigger)).neutral_mm[0] > balance(moved(THREE, 0)).neutral_mm[1]


def test_moving_the_tail_along_with_the_balance_point_keeps_it_on_the_body():
    back = balanced_at(TWO, TWO.cg_mm + 25)
    for name in ("tail", "fin"):
        before, after = getattr(TWO, name), getattr(back, name)
        assert back.cg_mm + after.arm_mm == TWO.cg_mm + before.arm_mm


def test_further_back_asks_for_down_elevator_and_flies_slower_by_itself():
    held = float(trimmed_at(moved(THREE, 0), {}, 10.0).elevator_deg)
    needed = [float(trimmed_at(moved(THREE, back), {}, 10.0).elevator_deg) for back in (-10, 0, 10)]
    assert needed[0] < needed[1] < needed[2]
    speeds = [hands_off_m_s(moved(THREE, back), held) for back in (-10, 0, 10)]
    assert speeds[0] > speeds[1] > speeds[2]
    assert speeds[1] == pytest.approx(10.0, abs=0.1)


@pytest.mark.parametrize("aircraft", [TWO, THREE, HOPPER], ids=lambda item: item.name)
def test_behind_the_neutral_point_hands_off_answers_are_withheld(aircraft):
    back = balance(Airframe.from_aircraft(aircraft)).margin_mm[1] + 10
    with pytest.raises(
        ValueError, match=r"mm behind the neutral point, so no speed holds by itself; move it to"
    ):
        hands_off_m_s(moved(aircraft, back), 0.0)


def test_an_elevator_that_no_speed_needs():
    with pytest.raises(ValueError, match=r"no speed from .* m/s balances with that elevator; they need"):
        hands_off_m_s(moved(THREE, 0), 15.0)


def test_dive_test():
    """Further forward pulls harder, near the neutral point hardly, behind it not at all."""
    frames = [moved(TWO, back) for back in (-10, 0, 10, 30)]
    pulls = [dive_test(frame, balance(frame), 9.0) for frame in frames]
    lows, highs = zip(*(test.pull_g for test in pulls), strict=True)
    assert list(lows) == sorted(lows, reverse=True)
    assert lows[2] > 0 > highs[3]
    assert pulls[0].dive_m_s == pytest.approx(9.0 * DIVE_FACTOR)


def test_dive_test_by_hand():
    """n - 1 = (1.5^2 - 1) H / (H + D), D = a_t V_H rho S l_t / (2 m), for Orchard Three with its own margin.

    Tail 0.0736 m2 of aspect ratio 5.565: a_t = 2 pi 5.565 / (2 + sqrt(5.565^2 + 4)) = 4.420; V_H = 0.0736 x
    0.9 / (0.6012 x 0.2021) = 0.545; D = 4.42 x 0.545 x 1.225 x 0.6012 x 0.9 / 4.6 = 0.347.
    """
    frame = moved(THREE, 0)
    found = balance(frame)
    low, high = (percent / 100 for percent in found.margin_percent)
    expected = [1.25 * margin / (margin + 0.347) for margin in (low, high)]
    assert dive_test(frame, found, 10.0).pull_g == pytest.approx(expected, rel=0.01)


def test_the_band_holds_both_skins():
    speeds = np.array([8.0, 12.0])
    low, high = elevator_band_deg(moved(THREE, 0), speeds)
    for skin in ("smooth", "foam"):
        own = trimmed_at(moved(THREE, 0).with_finish(skin), {}, speeds).elevator_deg
        assert np.all((low <= own) & (own <= high))
