"""The balance point and the neutral point: is it stable, how much, and what moving the balance point does.

The neutral point is where the lift that a change of incidence brings acts, wing and tail together.  With the
balance point ahead of it the nose comes back by itself, behind it the nose runs away.  How far ahead, in
percent of the mean chord, is the margin.  A wing's lift slope depends on its skin: smooth, with a bubble of
laminar flow, and rough or foam, turbulent from the nose on, span the band in which a real wing may be.

What a dive shows: let go of the stick in a dive that is faster than the trimmed speed, and the aircraft pulls
up by ``n - 1 = ((V / V_trim)^2 - 1) H / (H + D)`` in units of gravity, H the margin and D what the tail's
motion in the pull-up adds, ``a_t V_H rho S l_t / (2 m)`` (B. Etkin and L. D. Reid, Dynamics of Flight, the
manoeuvre margin, from memory).  So a forward balance point pulls hard, one near the neutral point hardly, one
behind it not at all: it tucks under.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.doubt import every
from mixlib.air.aircraft.flight import performance, trimmed_at
from mixlib.air.aircraft.glide import STANDARD_AIR, Trimmed
from mixlib.air.aircraft.trim import stall_range
from mixlib.air.section.shapes import FINISHES
from mixlib.air.wing.lifting_line import solve
from mixlib.describe import Aircraft

__all__ = [
    "DIVE_FACTOR",
    "USUAL_MARGIN_PERCENT",
    "Balance",
    "DiveTest",
    "Moved",
    "balance",
    "balanced_at",
    "dive_test",
    "elevator_band_deg",
    "hands_off_m_s",
    "moved_to",
]

USUAL_MARGIN_PERCENT = (5.0, 20.0)
"""Margin that most models fly with, percent of the mean chord; common practice, no source."""

DIVE_FACTOR = 1.5
"""Speed of the dive test over the trimmed speed; common practice, no source."""

_ABOVE_NO_LIFT_DEG = np.array([3.0, 5.5, 8.0])  # of ordinary flight: the slopes are taken between them
_LEAST_DAMPING = 0.02
_SPEED_M_S = 10.0
_STEPS = 11


@dataclass(frozen=True)
class Balance:
    """Where the balance point lies against the neutral point.

    Attributes
    ----------
    cg_mm : float
        Balance point behind the root's leading edge.
    neutral_mm : tuple of float
        Neutral point behind the root's leading edge, the furthest forward and the furthest back of a smooth
        and a foam skin, slow and fast.
    """

    cg_mm: float
    neutral_mm: tuple[float, float]
    mean_chord_mm: float

    @property
    def margin_mm(self) -> tuple[float, float]:
        """Least and most distance of the balance point ahead of the neutral point; negative behind it."""
        return self.neutral_mm[0] - self.cg_mm, self.neutral_mm[1] - self.cg_mm

    @property
    def margin_percent(self) -> tuple[float, float]:
        """The same in percent of the mean chord."""
        low, high = (100 * each / self.mean_chord_mm for each in self.margin_mm)
        return low, high

    @property
    def stable(self) -> bool:
        """Whether it is ahead of the neutral point whatever the skin."""
        return self.margin_mm[0] > 0

    @property
    def heavy(self) -> int:
        """-1 nose-heavy, 1 tail-heavy, 0 within `usual_cg_mm` (no unit)."""
        forward, back = self.usual_cg_mm
        return int(self.cg_mm > back) - int(self.cg_mm < forward)

    def at(self, cg_mm: float) -> Balance:
        """The same with the balance point elsewhere: the neutral point belongs to wing and tail."""
        return replace(self, cg_mm=cg_mm)

    @property
    def usual_cg_mm(self) -> tuple[float, float]:
        """Balance points furthest forward and back that give a usual margin whatever the skin."""
        least, most = (share / 100 * self.mean_chord_mm for share in USUAL_MARGIN_PERCENT)
        return self.neutral_mm[1] - most, self.neutral_mm[0] - least


@dataclass(frozen=True)
class DiveTest:
    """What an aircraft does when the stick is let go in a dive.

    Attributes
    ----------
    trimmed_m_s, dive_m_s : float
        Speed that it is trimmed for, and that of the dive.
    pull_g : tuple of float
        Least and most pull beyond straight flight, in units of gravity (no unit); negative: it tucks under.
    """

    trimmed_m_s: float
    dive_m_s: float
    pull_g: tuple[float, float]


@dataclass(frozen=True)
class Moved:
    """What an aircraft does with its balance point moved and its trim left.

    Attributes
    ----------
    elevator_deg : tuple of numpy.ndarray
        Least and most elevator, of a smooth and a foam skin, at the trimmed speed and at `DIVE_FACTOR` times
        it, trailing edge down +.
    hands_off_m_s : float
        Speed with the elevator left where it was; 0 below the stall, inf above three times its speed, NaN
        where no speed holds.
    dive : DiveTest
        From the trimmed speed.
    doubts : int
        What casts doubt on the elevator, as flags of `mixlib.air.aircraft.doubt.Doubt` (no unit).
    """

    balance: Balance
    elevator_deg: tuple[np.ndarray, np.ndarray]
    hands_off_m_s: float
    dive: DiveTest
    doubts: int


def balance(airframe: Airframe, angles: Mapping[str, float] | None = None) -> Balance:
    """Find the neutral point with the stick held, in ordinary flight.

    Parameters
    ----------
    angles : mapping of str to float, optional
        Surface angles, deg.
    """
    set_deg = airframe.angles_deg(angles)
    chord_mm = 1000 * airframe.wing.mean_chord_m
    places = []
    for finish in FINISHES:
        frame = airframe.with_finish(finish).for_angles(set_deg)
        alpha = stall_range(frame, set_deg)[0] + _ABOVE_NO_LIFT_DEG
        speed = np.full(alpha.shape, _SPEED_M_S)
        spread = np.broadcast_to(set_deg, (*alpha.shape, *set_deg.shape))
        solved = solve(frame.wing, frame.wing_curves(spread, speed, STANDARD_AIR), alpha)
        tail = frame.tail_forces(solved, spread, speed, STANDARD_AIR)
        lift, pitch = np.diff(solved.lift + tail.lift), np.diff(frame.wing_pitch(solved) + tail.pitch)
        places.extend((airframe.aircraft.cg_mm - chord_mm * pitch / lift).tolist())
    return Balance(airframe.aircraft.cg_mm, (min(places), max(places)), chord_mm)


def balanced_at(aircraft: Aircraft, cg_mm: float) -> Aircraft:
    """The same aircraft with its balance point elsewhere; tail and fin stay where they are on the body."""
    back = aircraft.cg_mm - cg_mm
    moved = {
        name: part.replace(arm_mm=part.arm_mm + back)
        for name, part in (("tail", aircraft.tail), ("fin", aircraft.fin))
        if part is not None
    }
    return aircraft.replace(cg_mm=cg_mm, **moved)


def elevator_band_deg(airframe: Airframe, speeds_m_s: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Lowest and highest elevator that balances at each speed, of a smooth and a foam skin."""
    skins = [airframe.with_finish(skin) for skin in FINISHES]
    each = [trimmed_at(skin, None, speeds_m_s).elevator_deg for skin in skins]
    return np.minimum(*each), np.maximum(*each)


