"""A drawing on paper, through matplotlib, from the same shapes as on the screen."""

from __future__ import annotations

from matplotlib import patches
from matplotlib.axes import Axes

from mixlib.draw.shapes import Circle, Drawing, Line, Polygon, Shape, Text, arrow, every_shape
from mixlib.draw.theme import style

__all__ = ["draw_on"]


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
    box = axes.get_position()
    points = 72 * axes.figure.get_figwidth() * box.width / drawing.width  # per drawing unit
    for depth, shape in enumerate(every_shape(drawing.shapes)):
        _draw_shape(axes, shape, points, depth + 2)


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
        shaft, head = arrow(shape)
        axes.plot(*zip(*shaft, strict=True), color=look.stroke, **pen)
        axes.add_patch(
            patches.Polygon(head, closed=True, facecolor=look.stroke, edgecolor="none", zorder=depth)
        )
