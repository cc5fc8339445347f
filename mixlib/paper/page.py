"""One printed page in millimetres: words that are measured before they are placed, tables and lists.

The origin is the page's upper left corner, y grows downwards.  Letter sizes are in points.  All words that
are placed are remembered with their boxes, so that a test sees that none leaves the page or covers another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from mixlib.draw.theme import INK, UNBREAKABLE, text_width

__all__ = ["LINE", "MM_PER_POINT", "Bulleted", "Page", "Placed", "Table", "broken"]

MM_PER_POINT = 25.4 / 72
LINE = 1.28  # distance of two lines, in letter sizes
FACE = "DejaVu Sans"
_HEADING = 1.18  # size of a heading, in letter sizes
_PAD = 0.45  # room round the words of a table's cell, in letter sizes
_TABLE_RULE = "#c4cbd4"


@dataclass(frozen=True)
class Placed:
    """Words on the page with their box in mm: left, top, right, bottom."""

    text: str
    box: tuple[float, float, float, float]


def broken(text: str, width_mm: float, size: float, bold: bool = False) -> list[str]:
    """Break words into lines that fit a width; a word that is too long by itself is broken too.

    Parameters
    ----------
    size : float
        Letter size in points.

    Returns
    -------
    list of str
        The lines; nothing is left out.
    """

    def fits(line: str) -> bool:
        return text_width(line, size * MM_PER_POINT, bold) <= width_mm

    lines: list[str] = []
    for word in UNBREAKABLE.findall(text):
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and fits(joined):
            lines[-1] = joined
            continue
        while not fits(word) and len(word) > 1:
            kept = max((end for end in range(1, len(word)) if fits(word[:end])), default=1)
            lines.append(word[:kept])
            word = word[kept:]
        lines.append(word)
    return lines or [""]


@dataclass
class Page:
    """A page to draw on."""

    width_mm: float
    height_mm: float
    placed: list[Placed] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.figure = Figure(figsize=(self.width_mm / 25.4, self.height_mm / 25.4))
        self.axes = self.figure.add_axes((0, 0, 1, 1))
        self.axes.set_xlim(0, self.width_mm)
        self.axes.set_ylim(self.height_mm, 0)
        self.axes.set_axis_off()

    def words(
        self, x: float, top: float, text: str, size: float, bold: bool = False, colour: str = INK
    ) -> None:
        """Place one line of words.

        Parameters
        ----------
        x, top : float
            Upper left corner of the line, mm.
        size : float
            Letter size in points.
        """
        height = size * MM_PER_POINT
        self.placed.append(Placed(text, (x, top, x + text_width(text, height, bold), top + height * LINE)))
        self.axes.text(
            x,
            top + 0.98 * height,
            text,
            fontsize=size,
            fontfamily=FACE,
            fontweight="bold" if bold else "normal",
            color=colour,
            va="baseline",
            parse_math=False,
        )

    def rule(self, x: float, y: float, width: float, colour: str = _TABLE_RULE, points: float = 0.5) -> None:
        """Draw a level line.

        Parameters
        ----------
        x, y : float
            Its left end, mm.
        width : float
            Its length, mm.
        points : float
            Its thickness in points.
        """
        self.axes.plot([x, x + width], [y, y], color=colour, linewidth=points, solid_capstyle="butt")

    def box(self, x: float, y: float, side: float) -> None:
        """Draw an empty box to tick.

        Parameters
        ----------
        x, y : float
            Its upper left corner, mm.
        side : float
            Its side, mm.
        """
        self.axes.add_patch(Rectangle((x, y), side, side, facecolor="none", edgecolor=INK, linewidth=0.7))

    def picture(self, x: float, top: float, width: float, height: float) -> Axes:
        """Make axes for a picture.

        Parameters
        ----------
        x, top : float
            Its upper left corner, mm.
        width, height : float
            Its size, mm.
        """
        across, up = self.width_mm, self.height_mm
        place = (x / across, 1 - (top + height) / up, width / across, height / up)
        return self.figure.add_axes(place)


@dataclass(frozen=True)
class Bulleted:
    """A heading and lines below it, each with a dot or with a box to tick."""

    title: str
    lines: Sequence[str]
    boxed: bool = False

    def height(self, width: float, size: float) -> float:
        """Height of the part.

        Parameters
        ----------
        width : float
            Room across, mm.
        size : float
            Letter size in points.

        Returns
        -------
        float
            Height in mm.
        """
        step = size * MM_PER_POINT * LINE
        count = sum(len(broken(line, width - self._indent(size), size)) for line in self.lines)
        return _heading_height(size) + count * step + (len(self.lines) - 1) * 0.22 * step

    def draw(self, page: Page, x: float, top: float, width: float, size: float) -> None:
        """Draw the part.

        Parameters
        ----------
        x, top : float
            Upper left corner, mm.
        width : float
            Room across, mm.
        size : float
            Letter size in points.
        """
        letter = size * MM_PER_POINT
        step = letter * LINE
        top = _heading(page, x, top, self.title, size)
        for line in self.lines:
            if self.boxed:
                page.box(x + 0.1 * letter, top + 0.18 * letter, 0.85 * letter)
            else:
                page.words(x + 0.2 * letter, top, "•", size)
            for part in broken(line, width - self._indent(size), size):
                page.words(x + self._indent(size), top, part, size)
                top += step
            top += 0.22 * step

    def _indent(self, size: float) -> float:
        return (1.5 if self.boxed else 1.1) * size * MM_PER_POINT


@dataclass(frozen=True)
class Table:
    """A heading and a table; an empty box stands for a cell that holds `tick`."""

    title: str
    columns: Sequence[str]
    rows: Sequence[Sequence[str]]
    tick: str = ""

    def height(self, width: float, size: float) -> float:
        """Height of the part.

        Parameters
        ----------
        width : float
            Room across, mm.
        size : float
            Letter size in points.

        Returns
        -------
        float
            Height in mm.
        """
        widths = self._widths(width, size)
        heads = self._row_height(self.columns, widths, size, True)
        return _heading_height(size) + heads + sum(self._row_height(row, widths, size) for row in self.rows)

    def draw(self, page: Page, x: float, top: float, width: float, size: float) -> None:
        """Draw the part.

        Parameters
        ----------
        x, top : float
            Upper left corner, mm.
        width : float
            Room across, mm.
        size : float
            Letter size in points.
        """
        widths = self._widths(width, size)
        top = _heading(page, x, top, self.title, size)
        for index, row in enumerate((self.columns, *self.rows)):
            self._draw_row(page, x, top, row, widths, size, bold=index == 0)
            top += self._row_height(row, widths, size, bold=index == 0)
            page.rule(x, top, width, INK if index == 0 else _TABLE_RULE, 0.8 if index == 0 else 0.4)

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
                page.box(x + pad, top + 0.4 * pad + 0.18 * letter, 0.85 * letter)
            else:
                for line, part in enumerate(broken(cell, width - 2 * pad, size, bold)):
                    page.words(x + pad, top + 0.4 * pad + line * letter * LINE, part, size, bold)
            x += width

    def _row_height(self, row: Sequence[str], widths: list[float], size: float, bold: bool = False) -> float:
        pad = _PAD * size * MM_PER_POINT
        cells = zip(row, widths, strict=True)
        most = max(len(broken(cell, width - 2 * pad, size, bold)) for cell, width in cells)
        return most * size * MM_PER_POINT * LINE + 0.8 * pad

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


def _heading_height(size: float) -> float:
    return size * _HEADING * MM_PER_POINT * (LINE + 0.15)


def _heading(page: Page, x: float, top: float, title: str, size: float) -> float:
    page.words(x, top, title, size * _HEADING, True)
    return top + _heading_height(size)
