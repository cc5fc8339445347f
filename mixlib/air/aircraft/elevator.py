"""The elevator for every place of the flap or air-brake lever, in degrees and as the radio can hold it.

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
from mixlib.air.aircraft.bands import band
from mixlib.air.aircraft.glide import Trimmed
from mixlib.air.aircraft.trim import at_speed
from mixlib.air.section.shapes import FINISHES
from mixlib.bench.surface.throws import demand_for_angle_percent, follow_demand
from mixlib.describe import FreeMix, Setup
from mixlib.units import to_step

__all__ = ["Compensation", "HeldCurve", "compensation", "held_by_radio"]


@dataclass(frozen=True)
class Compensation:
    """Elevator against the flap or air-brake lever, at one speed.

    Attributes
    ----------
    share : numpy.ndarray
        Share of the lever's way, 0 to 1, shape (k,).
    change_deg : numpy.ndarray
        Elevator that balances the aircraft, less what the first place needs, trailing edge down +: this is
        what a mix must add.
    band_deg : tuple of numpy.ndarray
        Least and most change to expect, deg: of a smooth and a foam skin, each with the band of its kind.
    glides : Trimmed
        The glides, shape (k,); `Trimmed.converged` tells which can be flown.
    """

    share: np.ndarray
    change_deg: np.ndarray
    band_deg: tuple[np.ndarray, np.ndarray]
    glides: Trimmed

    @property
    def doubts(self) -> np.ndarray:
        """What casts doubt on each place, as flags of `Doubt` (no unit); shape (k,)."""
        return self.glides.doubts


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
    worst_deg : float
        The most that is left for the stick, either way.
    """

    output: int
    gain_percent: float
    curve_percent: tuple[float, ...]
    held_deg: np.ndarray
    worst_deg: float

    def as_mix(self, leader: str) -> FreeMix:
        """The mix to put into a set-up, led by the lever's command."""
        return FreeMix(
            leader=leader,
            follower=self.output,
            gain_above_percent=self.gain_percent,
            curve_percent=self.curve_percent,
        )


def compensation(
    airframe: Airframe,
    places: Sequence[Mapping[str, float]],
    speed_m_s: float,
    own: Trimmed | None = None,
) -> Compensation:
    """Elevator that the flap or air-brake lever needs at evenly spaced places, with the speed held.

    Parameters
    ----------
    places : sequence of mapping of str to float
        Surface angles in deg at each place, from the first to the last.
    own : Trimmed, optional
        The glides at the places with the skin that it has, shape (k,), if they are known already.

    Raises
    ------
    ValueError
        If a surface is unknown, the speed is out of range, or there are fewer than 2 places.
    """
    if len(places) < 2:
        raise ValueError("give at least 2 places, the first and the last of the lever")
    angles = np.stack([airframe.angles_deg(place) for place in places])
    glides = own or at_speed(airframe, angles, speed_m_s)
    skins = [airframe.with_finish(finish) for finish in FINISHES if finish != airframe.finish]
    rows = [glides, *(at_speed(skin, angles, speed_m_s) for skin in skins)]
    changes = [row.elevator_deg - row.elevator_deg[0] for row in rows]
    ends = [end for change in changes for end in band("elevator change", change)]
    return Compensation(
        share=np.linspace(0.0, 1.0, len(places)),
        change_deg=changes[0],
        band_deg=(np.min(ends, axis=0), np.max(ends, axis=0)),
        glides=glides,
    )


def held_by_radio(wanted: Compensation, setup: Setup, surface: str) -> HeldCurve:
    """Bring a compensation into the reader's radio: through linkage and servo to the points it can hold.

    The elevator of the lever's first place is taken to be trimmed in already; the mix adds nothing there.

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

    def angle(percent: np.ndarray | float) -> np.ndarray:
        return follow_demand(setup, surface, output.shift_percent + percent).angle_deg

    base = angle(0.0)
    percent = demand_for_angle_percent(setup, surface, base + wanted.change_deg) - output.shift_percent
    points = radio.curve_points - (radio.curve_points + 1) % 2  # an odd number has a point in the middle
    places = np.linspace(0.0, 1.0, (points + 1) // 2) if points >= 3 else np.array([0.0, 1.0])
    # Each free point counts by how near the lever is to it; the one at 0 is not free but 0.
    shape = np.stack([np.interp(wanted.share, places, row) for row in np.eye(len(places))[1:]], axis=-1)
    free, *_ = np.linalg.lstsq(shape, percent, rcond=None)
    free = np.clip(to_step(free, radio.gain_step_percent), radio.gain_min_percent, radio.gain_max_percent)
    held = angle(shape @ free) - base
    curve = (*[0.0] * len(places), *free.tolist()) if points >= 3 else ()
    return HeldCurve(
        output=output.number,
        gain_percent=0.0 if curve else float(free[0]),
        curve_percent=curve,
        held_deg=held,
        worst_deg=float(np.max(np.abs(wanted.change_deg - held))),
    )
