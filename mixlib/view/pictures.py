"""A drawing on the screen as SVG text, or on paper through matplotlib; both from the same shapes."""

from __future__ import annotations

import hashlib
from html import escape

from matplotlib import patches
from matplotlib.axes import Axes

from mixlib.view.shapes import Arrow, Circle, Drawing, Group, Line, Point, Polygon, Shape, Text, every_shape
from mixlib.view.theme import Style, style

__all__ = ["FONT", "SvgPicture", "draw_on", "picture", "svg"]

FONT = "system-ui, 'Segoe UI', 'Helvetica Neue', Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif"
"""Letters on the screen: whatever plain face the reader's machine has."""

MAX_WIDTH = 1250  # px; beyond it a picture only pushes the rest off the screen
MAX_HEIGHT = 80  # percent of the window's height, so that a whole picture can be seen at once
HEAD = 9.0  # length of an arrow's head, drawing units


def svg(drawing: Drawing, uid: str = "") -> str:
    """Write a drawing as one ``<svg>`` element that fills the width it is given.

    Parameters
    ----------
    drawing : Drawing
        What to draw.
    uid : str
        Letters and digits that make the ids of this picture unique on its page; left out, they come from
        the drawing itself, so that equal drawings give equal text.

    Returns
    -------
    str
        The SVG text, with title and description for those who do not see it.
    """
    body = "".join(_svg_shape(shape) for shape in drawing.shapes)
    title, words = escape(drawing.title), escape(drawing.description)
    if not uid:
        uid = "m" + hashlib.sha1(f"{title}|{words}|{body}".encode()).hexdigest()[:10]
    wide = f"min({MAX_WIDTH}px, {MAX_HEIGHT * drawing.width / drawing.height:.0f}vh)"
    card = (
        f"<rect x='0.5' y='0.5' width='{_n(drawing.width - 1)}' height='{_n(drawing.height - 1)}' rx='8' "
        f"{_paint(style('card'))}/>"
    )
    return (
        f"<svg xmlns='http://www.w3.org/2000/svg' role='img' aria-labelledby='{uid}-t {uid}-d' "
        f"viewBox='0 0 {_n(drawing.width)} {_n(drawing.height)}' font-family=\"{FONT}\" "
        f"stroke-linejoin='round' stroke-linecap='round' "
        f"style='display:block;width:100%;max-width:{wide};height:auto'>"
        f"<title id='{uid}-t'>{title}</title><desc id='{uid}-d'>{words}</desc>{card}{body}</svg>"
    )


class SvgPicture:
    """A drawing as the output of a cell: the picture, and its description where no picture can be shown.

    Parameters
    ----------
    drawing : Drawing
        What is shown.
    """

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, str]:
        words = f"{self.drawing.title}. {self.drawing.description}".strip()
        return {"image/svg+xml": svg(self.drawing), "text/plain": words}


def picture(drawing: Drawing) -> SvgPicture:
    """Show a drawing as the result of a cell.

    Parameters
    ----------
    drawing : Drawing
        What to show.

    Returns
    -------
    SvgPicture
        Shown by the notebook as SVG; its plain text is the drawing's description.
    """
    return SvgPicture(drawing)


def draw_on(axes: Axes, drawing: Drawing) -> None:
    """Draw on matplotlib axes, for a printed sheet.

    The axes get the drawing's coordinates and keep its proportions; letters are scaled with the picture,
    so the figure's layout must be final.

    Parameters
    ----------
    axes : matplotlib.axes.Axes
        Empty axes; cleared of ticks and frame.
    drawing : Drawing
        What to draw.
    """
    axes.set_xlim(0, drawing.width)
    axes.set_ylim(drawing.height, 0)
    axes.set_aspect("equal")
    axes.set_axis_off()
    axes.apply_aspect()
    box = axes.get_position()
    points = 72 * axes.figure.get_figwidth() * box.width / drawing.width  # per drawing unit
    for depth, shape in enumerate(every_shape(drawing.shapes)):
        _draw_shape(axes, shape, points, depth + 2)


