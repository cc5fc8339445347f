"""Geometry of the landing: the hedge, the strip, and the paths over them, to scale from the side."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mixlib.air.landing.field import HEDGE_M, STRIP_M, Path
from mixlib.draw.shapes import ROOM, Circle, Drawing, Line, Polygon, Room, Shape, Text

__all__ = ["landing_side_view", "landing_words"]

_LEFT, _WIDTH, _TOP = 20.0, 700.0, 66.0


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
    scale = _WIDTH / (ahead_m + behind_m)
    tall = 24.0
    ground = _TOP + tall * scale

    def put(x: float, z: float) -> tuple[float, float]:
        return _LEFT + (x + ahead_m) * scale, ground - z * scale

    shapes: list[Shape] = [
        Text(14, 28, "Over the hedge and onto the strip", "title"),
        Text(14, 50, "From the side, to scale; flight from left to right, into the wind.", "note"),
        Polygon((put(-ahead_m, 0), put(behind_m, 0), put(behind_m, -1.2), put(-ahead_m, -1.2)), "ground"),
        Polygon((put(0, 0), put(STRIP_M, 0), put(STRIP_M, -1.2), put(0, -1.2)), "safe strip", "strip"),
        Polygon((put(-1, 0), put(-1, HEDGE_M), put(0, HEDGE_M), put(0, 0)), "hedge", "hedge"),
        Line((put(-ahead_m, 0), put(behind_m, 0)), "axis"),
        Text(put(0, 0)[0] - 4, ground + 34, f"hedge {HEDGE_M:g} m", "note", "middle"),
        Text(put(STRIP_M / 2, 0)[0] + 20, ground + 34, f"strip {STRIP_M:g} m", "note", "middle"),
        Text(put(STRIP_M, 0)[0] + 30, ground + 34, "beyond", "note"),
    ]
    said = []
    for row, path in enumerate(paths):
        role = f"curve {row + 1}"
        keep = (path.x_m >= -ahead_m) & (path.x_m <= behind_m) & (path.z_m <= tall)
        points = tuple(put(float(x), float(z)) for x, z in zip(path.x_m[keep], path.z_m[keep], strict=True))
        if len(points) > 1:
            shapes.append(Line(points, role, path.name))
        if path.touchdown_m <= behind_m:
            shapes.append(Circle(*put(path.touchdown_m, 0.15), 5.0, "spot", path.name))
        words = landing_words(path)
        y = ground + 62 + 24 * row
        shapes += [Line(((14, y - 5), (54, y - 5)), role), Text(64, y, f"{path.name}: {words}", "label")]
        said.append(f"{path.name}: {words}")
    height = ground + 62 + 24 * len(paths)
    title = "Over the hedge and onto the strip"
    return Drawing(_LEFT + _WIDTH + 20, height, tuple(shapes), title, "; ".join(said) + ".")


def landing_words(path: Path) -> str:
    """Say where a path lands.

    Parameters
    ----------
    path : Path
        The path, touchdown in m behind the hedge.

    Returns
    -------
    str
        Such as ``"touches down 41 m behind the hedge, on the strip"``.
    """
    if not np.isfinite(path.touchdown_m):
        return "does not clear the hedge"
    where = "on the strip" if path.touchdown_m <= STRIP_M else "beyond the strip"
    return f"touches down {path.touchdown_m:.0f} m behind the hedge, {where}"
