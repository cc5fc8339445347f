"""How wide words come out, in the widest letters that they may be shown in."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files

import numpy as np

__all__ = ["TABLE", "text_width"]

TABLE = files("mixlib") / "data" / "letters.npz"
"""Widths of the letters of DejaVu Sans; `mixlib.paper.letters` makes it."""


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Width of a line of text in the units of its letter size.

    Measured in DejaVu Sans, the face of the printed sheets.  The faces that a browser picks for the screen
    are narrower, so what fits here fits there.
    """
    widths = _widths(bold)
    # A letter that the face lacks: whatever stands in its place is at most as wide as it is high.
    return size * sum(widths.get(letter, 1.0) for letter in text)


@lru_cache(maxsize=2)
def _widths(bold: bool) -> dict[str, float]:
    """Letter to its width as a share of its size."""
    with TABLE.open("rb") as file, np.load(file) as table:
        letters = map(chr, table["code"].tolist())
        shares = (table["bold" if bold else "regular"] / int(table["per_em"])).tolist()
    return {letter: share for letter, share in zip(letters, shares, strict=True) if share}
