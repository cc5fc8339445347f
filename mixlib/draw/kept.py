"""A setting that was kept, drawn in dashes over the one that is tried."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from mixlib.draw.charts import inside
from mixlib.draw.shapes import Arrow, Circle, Drawing, Line, Plain, Point, Polygon, Scaled, Shape, every_shape
from mixlib.draw.theme import CURVES

__all__ = ["with_kept"]

_MOVING = {"up", "down", "neutral", "arm", "horn", "rod", "movement", "spot"}
_MOVING |= {f"curve {number}" for number in range(1, len(CURVES) + 1)}
_SAME = 0.6  # drawing units within which two places are one
_ASIDE = 8.0  # from an arrow to the kept one, which may lie in the same line


def with_kept(now: Drawing, kept: Drawing) -> Drawing:
    """Lay the outlines of what moves in another drawing of the same kind over a drawing.

    Only what stands elsewhere is drawn, at the scale of the drawing that it is laid over.

    Returns
    -------
    Drawing
        With its size and words kept.
    """
    others = [shape for shape in kept.shapes if isinstance(shape, Scaled) and shape.meaning]
    shapes: list[Shape] = []
    for shape in now.shapes:
        shapes.append(shape)
        other = isinstance(shape, Scaled) and next((o for o in others if o.meaning == shape.meaning), None)
        if isinstance(shape, Scaled) and other:
            others.remove(other)  # of two with one name, such as two charts, each has its own
            shapes += _outlines(shape, other)
    return replace(now, shapes=tuple(shapes))


def _outlines(now: Scaled, kept: Scaled) -> Iterator[Shape]:
    here = [_places(shape) for shape in _moving(now.shapes)]
    times = np.divide(now.unit, kept.unit)
    for shape in _moving(kept.shapes):
        places = (_places(shape) - kept.zero) * times + now.zero
        if any(
            len(places) == len(other) and np.abs(places - other).max() < _SAME for other in here
        ):  # it has not moved
            continue
        meaning = f"kept: {shape.meaning}" if shape.meaning else "kept"
        points: list[Point] = list(map(tuple, places.tolist()))
        if isinstance(shape, Circle):
            yield Circle(*points[0], shape.radius + 2, "kept", meaning)
        elif isinstance(shape, Arrow):
            start, end = ((x, y + _ASIDE) for x, y in points)
            yield Arrow(start, end, "kept", meaning)
        else:
            parts = inside(places, now.box) if now.box else [tuple(points)]
            yield from (Line(part, "kept", meaning) for part in parts)


def _moving(shapes: Iterable[Shape]) -> Iterator[Line | Polygon | Circle | Arrow]:
    for shape in every_shape(shapes):
        if shape.role in _MOVING and isinstance(shape, Line | Polygon | Circle | Arrow):
            yield shape


def _places(shape: Plain) -> np.ndarray:
    """Places of its outline, shape (n, 2); a polygon's ends where it begins."""
    if isinstance(shape, Line):
        return np.array(shape.points)
    if isinstance(shape, Polygon):
        return np.array((*shape.points, shape.points[0]))
    if isinstance(shape, Arrow):
        return np.array((shape.start, shape.end))
    return np.array(((shape.x, shape.y),))
