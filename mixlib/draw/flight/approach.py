"""Geometry of the landing: what stands in front, the strip, and paths over them, to scale from the side."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mixlib.air.landing import Path
from mixlib.draw.shapes import (
    MARGIN,
    ROOM,
    Circle,
    Drawing,
    Line,
    Point,
    Room,
    Scaled,
    Shape,
    Text,
    every_shape,
    fitted,
    frame,
    heading,
)
from mixlib.draw.theme import CURVES, role_width, wrapped

__all__ = ["MOMENT_S", "landing_side_view", "landing_words", "tracks"]

MOMENT_S = 0.1
"""Time between two points of a drawn path, s."""

LINE = 20.0
_TALL_M = 24.0  # height that is shown where there is room
_AHEAD_M = 60.0
_BEHIND_M = 140.0
_BEYOND_M = 40.0  # shown behind the end of a long strip
_BEFORE_STRIP_M = 1.0  # drawn depth of what stands in front


@fitted
def landing_side_view(paths: Sequence[Path], *, room: Room = ROOM) -> Drawing:
    """Draw landings over what stands in front of the field, with a dot each second.

    Parameters
    ----------
    paths : sequence of Path
        At least one and at most four on one field, from the flattest to the steepest or as they should be
        named; a kept drawing's last path can be laid over it.

    Returns
    -------
    Drawing
        Height and distance to the same scale; the landings in words as description.  Each path begins at the
        same time before the edge; see `tracks`.
    """
    field = paths[0].field
    title = f"Over the {field.edge} and onto the strip"
    heads, top = heading(
        title,
        room,
        "From the side, to scale; flight from left to right, into the wind. A dot each second.",
        "To scale; flight from left to right. A dot each second.",
        "To scale; flight from left to right.",
    )
    wide = room.width - 2 * MARGIN
    said = [f"{path.name}: {landing_words(path)}" for path in paths]
    short = [words.replace("touches down ", "") for words in said]
    told = said if max(role_width(words, "label") for words in said) <= wide - 48 else short
    rows = [wrapped(words, wide - 48, "label") for words in told]
    below = 30 + sum(LINE * len(lines) + 4 for lines in rows) + 8
    behind_m = max(_BEHIND_M, field.length_m + _BEYOND_M)
    scale = wide / (_AHEAD_M + behind_m)
    tall = min(_TALL_M, max((room.height - top - below) / scale - 2, 10.0))
    ground = top + tall * scale

    def put(x: float, z: float) -> Point:
        return MARGIN + (x + _AHEAD_M) * scale, ground - z * scale

    def to_scale(shape: Shape, name: str) -> Scaled:
        return Scaled((shape,), name, put(0, 0), (scale, -scale))

    last = MARGIN + wide - role_width("beyond", "note")
    before = f"{field.obstacle} {field.obstacle_m:g} m" if field.obstacle_m else field.edge
    shapes: list[Shape] = [
        *heads,
        frame(MARGIN, ground, wide, 1.2 * scale, "ground"),
        frame(*put(0, 0), field.length_m * scale, 1.2 * scale, "safe strip", "strip"),
        frame(
            *put(-_BEFORE_STRIP_M, field.obstacle_m), scale, field.obstacle_m * scale, "hedge", field.obstacle
        ),
        Line((put(-_AHEAD_M, 0), put(behind_m, 0)), "axis"),
        Text(put(0, 0)[0], ground + 21, before, "note", "end"),
        Text(put(field.length_m / 2, 0)[0] + 6, ground + 21, f"strip {field.length_m:g} m", "note", "middle"),
        Text(min(put(field.length_m, 0)[0] + 24, last), ground + 21, "beyond", "note"),
    ]
    moments = _moments(paths, tall, behind_m)
    for number, path in enumerate(paths, start=1):
        turned = np.maximum(moments, _in_sight_s(path, tall))  # before, it waits at the edge of the picture
        places = [(float(x), float(z)) for x, z in zip(*path.at(turned), strict=True)]
        seen = [place for place in places if place[0] <= behind_m]
        flown = Line(tuple(put(*place) for place in seen), f"curve {number}", path.name)
        shapes.append(to_scale(flown, "path") if number == len(paths) else flown)
        for moment, place in zip(moments, places, strict=True):
            whole = abs(moment - round(moment)) < MOMENT_S / 2
            if whole and place in seen and turned[0] <= moment <= path.time_s[-1]:
                shapes.append(Circle(*put(*place), 2.5, "spot"))
        if path.touchdown_m <= behind_m:
            down = Circle(*put(path.touchdown_m, 0.15), 5.0, "spot", path.name)
            shapes.append(to_scale(down, "touchdown") if number == len(paths) else down)
    y = ground + 30
    for number, lines in enumerate(rows, start=1):
        shapes.append(Line(((MARGIN, y + 11), (MARGIN + 38, y + 11)), f"curve {number}"))
        shapes += [Text(MARGIN + 48, y + 16 + LINE * row, words) for row, words in enumerate(lines)]
        y += LINE * len(lines) + 4
    return Drawing(room.width, y + 8, tuple(shapes), title, "; ".join(said) + ".")


def tracks(drawing: Drawing) -> list[dict[str, object]]:
    """The paths of a `landing_side_view` as they move in time, one point for each `MOMENT_S`.

    Returns
    -------
    list of dict
        Name, colour and points of each path, in the drawing's own units.
    """
    lines = (shape for shape in every_shape(drawing.shapes) if isinstance(shape, Line))
    paths = [line for line in lines if line.meaning and line.role.startswith("curve ")]
    colours = [CURVES[int(path.role.split()[-1]) - 1][0] for path in paths]
    return [
        {"name": path.meaning, "colour": colour, "points": [list(point) for point in path.points]}
        for path, colour in zip(paths, colours, strict=True)
    ]


def landing_words(path: Path) -> str:
    """Say where a path lands and stops.

    Returns
    -------
    str
        Such as ``"touches down 41 m behind the hedge and stops on the strip, at 52 m"``; a star stands at a
        doubtful number.
    """
    field = path.field
    if not np.isfinite(path.touchdown_m):
        return f"does not clear the {field.edge}"
    down = f"touches down {path.touchdown_m:.0f} m{'*' if path.doubts else ''} behind the {field.edge}"
    if path.touchdown_m > field.length_m:
        return f"{down}, beyond the strip"
    if path.stop_m > field.length_m:
        return f"{down} and slides beyond the strip, to {path.stop_m:.0f} m"
    return f"{down} and stops on the strip, at {path.stop_m:.0f} m"


def _in_sight_s(path: Path, tall_m: float) -> float:
    return float(path.time_s[np.argmax((path.x_m >= -_AHEAD_M) & (path.z_m <= tall_m))])


def _moments(paths: Sequence[Path], tall_m: float, behind_m: float) -> np.ndarray:
    """Seconds from the first path in sight to the last that stops or leaves the picture, the edge at 0."""
    first = int(np.ceil(min(_in_sight_s(path, tall_m) for path in paths) / MOMENT_S))
    ends = [float(np.interp(behind_m, path.x_m, path.time_s)) for path in paths]
    last = int(np.ceil(max(ends) / MOMENT_S))
    return MOMENT_S * np.arange(first, last + 1)
