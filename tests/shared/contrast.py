"""Whether what is drawn stands out from what it touches: contrast as WCAG 2.2 defines it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from matplotlib.path import Path

from mixlib.draw.shapes import (
    Arrow,
    Circle,
    Drawing,
    Line,
    Plain,
    Point,
    Polygon,
    Text,
    every_shape,
    text_box,
)
from mixlib.draw.theme import WHITE, Style, style

# Nothing is lost with these: a grid's numbers and a row's words stand beside them, what is lost or safe has
# an edge or words of its own, the ground lies under an axis, and leaders and measures end in a spot.
MAY_BE_FAINT = {"grid", "rule", "fault", "safe", "ground", ("leader", "spot"), ("measure", "spot")}
# WCAG 2.2, success criteria 1.4.11 (graphical objects) and 1.4.3 (text).
LEAST, LEAST_OF_WORDS = 3.0, 4.5


def luminance(colour: np.ndarray) -> np.ndarray:
    """Luminance of sRGB colours, 0 to 1, shape (..., 3): WCAG 2.2, definition of relative luminance."""
    linear = np.where(colour <= 0.04045, colour / 12.92, ((colour + 0.055) / 1.055) ** 2.4)
    return linear @ np.array([0.2126, 0.7152, 0.0722])


def contrast(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Contrast ratio of colours, 1 to 21: WCAG 2.2, definition of contrast ratio."""
    lights = luminance(one) + 0.05, luminance(other) + 0.05
    return np.maximum(*lights) / np.minimum(*lights)


def rgb(colour: str) -> np.ndarray:
    """Red, green and blue, 0 to 1, of a colour such as ``"#0072b2"``."""
    return np.array([int(colour[place : place + 2], 16) for place in (1, 3, 5)]) / 255


def faint(drawing: Drawing) -> set[str]:
    """Roles in a drawing that do not stand out from a role that they lie on."""
    found, below = set(), []
    for shape in every_shape(drawing.shapes):
        look, places = style(shape.role), np.array(list(_places(shape)))
        ground, roles = np.tile(rgb(WHITE), (len(places), 1)), np.full(len(places), "sheet", dtype=object)
        for role, path, under in below:
            inside = path.contains_points(places)
            ground[inside] = _laid(under, ground[inside])
            roles[inside] = role
        best = np.max([contrast(colour, ground) for colour in _colours(shape, look, ground)], axis=0)
        least = LEAST_OF_WORDS if isinstance(shape, Text) else LEAST
        found |= {(shape.role, role) for role in roles[best < least]}
        if isinstance(shape, Polygon | Circle) and look.fill != "none":
            below.append((shape.role, Path(_outline(shape)), look))
    return {
        f"{role} on {other}"
        for role, other in found
        if role not in MAY_BE_FAINT and (role, other) not in MAY_BE_FAINT
    }


def _colours(shape: Plain, look: Style, ground: np.ndarray) -> Iterator[np.ndarray]:
    if look.fill != "none" and not isinstance(shape, Line | Arrow):
        yield _laid(look, ground)
    if look.stroke != "none" and not isinstance(shape, Text):
        yield rgb(look.strokes[0].stroke)


def _laid(look: Style, ground: np.ndarray) -> np.ndarray:
    return look.soft * rgb(look.fill) + (1 - look.soft) * ground


def _places(shape: Plain) -> Iterator[Point]:
    """Points along a shape's outline, or over its words."""
    if isinstance(shape, Text):
        left, top, right, bottom = text_box(shape)
        yield from ((x, (top + bottom) / 2) for x in np.linspace(left, right, 5))
        return
    ends = shape.points if isinstance(shape, Line) else _outline(shape)
    for start, end in pairwise(np.array(ends)):
        for share in np.linspace(0.02, 0.98, max(3, int(np.hypot(*(end - start)) // 12))):
            yield tuple(start + share * (end - start))


def _outline(shape: Plain) -> tuple[Point, ...]:
    if isinstance(shape, Arrow):
        return shape.start, shape.end
    if isinstance(shape, Polygon):
        return (*shape.points, shape.points[0])
    turns = np.linspace(0, 2 * np.pi, 13)
    return tuple(
        (shape.x + shape.radius * np.cos(turn), shape.y + shape.radius * np.sin(turn)) for turn in turns
    )
