"""The few shapes that every picture is made of, and a check that its words can be read.

Coordinates are in drawing units: x to the right, y **down**, the origin in the upper left corner.  A shape
says what it is by a role (see `theme`), not by a colour, and may carry its meaning in words.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from mixlib.draw.letters import text_width
from mixlib.draw.theme import style

__all__ = [
    "LEAST_WIDTH",
    "ROOM",
    "Arrow",
    "Circle",
    "Drawing",
    "Group",
    "Line",
    "Polygon",
    "Room",
    "Shape",
    "Text",
    "arrow",
    "crosses",
    "every_shape",
    "label_faults",
    "moved",
    "one_line",
    "text_box",
    "together",
    "wrapped",
]

Point = tuple[float, float]
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Room:
    """Place for a picture, in drawing units, which are CSS px on the screen.

    A drawing is laid out for the room it gets and never shrunk: it is not wider than the room and, where it
    can, not higher; its letters keep their sizes.
    """

    width: float
    height: float


ROOM = Room(640.0, 400.0)
"""The room of a picture in a lesson's text."""

LEAST_WIDTH = 300.0
"""The narrowest room, CSS px, that every picture can be laid out for."""


@dataclass(frozen=True)
class Line:
    """An open line through points."""

    points: tuple[Point, ...]
    role: str = "movement"
    meaning: str = ""


@dataclass(frozen=True)
class Polygon:
    """A closed, filled outline."""

    points: tuple[Point, ...]
    role: str = "fixed"
    meaning: str = ""


@dataclass(frozen=True)
class Circle:
    """A disc."""

    x: float
    y: float
    radius: float
    role: str = "hinge"
    meaning: str = ""


@dataclass(frozen=True)
class Arrow:
    """A straight arrow with its head at the end."""

    start: Point
    end: Point
    role: str = "movement"
    meaning: str = ""


@dataclass(frozen=True)
class Text:
    """One line of words; y is the line on which the letters stand."""

    x: float
    y: float
    text: str
    role: str = "label"
    anchor: str = "start"
    size: float | None = None
    meaning: str = ""

    @property
    def letter_size(self) -> float:
        """Size of the letters in drawing units."""
        return self.size or style(self.role).size


@dataclass(frozen=True)
class Group:
    """Shapes that belong together, with one meaning."""

    shapes: tuple[Shape, ...]
    meaning: str = ""


Shape = Line | Polygon | Circle | Arrow | Text | Group


