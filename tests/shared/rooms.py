"""Rooms that pictures are laid out for, and what must hold in each."""

from __future__ import annotations

from collections.abc import Iterator

from contrast import faint
from hypothesis import strategies as st

from mixlib.draw.shapes import (
    ROOM,
    Arrow,
    Drawing,
    Line,
    Plain,
    Point,
    Polygon,
    Room,
    Text,
    crosses,
    every_shape,
    text_box,
)
from mixlib.draw.theme import style

PROJECTOR = Room(1300, 620)
TYPICAL = [PROJECTOR, Room(1000, 450), Room(640, 400), Room(430, 230), Room(340, 300)]
"""A projector, a wide and a usual panel, a laptop at 150 %, a phone."""

any_room = st.builds(Room, st.floats(300, 1400), st.floats(180, 800))

LEAST_LETTER = 12.0
"""Size of the smallest letters, CSS px."""


def faults(drawing: Drawing, room: Room, high: bool = False) -> list[str]:
    """What makes a picture hard to read in its room; its height only where that is asked for.

    What is faint is so in every room, and looked for in one.
    """
    found = label_faults(drawing) + (sorted(faint(drawing)) if room == ROOM else [])
    if drawing.width > room.width + 1e-6 or (high and drawing.height > room.height + 1e-6):
        found.append(f"{drawing.width:.0f} x {drawing.height:.0f} in {room.width:.0f} x {room.height:.0f}")
    letters = [shape for shape in every_shape(drawing.shapes) if isinstance(shape, Text)]
    small = [text for text in letters if text.letter_size < LEAST_LETTER]
    return found + [f"{text.text!r} is {text.letter_size:.1f} px" for text in small]


def label_faults(drawing: Drawing) -> list[str]:
    """Find words that cannot be read: outside the picture, over each other, or crossed by a line.

    Returns
    -------
    list of str
        One sentence per fault; empty when every word can be read.
    """
    shapes = list(every_shape(drawing.shapes))
    texts = [(shape, text_box(shape)) for shape in shapes if isinstance(shape, Text)]
    faults = []
    for index, (text, box) in enumerate(texts):
        left, top, right, bottom = box
        if left < 0 or top < 0 or right > drawing.width or bottom > drawing.height:
            faults.append(f"{text.text!r} reaches out of the picture")
        for other, box2 in texts[index + 1 :]:
            if left < box2[2] and box2[0] < right and top < box2[3] and box2[1] < bottom:
                faults.append(f"{text.text!r} and {other.text!r} overlap")
        for shape in shapes:
            for start, end in _strokes(shape):
                if crosses(start, end, box):
                    faults.append(f"{text.text!r} is crossed by {shape.meaning or shape.role!r}")
                    break
    return faults


def _strokes(shape: Plain) -> Iterator[tuple[Point, Point]]:
    """Strokes that must not run through words; a chart's grid and the edges of its bands may, behind them."""
    if shape.role in ("grid", "zero", "band 1", "band 2"):
        return
    if isinstance(shape, Line):
        yield from zip(shape.points, shape.points[1:], strict=False)
    elif isinstance(shape, Arrow):
        yield shape.start, shape.end
    elif isinstance(shape, Polygon) and style(shape.role).stroke != "none":
        yield from zip(shape.points, (*shape.points[1:], shape.points[0]), strict=True)
