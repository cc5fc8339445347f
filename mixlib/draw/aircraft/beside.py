"""A chart and the whole aircraft in one picture."""

from __future__ import annotations

from collections.abc import Callable

from mixlib.draw.shapes import LOW, ROOM, Drawing, Room, moved, together

__all__ = ["with_aircraft", "with_aircraft_aside"]

_BESIDE, _BELOW = (
    Room(400.0, LOW),
    Room(500.0, 250.0),
)  # least of each, or words take all
_LEAST_ASIDE = 350.0  # of a column of words and small figures, CSS px
_TALLER = 1.4  # that a column may be than the chart beside it


def with_aircraft(
    title: str, chart: Callable[..., Drawing], aircraft: Callable[..., Drawing], *, room: Room = ROOM
) -> Drawing:
    """Draw a chart, and beside or below it the aircraft where there is room for both; else the chart alone.

    Parameters
    ----------
    chart, aircraft : callable
        Each draws for its keyword `room`.
    """
    beside = room.width >= 2 * _BESIDE.width and room.height >= _BESIDE.height
    if beside or (room.width >= _BELOW.width and room.height >= 2 * _BELOW.height):
        both = together(title, (chart, aircraft), room)
        if both.height <= room.height:
            return both
    return chart(room=room)


def with_aircraft_aside(
    title: str, chart: Callable[..., Drawing], aircraft: Callable[..., Drawing], *, room: Room = ROOM
) -> Drawing:
    """Draw a chart that wants its width, and the aircraft in a third of it; see `with_aircraft`."""
    aside = room.width / 3
    if aside >= _LEAST_ASIDE:
        left = chart(room=Room(room.width - aside, room.height))
        right = aircraft(room=Room(aside, min(_TALLER * left.height, room.height)))
        if right.height <= room.height:
            shapes = (*left.shapes, *(moved(shape, left.width, 0) for shape in right.shapes))
            said = f"{left.description} {right.description}"
            return Drawing(room.width, max(left.height, right.height), shapes, title, said)
    return chart(room=room)
