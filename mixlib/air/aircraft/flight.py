"""How an aircraft flies with its surfaces set: the glide polar and what a pilot reads from it.

Start here::

    from mixlib.air.aircraft import flight
    from mixlib.describe import shipped

    airframe = flight.Airframe.from_aircraft(shipped("aircraft", "orchard_three"))
    clean = flight.performance(airframe)
    landing = flight.performance(airframe, {"left flap": 40, "right flap": 40})
    clean.stall.speed_m_s, clean.best_glide.glide_ratio, landing.approach.glide_ratio_band

A setting is a mapping from surface names to angles in deg, trailing edge down positive; surfaces not named
stand at 0, and the elevator that balances the aircraft comes on top of what is set.  Every point of flight is
a `Trimmed`: speed, sink, glide ratio, elevator, margin to the stall, the band in which its drag may lie, and
how much of its section data comes from the table.

`mixlib.air.aircraft.camber` adds dives and the effect of a degree of camber, `mixlib.air.aircraft.handling`
rolls and adverse yaw, `mixlib.air.aircraft.elevator` the elevator for every flap setting,
`mixlib.air.landing` the landing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.glide import STANDARD_AIR, Air, Trimmed
from mixlib.air.aircraft.trim import at_incidence, at_speed, stall_range

__all__ = [
    "APPROACH_FACTOR",
    "STANDARD_AIR",
    "Air",
    "Airframe",
    "Performance",
    "Trimmed",
    "performance",
    "polar",
    "trimmed_at",
]

APPROACH_FACTOR = 1.3
"""Approach speed over stalling speed; common practice, no source."""


@dataclass(frozen=True)
class Performance:
    """What the glide polar of one setting tells.

    Attributes
    ----------
    setting : dict of str to float
        Surface angles as set, deg.
    polar : Trimmed
        Glides from no lift to past the stall, shape (points,), with rising incidence.
    approach : Trimmed
        The glide at the approach speed, `APPROACH_FACTOR` times the stalling speed unless asked otherwise.
    """

    setting: dict[str, float]
    air: Air
    polar: Trimmed
    stall: Trimmed
    best_glide: Trimmed
    least_sink: Trimmed
    approach: Trimmed

    @classmethod
    def from_polar(
        cls,
        row: Trimmed,
        setting: Mapping[str, float] | None = None,
        air: Air = STANDARD_AIR,
        approach_m_s: float | None = None,
    ) -> Performance:
        """Read a polar.

        Parameters
        ----------
        row : Trimmed
            Glides with rising incidence, shape (points,).
        setting : mapping of str to float, optional
            Surface angles of the polar, deg.
        approach_m_s : float, optional
            Approach speed; `APPROACH_FACTOR` times the stalling speed if left out.

        Raises
        ------
        ValueError
            If the approach speed is not within the polar.
        """
        stall = row.between(_peak(np.where(row.converged, row.lift, -np.inf)))
        flying = _flying(row)
        speed = approach_m_s
        if speed is None:
            speed = min(APPROACH_FACTOR * float(stall.speed_m_s), float(flying.speed_m_s.max()))
        return cls(
            setting=dict(setting or {}),
            air=air,
            polar=row,
            stall=stall,
            best_glide=flying.between(_peak(flying.glide_ratio)),
            least_sink=flying.between(_peak(-flying.sink_m_s)),
            approach=_at_speed(row, speed),
        )

    def at_speed(self, speed_m_s: float) -> Trimmed:
        """Glide at a speed, read from the polar.

        Raises
        ------
        ValueError
            If the polar does not reach that speed.
        """
        return _at_speed(self.polar, speed_m_s)

    def best_into_wind(self, head_wind_m_s: float) -> Trimmed:
        """Glide that goes furthest over the ground against a head wind.

        Parameters
        ----------
        head_wind_m_s : float
            Head wind, m/s; a tail wind is negative.

        Returns
        -------
        Trimmed
            The glide; over the ground it makes ``(speed cos(path) - wind) / sink``.
        """
        row = _flying(self.polar)
        along = row.speed_m_s * np.cos(np.radians(row.path_deg)) - head_wind_m_s
        return row.between(_peak(along / row.sink_m_s))


def polar(
    airframe: Airframe, setting: Mapping[str, float] | None = None, air: Air = STANDARD_AIR, points: int = 25
) -> Trimmed:
    """Trimmed glides from no lift to a little past the stall.

    Parameters
    ----------
    setting : mapping of str to array_like, optional
        Surface angles, deg.
    points : int
        Number of glides, at least 8.

    Returns
    -------
    Trimmed
        Shape (..., points), the incidence rising along the last axis.
    """
    angles = airframe.angles_deg(setting)
    nothing, _, half = stall_range(airframe, angles)
    alpha = nothing[..., None] + np.linspace(0.0, 1.0, points) * (half + 2.0 - nothing)[..., None]
    return at_incidence(airframe, angles[..., None, :], alpha, air)


def performance(
    airframe: Airframe,
    setting: Mapping[str, float] | None = None,
    air: Air = STANDARD_AIR,
    approach_m_s: float | None = None,
    points: int = 25,
) -> Performance:
    """Glide polar of a setting with its stall, best glide, least sink and approach.

    Parameters
    ----------
    setting : mapping of str to float, optional
        Surface angles, deg.
    approach_m_s : float, optional
        Approach speed; `APPROACH_FACTOR` times the stalling speed if left out.
    points : int
        Number of glides of the polar, at least 8.

    Raises
    ------
    ValueError
        If a surface is unknown or the approach speed is not within the polar.
    """
    row = polar(airframe, setting, air, points)
    return Performance.from_polar(row, setting, air, approach_m_s)


def trimmed_at(
    airframe: Airframe, setting: Mapping[str, float] | None, speed_m_s, air: Air = STANDARD_AIR
) -> Trimmed:
    """Steady glides at given speeds, solved rather than read from a polar; any arrays that broadcast.

    Parameters
    ----------
    setting : mapping of str to array_like, optional
        Surface angles, deg, leading shape (...).
    speed_m_s : array_like
        Speed through the air, m/s, shape (...).

    Returns
    -------
    Trimmed
        The glides; `Trimmed.converged` is False where the wing cannot carry the weight.

    Raises
    ------
    ValueError
        If a surface is unknown or a speed is out of range.
    """
    return at_speed(airframe, airframe.angles_deg(setting), speed_m_s, air)


def _peak(values: np.ndarray) -> float:
    """Place of the largest value of a row, with a fraction, by a parabola through it and its neighbours."""
    at = int(np.argmax(values))
    if at in (0, len(values) - 1) or not np.all(np.isfinite(values[at - 1 : at + 2])):
        return float(at)
    before, most, after = values[at - 1 : at + 2]
    bend = before - 2 * most + after
    return at + (0.5 * (before - after) / bend if bend < 0 else 0.0)


def _flying(row: Trimmed) -> Trimmed:
    """Glides with lift up to the stall."""
    most = int(np.argmax(np.where(row.converged, row.lift, -np.inf)))
    first = int(np.argmax(row.lift > 0.02))
    return row[min(first, most) : max(most + 1, first + 3)]


def _at_speed(row: Trimmed, speed_m_s: float) -> Trimmed:
    flying = _flying(row)
    slowest, fastest = flying.speed_m_s.min(), flying.speed_m_s.max()
    if not slowest * 0.999 <= speed_m_s <= fastest * 1.001:
        raise ValueError(
            f"speed_m_s is {speed_m_s:g}; this setting flies from {slowest:.1f} to {fastest:.1f} m/s"
        )
    places = np.arange(len(flying.speed_m_s), dtype=float)
    # Speeds fall along the row.  The lift is what changes evenly between its points.
    return flying.between(np.interp(-1 / speed_m_s**2, -1 / flying.speed_m_s[::-1] ** 2, places[::-1]))
