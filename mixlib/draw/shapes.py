"""The few shapes that every picture is made of.

Coordinates are in drawing units: x to the right, y **down**, the origin in the upper left corner.  A shape
says what it is by a role (see `theme`), not by a colour, and may carry its meaning in words.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import wraps
from typing import ParamSpec

from mixlib.draw.theme import first_fitting, one_line, role_width, style, text_width

__all__ = [
    "LOW",
    "MARGIN",
    "ROOM",
    "Arrow",
    "Circle",
    "Drawing",
    "Group",
    "Line",
    "Plain",
    "Polygon",
    "Room",
    "Scaled",
    "Shape",
    "Text",
    "arrow",
    "crosses",
    "every_shape",
    "fitted",
    "frame",
    "heading",
    "inside_part",
    "moved",
    "text_box",
    "together",
]

P = ParamSpec("P")
Point = tuple[float, float]
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Room:
    """Place for a picture, in drawing units, which are CSS px on the screen.

    A drawing is laid out anew for the room it gets: it is not wider than the room and, where it can, not
    higher, and its letters stay large enough to be read.
    """

    width: float
    height: float

    @property
    def letter_ratio(self) -> float:
        """Size of letters over their role's: a little smaller in a small room, larger on a projector."""
        return min(max(min(self.width / 640, self.height / 400), 0.84), 1.5)


ROOM = Room(640.0, 400.0)
"""The room of a picture in a lesson's text."""

LEAST_HEIGHT = 120.0  # a drawing is not asked to be lower than this, CSS px
GAP = 6.0  # between drawings in one room, CSS px

MARGIN = 14.0  # between the words of a picture and its edge
LOW = 330.0  # a room that is lower than this has no place for notes


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


@dataclass(frozen=True)
class Scaled(Group):
    """Shapes to a scale, named so that those of another drawing can be laid over them; see `kept`.

    Parameters
    ----------
    meaning : str
        The name; not shown.  Without one, nothing is laid over them.
    zero, unit : tuple of float
        Where the scale's zero lies, and the drawing units of one unit along x and y.
    box : tuple of float, optional
        Left, top, right and bottom of the frame beyond which nothing is shown.
    """

    zero: Point = (0.0, 0.0)
    unit: Point = (1.0, 1.0)
    box: Box | None = None


Plain = Line | Polygon | Circle | Arrow | Text
Shape = Plain | Group


