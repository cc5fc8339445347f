"""Tables of a few rows: as lines of text in a lesson, as HTML in a panel; numbers stand to the right."""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Sequence
from textwrap import fill
from typing import SupportsFloat

from mixlib.describe import words
from mixlib.say.doubt import Doubtful, doubt, marked
from mixlib.say.speeds import in_speed_unit, names_speed, told_in_speed_unit

__all__ = ["html_table", "reasons_below", "show_table", "text_table"]

_WIDE = 100  # letters of a line below a table
Cell = str | SupportsFloat
_NUMBER = re.compile(r"[-+−]?\d[\d.]*( ?[^\s\d(]+)?")  # one number, with or without a unit
_BEGINS = re.compile(r"[-+−]?\d")


def show_table(
    head: Sequence[str],
    rows: Iterable[Sequence[Cell]],
    decimals: int | Sequence[int] = 1,
    signed: bool = False,
    of: Sequence[Doubtful | int] = (),
) -> None:
    """Print a `text_table`, and below it why its marked numbers may be wrong.

    Numbers whose column, row or whole table is headed m/s are shown in the reader's unit.

    Parameters
    ----------
    of : sequence of Doubtful or int
        What each row was taken from; left out, nothing is in doubt.

    Examples
    --------
    >>> show_table(("surface", "deg"), [("left aileron", 12.34), ("rudder", -5.0)], signed=True)
    surface         deg
    left aileron  +12.3
    rudder         −5.0
    """
    head, rows = _in_speed_unit(head, [list(row) for row in rows])
    print(text_table(head, rows, decimals, signed, of))
    if of:
        print(reasons_below(*of), end="")


def _in_speed_unit(head: Sequence[str], rows: list[list[Cell]]) -> tuple[list[str], list[list[Cell]]]:
    for row in rows:
        whole = isinstance(row[0], str) and (names_speed(row[0]) or names_speed(head[0]))
        for place, cell in enumerate(row):
            if isinstance(cell, str):
                row[place] = told_in_speed_unit(cell)
            elif whole or names_speed(head[place]):
                row[place] = in_speed_unit(float(cell))
    return list(map(told_in_speed_unit, head)), rows


def text_table(
    head: Sequence[str],
    rows: Iterable[Sequence[Cell]],
    decimals: int | Sequence[int] = 1,
    signed: bool = False,
    of: Sequence[Doubtful | int] = (),
) -> str:
    """Write rows under a heading; numbers, and words that begin with one, stand to the right.

    Parameters
    ----------
    head : sequence of str
        What each column holds, with its unit.
    rows : iterable of sequence
        A row holds words and numbers; the first column is to the left.
    decimals : int or sequence of int
        Digits after the point, for all numbers or for each column.
    signed : bool
        Whether a number has its plus or minus.
    of : sequence of Doubtful or int
        What each row was taken from: all but its first cell are marked as `mixlib.say.doubt.marked` does.
    """
    digits = [decimals] * len(head) if isinstance(decimals, int) else decimals
    write = words.signed if signed else words.number

    def text(cell: Cell, places: int) -> str:
        return cell if isinstance(cell, str) else write(float(cell), places)

    cells = [[text(cell, places) for cell, places in zip(row, digits, strict=True)] for row in rows]
    for row, result in zip(cells, of, strict=bool(of)):
        row[1:] = [marked(cell, result) for cell in row[1:]]
    lines = [list(head), *cells]
    columns = list(zip(*lines, strict=True))
    widths = [max(map(len, column)) for column in columns]
    right = [place > 0 and any(map(_BEGINS.match, column[1:])) for place, column in enumerate(columns)]
    return "\n".join(
        "  ".join(
            cell.rjust(width) if to_the_right else cell.ljust(width)
            for cell, width, to_the_right in zip(line, widths, right, strict=True)
        ).rstrip()
        for line in lines
    )


def reasons_below(*results: Doubtful | int) -> str:
    """Why marked numbers of a text may be wrong, as lines to stand below it.

    Returns
    -------
    str
        Lines, each with its end, or nothing where there is no doubt.
    """
    reasons = doubt(*results)
    return fill(f"* {reasons}", _WIDE, subsequent_indent="  ") + "\n" if reasons else ""


def html_table(head: Sequence[str], rows: Iterable[Sequence[Cell]], caption: str = "") -> str:
    """Write a table as HTML, everything escaped; a cell that is a number stands to the right.

    Parameters
    ----------
    rows : iterable of sequence
        Cells: words, or numbers already formatted as text.
    """
    # A corner without words is no heading: a screen reader would say an empty one at every row.
    top = "".join(f"<th scope='col'>{html.escape(cell)}</th>" if cell else "<td></td>" for cell in head)
    lines = []
    for first, *others in rows:
        cells = "".join(f"<td{_to_the_right(cell)}>{html.escape(str(cell))}</td>" for cell in others)
        lines.append(f"<tr><th scope='row'>{html.escape(str(first))}</th>{cells}</tr>")
    said = f"<caption>{html.escape(caption)}</caption>" if caption else ""
    return (
        f"<table class='mix-table'>{said}<thead><tr>{top}</tr></thead><tbody>{''.join(lines)}</tbody></table>"
    )


def _to_the_right(cell: Cell) -> str:
    return " class='mix-number'" if _NUMBER.fullmatch(str(cell).strip()) else ""
