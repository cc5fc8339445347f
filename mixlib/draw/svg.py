"""A drawing on the screen, as SVG text."""

from __future__ import annotations

import base64
import hashlib
from html import escape

from mixlib.draw.shapes import Circle, Drawing, Group, Line, Point, Polygon, Scaled, Shape, Text, arrow
from mixlib.draw.theme import Style, style

__all__ = ["FONT", "SvgPicture", "picture", "svg"]

FONT = "system-ui, 'Segoe UI', 'Helvetica Neue', Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif"
"""Letters on the screen: whatever plain face the reader's machine has."""


def svg(drawing: Drawing, uid: str = "") -> str:
    """Write a drawing as one ``<svg>`` element of its own size; a drawing unit is a CSS px.

    Parameters
    ----------
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
    sheet = (
        f"<rect x='0.5' y='0.5' width='{_n(drawing.width - 1)}' height='{_n(drawing.height - 1)}' rx='8' "
        f"{_paint(style('sheet'))}/>"
    )
    return (
        f"<svg xmlns='http://www.w3.org/2000/svg' role='img' aria-labelledby='{uid}-t {uid}-d' "
        f"viewBox='0 0 {_n(drawing.width)} {_n(drawing.height)}' font-family=\"{FONT}\" "
        f"stroke-linejoin='round' stroke-linecap='round' "
        f"style='display:block;width:100%;max-width:{_n(drawing.width)}px;height:auto'>"
        f"<title id='{uid}-t'>{title}</title><desc id='{uid}-d'>{words}</desc>{sheet}{body}</svg>"
    )


class SvgPicture:
    """A drawing as the output of a cell: the picture, and its description where no picture can be shown."""

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, str]:
        words = f"{self.drawing.title}. {self.drawing.description}".strip()
        # As an image in HTML, because only so does a notebook give a picture a text of its own.
        data = base64.b64encode(svg(self.drawing).encode()).decode()
        image = (
            f"<img alt='{escape(words)}' width='{_n(self.drawing.width)}' "
            f"src='data:image/svg+xml;base64,{data}'>"
        )
        return {"text/html": image, "text/plain": words}


def picture(drawing: Drawing) -> SvgPicture:
    """Show a drawing as the result of a cell.

    Returns
    -------
    SvgPicture
        Shown by the notebook as an image whose text, also where no image can be shown, is the drawing's
        title and description.
    """
    return SvgPicture(drawing)


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
        inner = "".join(_svg_shape(inner) for inner in shape.shapes)
        return inner if isinstance(shape, Scaled) else f"<g>{hover}{inner}</g>"
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
        path = _path(shape.points)
        return "".join(
            f"<polyline points='{path}' {_paint(line)}>{hover}</polyline>" for line in look.strokes
        )
    shaft, head = arrow(shape)
    return (
        f"<g>{hover}<polyline points='{_path(shaft)}' {_paint(look)}/>"
        f"<polygon points='{_path(head)}' fill='{look.stroke}'/></g>"
    )
