"""Pitch against a vortex lattice of wing and tail (`air_lattice`), first with straight 2 pi sections, then as
flown.

With thin sections both see the same problem, so the method itself is measured. With its real sections the
model must stay near: a section that is turbulent from the nose on is nearly a thin one.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from air_lattice import Pitch, elevator_by_lattice, pitch_by_lattice
from air_reference import ideal_curves

from mixlib.air.aircraft import Air, Airframe, airframe, compensation, known_performance, trimmed_at
from mixlib.air.aircraft.balance import balance, elevator_band_deg
from mixlib.air.wing.lifting_line import solve
from mixlib.describe import Aircraft, Station, Wing, shipped

DEMOS = ("orchard_two", "orchard_three", "orchard_hopper", "orchard_vee")
THREE = Airframe.from_aircraft(shipped("aircraft", "orchard_three"))
PLAY_DEG = 0.15  # of an elevator's linkage: a smaller change is none


def other(root_mm, tip_mm, half_mm, tail_span_mm, tail_chord_mm, arm_mm, elevator_mm) -> Aircraft:
    """An unswept wing and tail: the quarter-chord line is straight."""
    plain = shipped("aircraft", "orchard_two")
    ends = [(0, root_mm), (half_mm, tip_mm)]
    stations = [
        Station(y_mm=y, chord_mm=c, leading_edge_mm=(root_mm - c) / 4, section="symmetrical") for y, c in ends
    ]
    elevator = plain.surface("elevator").replace(y_outer_mm=tail_span_mm / 2, chord_mm=elevator_mm)
    tail = plain.tail.replace(span_mm=tail_span_mm, chord_mm=tail_chord_mm, arm_mm=arm_mm)
    return plain.replace(
        name=f"{root_mm}-{tip_mm}", wing=Wing(stations=tuple(stations)), tail=tail, surfaces=(elevator,)
    )


OTHERS = (
    other(200, 200, 800, 500, 100, 700, 30),  # straight, aspect ratio 8
    other(250, 150, 800, 400, 130, 600, 50),  # short tail, aspect ratio 3
    other(180, 90, 1000, 600, 80, 550, 25),  # wide tail, aspect ratio 7.5
    other(220, 220, 700, 350, 110, 450, 45),  # aspect ratio 6, close behind
    other(160, 100, 1300, 500, 90, 900, 35),  # aspect ratio 20
    other(200, 120, 1000, 450, 100, 1100, 60),  # far behind, wide elevator
)


@cache
def lattice(described: Aircraft) -> Pitch:
    return pitch_by_lattice(Airframe.from_aircraft(described))


def ours(frame: Airframe, alpha_deg=1.0) -> Pitch:
    """Slopes of our own model at 10 m/s over two deg of incidence and three of elevator."""

    def at(alpha, elevator):
        angles = elevator * frame.pitch_mask
        solved = solve(frame.wing, frame.wing_curves(angles, 10.0, Air()), np.asarray(alpha))
        tail = frame.tail_forces(solved, angles, 10.0, Air())
        return np.array([solved.lift + tail.lift, frame.wing_pitch(solved) + tail.pitch, tail.downwash_deg])

    lift, pitch, wash = at(alpha_deg + 1, 0.0) - at(alpha_deg - 1, 0.0)
    power = (at(alpha_deg, 1.5) - at(alpha_deg, -1.5))[1]
    back = frame.aircraft.cg_mm - 1000 * frame.wing.mean_chord_m * pitch / lift
    return Pitch(float(back), float(power / np.radians(3)), float(wash / 2), float(lift / np.radians(2)))


EVERY = [*(shipped("aircraft", name) for name in DEMOS), *OTHERS]


@pytest.mark.parametrize("described", EVERY, ids=lambda item: item.name)
def test_the_method_with_straight_sections(described, monkeypatch):
    """Neutral point within 3 % of the mean chord, elevator power and downwash within 5 %."""
    monkeypatch.setattr(airframe, "section_curves", ideal_curves)
    frame = Airframe.from_aircraft(described)
    found, told = ours(frame), lattice(described)
    assert found.neutral_mm == pytest.approx(told.neutral_mm, abs=30 * frame.wing.mean_chord_m)
    assert found.power_per_rad == pytest.approx(told.power_per_rad, rel=0.05)
    assert found.downwash == pytest.approx(told.downwash, rel=0.05)
    assert found.lift_slope == pytest.approx(told.lift_slope, rel=0.03)


@pytest.mark.parametrize("name", DEMOS)
def test_with_foam_sections_it_stays_near(name):
    """Neutral point within 3 % of the mean chord; a real section's flap has less effect, so the power is
    less."""
    described = shipped("aircraft", name)
    frame = Airframe.from_aircraft(described).with_finish("foam")
    found, told = ours(frame), lattice(described)
    assert found.neutral_mm == pytest.approx(told.neutral_mm, abs=30 * frame.wing.mean_chord_m)
    assert 0.85 < found.power_per_rad / told.power_per_rad < 1.0
    assert found.downwash == pytest.approx(told.downwash, rel=0.05)


@pytest.mark.parametrize("name", DEMOS)
def test_the_band_of_smooth_and_foam_holds_the_lattice(name):
    described = shipped("aircraft", name)
    found = balance(Airframe.from_aircraft(described))
    spare = 20 * Airframe.from_aircraft(described).wing.mean_chord_m  # 2 % of the mean chord
    assert found.neutral_mm[0] - spare < lattice(described).neutral_mm < found.neutral_mm[1] + spare


DROOP = dict.fromkeys(("left flap", "right flap", "left aileron", "right aileron"), 5.0)


@pytest.mark.parametrize("name", DEMOS)
def test_elevator_for_little_droop(name):
    """5 deg of droop, slow to fast: foam within 20 % of the lattice, or within a linkage's play; the band of
    both skins holds it.

    Smooth asks for less and less with speed: a small flap hardly moves the bubble under which it works, as
    another section method says too (`test_section_panel_method.py`). The lattice knows no bubble.
    """
    described = shipped("aircraft", name)
    frame = Airframe.from_aircraft(described)
    droop = dict.fromkeys((part.name for part in described.of_kind("flap", "aileron")), 5.0)
    told, _ = elevator_by_lattice(frame, droop)
    for times in (1.2, 1.5, 2.0):
        speed = times * float(known_performance(described).stall.speed_m_s)
        foam, smooth = (
            compensation(frame.with_finish(skin), [{}, droop], speed) for skin in ("foam", "smooth")
        )
        assert foam.change_deg[1] == pytest.approx(told, rel=0.20, abs=PLAY_DEG)
        assert smooth.change_deg[1] == pytest.approx(foam.change_deg[1], rel=0.5, abs=PLAY_DEG)
        low, high = foam.band_deg
        assert low[1] - PLAY_DEG < told < high[1] + PLAY_DEG
        assert (low[1], high[1]) == pytest.approx([float(end[1]) for end in smooth.band_deg])


def test_elevator_for_speed():
    """From 9 to 14 m/s: within a quarter of the lattice, which has no drag and no Reynolds number."""
    _, per_lift = elevator_by_lattice(THREE, DROOP)
    speeds = np.array([9.0, 14.0])
    for skin in ("foam", "smooth"):
        glides = trimmed_at(THREE.with_finish(skin), {}, speeds)
        assert np.diff(glides.elevator_deg) / np.diff(glides.lift) == pytest.approx(per_lift, rel=0.25)


@pytest.mark.parametrize("name", DEMOS)
def test_elevator_against_speed_is_smooth_and_of_one_sign(name):
    """Stable: faster asks for down elevator, less and less of it as 1 / V^2 flattens out."""
    speeds = np.linspace(8.0, 22.0, 29)
    for low_or_high in elevator_band_deg(Airframe.from_aircraft(shipped("aircraft", name)), speeds):
        rise = np.diff(low_or_high)
        assert np.all(rise > 0)
        assert np.all(np.diff(rise) < 0.08)


def test_full_crow_asks_for_down_elevator_that_grows():
    """Only sign and shape: most of the flapped wing is by handbook values."""
    crow = {"left flap": 60.0, "right flap": 60.0, "left aileron": -20.0, "right aileron": -20.0}
    places = [{name: share * angle for name, angle in crow.items()} for share in (0.0, 0.25, 0.5)]
    for skin in ("smooth", "foam"):
        change = compensation(THREE.with_finish(skin), places, 9.5).change_deg
        assert change[0] == 0 < change[1] < change[2]
