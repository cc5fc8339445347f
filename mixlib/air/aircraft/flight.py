"""How an aircraft flies with its surfaces set: the glide polar and what a pilot reads from it.

Start here::

    from mixlib.air.aircraft import Airframe, performance
    from mixlib.describe import shipped

    airframe = Airframe.from_aircraft(shipped("aircraft", "orchard_three"))
    clean = performance(airframe)
    landing = performance(airframe, {"left flap": 40, "right flap": 40})
    clean.stall.speed_m_s, clean.best_glide.glide_ratio, landing.approach.glide_ratio_band

Where the surfaces stand is a mapping from their names to angles in deg, trailing edge down positive; surfaces
not named stand at 0, and the elevator that balances the aircraft comes on top of what is set.  Every point of
flight is a `Trimmed`: speed, sink, glide ratio, elevator, the band in which its drag may lie, and how much of
its section data comes from the table.

`mixlib.air.aircraft.camber` adds dives and the effect of a degree of camber, `mixlib.air.aircraft.handling`
rolls and adverse yaw, `mixlib.air.aircraft.elevator` the elevator for every flap setting,
`mixlib.air.landing` the landing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.doubt import Doubt, every
from mixlib.air.aircraft.glide import STANDARD_AIR, Air, Trimmed
from mixlib.air.aircraft.trim import at_incidence, at_speed, stall_range

__all__ = [
    "APPROACH_FACTOR",
    "BANK_FACTOR",
    "SAFE_LIFT",
    "Performance",
    "Upwind",
    "best_into_wind",
    "performance",
    "polar",
    "trimmed_at",
    "upwind",
]

APPROACH_FACTOR = 1.3
"""Approach speed over the speed at which the wing begins to let go; common practice, no source."""

SAFE_LIFT = 0.93
"""Share of the lift at which the first section stalls from which on a wing is taken to let go: what gusts,
gaps and soft skins take (judgement, no source; with the uneven load of a wing it comes to the 0.9 of hand
calculations)."""

BANK_FACTOR = float(1 / np.sqrt(np.cos(np.radians(30.0))))
"""Stalling speed in a turn of 30 deg of bank over that in straight flight: the lift must be 1 / cos(bank)."""

_POINTS = 25  # glides of a polar


@dataclass(frozen=True)
class Performance:
    """What the glide polar tells.

    Attributes
    ----------
    polar : Trimmed
        Glides from no lift to past the stall, shape (points,), with rising incidence.
    stall : Trimmed
        The glide at which the first part of the wing begins to let go, at `Trimmed.first_to_stall_m`, with
        `SAFE_LIFT` of what its section can do; the safe one.
    slowest : Trimmed
        The slowest glide that can be held, with most of the lift; much of the wing has let go by then.
    approach : Trimmed
        The glide at the approach speed, `APPROACH_FACTOR` times that of `stall`.
    """

    air: Air
    polar: Trimmed
    stall: Trimmed
    slowest: Trimmed
    best_glide: Trimmed
    least_sink: Trimmed
    approach: Trimmed

    @classmethod
    def from_polar(cls, row: Trimmed, air: Air = STANDARD_AIR) -> Performance:
        """Read a polar: glides with rising incidence, shape (points,)."""
        held = _peak(np.where(row.converged, row.lift, -np.inf))
        first, flying = _flying(row)
        stall = row.between(max(first, _safe(row, min(_first_below(row.margin_deg), held))))
        slowest, short = row.between(held), 0
        if row.margin_deg[int(held)] > 0 and row.doubts[int(held) + 1 :][:1] & Doubt.ELEVATOR_STOP:
            short = int(Doubt.ELEVATOR_FIRST)

        def cut_short(glide: Trimmed) -> Trimmed:
            """Marked where it lies at the end that the elevator sets."""
            return glide.doubted(short if glide.speed_m_s < 1.02 * slowest.speed_m_s else 0)

        return cls(
            air=air,
            polar=row,
            stall=stall.doubted(short),
            slowest=slowest.doubted(short),
            best_glide=cut_short(best_into_wind(flying, 0.0)),
            least_sink=cut_short(flying.between(_peak(-flying.sink_m_s))),
            approach=_at_speed(flying, APPROACH_FACTOR * float(stall.speed_m_s)).doubted(short),
        )

    def at_speed(self, speed_m_s: float) -> Trimmed:
        """Read the polar at a speed, or at the nearest that it has with lift; quicker than `trimmed_at`."""
        return _at_speed(_flying(self.polar)[1], speed_m_s)

    @property
    def doubts(self) -> int:
        """What casts doubt on stall, best glide, least sink or approach, as flags of `Doubt` (no unit)."""
        read = (self.stall, self.best_glide, self.least_sink, self.approach)
        return every(*(glide.doubts for glide in read))

    @property
    def banked_m_s(self) -> float:
        """Speed at which the first part of the wing lets go in a turn of 30 deg of bank."""
        return BANK_FACTOR * float(self.stall.speed_m_s)


@dataclass(frozen=True)
class Upwind:
    """A head wind, the glide that is best in still air, and the one that goes furthest against the wind."""

    head_wind_m_s: float
    still: Trimmed
    best: Trimmed

    def gained_m(self, height_m: float) -> float:
        """How much further over the ground `best` gets from a height than `still`."""
        best, still = (glide.reach_m(height_m, self.head_wind_m_s) for glide in (self.best, self.still))
        return float(best - still)


def polar(
    airframe: Airframe, angles: Mapping[str, ArrayLike] | None = None, air: Air = STANDARD_AIR
) -> Trimmed:
    """Trimmed glides from no lift to a little past the stall.

    Parameters
    ----------
    angles : mapping of str to array_like, optional
        Surface angles, deg.

    Returns
    -------
    Trimmed
        Shape (..., points), the incidence rising along the last axis.
    """
    set_deg = airframe.angles_deg(angles)
    nothing, half = stall_range(airframe, set_deg)
    alpha = nothing[..., None] + np.linspace(0.0, 1.0, _POINTS) * (half + 2.0 - nothing)[..., None]
    return at_incidence(airframe, set_deg[..., None, :], alpha, air)


def performance(
    airframe: Airframe, angles: Mapping[str, float] | None = None, air: Air = STANDARD_AIR
) -> Performance:
    """Glide polar with its stall, best glide, least sink and approach.

    Parameters
    ----------
    angles : mapping of str to float, optional
        Surface angles, deg.

    Raises
    ------
    ValueError
        If a surface is unknown.
    """
    return Performance.from_polar(polar(airframe, angles, air), air)


def trimmed_at(airframe: Airframe, angles: Mapping[str, ArrayLike] | None, speed_m_s: ArrayLike) -> Trimmed:
    """Steady glides at given speeds, solved rather than read from a polar; any arrays that broadcast.

    Parameters
    ----------
    angles : mapping of str to array_like, optional
        Surface angles, deg, leading shape (...).

    Returns
    -------
    Trimmed
        The glides; `Trimmed.converged` is False where the wing cannot carry the weight.

    Raises
    ------
    ValueError
        If a surface is unknown or a speed is out of range.
    """
    return at_speed(airframe, airframe.angles_deg(angles), speed_m_s)


def upwind(airframe: Airframe, head_wind_m_s: float) -> Upwind:
    """Find the speed that gets furthest against a head wind (negative: a tail wind).

    Raises
    ------
    ValueError
        If the wind blows faster than anything that the aircraft is tried at.
    """
    found = performance(airframe)
    _, flying = _flying(found.polar)
    fastest = float(flying.speed_m_s.max())
    if head_wind_m_s >= fastest:
        raise ValueError(f"head_wind_m_s is {head_wind_m_s:g}; give less than {fastest:.0f} m/s")
    return Upwind(head_wind_m_s, found.best_glide, best_into_wind(flying, head_wind_m_s))


def best_into_wind(row: Trimmed, head_wind_m_s: float) -> Trimmed:
    """Of a row of glides, with incidence rising, the one that goes furthest over the ground in a wind."""
    return row.between(_peak(np.where(row.converged, row.reach_m(1.0, head_wind_m_s), -np.inf)))


def _peak(values: np.ndarray) -> float:
    """Place of the largest value of a row, with a fraction, by a parabola through it and its neighbours."""
    at = int(np.argmax(values))
    if at in (0, len(values) - 1) or not np.all(np.isfinite(values[at - 1 : at + 2])):
        return float(at)
    before, most, after = values[at - 1 : at + 2]
    bend = before - 2 * most + after
    return at + (0.5 * (before - after) / bend if bend < 0 else 0.0)


def _at_speed(flying: Trimmed, speed_m_s: float) -> Trimmed:
    places = np.arange(len(flying.speed_m_s), dtype=float)
    # Speeds fall along the row.  The lift is what changes evenly between its points.
    place = np.interp(-1 / speed_m_s**2, -1 / flying.speed_m_s[::-1] ** 2, places[::-1])
    return flying.between(float(place))


def _first_below(margin_deg: np.ndarray) -> float:
    """Place of a row, with a fraction, at which a margin falls below nought; the last if it never does."""
    at = int(np.argmax(margin_deg < 0))
    if not margin_deg[at] < 0:
        return float(len(margin_deg) - 1)
    return at - margin_deg[at] / (margin_deg[at] - margin_deg[at - 1]) if at else 0.0


def _safe(row: Trimmed, stalled: float) -> float:
    """Place, with a fraction, of the glide with `SAFE_LIFT` of the lift of a later one."""
    places = np.arange(int(stalled) + 2.0)
    lift = np.maximum.accumulate(np.interp(np.minimum(places, stalled), np.arange(len(row.lift)), row.lift))
    return float(np.interp(SAFE_LIFT * lift[-1], lift, places))


def _flying(row: Trimmed) -> tuple[int, Trimmed]:
    """Glides with lift up to the stall, and the place of the first."""
    most = int(np.argmax(np.where(row.converged, row.lift, -np.inf)))
    lifted = int(np.argmax(row.lift > 0.02))
    first = min(lifted, most)
    return first, row[first : max(most + 1, lifted + 3)]
