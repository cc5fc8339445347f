"""Geometry of the aircraft from above: which servo is plugged into which output."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from mixlib.describe import Aircraft, Surface
from mixlib.describe.words import listed, sentence_start
from mixlib.draw.shapes import ROOM, Circle, Drawing, Line, Point, Polygon, Room, Shape, Text
from mixlib.draw.theme import wrapped

__all__ = ["plan_view", "wiring_words"]

WIDTH = 700.0
BADGE = 15.0


def wiring_words(aircraft: Aircraft, wiring: Mapping[str, int]) -> list[str]:
    """Say what is plugged into each output.

    Returns
    -------
    list of str
        One line an output, in order, such as ``"output 2: left flap and right flap (Y-lead)"``.
    """
    lines = []
    for number in sorted(set(wiring.values())):
        names = [surface.name for surface in aircraft.surfaces if wiring.get(surface.name) == number]
        lead = "" if len(names) < 2 else " (Y-lead)"
        lines.append(f"output {number}: {listed(names)}{lead}")
    return lines


def plan_view(aircraft: Aircraft, wiring: Mapping[str, int], *, room: Room = ROOM) -> Drawing:
    """Draw the aircraft from above, nose up, with the number of the output beside each surface."""
    span, stations = aircraft.wing.span_mm, aircraft.wing.stations
    root = stations[0].chord_mm
    tail_x = _tail_quarter_mm(aircraft)
    nose_x = min(-0.9 * root if tail_x else -0.12 * root, min(s.leading_edge_mm for s in stations))
    last = max(_rear_mm(aircraft), max(s.leading_edge_mm + s.chord_mm for s in stations))
    scale = min((WIDTH - 60) / span, 520 / (last - nose_x))
    top, middle = 76.0, WIDTH / 2

    def put(x_mm: float, y_mm: float) -> Point:
        """A place in mm: x aft, y to the right."""
        return middle + scale * y_mm, top + scale * (x_mm - nose_x)

    half = [(s.leading_edge_mm, s.y_mm) for s in stations]
    half += [(s.leading_edge_mm + s.chord_mm, s.y_mm) for s in reversed(stations)]
    shapes: list[Shape] = [
        Polygon(tuple(put(x, sense * y) for x, y in half), "fixed", "wing") for sense in (-1, 1)
    ]
    shapes += _tail_planes(aircraft, put)
    body = 0.16 * root
    end = _rear_mm(aircraft) if tail_x else stations[0].leading_edge_mm + 0.9 * root
    shapes.append(
        Polygon(
            tuple(
                put(x, y)
                for x, y in (
                    (nose_x, 0), (nose_x + 0.15 * root, body * 0.8), (0.3 * root, body), (end, 0.05 * root),
                    (end, -0.05 * root), (0.3 * root, -body), (nose_x + 0.15 * root, -body * 0.8),
                )
            ),
            "fixed",
            "fuselage",
        )
    )  # fmt: skip
    badges: list[tuple[Point, Point, Surface]] = []
    for surface in aircraft.surfaces:
        for corners in _surface_corners(aircraft, surface):
            shapes.append(Polygon(tuple(put(x, y) for x, y in corners), "neutral", surface.name))
        rear = max(x for x, _ in corners)
        place = put(rear, sum(y for _, y in corners) / len(corners))
        badges.append((place, (place[0], place[1] + BADGE + 6), surface))
    bottom = max(put(last, 0)[1], top + 40)
    for foot, (x, y), surface in _apart(badges):
        if abs(x - foot[0]) > 1:
            shapes.append(Line((foot, (x, y - BADGE)), "leader"))
        number = wiring.get(surface.name)
        meaning = f"{surface.name}: output {number}"
        shapes.append(Circle(x, y, BADGE, "badge", meaning))
        shapes.append(Text(x, y + 6, "?" if number is None else str(number), "badge words", "middle"))
        bottom = max(bottom, y + BADGE)
    lines = wiring_words(aircraft, wiring)
    rows = [part for line in lines for part in wrapped(sentence_start(line), WIDTH - 40, "label", 2)]
    shapes += [Text(20, bottom + 34 + 22 * row, text, "label") for row, text in enumerate(rows)]
    shapes += [
        Text(20, 32, "Which servo is on which output", "title"),
        Text(20, 56, "From above, nose up, left wing on the left. The number is the output.", "note"),
    ]
    words = "; ".join(lines)
    height = bottom + 34 + 22 * len(rows)
    return Drawing(WIDTH, height, tuple(shapes), f"Wiring of {aircraft.name}", sentence_start(words) + ".")


def _tail_quarter_mm(aircraft: Aircraft) -> float:
    """Quarter chord of the tail, or else of the fin, behind the root's leading edge; 0 without either."""
    part = aircraft.tail or aircraft.fin
    return aircraft.cg_mm + part.arm_mm if part else 0.0


