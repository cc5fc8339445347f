"""Speeds in the unit that the reader picked; all else reckons in m/s.

The unit is the reader's, not the model's: it is kept in their place in the workbook, beside the models.
"""

from __future__ import annotations

import re
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
    "names_speed",
    "round_speed_words",
    "speed_size",
    "speed_unit",
    "speed_words",
    "told_in_speed_unit",
]

SPEED_UNITS = ("m/s", "km/h", "mph")
"""Units that can be picked, the usual one first."""

_IN_M_S = re.compile(r"(?:(\d+(?:\.\d+)?)( to | and | or ))?(\d+(?:\.\d+)?) m/s")  # "9 to 12 m/s"
_NAMED = re.compile(r"(?<!\d )m/s")  # the unit alone: "sink, m/s"

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


def told_in_speed_unit(text: str) -> str:
    """A text of a lesson with each of its m/s in the reader's unit, with as many digits."""
    return _IN_M_S.sub(_told, text).replace("m/s", speed_unit())


def names_speed(text: str) -> bool:
    """Whether a heading says that its numbers are in m/s: ``"sink, m/s"`` does, ``"at 8 m/s"`` does not."""
    return bool(_NAMED.search(text))


def _told(found: re.Match[str]) -> str:
    low, between, high = found.groups()
    shown = [_same_digits(one) for one in (low, high) if one]
    return f"{(between or '').join(shown)} {speed_unit()}"


def _same_digits(speed_m_s: str) -> str:
    return number(in_speed_unit(float(speed_m_s)), len(speed_m_s.partition(".")[2]))


@lru_cache(maxsize=1)
def _kept(_stamp: tuple[str, int, int]) -> str:
    kept = place.recall("unit", "speed")
    return kept if kept in SPEED_UNITS else SPEED_UNITS[0]
