"""The aircraft in space, and how a place in it is seen from behind and a little above.

Places are in mm from the root's leading edge: x aft, y to the right, z up.  The line of sight falls by
`ABOVE_DEG` towards the nose and is parallel everywhere: left stays left, what is nearer to the tail lies
lower, and the same movement on both sides makes a mirrored picture.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, radians, sin

import numpy as np

from mixlib.describe import Aircraft, Surface
from mixlib.draw.movements import Moved
from mixlib.draw.shapes import Point

__all__ = [
    "ABOVE_DEG",
    "SINK",
    "RISE",
    "Half",
    "Place",
    "Plate",
    "View",
    "all_halves",
    "all_plates",
    "seen_mm",
]

ABOVE_DEG = 30.0
"""How far the line of sight falls towards the nose, deg."""

SINK, RISE = sin(radians(ABOVE_DEG)), cos(radians(ABOVE_DEG))
"""How far down a mm aft, and how far up a mm up is seen, as a share."""

Place = tuple[float, float, float]


def seen_mm(place: Place) -> float:
    """How high a place is seen, mm."""
    return RISE * place[2] - SINK * place[0]


@dataclass(frozen=True)
class Plate:
    """One moving surface, or half of it, as a plate on its hinge line.

    Attributes
    ----------
    hinge : tuple of tuple of float
        Places from the inner to the outer end, mm.
    chords : tuple of float
        Hinge line to trailing edge at these places, mm.
    along : tuple of float
        Way of the hinge line in x, y and z, of length 1.
    up : tuple of float
        Way in y and z, of length 1, that the trailing edge takes for a negative angle.
    """

    item: Moved
    hinge: tuple[Place, ...]
    chords: tuple[float, ...]
    along: Place
    up: tuple[float, float]

    def edge(self, angle_deg: float) -> tuple[Place, ...]:
        """Trailing edge at an angle."""
        ax, ay, az = self.along
        turn, aside = cos(radians(angle_deg)), ax * (1 - cos(radians(angle_deg)))
        off = sin(radians(angle_deg)) * hypot(ay, az)
        dx, dy, dz = turn + ax * aside, ay * aside - off * self.up[0], az * aside - off * self.up[1]
        return tuple(
            (x + chord * dx, y + chord * dy, z + chord * dz)
            for (x, y, z), chord in zip(self.hinge, self.chords, strict=True)
        )

    @property
    def way_up(self) -> Point:
        """Way on the screen, of length 1, that the trailing edge takes for a negative angle."""
        dx, dy = self.up[0], -RISE * self.up[1]
        return dx / hypot(dx, dy), dy / hypot(dx, dy)

    def stops(self) -> tuple[float, float]:
        """Angles between which it moves, deg; one that is beyond its stop counts."""
        surface, angle = self.item.surface, self.item.angle
        return max(min(-surface.stop_up_deg, angle), -90.0), min(max(surface.stop_down_deg, angle), 90.0)

    def reach(self) -> list[Place]:
        """Places of its trailing edge that lie farthest out in the picture."""
        low, high = self.stops()
        return [place for angle in (low, 0.0, high, min(90 - ABOVE_DEG, high)) for place in self.edge(angle)]


@dataclass(frozen=True)
class Half:
    """One half of wing or tail, or the fin: ribs from the root, between which all changes evenly."""

    part: str
    side: str
    ribs: np.ndarray
    """Distance along it, leading edge, trailing edge, y and z of each rib, mm; shape (ribs, 5)."""

    def carries(self, surface: Surface) -> bool:
        """Whether a surface, or its half, is hinged here."""
        return surface.part == self.part and (self.part == "fin" or surface.side in ("centre", self.side))

    def at(self, along: Sequence[float]) -> list[list[float]]:
        """Leading edge, trailing edge, y and z at some distances."""
        return [np.interp(along, self.ribs[:, 0], column).tolist() for column in self.ribs.T[1:]]

    def plate(self, item: Moved) -> Plate:
        """A surface that is hinged here."""
        inner, outer = item.surface.y_inner_mm, item.surface.y_outer_mm
        along = [inner, *(y for y in self.ribs[:, 0].tolist() if inner < y < outer), outer]
        _, rear, ys, zs = self.at(along)
        chords = [float(item.surface.chord_at_mm(y)) for y in along]
        hinge = [(x - chord, y, z) for x, chord, y, z in zip(rear, chords, ys, zs, strict=True)]
        way = np.subtract(hinge[-1], hinge[0])
        ax, ay, az = (way / np.linalg.norm(way)).tolist()
        sense = (1 if self.side == "right" else -1) / hypot(ay, az)
        return Plate(item, tuple(hinge), tuple(chords), (ax, ay, az), (-sense * az, sense * ay))

    def outline(self, surfaces: Iterable[Surface]) -> tuple[Place, ...]:
        """The fixed part, which ends at the hinge where a surface is."""
        own = [surface for surface in surfaces if self.carries(surface)]
        ends = self.ribs[:, 0].tolist()
        breaks = sorted({*ends, *(min(y, ends[-1]) for s in own for y in (s.y_inner_mm, s.y_outer_mm))})
        lead, rear, ys, zs = self.at(breaks)
        back: list[Place] = []
        for (inner, *a), (outer, *b) in pairwise(zip(breaks, rear, ys, zs, strict=True)):
            here = [s for s in own if s.y_inner_mm < (inner + outer) / 2 < s.y_outer_mm]
            cuts = [float(here[0].chord_at_mm(y)) if here else 0.0 for y in (inner, outer)]
            back += [(x - cut, y, z) for (x, y, z), cut in zip((a, b), cuts, strict=True)]
        return (*zip(lead, ys, zs, strict=True), *reversed(back))


def all_halves(aircraft: Aircraft, share: float) -> list[Half]:
    """Halves of wing and tail, and the fin, the wing's span at a share of its length."""
    stations = aircraft.wing.stations
    steps = [(share * (b.y_mm - a.y_mm), radians(a.dihedral_deg)) for a, b in pairwise(stations)]
    ys = np.cumsum([0.0, *(step * cos(rise) for step, rise in steps)])
    zs = np.cumsum([0.0, *(step * sin(rise) for step, rise in steps)])
    wing = [(s.y_mm, s.leading_edge_mm, s.leading_edge_mm + s.chord_mm) for s in stations]
    right = [("wing", np.column_stack([wing, ys, zs]))]
    if tail := aircraft.tail:
        lead, half = aircraft.cg_mm + tail.arm_mm - 0.25 * tail.chord_mm, tail.span_mm / 2
        rise, rear = radians(tail.dihedral_deg), lead + tail.chord_mm
        ribs = [(0.0, lead, rear, 0.0, 0.0), (half, lead, rear, half * cos(rise), half * sin(rise))]
        right.append(("tail", np.array(ribs)))
    mirror = np.array([1, 1, 1, -1, 1])
    halves = [Half(part, "left", ribs * mirror) for part, ribs in right]
    halves += [Half(part, "right", ribs) for part, ribs in right]
    if fin := aircraft.fin:
        lead = aircraft.cg_mm + fin.arm_mm - 0.25 * fin.chord_mm
        ends = [(z, lead, lead + fin.chord_mm, 0.0, z) for z in (0.0, fin.height_mm)]
        halves.append(Half("fin", "centre", np.array(ends)))
    return halves


def all_plates(halves: Iterable[Half], moved: Iterable[Moved]) -> list[Plate]:
    """Every surface as a plate on each half that carries it, the left one first."""
    return [half.plate(item) for item in moved for half in halves if half.carries(item.surface)]


@dataclass(frozen=True)
class View:
    """Where a place is seen on the screen."""

    middle: float
    line: float
    """Where the root's leading edge is seen, drawing units from the top."""
    scale: float
    """Drawing units in a mm."""
    share: float
    """Of the span that is drawn."""

    def put(self, place: Place) -> Point:
        """A place in the picture."""
        return self.middle + self.scale * place[1], self.line - self.scale * seen_mm(place)

    def line_of(self, places: Iterable[Place]) -> tuple[Point, ...]:
        """Several places in the picture."""
        return tuple(map(self.put, places))
