"""The square of roll and camber: where every surface follows, and where an output or a linkage runs out."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from mixlib.bench.surface.budget import Budget
from mixlib.draw.shapes import (
    MARGIN,
    ROOM,
    Circle,
    Drawing,
    Line,
    Point,
    Polygon,
    Room,
    Shape,
    Text,
    fitted,
    heading,
)
from mixlib.draw.theme import role_width

__all__ = ["budget_square"]


@fitted
def budget_square(found: Budget, here: tuple[float, float] | None = None, *, room: Room = ROOM) -> Drawing:
    """Draw the safe region of a budget in the square of the two commands.

    Parameters
    ----------
    here : tuple of float, optional
        Roll and camber of the sliders, -1 to 1.

    Returns
    -------
    Drawing
        Roll to the right, droop upwards; the budget's own words as description.
    """
    title = "What fits together"
    heads, top = heading(
        title,
        room,
        "White: every surface follows. Coloured: something is lost.",
        "White: every surface follows.",
    )
    left = MARGIN + role_width("full reflex", "label") + 8
    lines = [f"{name} {100 * share:.0f} %" for name, share in found.roll_left.items()]
    words = max(role_width(line, "label") for line in ("roll left:", *lines))
    beside = room.width - left - words - 30 >= min(room.height - top - 30, 240)
    rows = len(lines) if beside else -(-len(lines) // 2)  # below the square they stand in two columns
    side = room.width - left - (words + 30 if beside else MARGIN + 8)
    side = max(min(side, room.height - top - (34 if beside else 58 + 22 * rows)), 160.0)
    right, bottom = left + side, top + side
    half_x, half_y = found.square

    def put(place: ArrayLike) -> Point:
        x, y = np.asarray(place, float) / (2 * half_x, 2 * half_y) + 0.5
        return left + side * float(x), top + side * (1 - float(y))

    middle_x, middle_y = left + side / 2, top + side / 2
    corners = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
    shapes: list[Shape] = [
        *heads,
        Polygon(corners[:-1], "fault", "something is lost here"),
        *(Polygon(tuple(map(put, part)), "safe", "every surface follows") for part in found.safe),
        Line(((middle_x, top), (middle_x, bottom)), "grid"),
        Line(((left, middle_y), (right, middle_y)), "grid"),
        Line(corners, "axis"),
        Text(left - 8, top + 14, "full droop", "label", "end"),
        Text(left - 8, middle_y + 5, "neutral", "note", "end"),
        Text(left - 8, bottom - 2, "full reflex", "label", "end"),
        Text(left, bottom + 21, "stick left", "label"),
        Text(right, bottom + 21, "stick right", "label", "end"),
    ]
    x, y = (right + 18, top + 16) if beside else (MARGIN, bottom + 46)
    shapes.append(Text(x, y, "roll left:", "strong"))
    for number, line in enumerate(lines):
        column, row = divmod(number, rows)
        shapes.append(Text(x + column * room.width / 2, y + 22 * (row + 1), line, "label"))
    if here is not None:
        shapes.append(Circle(*put(here), 8.0, "spot", "where the sliders are"))
    height = max(bottom + 21, y + 22 * rows) + 12
    return Drawing(room.width, height, tuple(shapes), title, " ".join(found.words))