def _rear_mm(aircraft: Aircraft) -> float:
    """Rearmost point of tail and fin, 0 without them."""
    parts = [part for part in (aircraft.tail, aircraft.fin) if part]
    return max((aircraft.cg_mm + part.arm_mm + 0.75 * part.chord_mm for part in parts), default=0.0)


def _tail_planes(aircraft: Aircraft, put) -> list[Shape]:
    shapes: list[Shape] = []
    if aircraft.tail:
        tail = aircraft.tail
        front = aircraft.cg_mm + tail.arm_mm - 0.25 * tail.chord_mm
        reach = tail.span_mm / 2 * np.cos(np.radians(tail.dihedral_deg))
        for sense in (-1, 1):
            corners = ((front, 0), (front, sense * reach), (front + tail.chord_mm, sense * reach))
            shapes.append(
                Polygon(tuple(put(*c) for c in (*corners, (front + tail.chord_mm, 0))), "fixed", "tail")
            )
    if aircraft.fin:
        fin = aircraft.fin
        front = aircraft.cg_mm + fin.arm_mm - 0.25 * fin.chord_mm
        shapes.append(Line((put(front, 0), put(front + fin.chord_mm, 0)), "movement", "fin"))
    return shapes


def _surface_corners(aircraft: Aircraft, surface: Surface) -> list[tuple[Point, ...]]:
    """Corners in mm (x aft, y to the right) of a surface; one in the middle of the tail has two halves."""
    if surface.part == "fin":
        rear = aircraft.cg_mm + aircraft.fin.arm_mm + 0.75 * aircraft.fin.chord_mm
        thick = 0.05 * surface.chord_mm
        front = rear - surface.chord_mm
        return [((front, -thick), (front, thick), (rear, thick), (rear, -thick))]
    flat = 1.0
    if surface.part == "tail":
        tail = aircraft.tail
        flat = float(np.cos(np.radians(tail.dihedral_deg)))
        edge = aircraft.cg_mm + tail.arm_mm + 0.75 * tail.chord_mm
        rear = (edge, edge)
    else:
        rear = tuple(_trailing_edge_mm(aircraft, y) for y in (surface.y_inner_mm, surface.y_outer_mm))
    inner, outer = surface.y_inner_mm * flat, surface.y_outer_mm * flat
    chord = surface.chord_mm
    senses = {"left": (-1,), "right": (1,), "centre": (-1, 1)}[surface.side]
    return [
        (
            (rear[0] - chord, sense * inner),
            (rear[1] - chord, sense * outer),
            (rear[1], sense * outer),
            (rear[0], sense * inner),
        )
        for sense in senses
    ]


def _trailing_edge_mm(aircraft: Aircraft, y_mm: float) -> float:
    places = [station.y_mm for station in aircraft.wing.stations]
    edges = [station.leading_edge_mm + station.chord_mm for station in aircraft.wing.stations]
    return float(np.interp(y_mm, places, edges))


def _apart(badges: list[tuple[Point, Point, Surface]]) -> list[tuple[Point, Point, Surface]]:
    """Move badges down until none touches another."""
    placed: list[tuple[Point, Point, Surface]] = []
    for foot, (x, y), surface in sorted(badges, key=lambda badge: badge[1]):
        while any(np.hypot(x - x2, y - y2) < 2 * BADGE + 4 for _, (x2, y2), _ in placed):
            y += 4
        placed.append((foot, (x, y), surface))
    return placed
