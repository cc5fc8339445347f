"""What stands on a printed page: lines, tables, pictures, boxes to write in; each knows how high it is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from mixlib.draw.shapes import Drawing, Room
from mixlib.draw.theme import INK, ROLES, UNBREAKABLE, text_width
from mixlib.paper.axes import draw_on
from mixlib.paper.page import LINE, MM_PER_POINT, TABLE_RULE, Page, broken

__all__ = ["Bulleted", "Head", "Part", "Picture", "Table", "Words", "WriteIn"]

_HEADING = 1.18  # size of a heading, in letter sizes
_PAD, _RISE = 0.45, 0.11  # room beside, and above and below, the words of a table's cell, in letter sizes
_TOGETHER = 2  # rows or lines that stay together on either page
_AGAIN = ", continued"
_WRITING = 8.0  # height of a line to write on, mm
_SMALLEST_LETTER = 0.84 * min(role.size for role in ROLES.values())  # of a drawing, in its units


class Part(Protocol):
    """What can be placed on a page; lengths in mm, letter sizes in points."""

    def height(self, width: float, size: float) -> float:
        """How much of the page it takes in this width with letters of this size."""

    def draw(self, page: Page, x: float, top: float, width: float, size: float) -> None:
        """Place it, its upper left corner at x and top."""

    def split(self, width: float, size: float, room: float) -> tuple[Part | None, Part]:
        """As much of it as fits into a height, or nothing, and the rest."""


class _Whole:
    """A part that cannot be split."""

    def split(self, width: float, size: float, room: float) -> tuple[None, Part]:
        """See `Part`."""
        return None, self  # type: ignore[return-value]


@dataclass(frozen=True)
class Head(_Whole):
    """The title of a sheet, and a bold line below it."""

    title: str
    about: str = ""

    def height(self, width: float, size: float) -> float:
        """See `Part`."""
        return sum(letter * MM_PER_POINT * LINE for _, letter in self._broken(width, size))

    def draw(self, page: Page, x: float, top: float, width: float, size: float) -> None:
        """See `Part`."""
        for line, letter in self._broken(width, size):
            page.words(x, top, line, letter, True)
            top += letter * MM_PER_POINT * LINE

    def _broken(self, width: float, size: float) -> list[tuple[str, float]]:
        every = [(self.title, 1.7 * size), (self.about, size)]
        return [
            (part, letter) for text, letter in every if text for part in broken(text, width, letter, True)
        ]


@dataclass(frozen=True)
class Words:
    """A paragraph."""

    text: str
    bold: bool = False
    colour: str = INK

    def height(self, width: float, size: float) -> float:
        """See `Part`."""
        return len(broken(self.text, width, size, self.bold)) * size * MM_PER_POINT * LINE

    def draw(self, page: Page, x: float, top: float, width: float, size: float) -> None:
        """See `Part`."""
        for line in broken(self.text, width, size, self.bold):
            page.words(x, top, line, size, self.bold, self.colour)
            top += size * MM_PER_POINT * LINE

    def split(self, width: float, size: float, room: float) -> tuple[Words | None, Words]:
        """See `Part`."""
        lines = broken(self.text, width, size, self.bold)
        count = int(room / (size * MM_PER_POINT * LINE))
        if not 0 < count < len(lines):
            return None, self
        return replace(self, text=" ".join(lines[:count])), replace(self, text=" ".join(lines[count:]))


@dataclass(frozen=True)
class Picture(_Whole):
    """A drawing, laid out so that its letters are no smaller than those around it, and a line below it."""

    drawn: Callable[[Room], Drawing]
    caption: str
    high: float

    def height(self, width: float, size: float) -> float:
        """See `Part`."""
        drawing = self._drawing(width, size)
        return width * drawing.height / drawing.width + Words(self.caption).height(width, size)

    def draw(self, page: Page, x: float, top: float, width: float, size: float) -> None:
        """See `Part`."""
        drawing = self._drawing(width, size)
        high = width * drawing.height / drawing.width
        draw_on(page.picture(x, top, width, high), drawing)
        Words(self.caption).draw(page, x, top + high, width, size)

    def _drawing(self, width: float, size: float) -> Drawing:
        units = _SMALLEST_LETTER / (size * MM_PER_POINT)  # in a mm
        return self.drawn(Room(width * units, self.high * units))


@dataclass(frozen=True)
class WriteIn(_Whole):
    """A heading and a box below it with lines to write on, each with its own words before it."""

    title: str
    lines: Sequence[str]

    def height(self, width: float, size: float) -> float:
        """See `Part`."""
        return _heading_height(self.title, size) + (len(self.lines) + 0.4) * self._step(size)

    def draw(self, page: Page, x: float, top: float, width: float, size: float) -> None:
        """See `Part`."""
        letter, step = size * MM_PER_POINT, self._step(size)
        top = _heading(page, x, top, self.title, size)
        page.box(x, top, width, (len(self.lines) + 0.4) * step)
        for place, line in enumerate(self.lines, start=1):
            page.words(x + letter, top + place * step - LINE * letter, line, size)
            start = x + 2 * letter + text_width(line, letter)
            page.rule(start, top + place * step, x + width - letter - start, INK, 0.6)

    @staticmethod
    def _step(size: float) -> float:
        return max(_WRITING, 1.7 * size * MM_PER_POINT)


@dataclass(frozen=True)
class Bulleted:
    """A heading, or none, and lines below it, each with a dot or with a box to tick."""

    title: str
    lines: Sequence[str]
    boxed: bool = False

    def height(self, width: float, size: float) -> float:
        """See `Part`."""
        step = size * MM_PER_POINT * LINE
        count = sum(len(broken(line, width - self._indent(size), size)) for line in self.lines)
        return _heading_height(self.title, size) + count * step + (len(self.lines) - 1) * 0.22 * step

    def draw(self, page: Page, x: float, top: float, width: float, size: float) -> None:
        """See `Part`."""
        letter = size * MM_PER_POINT
        step = letter * LINE
        top = _heading(page, x, top, self.title, size)
        for line in self.lines:
            if self.boxed:
                page.box(x + 0.1 * letter, top + 0.18 * letter, 0.85 * letter, 0.85 * letter)
            else:
                page.words(x + 0.2 * letter, top, "•", size)
            for part in broken(line, width - self._indent(size), size):
                page.words(x + self._indent(size), top, part, size)
                top += step
            top += 0.22 * step

    def split(self, width: float, size: float, room: float) -> tuple[Bulleted | None, Bulleted]:
        """See `Part`."""
        fitting = [
            n
            for n in range(_TOGETHER, len(self.lines) - _TOGETHER + 1)
            if self._first(n).height(width, size) <= room
        ]
        if not fitting:
            return None, self
        rest = replace(self, title=_continued(self.title), lines=self.lines[fitting[-1] :])
        return self._first(fitting[-1]), rest

    def _first(self, count: int) -> Bulleted:
        return replace(self, lines=self.lines[:count])

    def _indent(self, size: float) -> float:
        return (1.5 if self.boxed else 1.1) * size * MM_PER_POINT


@dataclass(frozen=True)
class Table:
    """A heading, or none, and a table; an empty box stands for a cell that holds `tick`."""

    title: str
    columns: Sequence[str]
    rows: Sequence[Sequence[str]]
    tick: str = ""

    def height(self, width: float, size: float) -> float:
        """See `Part`."""
        widths = self._widths(width, size)
        heads = self._row_height(self.columns, widths, size, True)
        return (
            _heading_height(self.title, size)
            + heads
            + sum(self._row_height(row, widths, size) for row in self.rows)
        )

    def draw(self, page: Page, x: float, top: float, width: float, size: float) -> None:
        """See `Part`."""
        widths = self._widths(width, size)
        top = _heading(page, x, top, self.title, size)
        for index, row in enumerate((self.columns, *self.rows)):
            self._draw_row(page, x, top, row, widths, size, bold=index == 0)
            top += self._row_height(row, widths, size, bold=index == 0)
            page.rule(x, top, width, INK if index == 0 else TABLE_RULE, 0.8 if index == 0 else 0.4)

    def split(self, width: float, size: float, room: float) -> tuple[Table | None, Table]:
        """See `Part`."""
        widths = self._widths(width, size)
        used = self.height(width, size) - sum(self._row_height(row, widths, size) for row in self.rows)
        fitting = 0
        for row in self.rows:
            used += self._row_height(row, widths, size)
            fitting += used <= room
        fitting = min(fitting, len(self.rows) - _TOGETHER)
        while fitting >= _TOGETHER:
            first = replace(self, rows=self.rows[:fitting])
            if first.height(width, size) <= room:  # its columns may be other ones than those of all rows
                return first, replace(self, title=_continued(self.title), rows=self.rows[fitting:])
            fitting -= 1
        return None, self

    def _draw_row(
        self,
        page: Page,
        x: float,
        top: float,
        row: Sequence[str],
        widths: list[float],
        size: float,
        bold: bool,
    ) -> None:
        letter = size * MM_PER_POINT
        pad = _PAD * letter
        for cell, width in zip(row, widths, strict=True):
            if self.tick and cell == self.tick:
                page.box(x + pad, top + _RISE * letter + 0.18 * letter, 0.85 * letter, 0.85 * letter)
            else:
                for line, part in enumerate(broken(cell, width - 2 * pad, size, bold)):
                    page.words(x + pad, top + _RISE * letter + line * letter * LINE, part, size, bold)
            x += width

    def _row_height(self, row: Sequence[str], widths: list[float], size: float, bold: bool = False) -> float:
        letter = size * MM_PER_POINT
        cells = zip(row, widths, strict=True)
        most = max(len(broken(cell, width - 2 * _PAD * letter, size, bold)) for cell, width in cells)
        return (most * LINE + 2 * _RISE) * letter

    def _widths(self, width: float, size: float) -> list[float]:
        """Widths of the columns in mm: what each needs, else shares so that no column starves."""
        letter = size * MM_PER_POINT
        pad = 2 * _PAD * letter + 1e-6
        needs, least = [], []
        for index, head in enumerate(self.columns):
            cells = [(row[index], False) for row in self.rows] + [(head, True)]
            needs.append(pad + max(text_width(text, letter, bold) for text, bold in cells))
            words = [(word, bold) for text, bold in cells for word in UNBREAKABLE.findall(text)] or [
                ("", False)
            ]
            least.append(pad + max(text_width(word, letter, bold) for word, bold in words))
        if sum(needs) <= width:
            spare = (width - sum(needs)) / len(needs)
            return [need + spare for need in needs]
        if sum(least) >= width:
            return [width * need / sum(least) for need in least]
        wish = sum(needs) - sum(least)
        share = (width - sum(least)) / wish
        return [low + share * (need - low) for low, need in zip(least, needs, strict=True)]


def _continued(title: str) -> str:
    return title if not title or title.endswith(_AGAIN) else title + _AGAIN


def _heading_height(title: str, size: float) -> float:
    if not title:
        return 0.0
    return size * _HEADING * MM_PER_POINT * (LINE + 0.15)


def _heading(page: Page, x: float, top: float, title: str, size: float) -> float:
    if title:
        page.words(x, top, title, size * _HEADING, True)
    return top + _heading_height(title, size)
