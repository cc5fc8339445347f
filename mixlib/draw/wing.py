"""Geometry of wing and tail seen from behind, with each surface's section at the true angle below."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from mixlib.describe import Aircraft
from mixlib.describe.words import direction
from mixlib.draw.captions import Captions, Moved, moved_surfaces, moved_words
from mixlib.draw.section import role_of
from mixlib.draw.shapes import (
    LOW,
    MARGIN,
    ROOM,
    Circle,
    Drawing,
    Point,
    Polygon,
    Room,
    Scaled,
    Shape,
    Text,
    fitted,
    heading,
)
from mixlib.draw.theme import first_fitting, role_width

__all__ = ["surfaces_drawing", "wing_from_behind"]

MAGNIFIED = (1, 1.5, 2, 3, 4, 5, 6, 8, 10)
VIEW = (62.0, 180.0)  # least and most height of the view from behind


@fitted
def surfaces_drawing(
    aircraft: Aircraft,
    angles_deg: Iterable[float],
    throws_mm: Iterable[float],
    notes: Sequence[str] | None = None,
    *,
    room: Room = ROOM,
) -> Drawing:
    """Draw all surfaces as the pilot sees them from behind, left wing on the left.

    Parameters
    ----------
    angles_deg, throws_mm : iterable of float
        Angle and throw of each surface in the aircraft's order, trailing edge down (rudder: left) positive.
    notes : sequence of str, optional
        A short warning for each surface, such as ``"at its stop"``; empty for none.  Room for it is kept
        whenever the sequence is given, so that the picture does not jump.

    Returns
    -------
    Drawing
        Wing and tail with their trailing edges moved, drawn larger by a stated factor; below, each surface
        with its movement in words and numbers, and where there is room its section at its true angle.
    """
    moved = moved_surfaces(aircraft, angles_deg, throws_mm, notes)
    wing, tail = (_on(moved, *parts) for parts in (("wing",), ("tail", "fin")))
    return _from_behind(aircraft, wing, tail, notes is not None, room)


@fitted
def wing_from_behind(
    aircraft: Aircraft,
    angles_deg: Iterable[float],
    throws_mm: Iterable[float],
    notes: Sequence[str] | None = None,
    *,
    room: Room = ROOM,
) -> Drawing:
    """Draw the wing alone; see `surfaces_drawing`.

    Raises
    ------
    ValueError
        If the aircraft has no surface on the wing.
    """
    wing = _on(moved_surfaces(aircraft, angles_deg, throws_mm, notes), "wing")
    if not wing:
        raise ValueError(f"{aircraft.name} has no surface on its wing")
    return _from_behind(aircraft, wing, [], notes is not None, room)


def _on(moved: list[Moved], *parts: str) -> list[Moved]:
    """Surfaces on some parts, from the left tip to the right tip."""

    def from_left(item: Moved) -> float:
        sense = {"left": -1.0, "centre": 0.0, "right": 1.0}[item.surface.side]
        return sense * (item.surface.y_inner_mm + item.surface.y_outer_mm)

    return sorted((item for item in moved if item.surface.part in parts), key=from_left)


def _from_behind(
    aircraft: Aircraft, wing: list[Moved], tail: list[Moved], warned: bool, room: Room
) -> Drawing:
    moved = [*wing, *tail]
    part = " and ".join(name for name, items in (("wing", wing), ("tail", tail)) if items)
    shapes: list[Shape] = []
    top = 4.0
    if room.height >= LOW:  # else the words over the view stand alone
        notes = ("Nose away from you. Sections: nose to the left, true angle.", "Nose away from you.")
        shapes, top = heading(f"The {part} from behind", room, *notes)
    captions = Captions.laid_out(aircraft, wing, tail, warned, Room(room.width, room.height - top - VIEW[0]))
    high = min(max(room.height - top - captions.height, VIEW[0]), VIEW[1])
    split = room.width * (min(max(len(wing) / len(moved), 0.5), 0.72) if wing and tail else bool(wing))
    feet: list[Point] = []
    if wing:
        drawn, feet = _wing_view(aircraft, wing, split, top, high)
        shapes += drawn
    if tail:
        shapes += _tail_view(aircraft, tail, (split, room.width), top, high, not wing)
    shapes += captions.drawn(top + high, feet)
    title = f"The {part} of {aircraft.name} from behind"
    return Drawing(room.width, top + high + captions.height, tuple(shapes), title, moved_words(moved))


def _wing_view(
    aircraft: Aircraft, moved: list[Moved], width: float, top: float, high: float
) -> tuple[list[Shape], list[Point]]:
    """The wing with a line of words over it, and where each surface's leader begins."""
    half = aircraft.wing.span_mm / 2
    free = high - 24 - 22
    most = [max(item.surface.chord_mm * item.room[way] for item in moved) for way in (0, 1)]
    scale = min((width / 2 - MARGIN - 4) / half, free / sum(most))
    up, down = scale * most[0], scale * most[1]
    times = _magnified(up + down, free)
    middle = width / 2
    line = top + 30 + times * up + max(0.0, free - times * (up + down)) / 2
    thick = [
        max(0.045 * chord * scale, 2.0)
        for chord in (aircraft.wing.stations[-1].chord_mm, aircraft.wing.stations[0].chord_mm)
    ]
    reach = half * scale
    slab = (
        (middle - reach, line - thick[0]), (middle, line - thick[1]), (middle + reach, line - thick[0]),
        (middle + reach, line + thick[0]), (middle, line + thick[1]), (middle - reach, line + thick[0]),
    )  # fmt: skip
    shapes: list[Shape] = [Polygon(slab, "fixed", "wing")]
    feet: list[Point] = []
    for item in moved:
        sense = -1.0 if item.surface.side == "left" else 1.0
        inner, outer = (
            middle + sense * scale * y for y in (item.surface.y_inner_mm, item.surface.y_outer_mm)
        )
        drop = item.surface.chord_mm * item.sine * scale * times
        flap = _flap(item, (inner, line), (outer, line), (0.0, drop))
        shapes.append(Scaled((flap,), item.surface.name, (middle, line), (scale, scale * times)))
        feet.append(((inner + outer) / 2, line + max(drop, 3.0) + 2))
    body = 0.85 * scale * min(item.surface.y_inner_mm for item in moved)
    body = max(6.0, min(body, 0.07 * reach, free / 4))
    shapes.append(Circle(middle, line, body, "fixed", "fuselage"))
    return [*shapes, *_over((0.0, width), top, ("left wing", "right wing"), times)], feet


