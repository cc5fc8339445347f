"""The square of roll and camber: where every surface follows, and where an output or a linkage runs out."""

from __future__ import annotations

import numpy as np

from mixlib.bench.surface.budget import Budget
from mixlib.draw.shapes import ROOM, Circle, Drawing, Line, Polygon, Room, Shape, Text

__all__ = ["budget_square"]

_SIDE, _LEFT, _TOP = 380.0, 150.0, 74.0


def budget_square(found: Budget, here: tuple[float, float] | None = None, *, room: Room = ROOM) -> Drawing:
    """Draw the safe region of a budget in the square of the two commands.

    Returns
    -------
    Drawing
        Roll to the right, droop upwards; the budget's own words as description.
    """
    half_x, half_y = found.square

    def put(point) -> tuple[float, float]:
        x, y = np.asarray(point, float) / (2 * half_x, 2 * half_y) + 0.5
        return _LEFT + _SIDE * float(x), _TOP + _SIDE * (1 - float(y))

    (low_x, low_y), (high_x, high_y) = found.used  # a dial with a mark is turned no further
    used = ((low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y))
    right, bottom = _LEFT + _SIDE, _TOP + _SIDE
    frame = ((_LEFT, _TOP), (right, _TOP), (right, bottom), (_LEFT, bottom), (_LEFT, _TOP))
    middle_x, middle_y = _LEFT + _SIDE / 2, _TOP + _SIDE / 2
    shapes: list[Shape] = [
        Text(14, 28, "What fits together", "title"),
        Text(14, 52, "White: every surface follows. Coloured: something is lost.", "note"),
        Polygon(tuple(map(put, used)), "fault", "something is lost here"),
        *(
            Polygon(tuple(put(corner) for corner in part), "safe", "every surface follows")
            for part in found.safe
        ),
        Line(((middle_x, _TOP), (middle_x, bottom)), "grid"),
        Line(((_LEFT, middle_y), (right, middle_y)), "grid"),
        Line(frame, "axis"),
        Text(_LEFT - 10, _TOP + 16, "full droop", "label", "end"),
        Text(_LEFT - 10, middle_y + 5, "neutral", "note", "end"),
        Text(_LEFT - 10, bottom - 4, "full reflex", "label", "end"),
        Text(_LEFT, bottom + 24, "stick left", "label"),
        Text(right, bottom + 24, "stick right", "label", "end"),
        Text(right + 16, _TOP + 16, "roll left:", "strong"),
    ]
    for row, (name, share) in enumerate(found.roll_left.items()):
        shapes.append(Text(right + 16, _TOP + 44 + 24 * row, f"{name} {100 * share:.0f} %", "label"))
    if here is not None:
        shapes.append(Circle(*put(here), 9.0, "spot", "where the sliders are"))
    return Drawing(right + 190, bottom + 40, tuple(shapes), "What fits together", " ".join(found.words))
