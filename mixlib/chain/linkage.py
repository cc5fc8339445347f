"""Exact planar pushrod geometry: servo arm angle to surface angle, and where the linkage stops working.

The frame has the servo's shaft at the origin, x towards the hinge, y towards the arm's side.  The arm
stands at ``arm_angle + arm`` from x and the horn at ``horn_angle + turn``, both growing as the tip goes
forward (towards the nose).  A horn pulled forward takes the trailing edge to the horn's own side: a horn
below pulls it down, a horn above pulls it up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Self

import numpy as np
import numpy.typing as npt

from mixlib.describe import Linkage
from mixlib.units import bisect

__all__ = [
    "Geometry",
    "LinkageError",
    "arm_for_surface_deg",
    "arm_range_deg",
    "rod_length_mm",
    "surface_angle_deg",
]

_DRAWN_DEG = 1e-6  # how near to its drawn place the surface rests where the rod is made to fit
_SEARCH_DEG = 180.0  # the working range is looked for this far on either side of neutral
_LOCK_MARGIN_DEG = 1e-6  # how close to a dead point the working range may come


class LinkageError(ValueError):
    """A linkage that cannot close, or locks; the text says at which arm angle and what to change."""


@dataclass(frozen=True)
class Geometry:
    """Measures of some linkages side by side, each an array of shape (linkages,), for one sweep over all.

    Attributes
    ----------
    arm_mm, horn_mm, distance_mm, rod_mm : numpy.ndarray
        Lengths, mm.
    arm_deg, horn_deg : numpy.ndarray
        Angles of arm and horn as drawn, degrees.
    crossing : numpy.ndarray
        -1 where the rod crosses to the other side, else 1; no unit.
    horn_sense : numpy.ndarray
        1 where a horn that goes forward turns the surface the positive way, else -1; no unit.
    """

    arm_mm: np.ndarray
    horn_mm: np.ndarray
    distance_mm: np.ndarray
    rod_mm: np.ndarray
    arm_deg: np.ndarray
    horn_deg: np.ndarray
    crossing: np.ndarray
    horn_sense: np.ndarray

    @classmethod
    def of(cls, linkages: Sequence[Linkage]) -> Self:
        """Collect the measures of linkages, in the order of the last axis."""
        rows = [
            (
                linkage.arm_mm,
                linkage.horn_mm,
                linkage.distance_mm,
                rod_length_mm(linkage),
                linkage.arm_angle_deg,
                linkage.horn_angle_deg,
                -1.0 if linkage.crossed else 1.0,
                1.0 if linkage.horn_side in ("below", "left") else -1.0,
            )
            for linkage in linkages
        ]
        return cls(*np.array(rows, dtype=float).T)

    def surface_deg(self, arm_deg: np.ndarray) -> np.ndarray:
        """Surface angles for arm angles inside `arm_range_deg`, which is not checked here.

        Both of shape (..., linkages), in deg; tip forward and trailing edge down (rudder: left) are positive.
        """
        return self.horn_sense * (np.degrees(self._horn(arm_deg)[0]) - self.horn_deg)

    def works(self, arm_deg: np.ndarray) -> np.ndarray:
        """Whether linkages close and are short of their dead points at arm angles in deg, (..., linkages)."""
        with np.errstate(divide="ignore", invalid="ignore"):  # the arm's hole on the hinge line: no angle
            horn, cosine, arm = self._horn(arm_deg)
        x, y = self.arm_mm * np.cos(arm) - self.distance_mm, self.arm_mm * np.sin(arm)
        rod_x = x - self.horn_mm * np.cos(horn)
        rod_y = y - self.crossing * self.horn_mm * np.sin(horn)
        # The rod in line with the arm is a dead point too: past it the surface turns back.
        lever = rod_y * np.cos(arm) - rod_x * np.sin(arm)
        return (np.abs(cosine) < 1) & (lever > 0)

    def _horn(self, arm_deg: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Angle of the horn, cosine of its corner between rod's ends and hinge, angle of the arm; radians."""
        arm = np.radians(self.arm_deg + arm_deg)
        x, y = self.arm_mm * np.cos(arm) - self.distance_mm, self.arm_mm * np.sin(arm)  # hinge to arm's hole
        reach2 = x * x + y * y
        cosine = (self.horn_mm**2 + reach2 - self.rod_mm**2) / (2 * self.horn_mm * np.sqrt(reach2))
        toward_arm = np.arctan2(-y, -x) + np.pi  # continuous round 180 deg
        inner = np.arccos(np.clip(cosine, -1, 1))
        return self.crossing * toward_arm - inner + np.pi * (1 - self.crossing), cosine, arm


def rod_length_mm(linkage: Linkage) -> float:
    """Length of the rod, hole to hole in mm: as given, or as it fits at neutral."""
    if linkage.rod_mm is not None:
        return linkage.rod_mm
    arm, horn = np.radians(linkage.arm_angle_deg), np.radians(linkage.horn_angle_deg)
    x = linkage.distance_mm + linkage.horn_mm * np.cos(horn) - linkage.arm_mm * np.cos(arm)
    y = linkage.horn_mm * np.sin(horn) * (-1 if linkage.crossed else 1) - linkage.arm_mm * np.sin(arm)
    return float(np.hypot(x, y))


