"""From the pulse that arrives to the trailing edge: servos, linkages and stops of surfaces side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mixlib.chain.linkage import Geometry, LinkageError, arm_range_deg
from mixlib.describe import Servo, Surface
from mixlib.units import throw_mm_from_angle

__all__ = ["SERVO_CENTRE_US", "Followed", "SurfaceRow", "arm_range_of", "pulse_for_arm_us"]

SERVO_CENTRE_US = 1500.0
"""Pulse at which a servo arm stands as it was fitted; the middle value of the MAVLink RC_CHANNELS message."""


@dataclass(frozen=True)
class Followed:
    """Where servos and linkages take their surfaces.

    Attributes
    ----------
    arm_deg, angle_deg : numpy.ndarray
        Arm (tip forward positive) and surface (trailing edge down, rudder left, positive), deg.
    throw_mm : numpy.ndarray
        Throw with the sign of the angle, mm.
    binds, at_stop, cut : numpy.ndarray of bool
        Held at a dead point of the linkage; at a stop of the surface; by a pulse range.
    """

    arm_deg: np.ndarray
    angle_deg: np.ndarray
    throw_mm: np.ndarray
    binds: np.ndarray
    at_stop: np.ndarray
    cut: np.ndarray


class SurfaceRow:
    """Some surfaces side by side, each with its servo and linkage, ready to be sent pulses.

    Raises
    ------
    LinkageError
        If a linkage cannot close at neutral; the text names the surface.
    """

    def __init__(self, surfaces: Sequence[Surface]):
        servos = [surface.servo for surface in surfaces]
        self._pulses = np.array([(servo.min_us, servo.max_us) for servo in servos]).T
        self._offset_deg = np.array([servo.arm_offset_deg for servo in servos])
        self._deg_per_us = np.array([_deg_per_us(servo) for servo in servos])
        self._arms = np.array([arm_range_of(surface) for surface in surfaces]).T
        self._geometry = Geometry.of([surface.linkage for surface in surfaces])
        self._stops = np.array([(-surface.stop_up_deg, surface.stop_down_deg) for surface in surfaces]).T
        self._chords_mm = np.array([surface.chord_mm for surface in surfaces])

    def follow(self, pulse_us: npt.ArrayLike) -> Followed:
        """Send each servo its pulse; beyond its range it stays at the end of it.

        Parameters
        ----------
        pulse_us : array_like
            Shape (..., surfaces).

        Returns
        -------
        Followed
            Each part of that shape, in deg and mm.
        """
        pulse = np.asarray(pulse_us, dtype=float)
        served = np.clip(pulse, *self._pulses)
        asked = self._offset_deg + self._deg_per_us * (served - SERVO_CENTRE_US)
        arm = np.clip(asked, *self._arms)
        free = self._geometry.surface_deg(arm)
        angle = np.clip(free, *self._stops)
        throw = throw_mm_from_angle(angle, self._chords_mm)
        return Followed(arm, angle, np.asarray(throw), arm != asked, angle != free, served != pulse)


def arm_range_of(surface: Surface) -> tuple[float, float]:
    """Range of a surface's servo arm in deg, as `arm_range_deg` has it, with its name in the error."""
    try:
        return arm_range_deg(surface.linkage)
    except LinkageError as error:
        raise LinkageError(f"{surface.name}: {error}") from None


def pulse_for_arm_us(servo: Servo, arm_deg: npt.ArrayLike) -> np.ndarray:
    """Pulse in us that turns an arm to an angle, tip forward positive, whatever range the servo follows."""
    return SERVO_CENTRE_US + (np.asarray(arm_deg, dtype=float) - servo.arm_offset_deg) / _deg_per_us(servo)


def _deg_per_us(servo: Servo) -> float:
    return (1.0 if servo.longer_pulse_moves_arm == "forward" else -1.0) * servo.arm_deg_per_500us / 500.0
