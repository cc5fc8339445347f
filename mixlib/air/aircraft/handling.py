"""Rolling and the yaw that comes with it: roll rate, roll helix angle, adverse yaw and differential.

Roll to the right: the right aileron goes up, the left one down.  The wing turns until the damping of its own
motion balances the ailerons; the helix angle pb/2V that it then flies says how lively it is, whatever its
size and speed.  The yaw comes from the lift that the ailerons shift, from the lift tilted by the roll, and
from the ailerons' drag; with the nose going left in a roll to the right it is adverse.

R. R. Gilruth and W. N. Turner, NACA TR 715 (1941), found pilots content with pb/2V of 0.07 and more for full
ailerons (the number from memory).

Left out: inertia (the roll rate is the one that settles), the tail's share in the damping, and the body.  The
wing is held at the incidence of straight flight.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.flight import trimmed_at
from mixlib.air.aircraft.glide import STANDARD_AIR, Air
from mixlib.air.section.handbook import flap_theory
from mixlib.air.wing import lifting_line as wing

__all__ = ["GOOD_HELIX", "Differential", "Roll", "differential_without_yaw", "roll", "roll_to_right"]

GOOD_HELIX = 0.07
"""Roll helix angle pb/2V in rad for full ailerons that pilots are content with (NACA TR 715, from memory)."""

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
    first_roll, first_yaw : numpy.ndarray
        Moment coefficients before the wing has begun to turn.
    yaw : numpy.ndarray
        Yawing moment coefficient in the steady roll, nose right +.
    nose_swing_deg : numpy.ndarray
        How far the nose swings until the fin holds against the yaw, right +; NaN without fin or V-tail.
    rudder_deg : numpy.ndarray
        Rudder that keeps the nose straight, trailing edge left +; NaN without a rudder.
    drag_change : numpy.ndarray
        Change of the wing's drag coefficient against straight flight.
    margin_deg : numpy.ndarray
        Incidence left to the stall at the place of the wing that stalls first.
    table_share : numpy.ndarray
        Share of the wing whose section data come from the table, the rest is handbook.
    """

    speed_m_s: np.ndarray
    helix: np.ndarray
    rate_deg_s: np.ndarray
    first_roll: np.ndarray
    first_yaw: np.ndarray
    yaw: np.ndarray
    nose_swing_deg: np.ndarray
    rudder_deg: np.ndarray
    drag_change: np.ndarray
    margin_deg: np.ndarray
    stalled: np.ndarray
    table_share: np.ndarray
    converged: np.ndarray


@dataclass(frozen=True)
class Differential:
    """Which differential takes the yaw out of the ailerons.

    Attributes
    ----------
    percent : float
        How much less the aileron goes down than up: 0 is even, 100 is no down movement at all.  NaN if none
        from 0 to 100 takes the yaw away; then see `yaw_at_100`.
    tried_percent, yaw, helix : numpy.ndarray
        What was tried, the yawing moment coefficient of the steady roll, and its helix angle.
    """

    percent: float
    tried_percent: np.ndarray
    yaw: np.ndarray
    helix: np.ndarray

    @property
    def yaw_at_100(self) -> float:
        """Yawing moment coefficient with the up-going aileron alone, nose right +."""
        return float(self.yaw[-1])


def roll_to_right(airframe: Airframe, up_deg, down_deg, kinds=("aileron", "elevon")) -> dict[str, np.ndarray]:
    """Surface movement of a roll to the right.

    Parameters
    ----------
    up_deg, down_deg : array_like
        How far the right-hand surfaces go up and the left-hand ones down, both positive, deg.
    kinds : sequence of str
        Kinds of surfaces that take part, such as ``("aileron", "flap")``.

    Returns
    -------
    dict of str to numpy.ndarray
        Movement of each, trailing edge down +, to be added to a setting.
    """
    up, down = np.broadcast_arrays(np.asarray(up_deg, float), np.asarray(down_deg, float))
    parts = [part for part in airframe.aircraft.of_kind(*kinds) if part.part == "wing"]
    return {part.name: -up if part.side == "right" else down for part in parts}


