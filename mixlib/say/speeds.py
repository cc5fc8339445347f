"""Speeds in the unit that the reader picked; all else reckons in m/s.

The unit is the reader's, not the model's: it is kept in their place in the workbook, beside the models.
"""

from __future__ import annotations

from functools import lru_cache
from typing import SupportsFloat, TypeVar

import numpy as np

from mixlib.describe.numbers import UNITS
from mixlib.describe.shelf import place
from mixlib.describe.words import number

__all__ = [
    "SPEED_UNITS",
    "in_speed_unit",
    "keep_speed_unit",
    "speed_size",
    "speed_unit",
    "speed_words",
    "round_speed_words",
]

SPEED_UNITS = ("m/s", "km/h", "mph")
"""Units that can be picked, the usual one first."""

Number = TypeVar("Number", float, np.ndarray)


def speed_unit() -> str:
    """The unit in which the reader wants speeds, one of `SPEED_UNITS`."""
    return _kept(place.stamp())


def keep_speed_unit(unit: str) -> None:
    """Keep the reader's unit, one of `SPEED_UNITS`, for all lessons."""
    place.remember("unit", "speed", unit)


def speed_size() -> float:
    """One of the reader's unit in m/s."""
    return float(UNITS[speed_unit()][1])


def in_speed_unit(speed_m_s: Number) -> Number:
    """A speed of so many m/s in the reader's unit, as for the axis of a chart."""
    return speed_m_s / speed_size()


def speed_words(speed_m_s: SupportsFloat, decimals: int = 1) -> str:
    """A speed of so many m/s with the reader's unit, such as ``"9.3 m/s"`` or ``"33.5 km/h"``."""
    return f"{number(in_speed_unit(float(speed_m_s)), decimals)} {speed_unit()}"


def round_speed_words(speed_m_s: float) -> str:
    """A wind or a step of so many m/s with the reader's unit, such as ``"4 m/s"`` or ``"14 km/h"``."""
    shown = in_speed_unit(speed_m_s)
    return f"{number(shown) if speed_unit() == SPEED_UNITS[0] else number(shown, 0)} {speed_unit()}"


@lru_cache(maxsize=1)
def _kept(_stamp: tuple[str, int, int]) -> str:
    kept = place.recall("unit", "speed")
    return kept if kept in SPEED_UNITS else SPEED_UNITS[0]
