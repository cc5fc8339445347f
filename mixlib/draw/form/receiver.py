"""Receiver and servos in one picture: which plug is in which output."""

from __future__ import annotations

from collections.abc import Sequence

from mixlib.describe.words import listed, sentence_start
from mixlib.draw.shapes import (
    MARGIN,
    ROOM,
    Circle,
    Drawing,
    Line,
    Point,
    Room,
    Text,
    fitted,
    frame,
    heading,
)
from mixlib.draw.theme import one_line, role_width

__all__ = ["receiver_view"]

_WIDE, _LOW = 118.0, 27.0


@fitted
def receiver_view(
    outputs: int, plugs: Sequence[tuple[str, int | None, bool]], at: str = "", *, room: Room = ROOM
) -> Drawing:
    """Draw the receiver with its numbered outputs, and beside it every servo and the motor with its wire.

    Parameters
    ----------
    plugs : sequence of tuple
        What is plugged in, the output from 1 or None where that is not known, whether it is only assumed.
    at : str
        The plug that is drawn strongly.
    """
    shapes, top = heading("What is plugged into which output", room, "A dashed wire is assumed.")
    top += 6
    step = min(max((room.height - top - 10) / max(outputs, len(plugs)), _LOW), 40.0)
    left, socket = MARGIN, MARGIN + _WIDE - 18
    names = min(max(role_width(words, "label") for words, _, _ in plugs) + 12, room.width - socket - 120)
    right = room.width - MARGIN - names
    shapes += [
        frame(left, top, _WIDE, step * outputs, "servo", "receiver"),
        Text(left + 8, top + step * outputs / 2 + 6, one_line("receiver", _WIDE - 40, "label"), "label"),
    ]

    def middle(row: int) -> float:
        return top + step * (row + 0.5)

    for socket_number in range(1, outputs + 1):
        y = middle(socket_number - 1)
        shapes += [
            Circle(socket, y, min(0.42 * step, 13.0), "badge", f"output {socket_number}"),
            Text(socket, y + 5, str(socket_number), "badge words", "middle", size=15.0),
        ]
    first = (outputs - len(plugs)) / 2 if len(plugs) < outputs else 0.0
    known = []
    for row, (words, number, assumed) in enumerate(plugs):
        y = middle(0) + step * (first + row)
        if number is not None and 1 <= number <= outputs:
            start: Point = (socket + 20, middle(number - 1))
            role = "measure" if words == at else "ghost" if assumed else "movement"
            shapes.append(
                Line((start, (socket + 34, start[1]), (right - 26, y), (right - 6, y)), role, words)
            )
            known.append(f"{words} in output {number}" + (" (assumed)" if assumed else ""))
        else:
            known.append(f"{words} in no output yet")
        shapes += [
            frame(
                right - 6, y - 0.42 * step, names + 6, 0.84 * step, "servo" if words != at else "fault", words
            ),
            Text(right, y + 5, one_line(words, names - 6, "label"), "label"),
        ]
    bottom = top + step * max(outputs, len(plugs)) + 10
    said = sentence_start(listed(known)) + "."
    return Drawing(room.width, bottom, tuple(shapes), "What is plugged into which output", said)
