"""Demand of an output to its travel, the pulse it sends, and the angle of the servo arm."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mixlib.describe import Output, Radio, Servo

__all__ = [
    "SERVO_CENTRE_US",
    "arm_angle_deg",
    "arm_angles_deg",
    "pulse_us",
    "travel_percent",
    "travels_percent",
]

SERVO_CENTRE_US = 1500.0
"""Pulse at which a servo arm stands as it was fitted; the middle value of the MAVLink RC_CHANNELS message."""


def travel_percent(demand, output: Output, radio: Radio) -> tuple[np.ndarray, np.ndarray]:
    """Travel that an output gives for a demand: reversed if set, then limited, then moved by sub-trim.

    End points that clip cut the demand off at the end point.  End points that scale limit the
    demand at 100 % and make all of it smaller or larger on that side.

    Parameters
    ----------
    demand : array_like
        Demand in percent, any shape.
    output : Output
        Its direction, end points and sub-trim.
    radio : Radio
        Which kind of end points it has.

    Returns
    -------
    travel : numpy.ndarray
        Percent, same shape; positive is a longer pulse.
    """
    return _limited(np.asarray(demand, dtype=float), _settings(output), radio)


def travels_percent(demand, outputs: Sequence[Output], radio: Radio) -> tuple[np.ndarray, np.ndarray]:
    """Travel of several outputs at once; see `travel_percent`.

    Parameters
    ----------
    demand : array_like
        Demand in percent, shape (..., outputs).
    outputs : sequence of Output
        One for each place of the last axis.
    radio : Radio
        Which kind of end points it has.

    Returns
    -------
    travel : numpy.ndarray
        Percent, shape (..., outputs); positive is a longer pulse.
    """
    return _limited(np.asarray(demand, dtype=float), np.array([*map(_settings, outputs)]).T, radio)


def pulse_us(travel, radio: Radio) -> tuple[np.ndarray, np.ndarray]:
    """Pulse that is sent for a travel.

    Parameters
    ----------
    travel : array_like
        Percent, any shape.
    radio : Radio
        Its centre, pulse of 100 % and limits.

    Returns
    -------
    pulse : numpy.ndarray
        Microseconds, same shape.
    clipped : numpy.ndarray of bool
        Where the radio's shortest or longest pulse cut it off.
    """
    wanted = radio.centre_us + np.asarray(travel, dtype=float) * (radio.us_per_100_percent / 100)
    pulse = np.clip(wanted, radio.min_us, radio.max_us)
    return pulse, pulse != wanted


def arm_angle_deg(pulse, servo: Servo) -> np.ndarray:
    """Angle of the servo arm for a pulse.

    Parameters
    ----------
    pulse : array_like
        Microseconds, any shape.
    servo : Servo
        How far and which way its arm turns; pulses beyond its range leave it at the end of its range.

    Returns
    -------
    numpy.ndarray
        Degrees from the drawn place, positive when the arm's tip has gone forward; same shape.
    """
    return _turned(np.asarray(pulse, dtype=float), _measures(servo))


def arm_angles_deg(pulse, servos: Sequence[Servo]) -> np.ndarray:
    """Arm angles of several servos at once; see `arm_angle_deg`.

    Parameters
    ----------
    pulse : array_like
        Microseconds, shape (..., servos).
    servos : sequence of Servo
        One for each place of the last axis.

    Returns
    -------
    numpy.ndarray
        Degrees, shape (..., servos), tip forward positive.
    """
    return _turned(np.asarray(pulse, dtype=float), np.array([*map(_measures, servos)]).T)


def _settings(output: Output) -> tuple[float, ...]:
    sense = -1.0 if output.reversed else 1.0
    return sense, output.end_low_percent, output.end_high_percent, output.sub_trim_percent


def _limited(demand: np.ndarray, settings, radio: Radio) -> tuple[np.ndarray, np.ndarray]:
    sense, low, high, sub_trim = settings
    wanted = demand * sense
    if radio.end_points == "clip":
        limited = np.clip(wanted, -low, high)
        return limited + sub_trim, limited != wanted
    inside = np.clip(wanted, -100.0, 100.0)
    return inside * (np.where(inside > 0, high, low) / 100) + sub_trim, inside != wanted


def _measures(servo: Servo) -> tuple[float, ...]:
    sense = 1.0 if servo.longer_pulse_moves_arm == "forward" else -1.0
    return servo.min_us, servo.max_us, servo.arm_offset_deg, sense * servo.arm_deg_per_500us / 500.0


def _turned(pulse: np.ndarray, measures) -> np.ndarray:
    shortest, longest, offset, deg_per_us = measures
    return offset + deg_per_us * (np.clip(pulse, shortest, longest) - SERVO_CENTRE_US)
