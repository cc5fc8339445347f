"""One printed page in millimetres: words that are measured before they are placed.

The origin is the page's upper left corner, y grows downwards.  Letter sizes are in points.  All words that
are placed are remembered with their boxes, so that a test sees that none leaves the page or covers another.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from mixlib.draw.theme import INK, UNBREAKABLE, text_width

__all__ = ["LINE", "MM_PER_POINT", "TABLE_RULE", "Page", "Placed", "broken"]

MM_PER_POINT = 25.4 / 72
LINE = 1.2  # distance of two lines, in letter sizes
_FACE = "DejaVu Sans"
TABLE_RULE = "#c4cbd4"


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
            fontfamily=_FACE,
            fontweight="bold" if bold else "normal",
            color=colour,
            va="baseline",
            parse_math=False,
        )

    def rule(self, x: float, y: float, width: float, colour: str = TABLE_RULE, points: float = 0.5) -> None:
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

    def box(self, x: float, y: float, width: float, height: float) -> None:
        """Draw an empty box, to tick or to write in.

        Parameters
        ----------
        x, y : float
            Its upper left corner, mm.
        width, height : float
            Its size, mm.
        """
        self.axes.add_patch(Rectangle((x, y), width, height, facecolor="none", edgecolor=INK, linewidth=0.7))

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
