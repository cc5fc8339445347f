"""Geometry of a section with its hinged part at the true angle, nose to the left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from mixlib.describe import Aircraft, Surface
from mixlib.describe.words import direction, movement, movement_sentence, sentence_start
from mixlib.draw.shapes import MARGIN, ROOM, Circle, Drawing, Line, Point, Polygon, Room, Shape, Text, fitted
from mixlib.draw.theme import first_fitting, one_line, role_width
from mixlib.units import throw_mm_from_angle

__all__ = [
    "Outline",
    "outline",
    "role_of",
    "room_sines",
    "section_from_tip",
    "surface_heading",
    "triangle",
]

# Camber, place of the highest camber and thickness, as shares of the chord.
_FOUR_DIGIT = {
    "symmetrical": (0.0, 0.4, 0.09),
    "thin cambered": (0.02, 0.4, 0.08),
    "general purpose": (0.02, 0.4, 0.12),
}
# Clark Y: station, upper and lower side in percent of the chord, from memory.
_CLARK_Y = np.array(
    [
        (0, 3.5, 3.5), (1.25, 5.45, 1.93), (2.5, 6.5, 1.47), (5, 7.9, 0.93), (7.5, 8.85, 0.63),
        (10, 9.6, 0.42), (15, 10.69, 0.15), (20, 11.36, 0.03), (30, 11.7, 0), (40, 11.4, 0), (50, 10.52, 0),
        (60, 9.15, 0), (70, 7.35, 0), (80, 5.22, 0), (90, 2.8, 0), (95, 1.49, 0), (100, 0.12, 0),
    ]
)  # fmt: skip


@dataclass(frozen=True)
class Outline:
    """A section of chord 1: x from the nose aft, z up."""

    fixed: tuple[Point, ...]
    hinged: tuple[Point, ...]
    hinge: Point
    edge: Point
    """Trailing edge."""


def outline(section: str, chord_ratio: float, angle_deg: float) -> Outline:
    """Shape of a section with its hinged part turned.

    Parameters
    ----------
    section : str
        One of `mixlib.describe.SECTION_NAMES`.
    chord_ratio : float
        Chord of the hinged part over the whole chord, 0.02 to 0.9.
    angle_deg : float
        Trailing edge down positive.

    Returns
    -------
    Outline
        Fixed part and hinged part.  The round nose of the hinged part sits on the hinge, so no gap opens.
    """
    fixed, hinged, hinge, edge = _neutral(section, round(float(np.clip(chord_ratio, 0.02, 0.9)), 4))
    turned = _turned(np.vstack([hinged, edge]), hinge, angle_deg)
    points = tuple(map(tuple, turned.tolist()))
    return Outline(fixed, points[:-1], hinge, points[-1])


def _section_of(aircraft: Aircraft, surface: Surface) -> tuple[str, float]:
    """Section and chord ratio in the middle of a surface.

    Returns
    -------
    ratio : float
        Chord of the surface over the chord of wing, tail or fin there.
    """
    if surface.part == "wing":
        middle = (surface.y_inner_mm + surface.y_outer_mm) / 2
        station = [station for station in aircraft.wing.stations if station.y_mm <= middle][-1]
        return station.section, float(surface.chord_at_mm(middle)) / aircraft.wing.chord_at_mm(middle)
    part = aircraft.tail if surface.part == "tail" else aircraft.fin
    assert part is not None  # the description refuses a surface on a part that is not there
    return "symmetrical", min(surface.chord_mm / part.chord_mm, 0.9)


def role_of(surface: Surface, throw_mm: float) -> str:
    """Role in which a moved surface is drawn; left counts as down, right as up.

    Returns
    -------
    str
        ``"up"``, ``"down"`` or ``"neutral"``.
    """
    word = direction(surface, throw_mm)
    return {"left": "down", "right": "up"}.get(word, word)


def _placed(
    aircraft: Aircraft, surface: Surface, angle_deg: float, left: float, line: float, chord: float
) -> list[Shape]:
    """Put a surface's section into a drawing."""
    section, ratio = _section_of(aircraft, surface)
    now, rest = outline(section, ratio, angle_deg), outline(section, ratio, 0.0)

    def put(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((left + chord * x, line - chord * z) for x, z in points)

    role = role_of(surface, float(throw_mm_from_angle(angle_deg, surface.chord_mm)))
    shapes: list[Shape] = (
        [] if role == "neutral" else [Line(put((*rest.hinged, rest.hinged[0])), "ghost", "neutral")]
    )
    hinge = put((now.hinge,))[0]
    return [
        *shapes,
        Polygon(put(now.fixed), "fixed", f"fixed part in front of the {surface.name}"),
        Polygon(put(now.hinged), role, surface.name),
        Circle(*hinge, 3.0, "hinge", "hinge"),
    ]


@fitted
def section_from_tip(aircraft: Aircraft, surface: Surface, angle_deg: float, *, room: Room = ROOM) -> Drawing:
    """Draw a surface's section from the side, large, at the true angle.

    Parameters
    ----------
    angle_deg : float
        Its angle, trailing edge down (rudder: left) positive.

    Returns
    -------
    Drawing
        Nose to the left, the neutral place dashed, the throw as the straight line that a ruler shows.
    """
    throw = float(throw_mm_from_angle(angle_deg, surface.chord_mm))
    seen = _seen_from(surface)
    notes = (f"{seen}. Dashed: neutral.", f"{seen}.", "Nose to the left.")
    shapes, top = surface_heading(surface, angle_deg, throw, notes, "", room)
    section, ratio = _section_of(aircraft, surface)
    up, down = room_sines(surface, angle_deg)
    high, low = max(0.13, ratio * up), max(0.08, ratio * down)
    left = MARGIN + role_width("nose", "note") + 10
    chord = min(room.width - left - MARGIN, (room.height - top - 30) / (high + low))
    left += (room.width - left - MARGIN - chord) / 2
    line = top + 14 + high * chord
    shapes += _placed(aircraft, surface, angle_deg, left, line, chord)
    ends = [outline(section, ratio, angle).edge for angle in (0.0, angle_deg)]
    if direction(surface, throw) != "neutral":
        points = tuple((left + chord * x, line - chord * z) for x, z in ends)
        shapes.append(Line(points, "movement", f"throw {abs(throw):.1f} mm"))
    shapes.append(Text(left - 10, line + 4, "nose", "note", "end"))
    words = f"{movement_sentence([surface], [angle_deg], [throw])} {seen}."
    height = line + low * chord + 16
    return Drawing(room.width, height, tuple(shapes), f"Section of the {surface.name}", words)


def surface_heading(
    surface: Surface, angle_deg: float, throw_mm: float, notes: Sequence[str], warning: str, room: Room
) -> tuple[list[Shape], float]:
    """Name of a surface, its movement and a note or a warning, over a picture of it.

    Parameters
    ----------
    angle_deg, throw_mm : float
        Its angle and throw, trailing edge down (rudder: left) positive.
    notes : sequence of str
        The note in one or more ways, the longest first; a warning takes its place.

    Returns
    -------
    shapes : list of Shape
        The words and the mark of the direction.
    bottom : float
        Where the picture may begin, drawing units.
    """
    wide = room.width - 2 * MARGIN
    beside = (
        role_width("right 88.8 mm (88.8°)", "strong") + 40
    )  # whatever the movement, the layout keeps still
    name = sentence_start(surface.name)
    said = movement(surface, angle_deg, throw_mm)
    said = first_fitting((said, said.partition(" (")[0]), wide - 22, "strong")
    level = role_width(name, "title") + beside <= wide
    y = 25.0 if level else 48.0
    x = room.width - MARGIN - role_width(said, "strong") if level else MARGIN + 22
    shapes: list[Shape] = [
        Text(MARGIN, 25, one_line(name, wide, "title"), "title"),
        Text(x, y, said, "strong"),
        triangle(surface, throw_mm, x - 14, y - 6),
    ]
    role = "warning" if warning else "note"
    words = first_fitting((warning,) if warning else notes, wide, role)
    return [*shapes, Text(MARGIN, y + 21, words, role)], y + 28


def room_sines(surface: Surface, angle_deg: float) -> tuple[float, float]:
    """Room that a surface needs, so that a picture keeps its size while the surface moves.

    Parameters
    ----------
    angle_deg : float
        Where it is; counts only when it is beyond its stops.
    """
    up = min(max(surface.stop_up_deg, -angle_deg), 90.0)
    down = min(max(surface.stop_down_deg, angle_deg), 90.0)
    return float(np.sin(np.radians(up))), float(np.sin(np.radians(down)))


def triangle(surface: Surface, throw_mm: float, x: float, y: float, size: float = 8.0) -> Polygon:
    """Mark that points the way a trailing edge went; a flat bar when it is neutral."""
    word = direction(surface, throw_mm)
    corners = {
        "up": ((-1, 0.8), (1, 0.8), (0, -0.9)),
        "down": ((-1, -0.8), (1, -0.8), (0, 0.9)),
        "left": ((0.8, -1), (0.8, 1), (-0.9, 0)),
        "right": ((-0.8, -1), (-0.8, 1), (0.9, 0)),
        "neutral": ((-1, -0.25), (1, -0.25), (1, 0.25), (-1, 0.25)),
    }[word]
    points = tuple((x + size * dx, y + size * dy) for dx, dy in corners)
    return Polygon(points, role_of(surface, throw_mm), word)


def _seen_from(surface: Surface) -> str:
    if surface.kind == "rudder":
        return "Seen from above, nose to the left, left at the bottom"
    if surface.part == "wing":
        place = "the tip" if surface.side == "left" else "the fuselage"
        return f"Seen from {place}, nose to the left"
    return "Seen from the left, nose to the left"


@lru_cache(maxsize=256)
def _neutral(section: str, ratio: float) -> tuple[tuple[Point, ...], np.ndarray, Point, Point]:
    split = 1.0 - ratio
    front = split * (1 - np.cos(np.linspace(0, np.pi / 2, 22)))  # close together at the nose
    back = np.linspace(split, 1.0, 6)
    upper, lower = _sides(section, front)
    upper_aft, lower_aft = _sides(section, back)
    hinge = (split, float(upper[-1] + lower[-1]) / 2)
    radius = float(upper[-1] - lower[-1]) / 2
    turn = np.linspace(np.pi / 2, 3 * np.pi / 2, 9)[1:-1]
    nose = np.column_stack([hinge[0] + radius * np.cos(turn), hinge[1] + radius * np.sin(turn)])
    fixed = np.vstack([np.column_stack([front, lower])[::-1], np.column_stack([front, upper])[1:], nose])
    hinged = np.vstack(
        [nose[::-1], np.column_stack([back, upper_aft]), np.column_stack([back, lower_aft])[::-1]]
    )
    edge = (1.0, float(upper_aft[-1] + lower_aft[-1]) / 2)
    return tuple(map(tuple, fixed.tolist())), hinged, hinge, edge


def _sides(section: str, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Upper and lower side; four-digit sections after Jacobs, Ward and Pinkerton, NACA Report 460 (1933)."""
    if section == "flat-bottomed":
        return tuple(np.interp(100 * x, _CLARK_Y[:, 0], _CLARK_Y[:, side]) / 100 for side in (1, 2))
    camber, place, thickness = _FOUR_DIGIT[section]
    half = 5 * thickness * (
        0.2969 * np.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4
    )  # fmt: skip
    front = camber / place**2 * (2 * place * x - x**2)
    back = camber / (1 - place) ** 2 * (1 - 2 * place + 2 * place * x - x**2)
    middle = np.where(x < place, front, back)
    return middle + half, middle - half


def _turned(points: np.ndarray, hinge: Point, angle_deg: float) -> np.ndarray:
    """Turn points about the hinge, trailing edge (to the right) down for a positive angle."""
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    offset = points - np.asarray(hinge)
    return np.column_stack(
        [hinge[0] + c * offset[:, 0] + s * offset[:, 1], hinge[1] - s * offset[:, 0] + c * offset[:, 1]]
    )
