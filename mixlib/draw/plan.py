"""Geometry of the aircraft from above: what is plugged into which output."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from mixlib.describe import MOTOR, Aircraft, Motor, Setup, Surface
from mixlib.describe.words import sentence_start
from mixlib.draw.shapes import (
    MARGIN,
    ROOM,
    Circle,
    Drawing,
    Line,
    Point,
    Polygon,
    Room,
    Shape,
    Text,
    fitted,
    heading,
)
from mixlib.draw.theme import role_width, wrapped

__all__ = ["BLADE", "body_side_mm", "plan_view", "wiring_words"]

Put = Callable[[float, float], Point]
BADGE = 14.0  # radius
LINE = 21.0
BLADE = 0.09  # of a propeller, as a share of the span


class _Plug(NamedTuple):
    """One plug: the number of its output, what its leads come from, and where its badge stands."""

    number: int
    feet: tuple[Point, ...]
    place: Point


def wiring_words(setup: Setup) -> list[str]:
    """Say what is plugged into each output in use, one line an output, in order.

    Returns
    -------
    list of str
        Such as ``"output 2: left flap and right flap (Y-lead)"``.
    """
    return [f"output {number}: {setup.plugged_in(number)}" for number in sorted({*setup.wiring.values()})]


@fitted
def plan_view(setup: Setup, *, room: Room = ROOM) -> Drawing:
    """Draw the aircraft from above, nose up, with the number of each plug beside what it moves.

    What is on each output is listed beside the aircraft in a low room, else below it.
    """
    note = ("From above, nose up, left wing on the left. The number is the output.", "From above, nose up.")
    shapes, top = heading("What is plugged into which output", room, *note)
    aircraft = setup.aircraft
    top += BADGE if aircraft.motor else 0  # its plug stands beside the nose
    span, stations = aircraft.wing.span_mm, aircraft.wing.stations
    nose_x, last = _ends_mm(aircraft)
    lines = wiring_words(setup)
    beside = room.width > 1.3 * room.height
    list_wide = min(0.46 * room.width, max(role_width(line, "label") for line in lines) + 10)
    words_wide = list_wide if beside else room.width - 2 * MARGIN
    rows = [part for line in lines for part in wrapped(sentence_start(line), words_wide, "label", 3)]
    wide = room.width - list_wide - 10 if beside else room.width
    behind = 4 * BADGE + 16 if aircraft.tail and aircraft.fin else 2 * BADGE + 26  # for badges
    high = room.height - top - behind - (0 if beside else LINE * len(rows) + 20)
    scale = max(min((wide - 40) / span, high / (last - nose_x)), 100 / span)
    middle = wide / 2

    def put(x_mm: float, y_mm: float) -> Point:
        """A place in mm: x aft, y to the right."""
        return middle + scale * y_mm, top + 4 + scale * (x_mm - nose_x)

    half = [(s.leading_edge_mm, s.y_mm) for s in stations]
    half += [(s.leading_edge_mm + s.chord_mm, s.y_mm) for s in reversed(stations)]
    shapes += [Polygon(tuple(put(x, sense * y) for x, y in half), "fixed", "wing") for sense in (-1, 1)]
    shapes += [*_tail_planes(aircraft, put), _body(aircraft, put)]
    feet: dict[int, list[Point]] = {}
    for surface in aircraft.surfaces:
        for corners in _surface_corners(aircraft, surface):
            shapes.append(Polygon(tuple(put(x, y) for x, y in corners), "neutral", surface.name))
        rear = max(x for x, _ in corners)
        place = put(rear, sum(y for _, y in corners) / len(corners))
        feet.setdefault(setup.wiring[surface.name], []).append(place)
    plugs = [_Plug(number, tuple(on), _below(on)) for number, on in feet.items()]
    if aircraft.motor:
        nose, blade = put(nose_x, 0), BLADE * scale * span
        shapes += _propeller(aircraft.motor, nose, blade)
        plugs.append(_Plug(setup.wiring[MOTOR], (nose,), (nose[0] + blade + BADGE + 4, nose[1])))
    bottom = max(put(last, 0)[1], top + 40)
    for number, ends, (x, y) in _apart(plugs):
        meaning = f"output {number}: {setup.plugged_in(number)}"
        for foot in ends:
            far = np.hypot(foot[0] - x, foot[1] - y)
            if far > BADGE + 1:
                rim = (x + (foot[0] - x) * BADGE / far, y + (foot[1] - y) * BADGE / far)
                shapes.append(Line((foot, rim), "leader", meaning))
        shapes.append(Circle(x, y, BADGE, "badge", meaning))
        shapes.append(Text(x, y + 6, str(number), "badge words", "middle"))
        bottom = max(bottom, y + BADGE)
    x, y = (wide + 4, top + 20) if beside else (MARGIN, bottom + 26)
    shapes += [Text(x, y + LINE * row, text, "label") for row, text in enumerate(rows)]
    height = max(bottom, y + LINE * (len(rows) - 1)) + 12
    words = sentence_start("; ".join(lines)) + "."
    return Drawing(room.width, height, tuple(shapes), f"Wiring of {aircraft.name}", words)


def _ends_mm(aircraft: Aircraft) -> tuple[float, float]:
    """Where the nose begins and the last part ends, mm behind the root's leading edge."""
    stations = aircraft.wing.stations
    before = (-0.9 if aircraft.tail or aircraft.fin else -0.12) * stations[0].chord_mm
    nose = min(before, min(s.leading_edge_mm for s in stations))
    return nose, max(_rear_mm(aircraft), max(s.leading_edge_mm + s.chord_mm for s in stations))


