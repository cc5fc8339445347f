"""Rooms that pictures are laid out for, and what must hold in each."""

from __future__ import annotations

from contrast import faint
from hypothesis import strategies as st

from mixlib.draw.shapes import ROOM, Drawing, Room, Text, every_shape, label_faults

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
