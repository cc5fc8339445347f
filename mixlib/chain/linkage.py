"""Exact planar pushrod geometry: servo arm angle to surface angle, and where the linkage stops working.

The frame has the servo's shaft at the origin, x towards the hinge, y towards the arm's side.  The arm
stands at ``arm_angle + arm`` from x and the horn at ``horn_angle + turn``, both growing as the tip goes
forward (towards the nose).  A horn pulled forward takes the trailing edge to the horn's own side: a horn
below pulls it down, a horn above pulls it up.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from mixlib.describe import Linkage

__all__ = ["LinkageError", "arm_for_surface_deg", "arm_range_deg", "rod_length_mm", "surface_angle_deg"]

_SEARCH_DEG = 180.0  # the working range is looked for this far on either side of neutral
_LOCK_MARGIN_DEG = 1e-6  # how close to a dead point the working range may come


class LinkageError(ValueError):
    """A linkage that cannot close, or locks; the text says at which arm angle and what to change."""


def rod_length_mm(linkage: Linkage) -> float:
    """Length of the rod: as given, or as it fits at neutral.

    Parameters
    ----------
    linkage : Linkage
        The linkage.

    Returns
    -------
    float
        Hole to hole in mm.
    """
    if linkage.rod_mm is not None:
        return linkage.rod_mm
    arm, horn = np.radians(linkage.arm_angle_deg), np.radians(linkage.horn_angle_deg)
    x = linkage.distance_mm + linkage.horn_mm * np.cos(horn) - linkage.arm_mm * np.cos(arm)
    y = linkage.horn_mm * np.sin(horn) * (-1 if linkage.crossed else 1) - linkage.arm_mm * np.sin(arm)
    return float(np.hypot(x, y))


def surface_angle_deg(linkage: Linkage, arm_deg) -> np.ndarray:
    """Surface angle for an arm angle.

    Parameters
    ----------
    linkage : Linkage
        The linkage.
    arm_deg : array_like
        Arm angle from the drawn place in degrees, tip forward positive; any shape.

    Returns
    -------
    numpy.ndarray
        Surface angle in degrees, same shape; trailing edge down (rudder: left) positive.

    Raises
    ------
    LinkageError
        If the linkage cannot close at neutral, or an arm angle is at or past a dead point.
    """
    arm_deg = np.asarray(arm_deg, dtype=float)
    low, high = arm_range_deg(linkage)
    outside = (arm_deg < low) | (arm_deg > high)
    if np.any(outside):
        worst = float(arm_deg[outside].flat[0])
        end, way = (high, "forward") if worst > high else (low, "back")
        raise LinkageError(
            f"the linkage locks when the arm has gone {abs(end):.1f} deg {way}, and it was asked for "
            f"{abs(worst):.1f} deg: use less travel, a longer horn or a shorter arm"
        )
    return _surface_angle(linkage, arm_deg)


@lru_cache(maxsize=512)
def arm_range_deg(linkage: Linkage) -> tuple[float, float]:
    """Arm angles between which the linkage works, on either side of neutral.

    It ends at the first dead point: the rod in line with the arm (the surface would turn back) or in
    line with the horn (the surface would lock).

    Parameters
    ----------
    linkage : Linkage
        The linkage.

    Returns
    -------
    low, high : float
        Degrees from the drawn place; low is negative (tip back), high positive (tip forward).

    Raises
    ------
    LinkageError
        If the linkage cannot close at neutral or stands at a dead point there.
    """
    _, works = _turn(linkage, np.zeros(1))
    if not works[0]:
        rod = rod_length_mm(linkage)
        raise LinkageError(
            f"the linkage cannot close with the arm at {linkage.arm_angle_deg:g} deg: the arm's hole is "
            f"{_reach_mm(linkage):.1f} mm from the hinge, and a rod of {rod:g} mm with a horn of "
            f"{linkage.horn_mm:g} mm spans {abs(rod - linkage.horn_mm):.1f} to {rod + linkage.horn_mm:.1f} mm"
        )
    grid = np.linspace(0, _SEARCH_DEG, 1801)
    ends = []
    for sense in (-1.0, 1.0):
        _, works = _turn(linkage, sense * grid)
        if works.all():
            ends.append(sense * _SEARCH_DEG)
            continue
        first_bad = int(np.argmin(works))
        good, bad = grid[first_bad - 1], grid[first_bad]
        while bad - good > _LOCK_MARGIN_DEG:
            middle = (good + bad) / 2
            good, bad = (middle, bad) if _turn(linkage, np.array([sense * middle]))[1][0] else (good, middle)
        ends.append(sense * good)
    return float(ends[0]), float(ends[1])


def arm_for_surface_deg(linkage: Linkage, surface_deg) -> np.ndarray:
    """Arm angle that gives a surface angle: the inverse of `surface_angle_deg`.

    The same geometry read from the other end: the horn leads and the arm follows.

    Parameters
    ----------
    linkage : Linkage
        The linkage.
    surface_deg : array_like
        Surface angle in degrees, trailing edge down (rudder: left) positive; any shape.

    Returns
    -------
    numpy.ndarray
        Arm angle in degrees, tip forward positive, same shape; NaN where the linkage cannot reach the angle.
    """
    low, high = arm_range_deg(linkage)
    wanted = np.asarray(surface_deg, dtype=float)
    ends = _surface_angle(linkage, np.array([low, high]))
    turn = np.radians(_horn_sense(linkage) * wanted)
    flip = -1.0 if linkage.crossed else 1.0
    horn = np.radians(linkage.horn_angle_deg) + turn
    x = linkage.distance_mm + linkage.horn_mm * np.cos(horn)
    y = flip * linkage.horn_mm * np.sin(horn)
    reach = np.hypot(x, y)
    rod = rod_length_mm(linkage)
    cosine = (linkage.arm_mm**2 + reach**2 - rod**2) / (2 * linkage.arm_mm * reach)
    with np.errstate(invalid="ignore"):
        arm = np.degrees(np.arctan2(y, x) + np.arccos(cosine)) - linkage.arm_angle_deg
    reached = (wanted >= ends.min() - 1e-9) & (wanted <= ends.max() + 1e-9)
    return np.where(reached, np.clip(arm, low, high), np.nan)


def _horn_sense(linkage: Linkage) -> float:
    return 1.0 if linkage.horn_side in ("below", "left") else -1.0


def _surface_angle(linkage: Linkage, arm_deg: np.ndarray) -> np.ndarray:
    return _horn_sense(linkage) * _turn(linkage, arm_deg)[0]


def _reach_mm(linkage: Linkage) -> float:
    arm = np.radians(linkage.arm_angle_deg)
    return float(np.hypot(linkage.distance_mm - linkage.arm_mm * np.cos(arm), linkage.arm_mm * np.sin(arm)))


def _turn(linkage: Linkage, arm_deg: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Turn of the horn in degrees (tip forward positive), and whether the linkage works there."""
    a, b, d, rod = linkage.arm_mm, linkage.horn_mm, linkage.distance_mm, rod_length_mm(linkage)
    arm = np.radians(linkage.arm_angle_deg + arm_deg)
    x, y = a * np.cos(arm) - d, a * np.sin(arm)  # from the hinge to the hole in the arm
    reach2 = x * x + y * y
    cosine = (b * b + reach2 - rod * rod) / (2 * b * np.sqrt(reach2))
    inner = np.arccos(np.clip(cosine, -1, 1))
    toward_arm = np.arctan2(-y, -x) + np.pi  # direction of the arm's hole, continuous round 180 deg
    if linkage.crossed:
        horn = 2 * np.pi - (toward_arm + inner)
        horn_x, horn_y = b * np.cos(horn), -b * np.sin(horn)
    else:
        horn = toward_arm - inner
        horn_x, horn_y = b * np.cos(horn), b * np.sin(horn)
    # The rod in line with the arm is a dead point too: past it the surface turns back.
    rod_x, rod_y = x - horn_x, y - horn_y
    lever = rod_y * np.cos(arm) - rod_x * np.sin(arm)
    turn = np.degrees(horn) - linkage.horn_angle_deg
    return turn, (np.abs(cosine) < 1) & (lever > 0)