def body_side_mm(aircraft: Aircraft) -> tuple[Point, ...]:
    """How wide the fuselage is drawn: places aft of the root's leading edge and half widths there, mm."""
    root = aircraft.wing.stations[0]
    nose, body = _ends_mm(aircraft)[0], 0.16 * root.chord_mm
    tailless = not (aircraft.tail or aircraft.fin)
    end = root.leading_edge_mm + 0.9 * root.chord_mm if tailless else _rear_mm(aircraft)
    return (
        (nose, 0.0), (nose + body, 0.8 * body), (0.3 * root.chord_mm, body), (end, 0.05 * root.chord_mm)
    )  # fmt: skip


def _body(aircraft: Aircraft, put: Put) -> Polygon:
    side = body_side_mm(aircraft)
    corners = (*side, *((x, -y) for x, y in reversed(side[1:])))
    return Polygon(tuple(put(x, y) for x, y in corners), "fixed", "fuselage")


def _rear_mm(aircraft: Aircraft) -> float:
    """Rearmost point of tail and fin, 0 without them."""
    parts = [part for part in (aircraft.tail, aircraft.fin) if part]
    return max((aircraft.cg_mm + part.arm_mm + 0.75 * part.chord_mm for part in parts), default=0.0)


def _tail_planes(aircraft: Aircraft, put: Put) -> list[Shape]:
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
    chord, flat, places = surface.chord_mm, 1.0, (surface.y_inner_mm, surface.y_outer_mm)
    ends = [_trailing_edge_mm(aircraft, y) for y in places]
    part = {"tail": aircraft.tail, "fin": aircraft.fin, "wing": None}[surface.part]
    if part:
        ends = [aircraft.cg_mm + part.arm_mm + 0.75 * part.chord_mm] * 2
    if surface.part == "fin":
        front, thick = ends[0] - chord, 0.05 * chord
        return [((front, -thick), (front, thick), (ends[0], thick), (ends[0], -thick))]
    if surface.part == "tail" and aircraft.tail:
        flat = float(np.cos(np.radians(aircraft.tail.dihedral_deg)))
    corners = [(x, flat * y) for x, y in zip(ends, places, strict=True)]
    hinge = [(x - float(surface.chord_at_mm(y)), flat * y) for x, y in zip(ends, places, strict=True)]
    half = [*hinge, *reversed(corners)]
    senses = {"left": (-1,), "right": (1,), "centre": (-1, 1)}[surface.side]
    return [tuple((x, sense * y) for x, y in half) for sense in senses]


def _trailing_edge_mm(aircraft: Aircraft, y_mm: float) -> float:
    places = [station.y_mm for station in aircraft.wing.stations]
    edges = [station.leading_edge_mm + station.chord_mm for station in aircraft.wing.stations]
    return float(np.interp(y_mm, places, edges))


def _below(feet: Sequence[Point]) -> Point:
    """Place of a plug below what it moves; that of a Y-lead between the two, beside the fuselage."""
    aside = BADGE + 12 if len(feet) > 1 else 0
    return sum(x for x, _ in feet) / len(feet) + aside, max(y for _, y in feet) + BADGE + 6


def _propeller(motor: Motor, nose: Point, blade: float) -> list[Shape]:
    """Two blades at the nose, square to it or folded back."""
    (x, y), thick = nose, 3.0
    aside, back = (0.4 * blade, 0.9 * blade) if motor.propeller == "folding" else (blade, 0.0)
    tips = [(x + sense * aside, y + back) for sense in (-1, 1)]
    return [
        Polygon(
            (nose, tip, (tip[0], tip[1] + thick), (x, y + thick)), "neutral", f"{motor.propeller} propeller"
        )
        for tip in tips
    ]


def _apart(plugs: list[_Plug]) -> list[_Plug]:
    """Move plugs down until none touches another."""
    placed: list[_Plug] = []
    for plug in sorted(plugs, key=lambda plug: plug.place[::-1]):
        x, y = plug.place
        while any(np.hypot(x - x2, y - y2) < 2 * BADGE + 4 for _, _, (x2, y2) in placed):
            y += 4
        placed.append(plug._replace(place=(x, y)))
    return placed
