"""The elevator for every flap and air-brake setting, in degrees and as the radio can hold it.

Landing flaps and crow change the wing's own moment and the air at the tail, and the pilot who holds one
approach speed must give elevator for it.  The curve of that elevator against the flap lever is rarely a
straight line: it rises quickly with the first of the flap and flattens, or turns round.  A radio with a mix
curve can follow it, one with a straight gain can only come near; what is left over the pilot holds with the
stick.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.flight import APPROACH_FACTOR, performance
from mixlib.air.aircraft.glide import STANDARD_AIR, Air, Trimmed
from mixlib.air.aircraft.trim import at_speed
from mixlib.bench.surface.throws import demand_for_angle_percent, follow_demand
from mixlib.describe import FreeMix, Setup

__all__ = ["Compensation", "HeldCurve", "compensation", "held_by_radio", "scaled"]

_REACHED_DEG = 0.02  # well below what a linkage holds; the inverse is read from a fine grid


@dataclass(frozen=True)
class Compensation:
    """Elevator against the flap or air-brake lever, at one speed.

    Attributes
    ----------
    share : numpy.ndarray
        Lever, 0 at the first setting to 1 at the last, shape (k,).
    elevator_deg : numpy.ndarray
        Elevator that balances the aircraft, trailing edge down +.
    change_deg : numpy.ndarray
        The same, less what the first setting needs: this is what a mix must add.
    glides : Trimmed
        The glides, shape (k,).
    """

    share: np.ndarray
    speed_m_s: float
    elevator_deg: np.ndarray
    change_deg: np.ndarray
    glides: Trimmed


@dataclass(frozen=True)
class HeldCurve:
    """A compensation as a radio holds it, as a mix from the lever into the elevator's output.

    Attributes
    ----------
    gain_percent : float
        Gain of the mix for the lever's positive side; used when the radio has no curves.
    curve_percent : tuple of float
        Points of the mix at evenly spaced levers from -100 % to +100 %, those of the other side at 0; empty
        when the radio has no curves.
    held_deg : numpy.ndarray
        Change of the elevator that the mix gives at the shares of the compensation, trailing edge down +.
    out_of_reach : bool
        Whether the elevator's output cannot move far enough.
    """

    output: int
    gain_percent: float
    curve_percent: tuple[float, ...]
    held_deg: np.ndarray
    left_over_deg: np.ndarray
    worst_deg: float
    out_of_reach: bool

    def as_mix(self, leader: str) -> FreeMix:
        """The mix to put into a set-up.

        Parameters
        ----------
        leader : str
            Command of the lever, ``"camber"`` or ``"brake"``.
        """
        return FreeMix(
            leader=leader,
            follower=self.output,
            gain_above_percent=self.gain_percent,
            curve_percent=self.curve_percent,
        )


def scaled(full: Mapping[str, float], share) -> dict[str, np.ndarray]:
    """Settings on the way from neutral to a full setting.

    Parameters
    ----------
    full : mapping of str to float
        Surface angles of the full setting, deg.
    share : array_like
        Lever, 0 to 1.
    """
    return {name: angle * np.asarray(share, float) for name, angle in full.items()}


def compensation(
    airframe: Airframe,
    full: Mapping[str, float] | Sequence[Mapping[str, float]],
    speed_m_s: float | None = None,
    air: Air = STANDARD_AIR,
    points: int = 11,
) -> Compensation:
    """Elevator that every setting of the flap or air-brake lever needs at one speed.

    Parameters
    ----------
    full : mapping of str to float, or a sequence of such mappings
        Surface angles in deg with the lever at its end; on the way they grow evenly from 0.  A sequence gives
        the settings themselves, from the first to the last.
    speed_m_s : float, optional
        Speed that is held, m/s; the approach speed of the clean aircraft if left out.
    points : int
        Number of lever places when one full setting is given, at least 3.

    Returns
    -------
    Compensation
        The curve; `Trimmed.converged` of its glides tells where it can be flown.

    Raises
    ------
    ValueError
        If a surface is unknown, the speed is out of range, or there are fewer than 2 settings.
    """
    if isinstance(full, Mapping):
        share = np.linspace(0.0, 1.0, max(points, 3))
        angles = airframe.angles_deg(scaled(full, share))
        angles = np.broadcast_to(angles, (len(share), angles.shape[-1]))
    else:
        if len(full) < 2:
            raise ValueError("give at least 2 settings, the first and the last of the lever")
        share = np.linspace(0.0, 1.0, len(full))
        angles = np.stack([airframe.angles_deg(setting) for setting in full])
    if speed_m_s is None:
        speed_m_s = APPROACH_FACTOR * float(performance(airframe, air=air).stall.speed_m_s)
    glides = at_speed(airframe, angles, float(speed_m_s), air)
    return Compensation(
        share=share,
        speed_m_s=float(speed_m_s),
        elevator_deg=glides.elevator_deg,
        change_deg=glides.elevator_deg - glides.elevator_deg[0],
        glides=glides,
    )


def held_by_radio(wanted: Compensation, setup: Setup, surface: str) -> HeldCurve:
    """Bring a compensation into the reader's radio: through linkage and servo to the points it can hold.

    The first setting's own elevator is taken to be trimmed in already; the mix adds nothing there.

    Parameters
    ----------
    surface : str
        The surface that compensates, such as ``"elevator"``, or one of a pair that moves alike.

    Returns
    -------
    HeldCurve
        Gain or points, rounded to the radio's step, and what is left over.

    Raises
    ------
    KeyError
        If there is no such surface.
    """
    output, radio = setup.output(setup.wiring[surface]), setup.radio

    def angle(percent) -> np.ndarray:
        return follow_demand(setup, surface, output.shift_percent + percent).angle_deg

    base = float(angle(0.0))
    goal = base + wanted.change_deg
    percent = demand_for_angle_percent(setup, surface, goal) - output.shift_percent
    missed = np.abs(angle(percent) - goal) > _REACHED_DEG

    points = radio.curve_points - (radio.curve_points + 1) % 2  # an odd number has a point in the middle
    places = np.linspace(0.0, 1.0, (points + 1) // 2) if points >= 3 else np.array([0.0, 1.0])
    # Each free point counts by how near the lever is to it; the one at 0 is not free but 0.
    shape = np.stack([np.interp(wanted.share, places, row) for row in np.eye(len(places))[1:]], axis=-1)
    free, *_ = np.linalg.lstsq(shape, percent, rcond=None)
    step = radio.gain_step_percent
    free = np.clip(np.round(free / step) * step, radio.gain_min_percent, radio.gain_max_percent)
    held = angle(shape @ free) - base
    left = wanted.change_deg - held
    curve = (*[0.0] * len(places), *(float(value) for value in free)) if points >= 3 else ()
    return HeldCurve(
        output=output.number,
        gain_percent=0.0 if curve else float(free[0]),
        curve_percent=curve,
        held_deg=held,
        left_over_deg=left,
        worst_deg=float(np.max(np.abs(left))),
        out_of_reach=bool(np.any(missed)),
    )