@dataclass(frozen=True)
class Drawing:
    """A finished picture: its size, its shapes from back to front, and the same in words."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    title: str
    description: str


def every_shape(shapes: Iterable[Shape]) -> Iterator[Shape]:
    """Walk through shapes, groups opened.

    Parameters
    ----------
    shapes : iterable of Shape
        Such as ``drawing.shapes``.

    Yields
    ------
    Shape
        Each shape that is not a group, from back to front.
    """
    for shape in shapes:
        if isinstance(shape, Group):
            yield from every_shape(shape.shapes)
        else:
            yield shape


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """Shift a shape."""
    if isinstance(shape, Group):
        return replace(shape, shapes=tuple(moved(inner, dx, dy) for inner in shape.shapes))
    if isinstance(shape, Line | Polygon):
        return replace(shape, points=tuple((x + dx, y + dy) for x, y in shape.points))
    if isinstance(shape, Arrow):
        (x0, y0), (x1, y1) = shape.start, shape.end
        return replace(shape, start=(x0 + dx, y0 + dy), end=(x1 + dx, y1 + dy))
    return replace(shape, x=shape.x + dx, y=shape.y + dy)


def together(title: str, parts: Sequence[Callable[[Room], Drawing]], room: Room = ROOM) -> Drawing:
    """Lay several drawings into one room: side by side in a low one, else below each other.

    Parameters
    ----------
    parts : sequence of callable
        Each draws for the room it is given.

    Returns
    -------
    Drawing
        One drawing; its description is the drawings' descriptions in order.
    """
    count, gap = len(parts), 6.0
    sideways = (room.width - gap * (count - 1)) / count
    level = sideways >= LEAST_WIDTH and sideways > room.height * 1.1
    share = Room(sideways, room.height) if level else Room(room.width, (room.height + gap) / count - gap)
    drawings = [part(share) for part in parts]
    shapes: list[Shape] = []
    x = y = 0.0
    for drawing in drawings:
        shapes += [moved(shape, x, y) for shape in drawing.shapes]
        x, y = (x + drawing.width + gap, y) if level else (x, y + drawing.height + gap)
    width = x - gap if level else max(drawing.width for drawing in drawings)
    height = max(drawing.height for drawing in drawings) if level else y - gap
    words = " ".join(drawing.description for drawing in drawings if drawing.description)
    return Drawing(width, height, tuple(shapes), title, words)


def text_box(text: Text) -> Box:
    """Space that a line of words takes at most."""
    size = text.letter_size
    width = text_width(text.text, size, style(text.role).bold)
    left = text.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor] * width
    return left, text.y - 0.78 * size, left + width, text.y + 0.24 * size


def wrapped(text: str, width: float, role: str, lines: int = 2, size: float | None = None) -> tuple[str, ...]:
    """Break words into lines that fit a width; what does not fit in the last line ends in three dots.

    Parameters
    ----------
    lines : int
        Most lines that may be used.
    size : float, optional
        Letter size when it is not the role's.
    """
    look = style(role)
    size = size or look.size

    def fits(line: str) -> bool:
        return text_width(line, size, look.bold) <= width

    result: list[str] = []
    for word in text.split():
        joined = f"{result[-1]} {word}" if result else word
        if result and fits(joined):
            result[-1] = joined
        else:
            result.append(word)
    result = [_shortened(line, fits) for line in result]
    if len(result) > lines:
        result[lines - 1] = _shortened(" ".join(result[lines - 1 :]) + " ...", fits)
    return tuple(result[:lines])


def one_line(text: str, width: float, role: str) -> str:
    """Words on one line that fits a width; what does not fit is left out and ends in three dots."""
    return "".join(wrapped(text, width, role, 1))


def _shortened(line: str, fits) -> str:
    if fits(line):
        return line
    kept = line.removesuffix("...").rstrip()
    while kept and not fits(kept + "..."):
        kept = kept[:-1]
    return kept.rstrip() + "..."


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


def crosses(start: Point, end: Point, box: Box) -> bool:
    """Whether a straight line meets the inside of a box.

    Returns
    -------
    bool
        True when a part of the line lies inside.
    """
    (x0, y0), (x1, y1) = start, end
    low, high = 0.0, 1.0
    for origin, step, least, most in ((x0, x1 - x0, box[0], box[2]), (y0, y1 - y0, box[1], box[3])):
        if step == 0:
            if not least < origin < most:
                return False
            continue
        first, second = sorted(((least - origin) / step, (most - origin) / step))
        low, high = max(low, first), min(high, second)
    return low < high


def _strokes(shape: Shape) -> Iterator[tuple[Point, Point]]:
    """Strokes that must not run through words; a chart's grid may, its words stand on white."""
    if isinstance(shape, Line) and shape.role not in ("grid", "zero"):
        yield from zip(shape.points, shape.points[1:], strict=False)
    elif isinstance(shape, Arrow):
        yield shape.start, shape.end
    elif isinstance(shape, Polygon) and style(shape.role).stroke != "none":
        yield from zip(shape.points, (*shape.points[1:], shape.points[0]), strict=True)


HEAD = 9.0  # length of an arrow's head, drawing units


def arrow(shape: Arrow) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """Shaft and head of an arrow; the head never outgrows a short arrow."""
    (x0, y0), (x1, y1) = shape.start, shape.end
    length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    if length == 0:
        return (shape.start, shape.end), (shape.end, shape.end, shape.end)
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    head = min(HEAD, length)
    neck = (x1 - head * ux, y1 - head * uy)
    wide = 0.5 * head
    left = (neck[0] - wide * uy, neck[1] + wide * ux)
    right = (neck[0] + wide * uy, neck[1] - wide * ux)
    return (shape.start, neck), (shape.end, left, right)
