"""Movements of surfaces in words: the same words in pictures, sentences, exercises and on the bench card."""

from __future__ import annotations

from collections.abc import Iterable

from mixlib.describe.aircraft import Surface

__all__ = [
    "COMMAND_ENDS",
    "NEUTRAL_MM",
    "command_end",
    "direction",
    "listed",
    "movement",
    "movement_sentence",
    "number",
    "sentence_start",
    "signed",
]

COMMAND_ENDS = {
    "roll": ("stick left", "stick right"),
    "pitch": ("stick forward", "stick back"),
    "yaw": ("nose left", "nose right"),
    "camber": ("reflex", "droop"),
    "throttle": ("closed", "open"),
    "brake": ("in", "out"),
}
"""What the two ends of each command are called, beside its name; for throttle and brake the first is at 0."""

NEUTRAL_MM = 0.25
"""A throw below this is called neutral: less than a ruler at the trailing edge can show."""


def command_end(command: str, value: float) -> str:
    """A command on its way to an end, in words that stand by themselves.

    Parameters
    ----------
    value : float
        The command, -1 to 1 but not 0, such as `Setup.used_to` gives it: less than 1 is a mark.

    Returns
    -------
    str
        Such as ``"stick right"``, ``"brake out"`` or ``"droop to the mark at 60 %"``.
    """
    end = COMMAND_ENDS[command][value > 0]
    words = f"{command} {end}" if command in ("throttle", "brake") else end
    return words if abs(value) == 1 else f"{words} to the mark at {number(100 * abs(value))} %"


def number(value: float, digits: int | None = None) -> str:
    """A number for the reader, its minus sign as long as a plus.

    Parameters
    ----------
    value : float
        In any unit.
    digits : int, optional
        Digits after the point; left out, as few as tell the number.
    """
    shown = f"{value + 0.0:g}" if digits is None else f"{round(value, digits) + 0.0:.{digits}f}"
    return shown.replace("-", "−")


def signed(value: float, digits: int | None = None) -> str:
    """A `number` with its plus or minus, in any unit; a nought has neither."""
    shown = number(value, digits)
    return f"+{shown}" if value > 0 and shown.strip("0.") else shown


def direction(surface: Surface, throw_mm: float) -> str:
    """Which way the trailing edge went, in a word; down, or a rudder's left, is positive."""
    if abs(throw_mm) < NEUTRAL_MM:
        return "neutral"
    if surface.kind == "rudder":
        return "left" if throw_mm > 0 else "right"
    return "down" if throw_mm > 0 else "up"


def movement(surface: Surface, angle_deg: float, throw_mm: float) -> str:
    """Movement in words, such as ``"up 12.3 mm (14.5°)"`` or ``"neutral"``; signs as in `direction`."""
    word = direction(surface, throw_mm)
    return word if word == "neutral" else f"{word} {abs(throw_mm):.1f} mm ({abs(angle_deg):.1f}°)"


def movement_sentence(
    surfaces: Iterable[Surface], angles_deg: Iterable[float], throws_mm: Iterable[float]
) -> str:
    """One sentence with the movement of each surface, at least one.

    Such as ``"Left aileron up 12.3 mm (14.5°); right aileron down 8.0 mm (9.4°)."``
    """
    rows = list(zip(surfaces, angles_deg, throws_mm, strict=True))
    if all(direction(surface, throw) == "neutral" for surface, _, throw in rows):
        everything = "All surfaces are" if len(rows) > 1 else sentence_start(rows[0][0].name) + " is"
        return f"{everything} neutral."
    parts = [f"{surface.name} {movement(surface, angle, throw)}" for surface, angle, throw in rows]
    return sentence_start("; ".join(parts)) + "."


def sentence_start(text: str) -> str:
    """Text with a capital first letter, the rest left as it is."""
    return text[:1].upper() + text[1:]


def listed(items: Iterable[str]) -> str:
    """Items as a list in words, such as ``"a, b and c"``."""
    items = list(items)
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"