@dataclass(frozen=True)
class Drawing:
    """A finished picture: its size, its shapes from back to front, and the same in words."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    title: str
    description: str


def frame(left: float, top: float, width: float, height: float, role: str, meaning: str = "") -> Polygon:
    """A rectangle, in drawing units."""
    right, bottom = left + width, top + height
    return Polygon(((left, top), (right, top), (right, bottom), (left, bottom)), role, meaning)


def every_shape(shapes: Iterable[Shape]) -> Iterator[Plain]:
    """Walk through shapes, groups opened.

    Parameters
    ----------
    shapes : iterable of Shape
        Such as ``drawing.shapes``.

    Yields
    ------
    Plain
        Each shape that is not a group, from back to front.
    """
    for shape in shapes:
        if isinstance(shape, Group):
            yield from every_shape(shape.shapes)
        else:
            yield shape


def moved(shape: Shape, dx: float, dy: float, scale: float = 1.0) -> Shape:
    """Scale a shape about the origin, strokes kept, then shift it."""

    def put(point: Point) -> Point:
        return scale * point[0] + dx, scale * point[1] + dy

    if isinstance(shape, Group):
        shape = replace(shape, shapes=tuple(moved(inner, dx, dy, scale) for inner in shape.shapes))
        if isinstance(shape, Scaled):
            box = (*put(shape.box[:2]), *put(shape.box[2:])) if shape.box else None
            unit = (scale * shape.unit[0], scale * shape.unit[1])
            return replace(shape, zero=put(shape.zero), unit=unit, box=box)
        return shape
    if isinstance(shape, Line | Polygon):
        return replace(shape, points=tuple(map(put, shape.points)))
    if isinstance(shape, Arrow):
        return replace(shape, start=put(shape.start), end=put(shape.end))
    x, y = put((shape.x, shape.y))
    if isinstance(shape, Text):
        return replace(shape, x=x, y=y, size=scale * shape.letter_size)
    return replace(shape, x=x, y=y, radius=scale * shape.radius)


def fitted(draw: Callable[P, Drawing]) -> Callable[P, Drawing]:
    """Let a function that draws for its keyword ``room`` reckon with letters of their roles' sizes.

    The function gets the room in units of those letters; its drawing comes back in CSS px.
    """

    @wraps(draw)
    def drawn(*args: P.args, **kwargs: P.kwargs) -> Drawing:
        room = kwargs.get("room", ROOM)
        assert isinstance(room, Room)
        ratio = room.letter_ratio
        kwargs["room"] = Room(room.width / ratio, room.height / ratio)
        drawing = draw(*args, **kwargs)
        if ratio == 1:
            return drawing
        shapes = tuple(moved(shape, 0, 0, ratio) for shape in drawing.shapes)
        return replace(drawing, width=ratio * drawing.width, height=ratio * drawing.height, shapes=shapes)

    return drawn


def heading(title: str, room: Room, *note: str) -> tuple[list[Shape], float]:
    """Title and a note below it; in a low room the note stands beside the title or not at all.

    Parameters
    ----------
    *note : str
        The note in one or more ways, the longest first.

    Returns
    -------
    shapes : list of Shape
        The words.
    bottom : float
        Where the picture may begin, drawing units.
    """
    wide = room.width - 2 * MARGIN
    shapes: list[Shape] = [Text(MARGIN, 25, one_line(title, wide, "title"), "title")]
    bottom = 34.0
    if room.height < LOW:
        left = role_width(title, "title") + 20
        beside = [words for words in note if role_width(words, "note") <= wide - left]
        shapes += [Text(room.width - MARGIN, 25, words, "note", "end") for words in beside[:1]]
    elif note:
        shapes.append(Text(MARGIN, 46, first_fitting(note, wide, "note"), "note"))
        bottom = 53.0
    return shapes, bottom


def together(title: str, parts: Sequence[Callable[..., Drawing]], room: Room = ROOM) -> Drawing:
    """Lay several drawings into one room, side by side or below each other, as leaves each the better shape.

    Parameters
    ----------
    parts : sequence of callable
        Each draws for its keyword `room`; what one leaves over goes to those after it.

    Returns
    -------
    Drawing
        One drawing; its description is the drawings' descriptions in order.
    """
    many, best = len(parts), 1.8  # width over height, about that of a page of a book on its side
    beside = (room.width - GAP * (many - 1)) / many
    under = (room.height - GAP * (many - 1)) / many
    level = abs(math.log(beside / room.height / best)) < abs(math.log(room.width / under / best))
    found = _laid(parts, room, level)
    if found.height > room.height:  # what does not fit this way may fit the other
        found = min(found, _laid(parts, room, not level), key=lambda drawing: drawing.height)
    return replace(found, title=title)


def _laid(parts: Sequence[Callable[..., Drawing]], room: Room, level: bool) -> Drawing:
    beside = (room.width - GAP * (len(parts) - 1)) / len(parts)
    shapes: list[Shape] = []
    right = bottom = x = y = 0.0
    drawings = []
    for left in range(len(parts), 0, -1):
        high = max((room.height - y + GAP) / left - GAP, LEAST_HEIGHT)
        drawing = parts[-left](room=Room(beside, room.height) if level else Room(room.width, high))
        shapes += [moved(shape, x, y) for shape in drawing.shapes]
        right, bottom = max(right, x + drawing.width), max(bottom, y + drawing.height)
        x, y = (right + GAP, 0.0) if level else (0.0, bottom + GAP)
        drawings.append(drawing)
    words = " ".join(drawing.description for drawing in drawings if drawing.description)
    return Drawing(right, bottom, tuple(shapes), "", words)


def text_box(text: Text) -> Box:
    """Space that a line of words takes at most."""
    size = text.letter_size
    width = text_width(text.text, size, style(text.role).bold)
    left = text.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor] * width
    return left, text.y - 0.78 * size, left + width, text.y + 0.24 * size


def crosses(start: Point, end: Point, box: Box) -> bool:
    """Whether a part of a straight line lies inside a box."""
    return inside_part(start, end, box) is not None


def inside_part(start: Point, end: Point, box: Box) -> tuple[float, float] | None:
    """Shares of a straight line, 0 to 1 from its start, between which it lies inside a box."""
    (x0, y0), (x1, y1) = start, end
    low, high = 0.0, 1.0
    for origin, step, least, most in ((x0, x1 - x0, box[0], box[2]), (y0, y1 - y0, box[1], box[3])):
        if step == 0:
            if not least < origin < most:
                return None
            continue
        enters, leaves = sorted(((least - origin) / step, (most - origin) / step))
        low, high = max(low, enters), min(high, leaves)
    return (low, high) if low < high else None


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
