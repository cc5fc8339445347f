"""Closed forms for a flapped section: thin-aerofoil theory, plain-flap increments, a plate past the stall.

These carry the section table on where it cannot be trusted (see `mixlib.air.section.table`).
All angles are in degrees, a flap down is positive, a chord ratio is flap chord over section chord; lift is
up, drag back, moments nose up about the quarter chord of the unflapped section; coefficients are for unit
span and the unflapped chord.

Sources
-------
* Thin-aerofoil flap: E. L. Houghton and P. W. Carpenter, *Aerodynamics for Engineering Students*, section
  4.5.
* Flap effectiveness: B. W. McCormick, *Aerodynamics, Aeronautics and Flight Mechanics*, chapter 3, in the
  straight-line form of W. Khan and M. Nahon, "Modeling dynamics of agile fixed-wing UAVs for real-time
  applications", ICUAS 2016 (the line's end points from memory).
* Flap drag: McCormick, chapter 4, after A. D. Young, R&M 2622 (from memory).
* Plate past the stall: S. F. Hoerner, *Fluid-Dynamic Drag* and *Fluid-Dynamic Lift*, normal force of an
  inclined plate in plane flow, 1.98 at right angles; its centre of pressure from Khan and Nahon (from
  memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

__all__ = ["bent_plate", "flap_drag", "flap_lift", "flap_theory"]

PLATE_FRICTION = 0.02


def flap_theory(chord_ratio: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Lift coefficient per rad of a small flap angle, and moment coefficient per rad (negative).

    Parameters
    ----------
    chord_ratio : array_like
        Flap chord over section chord; counts as 0 to 1.
    """
    ratio = np.clip(np.asarray(chord_ratio, dtype=float), 0.0, 1.0)
    theta = np.arccos(2.0 * ratio - 1.0)
    return 2.0 * (np.pi - theta + np.sin(theta)), -2.0 * np.sqrt(ratio * (1.0 - ratio) ** 3)


def flap_lift(flap_deg: ArrayLike, chord_ratio: ArrayLike) -> np.ndarray:
    """Lift coefficient that a plain flap adds at constant incidence, odd in the flap angle.

    The theory's lift times an effectiveness: 0.8 up to 10 deg, falling in a straight line to 0.4 at 60 deg.
    """
    flap = np.asarray(flap_deg, dtype=float)
    effectiveness = np.interp(np.abs(flap), [10.0, 60.0], [0.8, 0.4])
    return flap_theory(chord_ratio)[0] * effectiveness * np.radians(flap)


def flap_drag(flap_deg: ArrayLike, chord_ratio: ArrayLike) -> np.ndarray:
    """Profile drag coefficient that a plain flap adds, ``1.7 E^1.38 sin^2 d``; even in the flap angle."""
    ratio = np.asarray(chord_ratio, dtype=float)
    return 1.7 * ratio**1.38 * np.sin(np.radians(flap_deg)) ** 2


def bent_plate(
    alpha_deg: ArrayLike, flap_deg: ArrayLike, chord_ratio: ArrayLike
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Lift, drag and moment coefficient of a fully separated section, at any incidence.

    It is taken for a plate from the leading edge to the moved trailing edge; its drag is never below a small
    skin friction.
    """
    alpha, flap, ratio = np.broadcast_arrays(
        np.asarray(alpha_deg, dtype=float), np.radians(flap_deg), np.asarray(chord_ratio, dtype=float)
    )
    along, down = 1.0 - ratio + ratio * np.cos(flap), ratio * np.sin(flap)
    chord, tilt = np.hypot(along, down), np.arctan2(down, along)
    angle = np.mod(np.radians(alpha) + tilt + np.pi, 2.0 * np.pi) - np.pi
    sine = np.sin(angle)
    normal = chord * sine / (0.222 * np.abs(sine) + 0.283)
    pressure = 0.5 - 0.175 * (1.0 - 2.0 * np.abs(angle) / np.pi)
    return (
        normal * np.cos(angle),
        normal * sine + PLATE_FRICTION,
        -normal * (pressure * chord - 0.25 * np.cos(tilt)),
    )