def _n(number: float) -> str:
    """Number as short text; the tiny nudge rounds a tie the same way on every machine."""
    text = f"{number + 1e-6:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def _paint(look: Style) -> str:
    parts = [f"fill='{look.fill}'"]
    if look.soft < 1:
        parts.append(f"fill-opacity='{look.soft:g}'")
    if look.stroke != "none":
        parts.append(f"stroke='{look.stroke}' stroke-width='{_n(look.width)}'")
    if look.dash:
        parts.append(f"stroke-dasharray='{look.dash}'")
    return " ".join(parts)


def _path(points: tuple[Point, ...]) -> str:
    return " ".join(f"{_n(x)},{_n(y)}" for x, y in points)


def _svg_shape(shape: Shape) -> str:
    hover = f"<title>{escape(shape.meaning)}</title>" if shape.meaning else ""
    if isinstance(shape, Group):
        return f"<g>{hover}{''.join(_svg_shape(inner) for inner in shape.shapes)}</g>"
    look = style(shape.role)
    if isinstance(shape, Text):
        weight = " font-weight='bold'" if look.bold else ""
        anchor = "" if shape.anchor == "start" else f" text-anchor='{shape.anchor}'"
        place = f"x='{_n(shape.x)}' y='{_n(shape.y)}' font-size='{_n(shape.letter_size)}'"
        return f"<text {place} fill='{look.fill}'{weight}{anchor}>{hover}{escape(shape.text)}</text>"
    if isinstance(shape, Circle):
        place = f"cx='{_n(shape.x)}' cy='{_n(shape.y)}' r='{_n(shape.radius)}'"
        return f"<circle {place} {_paint(look)}>{hover}</circle>"
    if isinstance(shape, Polygon):
        return f"<polygon points='{_path(shape.points)}' {_paint(look)}>{hover}</polygon>"
    if isinstance(shape, Line):
        return f"<polyline points='{_path(shape.points)}' {_paint(look)}>{hover}</polyline>"
    shaft, head = _arrow(shape)
    return (
        f"<g>{hover}<polyline points='{_path(shaft)}' {_paint(look)}/>"
        f"<polygon points='{_path(head)}' fill='{look.stroke}'/></g>"
    )


def _arrow(shape: Arrow) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """Shaft and head of an arrow; the head never outgrows a short arrow."""
    (x0, y0), (x1, y1) = shape.start, shape.end
    length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    if length == 0:
        return (shape.start, shape.end), (shape.end, shape.end, shape.end)
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    head = min(HEAD, length)
    neck = (x1 - head * ux, y1 - head * uy)
    wide = 0.5 * head
    left = (neck[0] - wide * uy, neck[1] + wide * ux)
    right = (neck[0] + wide * uy, neck[1] - wide * ux)
    return (shape.start, neck), (shape.end, left, right)


def _draw_shape(axes: Axes, shape: Shape, points: float, depth: int) -> None:
    look = style(shape.role)
    if isinstance(shape, Text):
        align = {"start": "left", "middle": "center", "end": "right"}[shape.anchor]
        weight = "bold" if look.bold else "normal"
        axes.text(
            shape.x,
            shape.y,
            shape.text,
            fontsize=shape.letter_size * points,
            color=look.fill,
            ha=align,
            va="baseline",
            fontweight=weight,
            zorder=depth,
            parse_math=False,
        )
        return
    pen = {"linewidth": look.width * points, "zorder": depth}
    if look.dash:
        dashes = [float(part) / max(look.width, 1e-9) for part in look.dash.split()]
        pen["linestyle"] = (0, tuple(dashes))
    if isinstance(shape, Circle):
        fill = None if look.fill == "none" else look.fill
        axes.add_patch(
            patches.Circle(
                (shape.x, shape.y),
                shape.radius,
                facecolor=fill or "none",
                edgecolor=look.stroke,
                alpha=look.soft,
                **pen,
            )
        )
    elif isinstance(shape, Polygon):
        axes.add_patch(
            patches.Polygon(
                shape.points, closed=True, facecolor=look.fill, edgecolor=look.stroke, alpha=look.soft, **pen
            )
        )
    elif isinstance(shape, Line):
        axes.plot(*zip(*shape.points, strict=True), color=look.stroke, solid_capstyle="round", **pen)
    else:
        shaft, head = _arrow(shape)
        axes.plot(*zip(*shaft, strict=True), color=look.stroke, **pen)
        axes.add_patch(
            patches.Polygon(head, closed=True, facecolor=look.stroke, edgecolor="none", zorder=depth)
        )
