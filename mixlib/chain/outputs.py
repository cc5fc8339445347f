"""Demand of an output to its travel and back, and the pulse it sends."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from mixlib.describe import Motor, Output, Radio

__all__ = [
    "demand_for_travel_percent",
    "power_percent",
    "pulse_us",
    "travel_for_pulse_percent",
    "travel_percent",
    "travels_percent",
]


def travel_percent(demand: npt.ArrayLike, output: Output, radio: Radio) -> tuple[np.ndarray, np.ndarray]:
    """Travel that an output gives for a demand: reversed if set, then limited, then moved by sub-trim.

    End points that clip cut the demand off at the end point.  End points that scale limit the
    demand at 100 % and make all of it smaller or larger on that side.

    Parameters
    ----------
    demand : array_like
        In percent, any shape.

    Returns
    -------
    travel : numpy.ndarray
        Percent, same shape; positive is a longer pulse.
    clipped : numpy.ndarray of bool
        Where not all of the demand is passed on.
    """
    return _limited(np.asarray(demand, dtype=float), _settings(output), radio)


def travels_percent(
    demand: npt.ArrayLike, outputs: Sequence[Output], radio: Radio
) -> tuple[np.ndarray, np.ndarray]:
    """`travel_percent` of several outputs at once, in percent, shape (..., outputs)."""
    return _limited(np.asarray(demand, dtype=float), np.array([*map(_settings, outputs)]).T, radio)


def demand_for_travel_percent(travel: npt.ArrayLike, output: Output, radio: Radio) -> np.ndarray:
    """Demand that a travel stands for: the inverse of `travel_percent`, as if end points cut nothing off.

    Parameters
    ----------
    travel : array_like
        In percent, longer pulse positive, any shape.

    Returns
    -------
    numpy.ndarray
        Percent, same shape; infinite where a side is scaled to nothing.
    """
    sense, low, high, sub_trim = _settings(output)
    moved = np.asarray(travel, dtype=float) - sub_trim
    if radio.end_points == "scale":
        with np.errstate(divide="ignore", invalid="ignore"):
            moved = np.where(moved == 0, 0.0, moved * 100 / np.where(moved > 0, high, low))
    return sense * moved


def pulse_us(travel: npt.ArrayLike, radio: Radio) -> tuple[np.ndarray, np.ndarray]:
    """Pulse that is sent for a travel.

    Parameters
    ----------
    travel : array_like
        In percent, any shape.

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


def travel_for_pulse_percent(pulse: npt.ArrayLike, radio: Radio) -> np.ndarray:
    """Travel in percent that a pulse in us stands for, whatever the radio's limits: `pulse_us` backwards."""
    return (np.asarray(pulse, dtype=float) - radio.centre_us) * (100 / radio.us_per_100_percent)


def power_percent(motor: Motor, pulse_us: npt.ArrayLike) -> np.ndarray:
    """Power of a motor, percent of full, for pulses in us of any shape; even in between, which few are."""
    way = (np.asarray(pulse_us, dtype=float) - motor.off_us) / (motor.full_us - motor.off_us)
    return 100 * np.clip(way, 0.0, 1.0)


def _settings(output: Output) -> tuple[float, ...]:
    sense = -1.0 if output.reversed else 1.0
    return sense, output.end_low_percent, output.end_high_percent, output.sub_trim_percent


def _limited(
    demand: np.ndarray, settings: tuple[float, ...] | np.ndarray, radio: Radio
) -> tuple[np.ndarray, np.ndarray]:
    sense, low, high, sub_trim = settings
    wanted = demand * sense
    if radio.end_points == "clip":
        limited = np.clip(wanted, -low, high)
        return limited + sub_trim, limited != wanted
    inside = np.clip(wanted, -100.0, 100.0)
    return inside * (np.where(inside > 0, high, low) / 100) + sub_trim, inside != wanted
