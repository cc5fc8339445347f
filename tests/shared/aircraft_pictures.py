"""The picture of the whole aircraft, of aircraft of every kind, and where its surfaces are in it."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import own_hangar
import pytest

from mixlib.describe import Aircraft, Fin, Motor, shipped, shipped_names
from mixlib.draw.aircraft import aircraft_view
from mixlib.draw.aircraft.solid import ABOVE_DEG
from mixlib.draw.shapes import ROOM, Arrow, Drawing, Line, Polygon, every_shape
from mixlib.units import throw_mm_from_angle

__all__ = ["DEMOS", "HANGAR", "THREE", "drawn", "ends", "scale", "shapes", "share"]

DEMOS = {name: shipped("aircraft", name) for name in shipped_names("aircraft")}
THREE = DEMOS["orchard_three"]


def raised(aircraft: Aircraft, *dihedral_deg: float) -> Aircraft:
    """The same with each piece of the wing standing up."""
    inner = zip(aircraft.wing.stations, (*dihedral_deg, 0.0), strict=True)
    stations = tuple(station.replace(dihedral_deg=angle) for station, angle in inner)
    return aircraft.replace(wing=aircraft.wing.replace(stations=stations))


def broad(aircraft: Aircraft) -> Aircraft:
    """The same with a straight wing, and surfaces as wide as they may be that go straight down."""
    chord = aircraft.wing.stations[0].chord_mm
    stations = tuple(station.replace(chord_mm=chord, leading_edge_mm=0) for station in aircraft.wing.stations)
    surfaces = tuple(s.replace(chord_mm=0.6 * chord, stop_down_deg=90) for s in aircraft.surfaces)
    return aircraft.replace(wing=aircraft.wing.replace(stations=stations), surfaces=surfaces)


HANGAR = {
    **DEMOS,
    **own_hangar.aircraft(),
    "polyhedral": raised(THREE, 3.0, 8.0),
    "tailless with a fin and a motor": DEMOS["orchard_wing"].replace(
        fin=Fin(height_mm=160, chord_mm=120, arm_mm=120), motor=Motor()
    ),
    "a wing alone": THREE.replace(
        tail=None, fin=None, surfaces=tuple(s for s in THREE.surfaces if s.part == "wing")
    ),
    "a tail alone": THREE.replace(surfaces=tuple(s for s in THREE.surfaces if s.part != "wing")),
    "wide elevons, straight down": broad(DEMOS["orchard_wing"]),
    "tapered surfaces": THREE.replace(
        surfaces=tuple(s.replace(outer_chord_mm=0.6 * s.chord_mm) for s in THREE.surfaces)
    ),
}


def drawn(aircraft: Aircraft, angles, notes=None, room=ROOM, **options) -> Drawing:
    """The picture with every surface at an angle in deg."""
    throws = [
        float(throw_mm_from_angle(a, s.chord_mm)) for a, s in zip(angles, aircraft.surfaces, strict=True)
    ]
    return aircraft_view(aircraft, angles, throws, notes, room=room, **options)


def shapes(drawing: Drawing, kind: type, meaning: str) -> list:
    """Shapes of one kind that mean one thing."""
    return [s for s in every_shape(drawing.shapes) if isinstance(s, kind) and s.meaning == meaning]


def ends(drawing: Drawing, name: str, word: str) -> list[tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """Middle of hinge line, neutral and present trailing edge of each half of a moved surface, y upwards."""
    flip = np.array([1.0, -1.0])
    rests = [np.array(line.points) * flip for line in shapes(drawing, Line, f"{name} neutral")]
    arrows = [np.array(arrow.start) * flip for arrow in shapes(drawing, Arrow, f"{name} {word}")]
    return [
        ((rest[0] + rest[-1]) / 2, (rest[1] + rest[-2]) / 2, now)
        for rest, now in zip(rests, arrows, strict=True)
    ]


def scale(drawing: Drawing, aircraft: Aircraft) -> float:
    """Drawing units in a mm, from the root's chord seen at a slant."""
    root, *_ = shapes(drawing, Polygon, "wing")
    ys = [y for x, y in root.points if x == pytest.approx(drawing.width / 2)]
    return (max(ys) - min(ys)) / (aircraft.wing.stations[0].chord_mm * np.sin(np.radians(ABOVE_DEG)))


def share(drawing: Drawing, aircraft: Aircraft, size: float) -> float:
    """Share of the span that is drawn, from the tips of the wing."""
    xs = [x for wing in shapes(drawing, Polygon, "wing") for x, _ in wing.points]
    stations = aircraft.wing.stations
    flat = sum((b.y_mm - a.y_mm) * np.cos(np.radians(a.dihedral_deg)) for a, b in pairwise(stations))
    return (max(xs) - min(xs)) / (2 * flat * size)
