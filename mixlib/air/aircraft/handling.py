"""Rolling and the yaw that comes with it: roll helix angle, adverse yaw, and the swing of the nose.

Roll to the right: the right aileron goes up, the left one down.  The wing turns until the damping of its own
motion balances the ailerons; the helix angle pb/2V that it then flies says how lively it is, whatever its
size and speed.  The yaw comes from the lift that the ailerons shift, from the lift tilted by the roll, and
from the ailerons' drag; with the nose going left in a roll to the right it is adverse.

R. R. Gilruth and W. N. Turner, NACA TR 715 (1941), found pilots content with pb/2V of 0.07 and more for full
ailerons (the number from memory).

Left out: inertia (the roll rate is the one that settles), the tail's share in the damping, the body, and what
sweep or a high wing add to dihedral.  The wing is held at the incidence of straight flight, and what a swing
of the nose takes from a roll with ailerons is not counted.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.doubt import Doubt
from mixlib.air.aircraft.flight import trimmed_at
from mixlib.air.aircraft.glide import STANDARD_AIR, Trimmed
from mixlib.air.wing.lifting_line import solve
from mixlib.describe import Surface

__all__ = ["Roll", "roll", "roll_room_deg", "roll_to_right"]

_ROLLING = ("aileron", "elevon")
_FIN_ENDPLATE = 1.5
_ROUNDS = 5
_BALANCED = 1e-3


@dataclass(frozen=True)
class Roll:
    """A steady roll, arrays of the leading shape of the deflections.

    Attributes
    ----------
    helix : numpy.ndarray
        Roll helix angle pb/2V in rad, right wing going down +.
    yaw : numpy.ndarray
        Yawing moment coefficient in the steady roll, nose right +.
    nose_swing_deg : numpy.ndarray
        How far the nose swings until the fin holds against the yaw, right +; NaN without fin or V-tail.
    table_share : numpy.ndarray
        Share of the wing whose section data come from the table, the rest is handbook.
    doubts : numpy.ndarray of int
        Flags of `mixlib.air.aircraft.doubt.Doubt` (no unit).
    """

    helix: np.ndarray
    yaw: np.ndarray
    nose_swing_deg: np.ndarray
    table_share: np.ndarray
    converged: np.ndarray
    doubts: np.ndarray

    def rate_deg_s(self, speed_m_s: float, span_m: float) -> np.ndarray:
        """How fast a wing of that span rolls at that speed, deg/s, right wing going down +."""
        return np.degrees(2 * speed_m_s * self.helix / span_m)


def roll_to_right(
    airframe: Airframe,
    up_deg: ArrayLike,
    down_deg: ArrayLike,
    kinds: Sequence[str] = _ROLLING,
) -> dict[str, np.ndarray]:
    """Surface movement of a roll to the right, deg.

    Parameters
    ----------
    up_deg, down_deg : array_like
        How far the right-hand surfaces go up and the left-hand ones down, both positive.
    kinds : sequence of str
        Kinds of surfaces that take part, such as ``("aileron", "flap")``.

    Returns
    -------
    dict of str to numpy.ndarray
        Movement of each, trailing edge down +, to be added to where it stands.
    """
    up, down = np.broadcast_arrays(np.asarray(up_deg, float), np.asarray(down_deg, float))
    return {part.name: -up if part.side == "right" else down for part in _rolling(airframe, kinds)}


def roll_room_deg(airframe: Airframe, angles: Mapping[str, float]) -> tuple[float, float]:
    """How far up on the right and down on the left a roll can go, deg, until a surface is at its stop.

    Parameters
    ----------
    angles : mapping of str to float
        Where surfaces stand, deg, trailing edge down +; those not named stand at 0.
    """
    ends: tuple[list[float], list[float]] = ([np.inf], [np.inf])
    for part in _rolling(airframe, _ROLLING):
        at, right = angles.get(part.name, 0.0), part.side == "right"
        ends[not right].append(part.stop_up_deg + at if right else part.stop_down_deg - at)
    return max(min(ends[0]), 0.0), max(min(ends[1]), 0.0)


def _rolling(airframe: Airframe, kinds: Sequence[str]) -> list[Surface]:
    return [part for part in airframe.aircraft.of_kind(*kinds) if part.part == "wing"]


def roll(
    airframe: Airframe,
    movement: Mapping[str, ArrayLike],
    speed_m_s: float,
    angles: Mapping[str, float] | None = None,
    straight: Trimmed | None = None,
    nose_deg: ArrayLike = 0.0,
) -> Roll:
    """Steady roll that a movement of the surfaces gives, or dihedral with the nose held out of the path.

    Parameters
    ----------
    movement : mapping of str to array_like
        Movement of surfaces, deg; `roll_to_right` makes it.  Arrays of shape (...).
    angles : mapping of str to float, optional
        Where they stand in straight flight, such as droop, deg.
    straight : Trimmed, optional
        The straight glide so, if it is known already.
    nose_deg : array_like
        How far the rudder holds the nose right of the path: the air then comes from the left and gets under
        the left half, as far as dihedral lifts it, and the right half down. Shape (...).

    Returns
    -------
    Roll
        The roll, shape (...).

    Raises
    ------
    ValueError
        If a surface is unknown or the speed is out of range.
    """
    straight = straight or trimmed_at(airframe, angles, speed_m_s)
    level = airframe.angles_deg(angles) + straight.elevator_deg * airframe.pitch_mask
    main, moved_deg = airframe.wing, level + airframe.angles_deg(movement)
    curves = airframe.wing_curves(moved_deg, speed_m_s, STANDARD_AIR)
    under_deg = (
        np.asarray(nose_deg, float)[..., None] * -np.sign(main.y_m) * np.tan(np.radians(main.dihedral_deg))
    )
    turning = solve(main, curves, straight.alpha_deg, local_deg=under_deg)
    helix, damping = np.zeros(turning.roll.shape), np.full(turning.roll.shape, -0.5)
    for _ in range(_ROUNDS):
        if np.all(np.abs(turning.roll) < _BALANCED / 100):
            break
        last, moment = helix, turning.roll
        helix = np.clip(helix - moment / damping, -0.5, 0.5)
        turning = solve(main, curves, straight.alpha_deg, helix, under_deg, turning.circulation_m)
        moved = helix - last
        slope = (turning.roll - moment) / np.where(np.abs(moved) > 1e-6, moved, np.inf)
        # Near the stall the damping fades; a slope that would throw the rule off is not taken.
        damping = np.where(slope < -0.1, slope, damping)
    settled = turning.converged & (np.abs(turning.roll) < _BALANCED)
    _, margin = turning.first_to_stall
    doubts = straight.doubts | np.where(settled, 0, int(Doubt.NOT_CONVERGED))
    doubts = doubts | np.where(margin < 0, int(Doubt.PART_STALLED), 0)
    return Roll(
        helix=helix,
        yaw=turning.yaw,
        nose_swing_deg=_nose_swing_deg(airframe, turning.yaw),
        table_share=turning.table_share,
        converged=settled & straight.converged,
        doubts=doubts | np.where(turning.table_share < 0.5, int(Doubt.HANDBOOK), 0),
    )


def _nose_swing_deg(airframe: Airframe, yaw: np.ndarray) -> np.ndarray:
    """Swing of the nose at which fin or V-tail balances a yawing moment coefficient; NaN without either.

    The fin's lift slope is that of an elliptic wing, ``2 pi A / (A + 2)``, its aspect ratio taken one and a
    half times for the tail plane at its foot (common practice, no source).
    """
    fin, tail, main = airframe.aircraft.fin, airframe.aircraft.tail, airframe.wing
    if fin is not None:
        span, chord, arm = fin.height_mm / 1000, fin.chord_mm / 1000, fin.arm_mm / 1000
        area, aspect = span * chord, _FIN_ENDPLATE * span / chord
    elif tail is not None and tail.dihedral_deg > 0:
        span, chord, arm = tail.span_mm / 1000, tail.chord_mm / 1000, tail.arm_mm / 1000
        area, aspect = span * chord * np.sin(np.radians(tail.dihedral_deg)) ** 2, span / chord
    else:
        return np.full(yaw.shape, np.nan)
    slope = 2 * np.pi * aspect / (aspect + 2)
    stiffness = slope * area * arm / (main.area_m2 * main.span_m)
    return np.degrees(yaw / stiffness)
