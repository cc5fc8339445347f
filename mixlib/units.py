"""Constants, unit conversions and the one sign convention of the whole workbook.

Signs
-----
Surface angle
    Trailing edge down is positive (aileron, flap, elevator, elevon, v-tail surface).  A rudder's
    trailing edge to the left is positive.  A positive deflection then gives a negative moment about
    the surface's own axis, the rule of ISO 1151-4:1994 (rule recalled from memory).  For a pair of
    ailerons the single value is half of (right minus left).
Commands
    roll +1: stick right, the right wing goes down, the right aileron goes up.
    pitch +1: stick back, the elevator goes up.
    yaw +1: nose to the right.
    camber +1: droop (both down); camber -1: reflex (both up).
    throttle and brake run from 0 to 1; brake 1 is the full air brake.
Forces and moments
    Lift up, drag back, pitching moment positive nose up, rolling moment positive right wing down,
    yawing moment positive nose right.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import numpy as np
import numpy.typing as npt

_Value = TypeVar("_Value", float, np.ndarray)

__all__ = [
    "COMMANDS",
    "COMMAND_RANGES",
    "GRAVITY_M_S2",
    "HALF_MM",
    "MM_PER_INCH",
    "SEA_LEVEL_DENSITY_KG_M3",
    "SEA_LEVEL_VISCOSITY_M2_S",
    "angle_from_throw_mm",
    "bisect",
    "throw_mm_from_angle",
    "to_step",
]

COMMANDS = ("roll", "pitch", "yaw", "camber", "throttle", "brake")
"""What the pilot can ask for, in the order of the last axis of every command array."""

COMMAND_RANGES = {name: (0.0, 1.0) if name in ("throttle", "brake") else (-1.0, 1.0) for name in COMMANDS}
"""Lowest and highest value of each command."""

MM_PER_INCH = 25.4
GRAVITY_M_S2 = 9.80665
SEA_LEVEL_DENSITY_KG_M3 = 1.225
SEA_LEVEL_VISCOSITY_M2_S = 1.4607185727372237e-05
"""Kinematic viscosity of the air on a standard day, by Sutherland's formula as ISO 2533:1975 gives it."""

HALF_MM = 0.5
"""Step of the throws that the workbook proposes: what a ruler at the trailing edge can tell, mm."""


def throw_mm_from_angle(angle_deg: npt.ArrayLike, chord_mm: npt.ArrayLike) -> np.ndarray | np.float64:
    """Throw in mm at the trailing edge of a surface at a given angle.

    The throw is the straight line from where the trailing edge was to where it is, the length that
    a ruler held there shows: ``2 c sin(angle / 2)``.

    Parameters
    ----------
    angle_deg : array_like
        Trailing edge down positive.
    chord_mm : array_like
        Hinge to trailing edge, positive; broadcast against `angle_deg`.
    """
    return 2.0 * np.asarray(chord_mm) * np.sin(np.radians(angle_deg) / 2.0)


def angle_from_throw_mm(throw_mm: npt.ArrayLike, chord_mm: npt.ArrayLike) -> np.ndarray | np.float64:
    """Surface angle in degrees that gives a throw; the inverse of `throw_mm_from_angle`.

    Parameters
    ----------
    throw_mm : array_like
        Trailing edge down positive.
    chord_mm : array_like
        Hinge to trailing edge, positive.

    Raises
    ------
    ValueError
        If a throw is longer than twice the chord, which no hinge can give.
    """
    ratio = np.asarray(throw_mm) / (2.0 * np.asarray(chord_mm))
    if np.any(np.abs(ratio) > 1.0):
        raise ValueError(f"a throw of {np.max(np.abs(throw_mm)):g} mm is more than twice the surface's chord")
    return np.degrees(2.0 * np.arcsin(ratio))


def to_step(value: _Value, step: float) -> _Value:
    """The multiple of a step nearest to a value, in any unit, without a minus before a nought."""
    rounded = np.round(np.round(np.asarray(value) / step) * step, 9) + 0.0  # 3 x 0.1 is 0.3
    return rounded if isinstance(value, np.ndarray) else float(rounded)


def bisect(holds: Callable[[float], bool], good: float, bad: float, within: float) -> float:
    """The last place at which something holds, in the unit of the places.

    Parameters
    ----------
    good, bad : float
        Places, any unit, at which it holds and at which it no longer does.
    within : float
        How far the answer may be short of the last place, in the same unit as the places.
    """
    while abs(bad - good) > within:
        middle = (good + bad) / 2
        good, bad = (middle, bad) if holds(middle) else (good, middle)
    return good