def hands_off_m_s(
    airframe: Airframe, elevator_deg: float, angles: Mapping[str, float] | None = None
) -> float:
    """Speed at which it flies with the elevator left where it is.

    Parameters
    ----------
    elevator_deg : float
        On top of what is set, trailing edge down +.
    angles : mapping of str to float, optional
        Surface angles, deg.

    Raises
    ------
    ValueError
        If the balance point is behind the neutral point, so that no speed comes back by itself; or if no
        speed from the stall to three times it needs that elevator.
    """
    found = balance(airframe, angles)
    if not found.stable:
        raise ValueError(
            f"the balance point is {-found.margin_mm[0]:.0f} mm behind the neutral point, so no speed holds "
            f"by itself; move it to {found.usual_cg_mm[1]:.0f} mm or less behind the leading edge"
        )
    slowest = float(performance(airframe, angles).stall.speed_m_s)
    row = trimmed_at(airframe, angles, _speeds(slowest))
    speed = _settled(row, elevator_deg)
    if not 0 < speed < np.inf:
        row = row[row.converged]
        raise ValueError(
            f"no speed from {row.speed_m_s[0]:.1f} to {row.speed_m_s[-1]:.1f} m/s balances with that "
            f"elevator; they need {row.elevator_deg[0]:.1f} to {row.elevator_deg[-1]:.1f} deg"
        )
    return speed


