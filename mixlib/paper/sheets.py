"""The bench card as one printed page, and the pictures and handouts in ``figures/``.

``python -m mixlib.paper.sheets`` writes them again; equal input gives equal files.
"""

from __future__ import annotations

import io
import os
import sys
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import matplotlib
import numpy as np
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.typing import RcKeyType

from mixlib.bench.card import Card, as_markdown, bench_card
from mixlib.bench.card.sections import TICK, Section
from mixlib.chain import Rig, commands
from mixlib.describe import DescriptionError, Setup, shelf
from mixlib.describe.demo import flaperon_setup, four_surface_setup
from mixlib.describe.disk import write_whole
from mixlib.describe.errors import one_of, told
from mixlib.describe.words import NEUTRAL_MM, command_end, sentence_start
from mixlib.draw.shapes import Drawing
from mixlib.draw.svg import svg
from mixlib.draw.theme import INK, QUIET
from mixlib.draw.wing import surfaces_drawing, wing_from_behind
from mixlib.paper.axes import draw_on
from mixlib.paper.page import LINE, MM_PER_POINT, Bulleted, Page, Table, broken

__all__ = ["PAPERS_MM", "card_page", "card_pdf", "main", "save_card"]

PAPERS_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height of the papers: ISO 216 A4; ANSI Letter, 8.5 by 11 inches."""

_MARGIN = 11.0
_GUTTER = 6.0
_LARGEST, _SMALLEST = 8.6, 3.0  # letter sizes that are tried, points
_SMALLEST_WITH_PICTURE = 5.6  # before letters get smaller than this, the picture goes
_SETTINGS: dict[RcKeyType, object] = {
    "pdf.fonttype": 42,  # letters stay letters, with their font inside
    "font.family": ["DejaVu Sans"],
    "text.usetex": False,
    "path.sketch": None,
}


def card_pdf(card: Card, paper: str = "A4") -> bytes:
    """Print the bench card as a PDF of one page.

    Parameters
    ----------
    paper : str
        A key of `PAPERS_MM`.

    Raises
    ------
    DescriptionError
        If the paper is unknown, or the card cannot be read on one page.
    """
    with _printing():
        page = card_page(card, paper)
        stream = io.BytesIO()
        about = {"Title": card.title, "CreationDate": None}
        FigureCanvasPdf(page.figure).print_pdf(stream, metadata=about)
    return stream.getvalue()


def card_page(card: Card, paper: str = "A4") -> Page:
    """Lay the bench card out on a page.

    Letters are as large as fit; nothing is cut off.  When they would get too small, the picture goes first.

    Parameters
    ----------
    paper : str
        A key of `PAPERS_MM`.

    Returns
    -------
    Page
        The page, with every word's box.

    Raises
    ------
    DescriptionError
        If the paper is unknown, or the card cannot be read on one page.
    """
    if paper not in PAPERS_MM:
        raise told(
            "the bench card", f"“{paper}” is no paper that is known here. Accepted: {one_of(PAPERS_MM)}"
        )
    width, height = PAPERS_MM[paper]
    drawing, caption = _picture(card.setup)
    for picture, least in ((_Picture(drawing, caption), _SMALLEST_WITH_PICTURE), (None, _SMALLEST)):
        rows = _rows(card, picture)
        size = _largest_size(card, rows, width - 2 * _MARGIN, height - 2 * _MARGIN, least)
        if size is not None:
            page = Page(width, height)
            with _printing():
                _draw(page, card, rows, size)
            return page
    sentence = "it does not fit on one page. Take fewer surfaces, mixes or words; its text has no such limit"
    raise told("the bench card", sentence)


def save_card(
    card: Card,
    folder: str | os.PathLike,
    papers: tuple[str, ...] = ("A4", "Letter"),
    stem: str | None = None,
) -> list[Path]:
    """Save the bench card as Markdown and as PDF.

    Parameters
    ----------
    folder : str or path
        Where to; made when missing.
    papers : tuple of str
        Keys of `PAPERS_MM`; one PDF for each.
    stem : str, optional
        Name of the set-up's own file, so that no two set-ups share a card; left out, made of its name.

    Raises
    ------
    DescriptionError
        If a file cannot be written, or a paper is unknown; the text says which and why.
    """
    stem = stem or shelf.file_stem(card.setup.name)
    contents = {f"bench_card_{stem}.md": as_markdown(card).encode()}
    contents |= {f"bench_card_{stem}_{paper.lower()}.pdf": card_pdf(card, paper) for paper in papers}
    return [write_whole(Path(folder) / name, content) for name, content in contents.items()]


def main(folder: str = "figures") -> int:
    """Write the README's picture and the handouts.

    Returns
    -------
    int
        0, or 1 when a file could not be written.
    """
    flaperons = flaperon_setup()
    stages = Rig(flaperons).run(commands(roll=0.5))
    wing = wing_from_behind(flaperons.aircraft, stages.surface, stages.throw)
    try:
        written = [write_whole(Path(folder) / "wing_from_behind.svg", svg(wing).encode())]
        for setup in (flaperons, four_surface_setup()):
            written += save_card(bench_card(setup), folder)
    except DescriptionError as error:
        print(error, file=sys.stderr)
        return 1
    print("\n".join(map(str, written)))
    return 0


@contextmanager
def _printing() -> Iterator[None]:
    """Our own settings whatever the reader's are; letters that the font lacks are shown as boxes."""
    with matplotlib.rc_context(_SETTINGS), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        yield