def _tail_view(
    aircraft: Aircraft, moved: list[Moved], ends: tuple[float, float], top: float, high: float, alone: bool
) -> list[Shape]:
    """Tail and fin with a line of words over them."""
    rise = np.radians(aircraft.tail.dihedral_deg) if aircraft.tail else 0.0
    half = aircraft.tail.span_mm / 2 if aircraft.tail else 0.0
    fin = aircraft.fin.height_mm if aircraft.fin else 0.0
    above = max(fin, half * np.sin(rise))
    free = high - 24 - 8
    swing = free / 4  # kept above and below for the movement
    wide = (ends[1] - ends[0]) / 2 - 24
    scale = min(wide / max(half * np.cos(rise), 1.0), (free - 2 * swing) / max(above, 1.0))
    times = _magnified(max(item.surface.chord_mm * max(item.room) for item in moved) * scale, swing)
    middle, line = sum(ends) / 2, top + 24 + swing + (free - 2 * swing + scale * above) / 2
    shapes: list[Shape] = []
    for sense in (-1.0, 1.0) if aircraft.tail else ():
        end = (middle + sense * half * np.cos(rise) * scale, line - half * np.sin(rise) * scale)
        shapes.append(_bar((middle, line), end, 3.0, "fixed", "tail"))
    if aircraft.fin:
        shapes.append(_bar((middle, line), (middle, line - fin * scale), 3.0, "fixed", "fin"))
    for item in moved:
        flaps = tuple(_tail_flaps(item, (middle, line), rise, scale, times))
        shapes.append(Scaled(flaps, item.surface.name, (middle, line), (scale, scale)))
    shapes.append(Circle(middle, line, 7.0, "fixed", "fuselage"))
    return [*shapes, *_over(ends, top, ("left", "right") if alone else ("tail", ""), times)]


