"""The club's field of the demo, and landings on it with the reader's aircraft set in several ways."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.doubt import every
from mixlib.air.aircraft.flight import Performance
from mixlib.air.aircraft.from_setup import angles_at, known_performance
from mixlib.air.landing.landing import Landing, land
from mixlib.describe import Aircraft, Setup

__all__ = ["CLEARANCE_M", "HEDGE_M", "STRIP_M", "TURN_HEIGHT_M", "Flown", "Path", "landings"]

Angles = tuple[tuple[str, float], ...]

HEDGE_M = 6.0
"""Height of the Orchard Field club's hedge, m (invented)."""
STRIP_M = 60.0
"""Length of its strip behind the hedge, m (invented)."""
CLEARANCE_M = 1.5
"""Height to spare above the hedge on every approach, m."""
TURN_HEIGHT_M = 15.0
"""Height of the final turn, m."""


@dataclass(frozen=True)
class Path:
    """One path over the hedge.

    Attributes
    ----------
    x_m, z_m : numpy.ndarray
        Places along the ground behind the hedge, and heights, m.
    touchdown_m : float
        Touchdown behind the hedge, m; NaN when the hedge is not cleared.
    doubts : int
        What casts doubt on it, as flags of `mixlib.air.aircraft.doubt.Doubt` (no unit).
    """

    name: str
    x_m: np.ndarray
    z_m: np.ndarray
    touchdown_m: float
    doubts: int = 0


@dataclass(frozen=True)
class Flown:
    """A landing over the club's hedge.

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
        """Nearest and furthest touchdown of all cases, m behind the hedge; NaN if none comes down."""
        places = self.landing.touchdown_m[np.isfinite(self.landing.touchdown_m)]
        return (float(places.min()), float(places.max())) if places.size else (np.nan, np.nan)


def landings(
    setup: Setup, levers: Mapping[str, Mapping[str, float]], head_wind_m_s: float = 0.0, late: str = ""
) -> dict[str, Flown]:
    """Fly the approach over the hedge with the levers at several places, each with what may be a little off.

    Parameters
    ----------
    levers : mapping of str to mapping
        Name to the commands, such as ``{"full": {"camber": 1.0}}``.
    head_wind_m_s : float
        Head wind at 10 m height.
    late : str
        Name of what is set only at the hedge, with the first of them before; none when empty.

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
        at_first, at_hedge = (before, own) if name == late else (own, None)
        landing = _landed(setup.aircraft, at_first, at_hedge, head_wind_m_s)
        behind = landing.paths.x_m[:, 0] - landing.turn_m[0]
        doubts = every(found.approach.doubts, landing.doubts)
        path = Path(name, behind, landing.paths.z_m[:, 0], float(landing.touchdown_m[0]), doubts)
        result[name] = Flown(found, landing, path)
    return result


@lru_cache(maxsize=64)
def _landed(aircraft: Aircraft, angles: Angles, at_hedge: Angles | None, head_wind_m_s: float) -> Landing:
    """One landing, flown only once: while one setting is changed, the others stay."""
    return land(
        Airframe.from_aircraft(aircraft),
        {"": known_performance(aircraft, dict(angles))},
        height_m=TURN_HEIGHT_M,
        head_wind_m_s=head_wind_m_s,
        obstacle_m=HEDGE_M,
        strip_m=STRIP_M,
        clearance_m=CLEARANCE_M,
        late=None if at_hedge is None else {"": known_performance(aircraft, dict(at_hedge))},
        late_height_m=HEDGE_M + CLEARANCE_M,
    )[""]
