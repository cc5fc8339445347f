"""Geometry of wing and tail seen from behind, with each surface's section at the true angle below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from mixlib.describe import Aircraft, Surface
from mixlib.describe.words import direction, movement_sentence, sentence_start
from mixlib.draw.letters import text_width
from mixlib.draw.section import placed_section, role_of, room_sines, section_of, triangle
from mixlib.draw.shapes import (
    ROOM,
    Circle,
    Drawing,
    Line,
    Point,
    Polygon,
    Room,
    Shape,
    Text,
    together,
    wrapped,
)
from mixlib.draw.theme import style

__all__ = ["surfaces_drawing", "tail_from_behind", "wing_from_behind"]

WIDTH = 700.0
MARGIN = 16.0
CARD = 122.0  # least width of the place for one section
MAGNIFIED = (1, 1.5, 2, 3, 4, 5, 6, 8, 10)


@dataclass(frozen=True)
class _Moved:
    """One surface with where it is now."""

    surface: Surface
    angle: float
    throw: float
    note: str

    @property
    def room(self) -> tuple[float, float]:
        return room_sines(self.surface, self.angle)

    @property
    def sine(self) -> float:
        return float(np.sin(np.radians(self.angle)))


def surfaces_drawing(
    aircraft: Aircraft,
    angles_deg: Sequence[float],
    throws_mm: Sequence[float],
    notes: Sequence[str] | None = None,
    *,
    room: Room = ROOM,
) -> Drawing:
    """Draw all surfaces: the wing from behind, below it the tail.

    Parameters
    ----------
    angles_deg, throws_mm : sequence of float
        Angle and throw of each surface in the aircraft's order, trailing edge down (rudder: left) positive.
    notes : sequence of str, optional
        A short warning for each surface, such as ``"at its stop"``; empty for none.  Room for it is kept
        whenever the sequence is given, so that the picture does not jump.
    """
    draws = [
        draw
        for draw, parts in ((wing_from_behind, ("wing",)), (tail_from_behind, ("tail", "fin")))
        if any(surface.part in parts for surface in aircraft.surfaces)
    ]
    pictures = [partial(_drawn, draw, aircraft, angles_deg, throws_mm, notes) for draw in draws]
    if len(pictures) == 1:
        return pictures[0](room)
    whole = together(f"Surfaces of {aircraft.name} from behind", pictures, room)
    order = [*_on(aircraft, ("wing",), angles_deg, throws_mm, notes)]
    order += _on(aircraft, ("tail", "fin"), angles_deg, throws_mm, notes)
    return replace(whole, description=_sentence(order))


def wing_from_behind(
    aircraft: Aircraft,
    angles_deg: Sequence[float],
    throws_mm: Sequence[float],
    notes: Sequence[str] | None = None,
    *,
    room: Room = ROOM,
) -> Drawing:
    """Draw the wing as the pilot sees it from behind, left wing on the left.

    Parameters
    ----------
    aircraft, angles_deg, throws_mm, notes
        As for `surfaces_drawing`.

    Returns
    -------
    Drawing
        The wing with its trailing edges moved, drawn larger by a stated factor; below, the section of each
        surface at its true angle with the throw in mm and degrees and a word.

    Raises
    ------
    ValueError
        If the aircraft has no surface on the wing.
    """
    moved = _on(aircraft, ("wing",), angles_deg, throws_mm, notes)
    if not moved:
        raise ValueError(f"{aircraft.name} has no surface on its wing")
    width = max(WIDTH, 2 * MARGIN + CARD * len(moved))
    half = aircraft.wing.span_mm / 2
    scale = (width / 2 - MARGIN - 14) / half
    up, down = (max(item.surface.chord_mm * item.room[way] for item in moved) * scale for way in (0, 1))
    times = _magnified(up + down, 120.0)
    middle, line = width / 2, 86 + times * up
    root, tip = aircraft.wing.stations[0].chord_mm, aircraft.wing.stations[-1].chord_mm
    thick = [max(0.045 * chord * scale, 2.0) for chord in (tip, root)]
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
        shapes.append(_flap(item, (inner, line), (outer, line), (0.0, drop)))
        feet.append(((inner + outer) / 2, line + max(drop, 3.0) + 2))
    body = max(8.0, min(24.0, 0.85 * scale * min(item.surface.y_inner_mm for item in moved)))
    shapes.append(Circle(middle, line, body, "fixed", "fuselage"))
    top = line + times * down + 20
    column = (width - 2 * MARGIN) / len(moved)
    for index, foot in enumerate(feet):
        shapes.append(Line((foot, (MARGIN + column * (index + 0.5), top + 8)), "leader"))
    cards, bottom = _cards(aircraft, moved, MARGIN, top + 12, column, notes is not None)
    size = "" if times == 1 else f"; movement enlarged {times:g} times"
    shapes += [
        Text(20, 32, "The wing from behind", "title"),
        Text(20, 56, f"Nose away from you{size}. Sections: nose to the left, true angle.", "note"),
        Text(20, 80, "left wing", "label"),
        Text(width - 20, 80, "right wing", "label", "end"),
    ]
    words = _sentence(moved)
    return Drawing(width, bottom, (*shapes, *cards), f"The wing of {aircraft.name} from behind", words)


def tail_from_behind(
    aircraft: Aircraft,
    angles_deg: Sequence[float],
    throws_mm: Sequence[float],
    notes: Sequence[str] | None = None,
    *,
    room: Room = ROOM,
) -> Drawing:
    """Draw tail and fin, or the V-tail, from behind, with the section of each surface beside it.

    Parameters
    ----------
    aircraft, angles_deg, throws_mm, notes
        As for `surfaces_drawing`.

    Returns
    -------
    Drawing
        The tail, left on the left; the rudder's section is seen from above.

    Raises
    ------
    ValueError
        If the aircraft has no surface on tail or fin.
    """
    moved = _on(aircraft, ("tail", "fin"), angles_deg, throws_mm, notes)
    if not moved:
        raise ValueError(f"{aircraft.name} has no surface on tail or fin")
    picture = 300.0
    width = max(WIDTH, picture + 2 * MARGIN + 150 * len(moved))
    rise = np.radians(aircraft.tail.dihedral_deg) if aircraft.tail else 0.0
    half = aircraft.tail.span_mm / 2 if aircraft.tail else 0.0
    fin = aircraft.fin.height_mm if aircraft.fin else 0.0
    high = max(fin, half * np.sin(rise))
    scale = min(110 / max(half * np.cos(rise), 1.0), 110 / max(high, 1.0))
    largest = max(item.surface.chord_mm * max(item.room) for item in moved)
    times = _magnified(largest * scale, 30.0)
    middle, line = MARGIN + picture / 2, 110 + high * scale
    shapes: list[Shape] = []
    for sense in (-1.0, 1.0) if aircraft.tail else ():
        end = (middle + sense * half * np.cos(rise) * scale, line - half * np.sin(rise) * scale)
        shapes.append(_plank((middle, line), end, "tail"))
    if aircraft.fin:
        shapes.append(_plank((middle, line), (middle, line - fin * scale), "fin"))
    for item in moved:
        shapes += _tail_flaps(item, (middle, line), rise, scale, times)
    shapes.append(Circle(middle, line, 9.0, "fixed", "fuselage"))
    column = (width - picture - 2 * MARGIN) / len(moved)
    cards, bottom = _cards(aircraft, moved, MARGIN + picture, 66, column, notes is not None)
    size = "" if times == 1 else f"Movement enlarged {times:g} times. "
    shapes += [
        Text(20, 32, "The tail from behind", "title"),
        Text(20, 56, f"{size}Sections: nose to the left, true angle.", "note"),
        Text(MARGIN + 8, line + 52, "left", "label"),
        Text(MARGIN + picture - 8, line + 52, "right", "label", "end"),
    ]
    height = max(bottom, line + 66)
    return Drawing(
        width, height, (*shapes, *cards), f"The tail of {aircraft.name} from behind", _sentence(moved)
    )


def _drawn(draw, aircraft, angles_deg, throws_mm, notes, room: Room) -> Drawing:
    return draw(aircraft, angles_deg, throws_mm, notes, room=room)


def _on(
    aircraft: Aircraft,
    parts: tuple[str, ...],
    angles_deg: Sequence[float],
    throws_mm: Sequence[float],
    notes: Sequence[str] | None,
) -> list[_Moved]:
    """Surfaces on some parts, from the left tip to the right tip."""
    rows = zip(aircraft.surfaces, angles_deg, throws_mm, notes or [""] * len(aircraft.surfaces), strict=True)
    moved = [_Moved(surface, float(angle), float(throw), note) for surface, angle, throw, note in rows]

    def from_left(item: _Moved) -> float:
        sense = {"left": -1.0, "centre": 0.0, "right": 1.0}[item.surface.side]
        return sense * (item.surface.y_inner_mm + item.surface.y_outer_mm)

    return sorted((item for item in moved if item.surface.part in parts), key=from_left)


def _magnified(largest: float, room: float) -> float:
    """Largest factor of the list by which a movement may be drawn larger."""
    return max((times for times in MAGNIFIED if times * largest <= room), default=1)


def _flap(item: _Moved, inner: Point, outer: Point, moved: Point) -> Polygon:
    """A surface from its hinge line to its moved trailing edge; a bar when it is neutral."""
    role = role_of(item.surface, item.throw)
    dx, dy = moved
    if role == "neutral":
        (x0, y0), (x1, y1) = inner, outer
        length = max(float(np.hypot(x1 - x0, y1 - y0)), 1e-9)
        nx, ny = -2.5 * (y1 - y0) / length, 2.5 * (x1 - x0) / length
        corners = ((x0 + nx, y0 + ny), (x1 + nx, y1 + ny), (x1 - nx, y1 - ny), (x0 - nx, y0 - ny))
    else:
        corners = (inner, outer, (outer[0] + dx, outer[1] + dy), (inner[0] + dx, inner[1] + dy))
    return Polygon(corners, role, f"{item.surface.name} {direction(item.surface, item.throw)}")


def _plank(start: Point, end: Point, meaning: str) -> Polygon:
    (x0, y0), (x1, y1) = start, end
    length = max(float(np.hypot(x1 - x0, y1 - y0)), 1e-9)
    nx, ny = -3 * (y1 - y0) / length, 3 * (x1 - x0) / length
    return Polygon(
        ((x0 + nx, y0 + ny), (x1 + nx, y1 + ny), (x1 - nx, y1 - ny), (x0 - nx, y0 - ny)), "fixed", meaning
    )


def _tail_flaps(item: _Moved, centre: Point, rise: float, scale: float, times: float) -> list[Shape]:
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


def _cards(
    aircraft: Aircraft, moved: Sequence[_Moved], left: float, top: float, column: float, warned: bool
) -> tuple[list[Shape], float]:
    """Name, section and movement of each surface side by side; also the lower end."""
    room = column - 10
    chord = min(0.8 * room, 190.0)
    heads = [_head(item.surface, room) for item in moved]
    ratios = [section_of(aircraft, item.surface)[1] for item in moved]
    high, low = (
        max(0.1, *(ratio * item.room[way] for ratio, item in zip(ratios, moved, strict=True)))
        for way in (0, 1)
    )
    line = top + 20 * max(map(len, heads)) + 4 + high * chord
    below = line + low * chord + 24
    one_line = text_width("88.8 mm, 88.8°", style("label").size) <= room
    shapes: list[Shape] = []
    for index, (item, head) in enumerate(zip(moved, heads, strict=True)):
        middle = left + column * (index + 0.5)
        shapes += [
            Text(middle, top + 16 + 20 * row, words, role, "middle", 16.0 if role == "strong" else 14.0)
            for row, (words, role) in enumerate(head)
        ]
        shapes += placed_section(aircraft, item.surface, item.angle, middle - 0.52 * chord, line, chord)
        word = direction(item.surface, item.throw)
        wordy = text_width(word, style("strong").size, True)
        shapes.append(triangle(item.surface, item.throw, middle - wordy / 2 - 6, below - 6))
        shapes.append(Text(middle + 8, below, word, "strong", "middle"))
        numbers = (f"{abs(item.throw):.1f} mm", f"{abs(item.angle):.1f}°")
        lines = (", ".join(numbers),) if one_line else numbers
        shapes += [
            Text(middle, below + 21 * (row + 1), text, "label", "middle") for row, text in enumerate(lines)
        ]
        if item.note:
            after = below + 21 * (len(lines) + 1)
            warning = wrapped(item.note, room, "warning", 2)
            shapes += [
                Text(middle, after + 19 * row, text, "warning", "middle") for row, text in enumerate(warning)
            ]
    bottom = below + 21 * (1 if one_line else 2) + 14 + (40 if warned else 0)
    return shapes, bottom


def _head(surface: Surface, room: float) -> list[tuple[str, str]]:
    """Lines over a section with their roles: the name, and for a rudder where it is seen from."""
    lines = [(line, "strong") for line in wrapped(sentence_start(surface.name), room, "strong", 2, 16.0)]
    if surface.kind == "rudder":
        lines += [(line, "note") for line in wrapped("from above, left below", room, "note", 2, 14.0)]
    return lines


def _sentence(moved: Sequence[_Moved]) -> str:
    words = movement_sentence(
        [item.surface for item in moved], [item.angle for item in moved], [item.throw for item in moved]
    )
    warned = [f"{sentence_start(item.surface.name)}: {item.note}." for item in moved if item.note]
    return " ".join([words, *warned])