def surface_angle_deg(linkage: Linkage, arm_deg: npt.ArrayLike) -> np.ndarray:
    """Surface angle in deg for an arm angle, trailing edge down (rudder: left) positive.

    Parameters
    ----------
    arm_deg : array_like
        From the drawn place, tip forward positive; any shape.

    Raises
    ------
    LinkageError
        If the linkage cannot close at neutral, or an arm angle is at or past a dead point.
    """
    arm = np.asarray(arm_deg, dtype=float)
    low, high = arm_range_deg(linkage)
    outside = (arm < low) | (arm > high)
    if np.any(outside):
        worst = float(arm[outside].flat[0])
        end, way = (high, "forward") if worst > high else (low, "back")
        raise LinkageError(
            f"the linkage locks when the arm has gone {abs(end):.1f} deg {way}, and it was asked for "
            f"{abs(worst):.1f} deg: use less travel, a longer horn or a shorter arm"
        )
    return _one(linkage).surface_deg(arm[..., np.newaxis])[..., 0]


@lru_cache(maxsize=512)
def arm_range_deg(linkage: Linkage) -> tuple[float, float]:
    """Arm angles between which the linkage works, on either side of neutral.

    It ends at the first dead point: the rod in line with the arm (the surface would turn back) or in
    line with the horn (the surface would lock).

    Returns
    -------
    low, high : float
        Degrees from the drawn place; low is negative (tip back), high positive (tip forward).

    Raises
    ------
    LinkageError
        If the linkage cannot close at neutral, or is drawn at or past a dead point there.
    """
    geometry = _one(linkage)
    works, closes = geometry.works, abs(geometry.surface_deg(np.zeros(1))[0]) < _DRAWN_DEG
    if linkage.rod_mm is None and not (closes and works(np.zeros(1))[0]):
        raise LinkageError(
            "the linkage is drawn past its dead point: with the arm at "
            f"{linkage.arm_angle_deg:g} deg and the horn at {linkage.horn_angle_deg:g} deg the rod has swung "
            "past the line of arm or horn; draw them nearer to 90 deg, or further apart"
        )
    if not works(np.zeros(1))[0]:
        rod = rod_length_mm(linkage)
        raise LinkageError(
            f"the linkage cannot close with the arm at {linkage.arm_angle_deg:g} deg: the arm's hole is "
            f"{_reach_mm(linkage):.1f} mm from the hinge, and a rod of {rod:g} mm with a horn of "
            f"{linkage.horn_mm:g} mm spans {abs(rod - linkage.horn_mm):.1f} to {rod + linkage.horn_mm:.1f} mm"
        )
    grid = np.linspace(0, _SEARCH_DEG, 1801)
    ends = []
    for sense in (-1.0, 1.0):
        good_there = works(sense * grid[:, np.newaxis])[:, 0]
        if good_there.all():
            ends.append(sense * _SEARCH_DEG)
            continue
        first_bad = int(np.argmin(good_there))
        last_good, bad = sense * grid[first_bad - 1], sense * grid[first_bad]
        ends.append(bisect(lambda arm: bool(works(np.array([arm]))[0]), last_good, bad, _LOCK_MARGIN_DEG))
    return float(ends[0]), float(ends[1])


def arm_for_surface_deg(linkage: Linkage, surface_deg: npt.ArrayLike) -> np.ndarray:
    """Arm angle that gives a surface angle of any shape; NaN where the linkage cannot reach it.

    The inverse of `surface_angle_deg`: the same geometry read from the other end, the horn leads and the arm
    follows.
    """
    low, high = arm_range_deg(linkage)
    wanted = np.asarray(surface_deg, dtype=float)
    geometry = _one(linkage)
    ends = geometry.surface_deg(np.array([[low], [high]]))
    horn = np.radians(linkage.horn_angle_deg + geometry.horn_sense[0] * wanted)
    x = linkage.distance_mm + linkage.horn_mm * np.cos(horn)
    y = geometry.crossing[0] * linkage.horn_mm * np.sin(horn)
    reach = np.hypot(x, y)
    cosine = (linkage.arm_mm**2 + reach**2 - geometry.rod_mm[0] ** 2) / (2 * linkage.arm_mm * reach)
    # At a dead point rounding may take the cosine past 1.
    arm = np.degrees(np.arctan2(y, x) + np.arccos(np.clip(cosine, -1, 1))) - linkage.arm_angle_deg
    reached = (wanted >= ends.min() - 1e-9) & (wanted <= ends.max() + 1e-9)
    return np.where(reached, np.clip(arm, low, high), np.nan)


def _one(linkage: Linkage) -> Geometry:
    return Geometry.of((linkage,))


def _reach_mm(linkage: Linkage) -> float:
    arm = np.radians(linkage.arm_angle_deg)
    return float(np.hypot(linkage.distance_mm - linkage.arm_mm * np.cos(arm), linkage.arm_mm * np.sin(arm)))