@dataclass(frozen=True)
class _Picture:
    """A drawing with a line of words below it, as a part of the page."""

    drawing: Drawing
    caption: str

    def height(self, width: float, size: float) -> float:
        words = len(broken(self.caption, width, size)) * size * MM_PER_POINT * LINE
        return width * self.drawing.height / self.drawing.width + words

    def draw(self, page: Page, x: float, top: float, width: float, size: float) -> None:
        high = width * self.drawing.height / self.drawing.width
        draw_on(page.picture(x, top, width, high), self.drawing)
        top += high
        for line in broken(self.caption, width, size):
            page.words(x, top, line, size)
            top += size * MM_PER_POINT * LINE


_Part = Bulleted | Table | _Picture
_Row = tuple[tuple[_Part, ...], ...]  # columns side by side, each with its parts from top to bottom


def _picture(setup: Setup) -> tuple[Drawing, str]:
    """The wing, or without surfaces on it the tail, at the first command that moves something there."""
    rig = Rig(setup)
    on_wing = np.array([surface.part == "wing" for surface in setup.aircraft.surfaces])
    shown = on_wing if on_wing.any() else ~on_wing
    draw = wing_from_behind if on_wing.any() else surfaces_drawing
    for command, value in setup.ends:
        stages = rig.run(commands(**{command: value}))
        if np.any(np.abs(stages.throw[shown]) >= NEUTRAL_MM):
            words = sentence_start(command_end(command, value))
            return draw(setup.aircraft, stages.surface, stages.throw), f"{words}."
    stages = rig.run(commands())
    return draw(setup.aircraft, stages.surface, stages.throw), "All commands at neutral."


def _rows(card: Card, picture: _Picture | None) -> list[_Row]:
    """The page from top to bottom: rows of columns of parts."""
    cautions = _part(card.cautions)
    rows: list[_Row] = [((cautions,), (picture,)) if picture else ((cautions,),)]
    rows.append(((_part(card.outputs),),))
    mixes, others = _part(card.mixes), [_part(part) for part in (card.limits, card.shaping) if not part.empty]
    if len(card.mixes.columns) > 3:  # centres and curves need the whole width
        rows += [((mixes,),), tuple((part,) for part in others)]
    else:
        rows.append(((mixes,), tuple(others)))
    rows.append(((_part(card.movements),),))
    rows += [((_part(part),),) for part in (card.rests, card.wanted) if not part.empty]
    field = (card.flight_checks, card.dials, card.trims)
    rows.append(((_part(card.bench_checks),), tuple(_part(part) for part in field if not part.empty)))
    return rows


def _part(section: Section) -> _Part:
    if section.rows:
        return Table(section.title, section.columns, section.rows, TICK)
    return Bulleted(section.title, section.boxes or section.lines, boxed=bool(section.boxes))


def _gap(size: float) -> float:
    return 0.75 * size * MM_PER_POINT


def _column_width(width: float, row: _Row) -> float:
    return (width - _GUTTER * (len(row) - 1)) / len(row)


def _column_height(column: tuple[_Part, ...], width: float, size: float) -> float:
    return sum(part.height(width, size) for part in column) + _gap(size) * (len(column) - 1)


def _row_heights(rows: list[_Row], width: float, size: float) -> list[float]:
    """Height of each row with the gap above it, mm."""
    return [
        _gap(size) + max(_column_height(column, _column_width(width, row), size) for column in row)
        for row in rows
    ]


def _largest_size(card: Card, rows: list[_Row], width: float, height: float, least: float) -> float | None:
    """Largest letter size in points at which everything fits, to 0.05; None when the least does not."""

    def fits(size: float) -> bool:
        return _head_height(card, width, size) + sum(_row_heights(rows, width, size)) <= height

    if not fits(least):
        return None
    good, bad = least, _LARGEST + 0.05
    while bad - good > 0.05:
        middle = (good + bad) / 2
        good, bad = (middle, bad) if fits(middle) else (good, middle)
    return good


def _head_lines(card: Card, width: float, size: float) -> list[tuple[str, float, bool]]:
    """Lines above the rows with their letter size, and whether they are bold."""
    title = [(line, 1.9 * size, True) for line in broken(card.title, width, 1.9 * size, True)]
    about = [(line, 1.1 * size, True) for line in broken(card.head[0], width, 1.1 * size, True)]
    notes = [(line, size, False) for text in card.head[1:] for line in broken(text, width, size)]
    return title + about + notes


def _head_height(card: Card, width: float, size: float) -> float:
    return sum(letter * MM_PER_POINT * LINE for _, letter, _ in _head_lines(card, width, size))


def _draw(page: Page, card: Card, rows: list[_Row], size: float) -> None:
    width, top = page.width_mm - 2 * _MARGIN, _MARGIN
    for line, letter, bold in _head_lines(card, width, size):
        page.words(_MARGIN, top, line, letter, bold, INK if bold else QUIET)
        top += letter * MM_PER_POINT * LINE
    for row, height in zip(rows, _row_heights(rows, width, size), strict=True):
        across = _column_width(width, row)
        for index, column in enumerate(row):
            y = top + _gap(size)
            for part in column:
                part.draw(page, _MARGIN + index * (across + _GUTTER), y, across, size)
                y += part.height(across, size) + _gap(size)
        top += height
    _lines_to_write_on(page, top + _gap(size), size)


def _lines_to_write_on(page: Page, top: float, size: float) -> None:
    """Fill what is left of the page with lines for a pencil."""
    step = 7.0
    if top + 2 * step > page.height_mm - _MARGIN:
        return
    page.words(_MARGIN, top, "Date, who checked, and what to alter", size * 1.18, True)
    while (top := top + step) <= page.height_mm - _MARGIN:
        page.rule(_MARGIN, top + 0.5, page.width_mm - 2 * _MARGIN)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
