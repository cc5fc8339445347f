"""Numbers as readers type them: comma or point, any minus, any width of digit, with or without a unit.

What is typed is taken exactly or refused with a sentence; nothing is rounded, cut off or guessed.  A point is
always a decimal point, since that is how the workbook itself writes; a comma is one where it can be nothing
else.
"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from functools import lru_cache

__all__ = ["UNITS", "read_number", "read_numbers", "shortened", "unit_of"]

UNITS: dict[str, tuple[str, Fraction, tuple[str, ...]]] = {
    "mm": ("length", Fraction(1), ("millimetre", "millimetres", "millimeter", "millimeters")),
    "cm": ("length", Fraction(10), ("centimetre", "centimetres", "centimeter", "centimeters")),
    "m": ("length", Fraction(1000), ("metre", "metres", "meter", "meters")),
    "inch": ("length", Fraction("25.4"), ("in", "inches", '"', "″", "”")),
    "ft": ("length", Fraction("304.8"), ("foot", "feet")),
    "deg": ("angle", Fraction(1), ("°", "º", "degree", "degrees")),
    "g": ("mass", Fraction(1), ("gram", "grams", "gramme", "grammes")),
    "kg": ("mass", Fraction(1000), ("kilo", "kilos", "kilogram", "kilograms")),
    "oz": ("mass", Fraction("28.349523125"), ("ounce", "ounces")),
    "lb": ("mass", Fraction("453.59237"), ("lbs", "pound", "pounds")),
    "us": ("time", Fraction(1), ("µs", "μs", "microsecond", "microseconds")),
    "ms": ("time", Fraction(1000), ("millisecond", "milliseconds")),
    "s": ("time", Fraction(10**6), ("sec", "second", "seconds")),
    "m/s": ("speed", Fraction(1), ("metres per second", "meters per second")),
    "km/h": ("speed", Fraction(10, 36), ("kmh", "kph", "kilometres per hour", "kilometers per hour")),
    "mph": ("speed", Fraction("0.44704"), ("miles per hour",)),
    "kt": ("speed", Fraction(1852, 3600), ("kn", "kts", "knot", "knots")),
    "cm2": ("area", Fraction(1), ("cm²", "square centimetres", "square centimeters")),
    "dm2": ("area", Fraction(100), ("dm²",)),
    "deg/s": ("turn rate", Fraction(1), ("°/s", "degrees per second")),
    "%": ("share", Fraction(1), ("percent", "per cent")),
}
"""Each unit's kind, its size in the kind's first unit, and other ways to write it."""

_MINUS = dict.fromkeys(map(ord, "−–—‒‐‑﹣－"), "-")
_OTHER_SIGNS = {ord("٫"): ".", ord("＋"): "+", ord("．"): ".", ord("，"): ",", ord("；"): ";", ord("％"): "%"}
_NUMBER = re.compile(r"([+-]?)\s*([\d.,'’\s]*[\d.,])(?:e([+-]?\d{1,3})(?![^\W_]))?\s*(.*)", re.IGNORECASE)
_FRACTION = re.compile(r"([+-]?)\s*(?:(\d{1,6})[\s-]+)?(\d{1,6})/(\d{1,6})\s*(.*)")
_THOUSANDS = re.compile(r"\d{1,3}(?:([\s'’.,])\d{3})(?:\1\d{3})*")


def unit_of(word: str) -> str | None:
    """The unit that a word means, a key of `UNITS`; None where it means none."""
    word = " ".join(word.lower().split())
    for unit, (_, _, others) in UNITS.items():
        if word == unit or word in others:
            return unit
    return None


def read_number(text: str, unit: str = "") -> float:
    """Read one number that somebody typed.

    Parameters
    ----------
    text : str
        What was typed, such as ``"12"``, ``"−3,5"``, ``"1.2 cm"`` or ``'3/8"'``.
    unit : str
        The unit that is asked for; another one of its kind is changed over.  Empty for a bare number.

    Returns
    -------
    float
        In `unit`.

    Raises
    ------
    ValueError
        With a sentence for the reader: nothing, nonsense, two numbers or another kind of unit typed, or a
        comma that can mean two things.
    """
    value, _ = _read(text, unit)
    return value


def read_numbers(text: str, unit: str = "") -> tuple[float, ...]:
    """Read a list of numbers that somebody typed; an empty one for an empty text.

    Semicolons, line breaks, blanks, or commas with a blank behind stand between them: ``"8,5; 10,5"``,
    ``"8 10 12"`` and ``"8.5, 10.5"``.

    Parameters
    ----------
    unit : str
        The unit that is asked for; one behind any number but this is needed behind all.

    Returns
    -------
    tuple of float
        In `unit`.

    Raises
    ------
    ValueError
        As `read_number`; also for a text that can be read as two different lists.
    """
    pieces = _pieces(_plain(text), unit)
    read = [_read(piece, unit) for piece in pieces]
    given = {behind for _, behind in read}
    if len(given) > 1 and given - {"", unit_of(unit) or unit}:
        raise ValueError(f"“{shortened(text)}” has a unit behind some numbers only. Write it behind each.")
    return tuple(value for value, _ in read)


def shortened(text: str, most: int = 40) -> str:
    """What was given, on one line and cut off, so that a sentence can quote it.

    Parameters
    ----------
    most : int
        Letters at most.
    """
    line = " ".join("".join(letter if letter.isprintable() else " " for letter in text[: 4 * most]).split())
    return line if len(line) <= most and len(text) <= 4 * most else line[: most - 3] + "..."


@lru_cache(maxsize=512)  # all entries of a panel are read again whenever one of them changes
def _read(text: str, unit: str) -> tuple[float, str]:
    """The number in the unit asked for, and the unit behind it, if any."""
    quoted, asked = f"“{shortened(text)}”", f", in {unit}" if unit else ""
    example = f"Type digits, such as 12 or −3.5{asked}."
    plain = _plain(text)
    if not plain:
        raise ValueError(f"Nothing is typed yet. {example}")
    if len(plain) > 400:
        raise ValueError(f"{quoted} is too large. {example}")
    if ";" in plain:
        raise ValueError(f"{quoted} is more than one number. One is asked for here.")
    part = _FRACTION.fullmatch(plain)
    match = part or _NUMBER.fullmatch(plain)
    if match is None:
        raise ValueError(f"{quoted} is not a number. {example}")
    behind = match.groups()[-1].strip()
    found = _unit_behind(behind, unit, quoted, example)
    if part is not None:
        sign, whole, above, below, _ = part.groups()
        if not int(below):
            raise ValueError(f"{quoted} is divided by nought. {example}")
        size = int(whole or 0) + Fraction(int(above), int(below))
    else:
        sign, digits, power, _ = match.groups()
        size = Fraction(_decimal(digits.strip(), quoted, example)) * Fraction(10) ** int(power or 0)
    try:
        value = float(size * _factor(found, unit))
    except OverflowError:
        raise ValueError(f"{quoted} is too large. {example}") from None
    if size and not value:
        raise ValueError(f"{quoted} is too small to tell from 0. {example}")
    return (-value if sign == "-" else value) + 0.0, found  # a nought has no minus


def _plain(text: str) -> str:
    """What was typed with plain signs and digits, without blanks round it.

    Wide letters become plain ones, but raised ones do not: 10² is not 102.
    """
    text = text.translate(_MINUS).translate(_OTHER_SIGNS)
    return "".join(str(unicodedata.decimal(sign, sign)) for sign in text).strip()


def _decimal(digits: str, quoted: str, example: str) -> str:
    """Digits with a point, if any, of digits with signs between thousands or a decimal comma."""
    commas, points = digits.count(","), digits.count(".")
    whole, mark, rest = digits, "", ""
    if commas and points:
        mark = max(",.", key=digits.rfind)
        whole, _, rest = digits.rpartition(mark)
    elif commas == 1 or points == 1:
        mark = "," if commas else "."
        whole, _, rest = digits.partition(mark)
        if mark == "," and re.fullmatch(r"[1-9]\d{0,2}", whole) and re.fullmatch(r"\d{3}", rest):
            raise ValueError(
                f"{quoted} can be {whole}{rest} or {whole}.{rest}. Write one of these, without a comma."
            )
    grouped = _THOUSANDS.fullmatch(whole)
    if grouped and grouped[1] != mark:
        whole = re.sub(r"\D", "", whole)
    if not re.fullmatch(r"\d*", whole) or not re.fullmatch(r"\d*", rest) or not whole + rest:
        raise ValueError(f"{quoted} is not a number. {example}")
    return f"{whole or 0}.{rest or 0}"


def _unit_behind(behind: str, unit: str, quoted: str, example: str) -> str:
    """The unit typed behind a number; empty where there is none."""
    if not behind or behind.lower() == unit.lower():
        return (unit_of(unit) or unit) if behind else ""
    found = unit_of(behind) or unit_of(behind.rstrip("."))
    if found is None:
        raise ValueError(f"{quoted} is not a number. {example}")
    wanted = unit_of(unit)
    if wanted is None or UNITS[found][0] != UNITS[wanted][0]:
        how = f"asked in {unit}" if unit else "asked without a unit"
        raise ValueError(f"{quoted} is in {found}, and this is {how}. {example}")
    return found


def _factor(found: str, unit: str) -> Fraction:
    wanted = unit_of(unit)
    return UNITS[found][1] / UNITS[wanted][1] if found in UNITS and wanted else Fraction(1)


def _pieces(plain: str, unit: str) -> list[str]:
    """The numbers of a list, each still as typed."""
    quoted = f"“{shortened(plain)}”"
    lines = re.split(r"[;\n]", plain)
    if len(lines) > 1:
        pieces = [piece.strip() for piece in lines]
        return pieces[:-1] if pieces[-1] == "" else pieces
    if not plain:
        return []
    apart = "Put a semicolon between two numbers, such as 8.5; 10.5."
    by_comma = [piece.strip() for piece in re.split(r",\s+", plain)]
    if len(by_comma) > 1:
        if not all(by_comma) or any("," in piece and "." not in piece for piece in by_comma):
            raise ValueError(f"{quoted} can be read in two ways. {apart}")
        return by_comma
    pieces = plain.split(",")
    if len(pieces) > 1:
        if "." not in plain or _THOUSANDS.fullmatch(plain.rpartition(".")[0]):
            two = f"Write {'.'.join(pieces)} or {'; '.join(pieces)}." if "." not in plain else apart
            raise ValueError(f"{quoted} can be read in two ways. {two if len(pieces) == 2 else apart}")
        return [piece.strip() for piece in pieces]
    words = plain.split()
    if len(words) > 1 and all(re.fullmatch(r"[+-]?[\d.]+", word) for word in words):
        if _THOUSANDS.fullmatch(plain):
            raise ValueError(f"{quoted} can be read in two ways. {apart}")
        return words
    return [plain]
