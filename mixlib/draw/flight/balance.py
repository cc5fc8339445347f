"""Geometry of the balance: the section at the root with balance point, neutral point and the usual range."""

from __future__ import annotations

import numpy as np

from mixlib.air.aircraft.balance import Balance
from mixlib.describe import Aircraft
from mixlib.draw.charts import tick_places
from mixlib.draw.section import outline
from mixlib.draw.shapes import (
    MARGIN,
    ROOM,
    Circle,
    Drawing,
    Line,
    Polygon,
    Room,
    Shape,
    Text,
    fitted,
    frame,
    heading,
)
from mixlib.draw.theme import first_fitting, role_width

__all__ = ["balance_side_view"]

_LINE = 21.0
_HIGH = 0.17  # of the section over its line, as a share of its chord
_LOW = 0.07


@fitted
def balance_side_view(
    aircraft: Aircraft, found: Balance, ends_mm: tuple[float, float], *, room: Room = ROOM
) -> Drawing:
    """Draw where the balance point lies, from the side, along a ruler from the root's leading edge.

    Parameters
    ----------
    ends_mm : tuple of float
        What the ruler must reach; behind the leading edge.
    """
    heads, top = heading(
        "Where it balances",
        room,
        "The wing at its root from the side, nose to the left; mm behind the leading edge.",
        "Nose to the left; mm behind the leading edge.",
    )
    root = aircraft.wing.stations[0]
    first, last = min(0.0, ends_mm[0]), max(root.chord_mm, ends_mm[1])
    wide = room.width - 4 * MARGIN
    below = 2 * _LINE + 34
    high = room.height - top - 2 * _LINE - below
    scale = min(wide / (last - first), high / ((_HIGH + _LOW) * root.chord_mm))
    scale = max(scale, 0.5 * wide / (last - first))
    left = (room.width - scale * (last - first)) / 2

    def x(mm: float) -> float:
        return left + scale * (mm - first)

    chord = scale * root.chord_mm
    line = top + 2 * _LINE + _HIGH * chord
    bottom = line + _LOW * chord
    shape = outline(root.section, 0.02, 0.0)
    corners = [
        tuple((x(0) + chord * place, line - chord * height) for place, height in part)
        for part in (shape.fixed, shape.hinged)
    ]
    shapes: list[Shape] = [*heads, *(Polygon(part, "fixed", "section at the root") for part in corners)]
    for row, (name, role, (low, high), side) in enumerate(
        (("usual", "band 2", found.usual_cg_mm, -1), ("neutral point", "band 1", found.neutral_mm, 1))
    ):
        y, words = top + _LINE * (row + 1), f"{name}: {low:.0f} to {high:.0f}"
        shapes.append(frame(x(low), y - 4, max(x(high) - x(low), 2.0), bottom - y + 12, role, name))
        inner = x(high) if side < 0 else x(low)
        shapes.append(_label(words, inner + side * role_width(words, "label") / 2, y - 8, room))
    here = x(found.cg_mm)
    shapes += [
        Line(((here, line - 0.06 * chord), (here, bottom + 12)), "here", "balance point"),
        Circle(here, line - 0.06 * chord, 7.0, "spot", "balance point"),
    ]
    least, most = found.margin_mm
    ways = (
        f"balance point {found.cg_mm:.0f}, {_distance(least, most)} the neutral point",
        f"{found.cg_mm:.0f}: {_distance(least, most)} neutral",
    )
    shapes += _ruler(first, last, x, bottom + 14)
    told = first_fitting(ways, room.width - 2 * MARGIN, "strong")
    shapes.append(_label(told, here, bottom + 14 + 2 * _LINE + 8, room, "strong"))
    said = (
        f"The balance point is {found.cg_mm:.0f} mm behind the leading edge, {_distance(least, most)} the "
        f"neutral point."
    )
    return Drawing(room.width, bottom + below + 10, tuple(shapes), "Where it balances", said)


def _distance(least: float, most: float) -> str:
    """How far ahead of the neutral point, or behind it; the nearer number first."""
    if least > 0:
        return f"{least:.0f} to {most:.0f} mm ahead of"
    if most < 0:
        return f"{-most:.0f} to {-least:.0f} mm behind"
    return f"{-least:.0f} mm behind to {most:.0f} mm ahead of"


def _label(words: str, middle: float, y: float, room: Room, role: str = "label") -> Text:
    half = role_width(words, role) / 2
    return Text(float(np.clip(middle, MARGIN + half, room.width - MARGIN - half)), y, words, role, "middle")


def _ruler(first: float, last: float, x, y: float) -> list[Shape]:
    shapes: list[Shape] = [Line(((x(first), y), (x(last), y)), "axis", "ruler")]
    for place in tick_places(first, last, 8):
        shapes.append(Line(((x(place), y), (x(place), y + 6)), "axis"))
        shapes.append(Text(x(place), y + 22, f"{place:.0f}".replace("-", "−"), "note", "middle"))
    return shapes