def _over(ends: tuple[float, float], top: float, sides: tuple[str, str], times: float) -> list[Shape]:
    """Words over a view: its sides, and between them by how much the movement is enlarged."""
    left, right, y = ends[0] + MARGIN, ends[1] - MARGIN, top + 16
    words = (
        [f"movement enlarged {times:g} times", f"movement × {times:g}", f"× {times:g}"] if times > 1 else [""]
    )
    if sum(role_width(word, "label") for word in (*sides, words[-1])) + 16 > right - left:
        sides = (sides[0].removesuffix(" wing"), sides[1].removesuffix(" wing"))
    inner, outer = left + role_width(sides[0], "label") + 8, right - role_width(sides[1], "label") - 8
    between = first_fitting(words, outer - inner, "note")
    texts = (
        Text(left, y, sides[0]), Text(right, y, sides[1], anchor="end"),
        Text((inner + outer) / 2, y, between, "note", "middle"),
    )  # fmt: skip
    return [text for text in texts if text.text]


def _magnified(largest: float, room: float) -> float:
    """Largest factor of the list by which a movement may be drawn larger."""
    return max((times for times in MAGNIFIED if times * largest <= room), default=1)


def _flap(item: Moved, inner: Point, outer: Point, moved: Point) -> Polygon:
    """A surface from its hinge line to its moved trailing edge; a bar when it is neutral."""
    role = role_of(item.surface, item.throw)
    if role == "neutral":
        return _bar(inner, outer, 2.5, role, f"{item.surface.name} neutral")
    (dx, dy), meaning = moved, f"{item.surface.name} {direction(item.surface, item.throw)}"
    corners = (inner, outer, (outer[0] + dx, outer[1] + dy), (inner[0] + dx, inner[1] + dy))
    return Polygon(corners, role, meaning)


def _bar(start: Point, end: Point, half: float, role: str, meaning: str) -> Polygon:
    (x0, y0), (x1, y1) = start, end
    length = max(float(np.hypot(x1 - x0, y1 - y0)), 1e-9)
    nx, ny = -half * (y1 - y0) / length, half * (x1 - x0) / length
    corners = ((x0 + nx, y0 + ny), (x1 + nx, y1 + ny), (x1 - nx, y1 - ny), (x0 - nx, y0 - ny))
    return Polygon(corners, role, meaning)


def _tail_flaps(item: Moved, centre: Point, rise: float, scale: float, times: float) -> list[Shape]:
    """A tail surface; one that is in the middle has a left and a right half."""
    surface = item.surface
    drop = surface.chord_mm * item.sine * scale * times
    x, y = centre
    if surface.part == "fin":
        low, top = ((x, y - scale * place) for place in (surface.y_inner_mm, surface.y_outer_mm))
        return [_flap(item, low, top, (-drop, 0.0))]
    shapes: list[Shape] = []
    for sense in {"left": (-1.0,), "right": (1.0,), "centre": (-1.0, 1.0)}[surface.side]:
        along = (sense * np.cos(rise) * scale, -np.sin(rise) * scale)
        inner, outer = (
            (x + along[0] * place, y + along[1] * place) for place in (surface.y_inner_mm, surface.y_outer_mm)
        )
        shapes.append(_flap(item, inner, outer, (sense * np.sin(rise) * drop, np.cos(rise) * drop)))
    return shapes
