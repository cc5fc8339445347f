"""A drawing on paper, through matplotlib, from the same shapes as on the screen, in black and white."""

from __future__ import annotations

from dataclasses import replace

from matplotlib import colors, patches
from matplotlib.axes import Axes

from mixlib.draw.shapes import Circle, Drawing, Line, Plain, Point, Polygon, Text, arrow, every_shape
from mixlib.draw.theme import Style, style

__all__ = ["draw_on"]

_ON_PAPER = {"up": "#ffffff", "down": "#505050"}
"""What moved up is white, what moved down is dark: as greys their colours are too alike."""


def draw_on(axes: Axes, drawing: Drawing) -> None:
    """Draw on matplotlib axes, for a printed sheet.

    The axes get the drawing's coordinates and keep its proportions; letters are scaled with the picture,
    so the figure's layout must be final.
    """
    axes.set_xlim(0, drawing.width)
    axes.set_ylim(drawing.height, 0)
    axes.set_aspect("equal")
    axes.set_axis_off()
    axes.apply_aspect()
    figure = axes.get_figure(root=True)
    assert figure is not None
    points = 72 * figure.get_figwidth() * axes.get_position().width / drawing.width  # per drawing unit
    for depth, shape in enumerate(every_shape(drawing.shapes), start=2):
        _draw_shape(axes, shape, points, depth)


def _draw_shape(axes: Axes, shape: Plain, points: float, depth: int) -> None:
    look = _printed(shape.role)
    if isinstance(shape, Text):
        axes.text(
            shape.x,
            shape.y,
            shape.text,
            fontsize=shape.letter_size * points,
            color=look.fill,
            ha={"start": "left", "middle": "center", "end": "right"}[shape.anchor],
            va="baseline",
            fontweight="bold" if look.bold else "normal",
            zorder=depth,
            parse_math=False,
        )
    elif isinstance(shape, Circle):
        _fill(axes, patches.Circle((shape.x, shape.y), shape.radius), look, points, depth)
    elif isinstance(shape, Polygon):
        _fill(axes, patches.Polygon(shape.points, closed=True), look, points, depth)
    elif isinstance(shape, Line):
        _stroke(axes, shape.points, look, points, depth)
    else:
        shaft, head = arrow(shape)
        _stroke(axes, shaft, look, points, depth)
        _fill(axes, patches.Polygon(head, closed=True), Style(fill=look.stroke), points, depth)


def _printed(role: str) -> Style:
    look = style(role)
    fill = _ON_PAPER.get(role, look.fill)
    return replace(look, fill=_grey(fill), stroke=_grey(look.stroke), edge=_grey(look.edge))


def _grey(colour: str) -> str:
    """A colour as bright as it looks (the weights of ITU-R BT.601), or none."""
    if colour in ("", "none"):
        return colour
    red, green, blue = colors.to_rgb(colour)
    return str(round(0.299 * red + 0.587 * green + 0.114 * blue, 3))


def _fill(axes: Axes, patch: patches.Patch, look: Style, points: float, depth: int) -> None:
    patch.set(facecolor=look.fill, edgecolor=look.stroke, alpha=look.soft, linewidth=look.width * points)
    patch.set_zorder(depth)
    axes.add_patch(patch)


def _stroke(axes: Axes, line: tuple[Point, ...], look: Style, points: float, depth: int) -> None:
    xs, ys = zip(*line, strict=True)
    for part in look.strokes:
        (drawn,) = axes.plot(xs, ys, color=part.stroke, linewidth=part.width * points, zorder=depth)
        drawn.set_solid_capstyle("round")
        if part.dash:
            drawn.set_dashes([float(length) / part.width for length in part.dash.split()])
