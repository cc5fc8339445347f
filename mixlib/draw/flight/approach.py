"""Geometry of the landing: the hedge, the strip, and the paths over them, to scale from the side."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mixlib.air.landing.field import HEDGE_M, STRIP_M, Path
from mixlib.draw.shapes import (
    MARGIN,
    ROOM,
    Circle,
    Drawing,
    Line,
    Point,
    Room,
    Shape,
    Text,
    fitted,
    frame,
    heading,
)
from mixlib.draw.theme import role_width, wrapped

__all__ = ["landing_side_view", "landing_words"]

LINE = 20.0
_TALL_M = 24.0  # height that is shown where there is room


@fitted
def landing_side_view(
    paths: Sequence[Path], ahead_m: float = 60.0, behind_m: float = 140.0, *, room: Room = ROOM
) -> Drawing:
    """Draw approaches over the hedge onto the strip.

    Parameters
    ----------
    paths : sequence of Path
        At most four, from the flattest to the steepest or as they should be named.
    ahead_m, behind_m : float
        How much is shown before and behind the hedge, m.

    Returns
    -------
    Drawing
        Height and distance to the same scale; the landings in words as description.
    """
    title = "Over the hedge and onto the strip"
    heads, top = heading(
        title,
        room,
        "From the side, to scale; flight from left to right, into the wind.",
        "To scale; flight from left to right.",
    )
    wide = room.width - 2 * MARGIN
    said = [f"{path.name}: {landing_words(path)}" for path in paths]
    short = [words.replace("touches down ", "") for words in said]
    told = said if max(role_width(words, "label") for words in said) <= wide - 48 else short
    rows = [wrapped(words, wide - 48, "label") for words in told]
    below = 30 + sum(LINE * len(lines) + 4 for lines in rows) + 8
    scale = wide / (ahead_m + behind_m)
    tall = min(_TALL_M, max((room.height - top - below) / scale - 2, 10.0))
    ground = top + tall * scale

    def put(x: float, z: float) -> Point:
        return MARGIN + (x + ahead_m) * scale, ground - z * scale

    shapes: list[Shape] = [
        *heads,
        frame(MARGIN, ground, wide, 1.2 * scale, "ground"),
        frame(*put(0, 0), STRIP_M * scale, 1.2 * scale, "safe strip", "strip"),
        frame(*put(-1, HEDGE_M), scale, HEDGE_M * scale, "hedge", "hedge"),
        Line((put(-ahead_m, 0), put(behind_m, 0)), "axis"),
        Text(put(0, 0)[0], ground + 21, f"hedge {HEDGE_M:g} m", "note", "end"),
        Text(put(STRIP_M / 2, 0)[0] + 6, ground + 21, f"strip {STRIP_M:g} m", "note", "middle"),
        Text(put(STRIP_M, 0)[0] + 24, ground + 21, "beyond", "note"),
    ]
    for number, path in enumerate(paths, start=1):
        keep = (path.x_m >= -ahead_m) & (path.x_m <= behind_m) & (path.z_m <= tall)
        points = tuple(put(float(x), float(z)) for x, z in zip(path.x_m[keep], path.z_m[keep], strict=True))
        if len(points) > 1:
            shapes.append(Line(points, f"curve {number}", path.name))
        if path.touchdown_m <= behind_m:
            shapes.append(Circle(*put(path.touchdown_m, 0.15), 5.0, "spot", path.name))
    y = ground + 30
    for number, lines in enumerate(rows, start=1):
        shapes.append(Line(((MARGIN, y + 11), (MARGIN + 38, y + 11)), f"curve {number}"))
        shapes += [Text(MARGIN + 48, y + 16 + LINE * row, words) for row, words in enumerate(lines)]
        y += LINE * len(lines) + 4
    return Drawing(room.width, y + 8, tuple(shapes), title, "; ".join(said) + ".")


def landing_words(path: Path) -> str:
    """Say where a path lands, such as ``"touches down 41 m behind the hedge, on the strip"``.

    A star stands at a doubtful number.
    """
    if not np.isfinite(path.touchdown_m):
        return "does not clear the hedge"
    where = "on the strip" if path.touchdown_m <= STRIP_M else "beyond the strip"
    return f"touches down {path.touchdown_m:.0f} m{'*' if path.doubts else ''} behind the hedge, {where}"
