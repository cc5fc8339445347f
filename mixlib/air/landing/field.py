"""Landings on the reader's field with the aircraft set in several ways."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.doubt import every
from mixlib.air.aircraft.flight import Performance
from mixlib.air.aircraft.from_setup import angles_at, known_performance
from mixlib.air.landing.approach import FLARES
from mixlib.air.landing.landing import Landing, land
from mixlib.describe import Aircraft, LandingField, Setup

__all__ = ["CLEARANCE_M", "Flown", "Path", "landings", "turn_height_m"]

Angles = tuple[tuple[str, float], ...]

CLEARANCE_M = 1.5
"""Height to spare above the obstacle on every approach, m."""
_TURN_OVER_M = 9.0  # height of the final turn over the obstacle
_LOWEST_TURN_M = 15.0
_SLIDE = np.linspace(0, 1, 9)  # places of the slide in time that a path has


@dataclass(frozen=True)
class Path:
    """One path over the obstacle, from the turn to the stop.

    Attributes
    ----------
    time_s, x_m, z_m : numpy.ndarray
        Seconds since it crossed the obstacle, places along the ground behind the obstacle, and heights, m.
    touchdown_m, stop_m : float
        Touchdown and stop behind the obstacle, m; NaN when the obstacle is not cleared.
    doubts : int
        What casts doubt on it, as flags of `mixlib.air.aircraft.doubt.Doubt` (no unit).
    """

    name: str
    time_s: np.ndarray
    x_m: np.ndarray
    z_m: np.ndarray
    touchdown_m: float
    stop_m: float
    field: LandingField
    doubts: int = 0

    def at(self, time_s: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Place behind the obstacle and height, m, some seconds after it was crossed; at last at rest."""
        return np.interp(time_s, self.time_s, self.x_m), np.interp(time_s, self.time_s, self.z_m)


@dataclass(frozen=True)
class Flown:
    """A landing over what stands in front of the field.

    Attributes
    ----------
    landing : Landing
        The landing as planned, and with speed, heading and drag a little off.
    """

    performance: Performance
    landing: Landing
    path: Path

    @property
    def doubts(self) -> int:
        """What casts doubt on the approach or the landing, as flags of `Doubt` (no unit)."""
        return self.path.doubts

    @property
    def spread_m(self) -> tuple[float, float]:
        """Nearest and furthest touchdown of all cases, m behind the obstacle; NaN if none comes down."""
        places = self.landing.touchdown_m[np.isfinite(self.landing.touchdown_m)]
        return (float(places.min()), float(places.max())) if places.size else (np.nan, np.nan)


def turn_height_m(field: LandingField) -> float:
    """Height of the final turn, m."""
    return max(_LOWEST_TURN_M, field.obstacle_m + _TURN_OVER_M)


def landings(
    setup: Setup,
    levers: Mapping[str, Mapping[str, float]],
    head_wind_m_s: float = 0.0,
    late: str = "",
    flare: str = "normal",
) -> dict[str, Flown]:
    """Land on the set-up's field with the levers at several places, each with what may be a little off.

    Parameters
    ----------
    levers : mapping of str to mapping
        Name to the commands, such as ``{"full": {"camber": 1.0}}``.
    head_wind_m_s : float
        Head wind at 10 m height.
    late : str
        Name of what is set only over the obstacle, with the first of them before; none when empty.
    flare : str
        One of `mixlib.air.landing.approach.FLARES`.

    Raises
    ------
    ValueError
        If no approach can be flown with a setting.
    """
    angles = {name: tuple(angles_at(setup, **asked).items()) for name, asked in levers.items()}
    before = next(iter(angles.values()))
    result = {}
    for name, own in angles.items():
        found = known_performance(setup.aircraft, dict(own))
        if not found.approach.converged:
            raise ValueError(f"{name}: no approach was found that can be flown so; take less of it")
        at_first, at_edge = (before, own) if name == late else (own, None)
        landing = _landed(setup.aircraft, setup.field, at_first, at_edge, head_wind_m_s, flare)
        doubts = every(found.approach.doubts, landing.doubts)
        result[name] = Flown(found, landing, _path(name, landing, setup.field, doubts))
    return result


def _path(name: str, landing: Landing, field: LandingField, doubts: int) -> Path:
    """The landing as planned, with its slide at an even deceleration."""
    flown, down_s = landing.paths, float(landing.paths.touchdown_s[0])
    touchdown, slides = float(landing.touchdown_m[0]), float(landing.slides_m[0])
    behind = flown.x_m[:, 0] - landing.turn_m[0]
    if np.isnan(touchdown):
        return Path(name, flown.time_s, behind, flown.z_m[:, 0], np.nan, np.nan, field, doubts)
    before = flown.time_s < down_s
    speed = float(flown.ground_speed_m_s[0])
    slide_s = 2 * slides / speed * _SLIDE if speed > 0 else 0 * _SLIDE
    crossed = np.interp(0.0, behind, flown.time_s)
    return Path(
        name,
        np.concatenate([flown.time_s[before], down_s + slide_s]) - crossed,
        np.concatenate([behind[before], touchdown + slides * _SLIDE * (2 - _SLIDE)]),
        np.concatenate([flown.z_m[before, 0], np.full(_SLIDE.size, flown.z_m[-1, 0])]),
        touchdown,
        touchdown + slides,
        field,
        doubts,
    )


@lru_cache(maxsize=256)
def _landed(
    aircraft: Aircraft,
    field: LandingField,
    angles: Angles,
    at_edge: Angles | None,
    head_wind_m_s: float,
    flare: str,
) -> Landing:
    """One landing, flown only once: while one setting is changed, the others stay."""
    return land(
        Airframe.from_aircraft(aircraft),
        {"": known_performance(aircraft, dict(angles))},
        field=field,
        height_m=turn_height_m(field),
        head_wind_m_s=head_wind_m_s,
        clearance_m=CLEARANCE_M,
        flare=FLARES[flare],
        late=None if at_edge is None else {"": known_performance(aircraft, dict(at_edge))},
        late_height_m=field.obstacle_m + CLEARANCE_M,
    )[""]
