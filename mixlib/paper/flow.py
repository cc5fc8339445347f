"""From parts to pages: rows of columns are put one below the other, and what is left goes on a next page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mixlib.describe.errors import told
from mixlib.paper.page import LINE, MM_PER_POINT, Page
from mixlib.paper.parts import Part

__all__ = ["PAPERS_MM", "Row", "Sheet", "laid_out", "pages"]

PAPERS_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height of the papers: ISO 216 A4; ANSI Letter, 8.5 by 11 inches."""

Row = tuple[tuple[Part, ...], ...]
"""Columns side by side, each with its parts from top to bottom."""

_MARGIN = 10.0
_GUTTER = 6.0
_FOOT = 5.5  # kept for the page number


@dataclass(frozen=True)
class _Put:
    """A part with its place on a page, mm."""

    part: Part
    x: float
    top: float
    width: float


@dataclass(frozen=True)
class Sheet:
    """Rows in a letter size, and what stands at the foot of every page."""

    rows: Sequence[Row]
    foot: str


def laid_out(sheet: Sheet, paper: str, size: float) -> list[list[_Put]]:
    """Deal the rows of a sheet to pages.

    A row stays together where a page has room for it.  Else its columns go on overleaf, each with its next
    part; a part that stands alone is split between its lines.

    Parameters
    ----------
    paper : str
        A key of `PAPERS_MM`.
    size : float
        Letter size in points.

    Returns
    -------
    list of list of _Put
        The parts of each page.
    """
    width, height = (side - 2 * _MARGIN for side in PAPERS_MM[paper])
    bottom, top = _MARGIN + height - _FOOT, _MARGIN
    found: list[list[_Put]] = [[]]
    waiting = list(sheet.rows)
    while waiting:
        row = waiting.pop(0)
        across = (width - _GUTTER * (len(row) - 1)) / len(row)
        first, rest = _split(row, across, size, bottom - top)
        if first:
            for place, column in enumerate(first):
                y, x = top, _MARGIN + place * (across + _GUTTER)
                for part in column:
                    found[-1].append(_Put(part, x, y, across))
                    y += part.height(across, size) + _gap(size)
            top += max(_height(column, across, size) for column in first) + _gap(size)
        elif not found[-1]:  # not even on a page of its own
            if len(rest) == 1:
                raise told("the sheet", "one part of it is higher than a page. Use shorter words there")
            rest = ()
            waiting[:0] = [((part,),) for column in row for part in column]
        if rest:
            waiting.insert(0, rest)
            found.append([])
            top = _MARGIN
    return found


def pages(sheet: Sheet, paper: str, size: float) -> list[Page]:
    """Draw a sheet; see `laid_out`.

    Parameters
    ----------
    paper : str
        A key of `PAPERS_MM`.
    size : float
        Letter size in points.
    """
    dealt = laid_out(sheet, paper, size)
    drawn = []
    for number, parts in enumerate(dealt, start=1):
        page = Page(*PAPERS_MM[paper])
        for put in parts:
            put.part.draw(page, put.x, put.top, put.width, size)
        foot = f"{sheet.foot} · page {number} of {len(dealt)}" if len(dealt) > 1 else sheet.foot
        page.words(_MARGIN, page.height_mm - _MARGIN - size * MM_PER_POINT * LINE, foot, size)
        drawn.append(page)
    return drawn


def _split(row: Row, across: float, size: float, room: float) -> tuple[Row, Row]:
    """What of a row fits into a height, and the rest; a lone part is split, columns between their parts."""
    if max(_height(column, across, size) for column in row) <= room:
        return row, ()
    if len(row) == 1 and len(row[0]) == 1:
        first, rest = row[0][0].split(across, size, room)
        return ((first,),) if first is not None else (), ((rest,),)
    counts = [
        sum(_height(column[: n + 1], across, size) <= room for n in range(len(column))) for column in row
    ]
    if not all(counts):
        return (), row
    left = (column[count:] for column, count in zip(row, counts, strict=True))
    return (
        tuple(column[:count] for column, count in zip(row, counts, strict=True)),
        tuple(column for column in left if column),
    )


def _height(column: Sequence[Part], width: float, size: float) -> float:
    return sum(part.height(width, size) for part in column) + _gap(size) * (len(column) - 1)


def _gap(size: float) -> float:
    return 0.75 * size * MM_PER_POINT
