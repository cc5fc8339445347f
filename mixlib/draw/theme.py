"""One look for everything that is drawn: colours, line widths and letters by what a thing *is*.

Shapes name a role, never a colour.  The strong colours are those of Okabe and Ito, "Color Universal Design"
(2008), which colour-blind readers can tell apart; still, a colour never stands alone: a word or a shape says
the same.  What must be seen has a contrast of 3 : 1 or more with all that it touches, if need be by an edge.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from importlib.resources import files

import numpy as np

__all__ = [
    "BLUE",
    "CURVES",
    "GREEN",
    "INK",
    "ORANGE",
    "PALE",
    "QUIET",
    "ROLES",
    "TABLE",
    "UNBREAKABLE",
    "VERMILION",
    "WHITE",
    "Style",
    "first_fitting",
    "one_line",
    "role_width",
    "style",
    "text_width",
    "wrapped",
]

INK = "#1b1f24"
QUIET = "#57606a"
PALE = "#e4e8ec"
WHITE = "#ffffff"
BLUE = "#0072b2"
VERMILION = "#d55e00"
GREEN = "#009e73"
ORANGE = "#e69f00"
PURPLE = "#aa4499"
BROWN = "#8f5a00"
RED = "#a40000"

CURVES = ((BLUE, ""), (VERMILION, "9 5"), (GREEN, "2 4"), (PURPLE, "12 4 2 4"), (INK, "5 3"))
"""Colour and dash pattern of the first, second ... curve of a chart; the dashes tell them apart in grey."""


@dataclass(frozen=True)
class Style:
    """How one role is drawn; lengths in drawing units."""

    fill: str = "none"
    stroke: str = "none"
    width: float = 1.5
    dash: str = ""
    edge: str = ""
    """Colour of an edge on both sides of a line."""
    size: float = 16.0
    bold: bool = False
    soft: float = 1.0
    """Opacity of the fill, 0 to 1."""

    @property
    def strokes(self) -> tuple[Style, ...]:
        """What a line is drawn with, from back to front."""
        return (replace(self, stroke=self.edge, width=self.width + 3.0), self) if self.edge else (self,)


ROLES: dict[str, Style] = {
    # surroundings
    "sheet": Style(fill=WHITE, stroke="#c4cbd4", width=1.0),
    "ground": Style(fill="#f3f5f8"),
    "fault": Style(fill="#f9e2c4"),
    "safe": Style(fill=WHITE),
    "edge": Style(fill=WHITE, stroke=BROWN, width=3.0),
    "safe strip": Style(fill=GREEN),
    "hedge": Style(fill=GREEN, stroke=INK),
    "rule": Style(stroke="#c4cbd4", width=1.0),
    # the aircraft
    "fixed": Style(fill=PALE, stroke=INK),
    "ghost": Style(stroke=INK, width=1.2, dash="4 4"),
    "kept": Style(stroke=PURPLE, width=2.2, dash="7 5", edge=WHITE),
    "up": Style(fill=BLUE, stroke=INK),
    "down": Style(fill=VERMILION, stroke=INK),
    "neutral": Style(fill="#9aa3ad", stroke=INK),
    "movement": Style(stroke=INK, width=2.0),
    "measure": Style(stroke=RED, width=3.0),
    "hinge": Style(fill=WHITE, stroke=INK, width=2.0),
    # the linkage
    "servo": Style(fill="#cfe8df", stroke=INK),
    "arm": Style(stroke=GREEN, width=6.0, edge=INK),
    "rod": Style(stroke=INK, width=3.5),
    "horn": Style(stroke=ORANGE, width=6.0, edge=INK),
    "wire": Style(stroke=INK, width=1.2),
    "badge": Style(fill=INK, stroke=WHITE),
    # charts
    "axis": Style(stroke=INK, width=1.6),
    "grid": Style(stroke="#dfe3e8", width=1.0),
    "zero": Style(stroke=QUIET, width=1.3),
    "band 1": Style(fill=ORANGE, stroke=BROWN, width=1.0, soft=0.24),
    "band 2": Style(fill=BLUE, stroke=BLUE, width=1.0, soft=0.16),
    "here": Style(stroke=INK, width=1.6, dash="3 3"),
    "spot": Style(fill=INK, stroke=WHITE, width=2.0),
    **{
        f"curve {number}": Style(stroke=colour, width=2.8, dash=dash)
        for number, (colour, dash) in enumerate(CURVES, start=1)
    },
    # words
    "leader": Style(stroke=INK, width=1.0),
    "title": Style(fill=INK, size=19.0, bold=True),
    "label": Style(fill=INK, size=16.0),
    "strong": Style(fill=INK, size=17.0, bold=True),
    "note": Style(fill=QUIET, size=14.5),
    "warning": Style(fill=RED, size=15.0, bold=True),
    "badge words": Style(fill=WHITE, size=17.0, bold=True),
}
"""Every role that a shape may name."""


def style(role: str) -> Style:
    """Look a role up.

    Parameters
    ----------
    role : str
        One of `ROLES`.

    Raises
    ------
    KeyError
        If there is no such role.
    """
    try:
        return ROLES[role]
    except KeyError:
        raise KeyError(f"no role is called {role!r}; roles are {', '.join(ROLES)}") from None


TABLE = files("mixlib") / "data" / "letters.npz"
"""Widths of the letters of DejaVu Sans; `mixlib.paper.letters` makes it."""


UNBREAKABLE = re.compile(r"\S+(?: (?:%|mm|m/s|inch|deg|us)(?![a-z])\S*)?")
"""One word, or a number with its unit, which stays with it."""


@lru_cache(maxsize=4096)
def text_width(text: str, size: float, bold: bool = False) -> float:
    """Width of a line of text in the units of its letter size.

    Measured in DejaVu Sans, the face of the printed sheets.  The faces that a browser picks for the screen
    are narrower, so what fits here fits there.
    """
    widths = _widths(bold)
    # A letter that the face lacks: whatever stands in its place is at most as wide as it is high.
    return size * sum(widths.get(letter, 1.0) for letter in text)


def role_width(text: str, role: str) -> float:
    """Width of a line of text in the letters of a role, drawing units."""
    look = style(role)
    return text_width(text, look.size, look.bold)


def first_fitting(options: Sequence[str], width: float, role: str) -> str:
    """The first of several ways to say a thing that fits a width; when none does, the last is shortened."""
    fitting = (option for option in options if role_width(option, role) <= width)
    return next(fitting, None) or one_line(options[-1], width, role)


@lru_cache(maxsize=1024)
def wrapped(text: str, width: float, role: str, lines: int = 2) -> tuple[str, ...]:
    """Break words into lines that fit a width; what does not fit in the last line ends in three dots.

    Parameters
    ----------
    lines : int
        Most lines that may be used.
    """

    def fits(line: str) -> bool:
        return role_width(line, role) <= width

    result: list[str] = []
    for word in UNBREAKABLE.findall(text):
        joined = f"{result[-1]} {word}" if result else word
        if result and fits(joined):
            result[-1] = joined
        else:
            result.append(word)
    result = [_shortened(line, fits) for line in result]
    if len(result) > lines:
        result[lines - 1] = _shortened(" ".join(result[lines - 1 :]) + " ...", fits)
    return tuple(result[:lines])


def one_line(text: str, width: float, role: str) -> str:
    """Words on one line that fits a width; what does not fit is left out and ends in three dots."""
    return "".join(wrapped(text, width, role, 1))


def _shortened(line: str, fits) -> str:
    if fits(line):
        return line
    kept = line.removesuffix("...").rstrip()
    while kept and not fits(kept + "..."):
        kept = kept[:-1]
    return kept.rstrip() + "..."


@lru_cache(maxsize=2)
def _widths(bold: bool) -> dict[str, float]:
    """Letter to its width as a share of its size."""
    with TABLE.open("rb") as file, np.load(file) as table:
        letters = map(chr, table["code"].tolist())
        shares = (table["bold" if bold else "regular"] / int(table["per_em"])).tolist()
    return {letter: share for letter, share in zip(letters, shares, strict=True) if share}
