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

import numpy as np

__all__ = [
    "COMMANDS",
    "COMMAND_RANGES",
    "GRAVITY_M_S2",
    "MM_PER_INCH",
    "SEA_LEVEL_DENSITY_KG_M3",
    "THROW_UNITS",
    "angle_from_throw_mm",
    "throw_mm_from_angle",
    "to_angle_deg",
]

COMMANDS = ("roll", "pitch", "yaw", "camber", "throttle", "brake")
"""What the pilot can ask for, in the order of the last axis of every command array."""

COMMAND_RANGES = {name: (0.0, 1.0) if name in ("throttle", "brake") else (-1.0, 1.0) for name in COMMANDS}
"""Lowest and highest value of each command."""

MM_PER_INCH = 25.4
GRAVITY_M_S2 = 9.80665
SEA_LEVEL_DENSITY_KG_M3 = 1.225

THROW_UNITS = ("mm", "inch", "deg")
"""Units a reader may write a throw in."""


def throw_mm_from_angle(angle_deg, chord_mm):
    """Throw at the trailing edge of a surface at a given angle.

    The throw is the straight line from where the trailing edge was to where it is, the length that
    a ruler held there shows: ``2 c sin(angle / 2)``.

    Parameters
    ----------
    angle_deg : array_like
        Surface angle in degrees, trailing edge down positive.
    chord_mm : array_like
        Distance from the hinge to the trailing edge in mm, positive; broadcast against `angle_deg`.

    Returns
    -------
    numpy.ndarray or float
        Throw in mm with the sign of the angle.
    """
    return 2.0 * np.asarray(chord_mm) * np.sin(np.radians(angle_deg) / 2.0)


def angle_from_throw_mm(throw_mm, chord_mm):
    """Surface angle that gives a throw; the inverse of `throw_mm_from_angle`.

    Parameters
    ----------
    throw_mm : array_like
        Throw in mm, trailing edge down positive, not longer than twice the chord.
    chord_mm : array_like
        Distance from the hinge to the trailing edge in mm, positive.

    Returns
    -------
    numpy.ndarray or float
        Angle in degrees, with the sign of the throw.

    Raises
    ------
    ValueError
        If a throw is longer than twice the chord, which no hinge can give.
    """
    ratio = np.asarray(throw_mm) / (2.0 * np.asarray(chord_mm))
    if np.any(np.abs(ratio) > 1.0):
        raise ValueError(f"a throw of {np.max(np.abs(throw_mm)):g} mm is more than twice the surface's chord")
    return np.degrees(2.0 * np.arcsin(ratio))


def to_angle_deg(amount, unit, chord_mm):
    """Angle of a throw that was written in any of the accepted units.

    Parameters
    ----------
    amount : float
        The throw, trailing edge down positive, in `unit`.
    unit : {"mm", "inch", "deg"}
        Unit of `amount`.
    chord_mm : float
        Distance from the hinge to the trailing edge in mm.

    Returns
    -------
    float
        Angle in degrees.

    Raises
    ------
    ValueError
        If the unit is unknown or the throw cannot be reached by any angle.
    """
    if unit == "deg":
        return amount
    if unit not in THROW_UNITS:
        raise ValueError(f"unit {unit!r} is not known; use one of {', '.join(THROW_UNITS)}")
    return angle_from_throw_mm(amount * MM_PER_INCH if unit == "inch" else amount, chord_mm)