def roll(
    airframe: Airframe,
    movement: Mapping[str, object],
    speed_m_s: float,
    setting: Mapping[str, float] | None = None,
    air: Air = STANDARD_AIR,
) -> Roll:
    """Steady roll that a movement of the surfaces gives.

    Parameters
    ----------
    movement : mapping of str to array_like
        Movement of surfaces from the setting, deg; `roll_to_right` makes it.  Arrays of shape (...).
    speed_m_s : float
        Speed through the air, m/s.
    setting : mapping of str to float, optional
        Surface angles in straight flight, such as droop, deg.

    Returns
    -------
    Roll
        The roll, shape (...).

    Raises
    ------
    ValueError
        If a surface is unknown or the speed is out of range.
    """
    straight = trimmed_at(airframe, setting, speed_m_s, air)
    level = airframe.angles_deg(setting) + straight.elevator_deg * airframe.pitch_mask
    angles = level + airframe.angles_deg(movement)
    main = airframe.wing
    curves = wing.section_curves(main, airframe.of_part(main, angles), speed_m_s, air.viscosity_m2_s)
    before = wing.solve(
        main,
        wing.section_curves(main, airframe.of_part(main, level), speed_m_s, air.viscosity_m2_s),
        straight.alpha_deg,
    )

    first = wing.solve(main, curves, straight.alpha_deg)
    helix, damping = np.zeros(first.roll.shape), np.full(first.roll.shape, -0.5)
    turning = first
    for _ in range(_ROUNDS):
        last, moment = helix, turning.roll
        helix = np.clip(helix - moment / damping, -0.5, 0.5)
        turning = wing.solve(main, curves, straight.alpha_deg, helix, start_m=turning.circulation_m)
        moved = helix - last
        slope = (turning.roll - moment) / np.where(np.abs(moved) > 1e-6, moved, np.inf)
        # Near the stall the damping fades; a slope that would throw the rule off is not taken.
        damping = np.where(slope < -0.1, slope, damping)
    swing, rudder = _fin_answers(airframe, turning.yaw)
    return Roll(
        speed_m_s=np.full(helix.shape, float(speed_m_s)),
        helix=helix,
        rate_deg_s=np.degrees(helix * 2 * speed_m_s / main.span_m),
        first_roll=first.roll,
        first_yaw=first.yaw,
        yaw=turning.yaw,
        nose_swing_deg=swing,
        rudder_deg=rudder,
        drag_change=turning.drag - before.drag,
        margin_deg=turning.least_margin_deg,
        stalled=turning.stalled,
        table_share=1 - turning.handbook_share,
        converged=turning.converged & straight.converged & (np.abs(turning.roll) < _BALANCED),
    )


def differential_without_yaw(
    airframe: Airframe,
    up_deg: float,
    speed_m_s: float,
    setting: Mapping[str, float] | None = None,
    air: Air = STANDARD_AIR,
) -> Differential:
    """Find the differential with which a steady roll has no yaw.

    Parameters
    ----------
    up_deg : float
        How far the up-going aileron goes up, deg, positive.
    speed_m_s : float
        Speed through the air, m/s.
    setting : mapping of str to float, optional
        Surface angles in straight flight, such as droop, deg.

    Raises
    ------
    ValueError
        If the angle is not from 1 to 45 deg, or the aircraft has no ailerons.
    """
    if not 1 <= up_deg <= 45:
        raise ValueError(f"up_deg is {up_deg:g}; give 1 to 45 deg")
    tried = np.linspace(0.0, 100.0, 11)
    movement = roll_to_right(airframe, np.full(tried.shape, float(up_deg)), up_deg * (1 - tried / 100))
    if not movement:
        raise ValueError(f"{airframe.aircraft.name} has no ailerons or elevons")
    turning = roll(airframe, movement, speed_m_s, setting, air)
    crossing = np.flatnonzero(np.diff(np.sign(turning.yaw)) > 0)
    percent = float("nan")
    if turning.yaw[0] >= 0:
        percent = 0.0
    elif len(crossing):
        at = crossing[0]
        share = turning.yaw[at] / (turning.yaw[at] - turning.yaw[at + 1])
        percent = float(tried[at] + share * (tried[at + 1] - tried[at]))
    return Differential(percent=percent, tried_percent=tried, yaw=turning.yaw, helix=turning.helix)


def _fin_answers(airframe: Airframe, yaw: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Swing of the nose and rudder in deg that balance a yawing moment coefficient.

    The fin's lift slope is that of an elliptic wing, ``2 pi A / (A + 2)``, its aspect ratio taken one and a
    half times for the tail plane at its foot (common practice, no source).
    """
    aircraft, main = airframe.aircraft, airframe.wing
    rudders = [part for part in aircraft.surfaces if part.kind in ("rudder", "v-tail")]
    ratio = 0.0
    if aircraft.fin is not None:
        fin = aircraft.fin
        height, chord, arm = fin.height_mm / 1000, fin.chord_mm / 1000, fin.arm_mm / 1000
        area, aspect = height * chord, _FIN_ENDPLATE * height / chord
        if rudders:
            span = min(sum(part.y_outer_mm - part.y_inner_mm for part in rudders) / 1000, height) / height
            ratio = rudders[0].chord_mm / aircraft.fin.chord_mm * span
    elif aircraft.tail is not None and aircraft.tail.dihedral_deg > 0:
        tail = aircraft.tail
        span, chord, arm = tail.span_mm / 1000, tail.chord_mm / 1000, tail.arm_mm / 1000
        lean = np.sin(np.radians(aircraft.tail.dihedral_deg))
        area, aspect = span * chord * lean**2, span / chord
        if rudders:
            # One half goes up, the other down: their angle counts with the sine of the lean once, not twice.
            ratio = rudders[0].chord_mm / aircraft.tail.chord_mm
    else:
        nothing = np.full(yaw.shape, np.nan)
        return nothing, nothing
    slope = 2 * np.pi * aspect / (aspect + 2)
    stiffness = slope * area * arm / (main.area_m2 * main.span_m)
    swing = np.degrees(yaw / stiffness)
    if not ratio:
        return swing, np.full(yaw.shape, np.nan)
    effect = flap_theory(min(ratio, 1.0))[0] / (2 * np.pi)
    if aircraft.fin is None:
        effect = effect / np.sin(np.radians(aircraft.tail.dihedral_deg))
    return swing, swing / effect
