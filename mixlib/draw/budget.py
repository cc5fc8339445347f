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
    Scaled,
    Shape,
    Text,
    fitted,
    heading,
)
from mixlib.draw.theme import role_width, wrapped

__all__ = ["budget_square"]

STEP = 21.0  # from line to line


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
    across, high = room.width - left - 32, room.height - top - 34
    lines = [f"{name} {100 * share:.0f} %" for name, share in found.roll_left.items()]
    widest = max(role_width(line, "label") for line in ("roll left:", *lines))
    words = min(widest, max(across - high, 130.0))  # what the square leaves over; longer words are broken
    beside = across - words >= min(high, 240.0)
    columns = 1 if beside or widest > room.width / 2 - MARGIN else 2
    if beside:
        lines = [part for line in lines for part in wrapped(line, words, "label")]
    rows = -(-len(lines) // columns)
    side = min(across - words, high) if beside else min(across, high - 28 - STEP * rows)
    side = max(side, 140.0)
    right, bottom = left + side, top + side
    half_x, half_y = found.square

    def put(place: ArrayLike) -> Point:
        x, y = np.asarray(place, float) / (2 * half_x, 2 * half_y) + 0.5
        return left + side * float(x), top + side * (1 - float(y))

    (low_x, low_y), (high_x, high_y) = found.used  # a dial with a mark is turned no further
    used = ((low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y))
    middle_x, middle_y = left + side / 2, top + side / 2
    corners = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
    ends = ((left, "left", "start"), (right, "right", "end"))
    shapes: list[Shape] = [
        *heads,
        Polygon(tuple(map(put, used)), "edge"),
        Polygon(tuple(map(put, used)), "fault", "something is lost here"),
        *(Polygon(tuple(map(put, part)), "edge") for part in found.safe),  # seen around all of them together
        *(Polygon(tuple(map(put, part)), "safe", "every surface follows") for part in found.safe),
        Line(((middle_x, top), (middle_x, bottom)), "grid"),
        Line(((left, middle_y), (right, middle_y)), "grid"),
        Line(corners, "axis"),
        Text(left - 8, top + 14, "full droop", "label", "end"),
        Text(left - 8, middle_y + 5, "neutral", "note", "end"),
        Text(left - 8, bottom - 2, "full reflex", "label", "end"),
        *(
            Text(x, bottom + 21, f"stick {way}" if side > 166 else way, "label", anchor)
            for x, way, anchor in ends
        ),
    ]
    x, y = (right + 18, top + 16) if beside else (MARGIN, bottom + 46)
    shapes.append(Text(x, y, "roll left:", "strong"))
    for number, line in enumerate(lines):
        column, row = divmod(number, rows)
        shapes.append(Text(x + column * room.width / 2, y + STEP * (row + 1), line, "label"))
    if here is not None:
        spot = Circle(*put(here), 8.0, "spot", "where the sliders are")
        shapes.append(Scaled((spot,), "sliders", put((0, 0)), (side / (2 * half_x), -side / (2 * half_y))))
    height = max(bottom + 21, y + STEP * rows) + 12
    return Drawing(room.width, height, tuple(shapes), title, " ".join(found.words))