def moved_to(airframe: Airframe, cg_mm: float, trimmed: Trimmed, stall_m_s: float, found: Balance) -> Moved:
    """Move the balance point and leave the trim.

    Parameters
    ----------
    trimmed : Trimmed
        The glide that it is trimmed for with the balance point where it is.
    stall_m_s : float
        Speed at which the wing lets go.
    found : Balance
        Where the balance point is.
    """
    frame = Airframe.from_aircraft(balanced_at(airframe.aircraft, cg_mm))
    speeds = np.append(trimmed.speed_m_s * np.array([1.0, DIVE_FACTOR]), _speeds(stall_m_s))
    own = trimmed_at(frame, None, speeds)
    skins = [frame.with_finish(skin) for skin in FINISHES if skin != frame.finish]
    rows = [own[:2], *(trimmed_at(skin, None, speeds[:2]) for skin in skins)]
    each = np.stack([row.elevator_deg for row in rows])
    found = found.at(cg_mm)
    return Moved(
        balance=found,
        elevator_deg=(each.min(axis=0), each.max(axis=0)),
        hands_off_m_s=_settled(own[2:], float(trimmed.elevator_deg)) if found.stable else np.nan,
        dive=dive_test(frame, found, float(trimmed.speed_m_s)),
        doubts=every(*(row.doubts for row in rows)),
    )


def dive_test(airframe: Airframe, found: Balance, trimmed_m_s: float) -> DiveTest:
    """How hard it pulls up when the stick is let go in a dive at `DIVE_FACTOR` times the trimmed speed.

    Parameters
    ----------
    found : Balance
        Where the balance point is.
    """
    low, high = (percent / 100 for percent in found.margin_percent)
    added = _tail_damping(airframe)

    def pull(margin: float) -> float:
        return (DIVE_FACTOR**2 - 1) * margin / max(max(margin, 0.0) + added, _LEAST_DAMPING)

    # What damps a wing without a tail is left out: it may pull less than told, down to nothing.
    least = pull(low) if airframe.tail else min(pull(low), 0.0)
    return DiveTest(trimmed_m_s, DIVE_FACTOR * trimmed_m_s, (least, pull(high)))


def _tail_damping(airframe: Airframe) -> float:
    """What the tail's own motion in a pull-up adds to the margin, as a share of the mean chord."""
    if airframe.tail is None:
        return 0.0
    strips, arm = airframe.tail.strips, airframe.tail.described.arm_mm / 1000
    aspect = strips.aspect_ratio
    slope = 2 * np.pi * aspect / (2 + np.sqrt(aspect**2 + 4)) * airframe.tail.lean**2
    volume = strips.area_m2 * arm / (airframe.wing.area_m2 * airframe.wing.mean_chord_m)
    mass = airframe.aircraft.mass_kg
    return float(slope * volume * STANDARD_AIR.density_kg_m3 * airframe.wing.area_m2 * arm / (2 * mass))


def _speeds(stall_m_s: float) -> np.ndarray:
    """From near the stall to three times its speed."""
    return np.geomspace(1.02 * stall_m_s, 3 * stall_m_s, _STEPS)


def _settled(row: Trimmed, elevator_deg: float) -> float:
    """Speed of a row at which an elevator balances, 0 below it, inf above it; even in 1 / V^2, as lift is."""
    row = row[row.converged]
    if not row.speed_m_s.size or elevator_deg < row.elevator_deg[0]:
        return 0.0
    if elevator_deg > row.elevator_deg[-1]:
        return np.inf
    needed = np.maximum.accumulate(row.elevator_deg)
    return float(np.interp(elevator_deg, needed, row.speed_m_s**-2.0) ** -0.5)
