"""Will it land on the strip: an approach with all that may go a little wrong.

A landing over an obstacle leaves a window for the final turn: turn too near to it and the touchdown lies too
far down the strip, too far and the obstacle is not cleared.  A flat glide makes the window small or
takes it away; flaps and air brake open it.  The window is worth as much as the pilot's speed, the wind and
the drag are known, so each landing is flown with all of them a little off as well.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.doubt import Doubt
from mixlib.air.aircraft.flight import Performance
from mixlib.air.landing.approach import NORMAL, Approach, Configuration, Flare, fly
from mixlib.describe.field import Ground, LandingField
from mixlib.units import GRAVITY_M_S2

__all__ = ["CASES", "FRICTION", "Landing", "configuration", "land"]

CASES = (
    "as planned",
    "1 m/s slow",
    "1 m/s fast",
    "nose 1 deg left of the wind",
    "nose 1 deg right of the wind",
    "less drag",
    "more drag",
)
"""What each case of a landing is."""

FRICTION: dict[Ground, float] = {"mown grass": 0.3, "long grass": 0.6, "hard ground": 0.2}
"""Force of the ground on a sliding belly or a small wheel over the weight, a ratio (judgement, no source;
D. P. Raymer, "Aircraft Design", table 17.1, from memory, has 0.4 for braked wheels on hard turf)."""

_PILOT_CASES = 5


@dataclass(frozen=True)
class Landing:
    """A landing over an obstacle on to a strip that begins right behind it.

    Attributes
    ----------
    paths : mixlib.air.landing.approach.Approach
        The flown paths in the order of `CASES`, x from the final turn.
    length_m : float
        Length of the strip behind the obstacle.
    slides_m : numpy.ndarray
        Shape (cases,): way from the touchdown to the stop.
    turn_m : numpy.ndarray
        Shape (cases,): distance from the turn to the obstacle at which the case just clears it.
    touchdown_m : numpy.ndarray
        Shape (cases,): touchdown behind the obstacle when every case is turned at the planned place.
    """

    paths: Approach
    length_m: float
    slides_m: np.ndarray
    turn_m: np.ndarray
    touchdown_m: np.ndarray

    @property
    def doubts(self) -> int:
        """Whether a case does not clear the obstacle or does not come down, as flags of `Doubt` (no unit)."""
        return int(Doubt.NOT_LANDED) if np.isnan(self.touchdown_m).any() else 0

    @property
    def stop_m(self) -> np.ndarray:
        """Stop of each case behind the obstacle, turned at the planned place; shape (cases,)."""
        return self.touchdown_m + self.slides_m

    @property
    def windows_m(self) -> np.ndarray:
        """Nearest and furthest distance of the turn from the obstacle for each case; shape (cases, 2).

        The nearest still stops on the strip, the furthest just clears the obstacle.  Where the nearest is
        further than the furthest no turn will do.
        """
        nearest = self.paths.touchdown_m + self.slides_m - self.length_m
        return np.stack([nearest, self.turn_m], axis=-1)

    @property
    def safe_window_m(self) -> tuple[float, float]:
        """Nearest and furthest turn that suit the plan and every slip of the pilot.

        The cases of less and more drag are left out: they are not slips but what the model does not know, and
        the first landings tell which of them is true.
        """
        windows = self.windows_m[:_PILOT_CASES]
        return float(np.max(windows[:, 0])), float(np.min(windows[:, 1]))


def configuration(flown: Performance, name: str) -> Configuration:
    """Lift and drag for the approach."""
    row = flown.polar
    most = int(np.argmax(np.where(row.converged, row.lift, -np.inf)))
    highest = np.maximum.accumulate(np.concatenate([[-np.inf], row.lift[:most]]))
    keep = np.flatnonzero(row.lift[: most + 1] > highest + 1e-6)
    if keep.size < 2:  # the slowest glide that was found has the most lift: nothing to steer by
        raise ValueError("no approach was found that can be flown so; take less of it")
    return Configuration(name, row.lift[keep], row.drag[keep], float(flown.approach.speed_m_s))


def land(
    airframe: Airframe,
    performances: Mapping[str, Performance],
    *,
    field: LandingField,
    height_m: float,
    head_wind_m_s: float,
    clearance_m: float,
    flare: Flare = NORMAL,
    late: Mapping[str, Performance] | None = None,
    late_height_m: float = 0.0,
) -> dict[str, Landing]:
    """Fly landings as planned and with speed, heading and drag a little off, all at once.

    Parameters
    ----------
    height_m : float
        Height of the final turn.
    head_wind_m_s : float
        Head wind at 10 m height; it grows with height.
    clearance_m : float
        Height to spare over the obstacle.
    late : mapping of str to Performance, optional
        What the wing is set to at `late_height_m` on the way down, for those names that have one.

    Raises
    ------
    ValueError
        If a number makes no sense.
    """
    if clearance_m < 0:
        raise ValueError("the height to spare must not be less than 0")
    late = late or {}
    count, number = len(CASES), len(performances)
    flown = list(performances.values())
    first = [configuration(item, name) for name, item in performances.items()]
    second = [configuration(late.get(name, item), f"{name}, late") for name, item in performances.items()]
    bands = [(float(low), float(high)) for low, high in (item.approach.drag_factors for item in flown)]
    paths = fly(
        [item for item in first for _ in CASES],
        airframe.aircraft.mass_kg,
        airframe.wing.area_m2,
        height_m=height_m,
        head_wind_m_s=head_wind_m_s,
        speed_error_m_s=[0, -1, 1, 0, 0, 0, 0] * number,
        heading_error_deg=[0, 0, 0, -1, 1, 0, 0] * number,
        drag_factor=[factor for band in bands for factor in (1, 1, 1, 1, 1, *band)],
        late=[item for item in second for _ in CASES] if late else None,
        late_height_m=late_height_m,
        density_kg_m3=flown[0].air.density_kg_m3,
        flare=flare,
        span_m=airframe.wing.span_m,
    )
    result = {}
    for place, name in enumerate(performances):
        own = paths.cases(slice(place * count, (place + 1) * count))
        turn = own.turn_distance_m(field.obstacle_m, clearance_m)
        slides = own.ground_speed_m_s**2 / (2 * GRAVITY_M_S2 * FRICTION[field.ground])
        result[name] = Landing(own, field.length_m, slides, turn, own.touchdown_m - turn[0])
    return result
