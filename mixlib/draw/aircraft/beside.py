"""A chart and the whole aircraft in one picture."""

from __future__ import annotations

from collections.abc import Callable

from mixlib.draw.shapes import LOW, ROOM, Drawing, Room, together

__all__ = ["with_aircraft"]

_LEAST_WIDTH = 400.0  # of each, CSS px; in less, words would take the place of what is drawn


def with_aircraft(
    title: str, chart: Callable[..., Drawing], aircraft: Callable[..., Drawing], *, room: Room = ROOM
) -> Drawing:
    """Draw a chart, and beside or below it the aircraft where there is room for both; else the chart alone.

    Parameters
    ----------
    chart, aircraft : callable
        Each draws for its keyword `room`.
    """
    if room.height >= LOW and (room.width >= 2 * _LEAST_WIDTH or room.height >= 2 * LOW):
        both = together(title, (chart, aircraft), room)
        if both.height <= room.height:
            return both
    return chart(room=room)
