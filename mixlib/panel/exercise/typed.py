"""Numbers as readers type them: a comma or a point, any minus sign, with or without the unit behind."""

from __future__ import annotations

import math
import re

__all__ = ["UNIT_WORDS", "read_number"]

UNIT_WORDS = {
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "deg": ("deg", "°", "degree", "degrees"),
    "%": ("%", "percent", "per cent"),
    "us": ("us", "µs", "μs", "microsecond", "microseconds"),
    "m/s": ("m/s", "metres per second", "meters per second"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "inch": ("inch", "inches", "in", '"'),
    "cm": ("cm", "centimetre", "centimetres"),
    "s": ("s", "second", "seconds"),
    "deg/s": ("deg/s", "°/s", "degrees per second"),
    "kg": ("kg", "kilogram", "kilograms"),
    "g": ("g", "gram", "grams"),
}
"""Units that are understood behind a number, each with the ways to write it."""

_NUMBER = re.compile(r"([+-]?)\s*(\d+(?:[.,]\d*)?|[.,]\d+)(?:e([+-]?\d{1,3}))?\s*(.*)", re.IGNORECASE)


def read_number(text: str, unit: str = "") -> float:
    """Read a number that somebody typed.

    Parameters
    ----------
    text : str
        What was typed, such as ``"12"``, ``"-3,5"`` or ``"12 mm"``.
    unit : str
        The unit that is asked for; empty for a bare number.

    Raises
    ------
    ValueError
        With a sentence for the reader: nothing or nonsense typed, or another unit than the one asked for.
    """
    plain = text.strip().replace("−", "-").replace("–", "-")
    example = f"Type digits, such as 12 or -3.5, in {unit}." if unit else "Type digits, such as 12 or -3.5."
    if not plain:
        raise ValueError(f"Nothing is typed yet. {example}")
    match = _NUMBER.fullmatch(plain)
    if match is None:
        raise ValueError(f"“{_short(text)}” is not a number. {example}")
    sign, digits, power, behind = match.groups()
    value = float(f"{sign}{digits.replace(',', '.')}e{power or 0}")
    if not math.isfinite(value):
        raise ValueError(f"“{_short(text)}” is too large. {example}")
    behind = behind.strip().lower().rstrip(".")
    if behind and behind not in (word.lower() for word in UNIT_WORDS.get(unit, (unit,))):
        if any(behind in words for words in UNIT_WORDS.values()):
            wanted = f"The answer is asked in {unit}" if unit else "The answer is asked without a unit"
            raise ValueError(f"{wanted}, and “{_short(text)}” is in {behind}. Change it over and try again.")
        raise ValueError(f"“{_short(text)}” is not a number. {example}")
    return value


def _short(text: str, most: int = 40) -> str:
    text = " ".join(text.split())
    return text if len(text) <= most else text[: most - 3] + "..."
