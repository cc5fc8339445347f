"""The whole aircraft seen from behind and a little above, every surface at its true angle."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import chain
from math import cos, hypot, pi, sin

import numpy as np

from mixlib.describe import Aircraft
from mixlib.describe.words import direction, listed
from mixlib.draw.aircraft.labels import Labels
from mixlib.draw.aircraft.solid import RISE, SINK, Half, Place, Plate, View, all_halves, all_plates, seen_mm
from mixlib.draw.movements import Moved, moved_surfaces, moved_words, placed
from mixlib.draw.plan import BLADE, body_side_mm
from mixlib.draw.section import role_of
from mixlib.draw.shapes import (
    LOW,
    MARGIN,
    ROOM,
    Arrow,
    Circle,
    Drawing,
    Line,
    Polygon,
    Room,
    Scaled,
    Shape,
    Text,
    fitted,
    heading,
)
from mixlib.draw.shapes import moved as shifted
from mixlib.draw.theme import first_fitting, one_line, role_width

__all__ = ["LEAST_SPAN", "SEEN_FROM", "aircraft_figure", "aircraft_view"]

SEEN_FROM = "From behind and above"
"""Stands over the picture."""

LEAST_SPAN = 0.7
"""Share at which the span may be drawn, so that chords and movements can be seen."""

_LEAST_SIZE = 0.4  # of the scale at which the wing fills the width; then a low room is exceeded
_SIDES = 22.0  # height of the words over the wing
_ARROW = 14.0  # length of the arrow at a trailing edge
_GAP = 8.0
_AROUND = _ARROW + _GAP  # kept clear below wing and tail
_THICK = 2.0  # half the thickness of a plate at its hinge


@fitted
def aircraft_view(
    aircraft: Aircraft,
    angles_deg: Iterable[float],
    throws_mm: Iterable[float],
    notes: Sequence[str] | None = None,
    *,
    trace: Mapping[str, tuple[float, float]] | None = None,
    title: str = SEEN_FROM,
    room: Room = ROOM,
) -> Drawing:
    """Draw the whole aircraft from behind and a little above, left wing on the left.

    Parameters
    ----------
    angles_deg, throws_mm : iterable of float
        Angle and throw of each surface in the aircraft's order, trailing edge down (rudder: left) positive.
    notes : sequence of str, optional
        A short warning for each surface, such as ``"at its stop"``; empty for none.  Room for it is kept
        whenever the sequence is given, so that the picture does not jump.
    trace : mapping of str to (float, float), optional
        Names of surfaces whose trailing edge leaves its way in the picture, with the angles in deg between
        which it goes; of one in two halves only the right half does.
    title : str
        What it does, where its neighbours need to be told.

    Returns
    -------
    Drawing
        The aircraft to one scale, but for its span, which is drawn shorter by a stated share where that
        leaves more room for the movements; each surface at its true angle, name and movement beside it.
    """
    moved = moved_surfaces(aircraft, angles_deg, throws_mm, notes)
    labels = Labels.laid_out(moved, notes is not None, room)
    shapes: list[Shape] = []
    top = 4.0
    if room.height >= LOW:  # else the words over the wing stand alone
        way = " Thin line: the way." if trace else ""
        words = (f"Nose away from you. Every angle is true. Dashed: neutral.{way}", f"Dashed: neutral.{way}")
        shapes, top = heading(title, room, *words)
    view, tops, bottom = _view(aircraft, moved, labels, top, room)
    parts, plates = _parts(aircraft, moved, view)
    ways = trace or {}
    traced = {name: plate for plate in plates if (name := plate.item.surface.name) in ways}
    shapes += [
        *_over(room.width, top, view.share, "" if title == SEEN_FROM or room.height >= LOW else title),
        Scaled(parts, "surfaces", view.put((0.0, 0.0, 0.0)), (view.scale, view.scale)),
        *(shape for name, plate in traced.items() for shape in _way(plate, view, *ways[name])),
        *(shape for plate in plates for shape in _marks(plate, view)),
        *labels.drawn(*tops, plates, view),
    ]
    said = [moved_words(moved), "Seen from behind and above, left wing on the left, every angle true."]
    said += [_span_words(view.share)] if view.share < 1 else []
    if traced:
        said.append(f"A thin line shows the way of the trailing edge: {listed(traced)}.")
    if aircraft.motor:
        said.append("The propeller at the nose is drawn standing still.")
    return Drawing(
        room.width, bottom, tuple(shapes), f"{aircraft.name} from behind and above", " ".join(said)
    )


def aircraft_figure(
    aircraft: Aircraft, angles_deg: Mapping[str, float], name: str, middle: float, top: float, room: Room
) -> tuple[Scaled, float]:
    """The whole aircraft without a word, as large as a small room allows.

    Parameters
    ----------
    angles_deg : mapping of str to float
        Surface name to angle in deg; neutral where none is given.
    name : str
        Under which a kept figure can be laid over it.
    middle, top : float
        Where its middle and its upper end stand, drawing units.

    Returns
    -------
    figure : Scaled
        Its span at `LEAST_SPAN` of its length, with an arrow at each surface that is not neutral.
    bottom : float
        Where it ends, drawing units.
    """
    moved = moved_surfaces(aircraft, *placed(aircraft, angles_deg), None)
    seen, high = _seen(aircraft, moved)
    wide, deep = max(y for _, y, _ in seen["wing"]), high - min(map(seen_mm, chain(*seen.values())))
    fine = min(max(min(room.width, 2 * room.height) / 300, 0.35), 1.0)  # size of lines and arrows
    above, below = fine * _ARROW, fine * _AROUND
    size = min(room.width / (2 * LEAST_SPAN * wide), (room.height - above - below) / deep)
    line = top + above + size * high
    view = View(0.0, 0.0, size / fine, LEAST_SPAN)
    parts, plates = _parts(aircraft, moved, view)
    marks = (shape for plate in plates for shape in _marks(plate, view))
    shapes = tuple(shifted(shape, middle, line, fine) for shape in (*parts, *marks))
    return Scaled(shapes, name, (middle, line), (size, size)), top + above + size * deep + below


def _seen(aircraft: Aircraft, moved: list[Moved]) -> tuple[dict[str, list[Place]], float]:
    """All places of the outline by part, however the surfaces move; and how high the highest is seen, mm."""
    halves = all_halves(aircraft, 1.0)
    seen: dict[str, list[Place]] = {"wing": [], "tail": [], "fin": []}
    for half in halves:
        seen[half.part] += half.outline(())
    for plate in all_plates(halves, moved):
        seen[plate.item.surface.part] += plate.reach()
    (nose, _), (_, wide), *_ = body_side_mm(aircraft)
    before = max(wide, BLADE * aircraft.wing.span_mm if aircraft.motor else 0.0)
    return seen, max(seen_mm((nose, 0.0, before)), *map(seen_mm, seen["wing"]))


def _parts(aircraft: Aircraft, moved: list[Moved], view: View) -> tuple[tuple[Shape, ...], list[Plate]]:
    """All that is solid, from back to front, and the plates that move."""
    halves = all_halves(aircraft, view.share)
    plates = all_plates(halves, moved)
    parts = [_part(part, halves, plates, view) for part in ("wing", "tail", "fin")]
    tailless = not (aircraft.tail or aircraft.fin)
    parts.insert(tailless, _body(aircraft, view))  # else the wing lies over it
    return tuple(chain(*parts)), plates


def _view(
    aircraft: Aircraft, moved: list[Moved], labels: Labels, top: float, room: Room
) -> tuple[View, tuple[float, float], float]:
    """The largest scale at which aircraft and labels fit, the tops of the labels, and the picture's bottom.

    The labels of the tail stand below those of the wing, with the tail between left and right; or below the
    tail; or all stand below the tail.
    """
    seen, high = _seen(aircraft, moved)
    depths = {part: high - min(map(seen_mm, places)) for part, places in seen.items() if places}
    wing_low, low = depths["wing"], max(depths.values())
    full = (room.width / 2 - MARGIN) / max(y for _, y, _ in seen["wing"])
    wing, tail = labels.high(labels.wing), labels.high(labels.tail)
    free = room.height - top - _SIDES - _AROUND
    beside = min((free - wing - tail) / wing_low, free / low)
    below, stacked = 0.0, (free - wing - tail) / low
    if seen["tail"]:
        aside = room.width / 2 - MARGIN - labels.width - 2 * _GAP
        beside = min(beside, aside / max(y for _, y, _ in seen["tail"]))
        between = high - max(map(seen_mm, seen["tail"])) - wing_low
        most = min((free - tail) / low, full / LEAST_SPAN)
        below = most if most * between > wing + _AROUND + _ARROW else 0.0
    scale = max(min(max(beside, below, stacked), full / LEAST_SPAN), _LEAST_SIZE * full)
    start = top + _SIDES
    under_wing, under_tail = (start + scale * each + _AROUND for each in (wing_low, low))
    if scale <= beside:
        tops = under_wing, under_wing + wing
    else:
        tops = (under_wing, under_tail) if scale <= below else (under_tail, under_tail + wing)
    view = View(room.width / 2, start + scale * high, scale, min(1.0, full / scale))
    return view, tops, max(under_tail, tops[1] + tail)


def _span_words(share: float) -> str:
    return f"The wing is drawn at {100 * share:.0f} % of its span."


def _over(width: float, top: float, share: float, title: str) -> list[Shape]:
    """Words over the wing: its sides; between them the title, or how much of its span is drawn."""
    left, right = "left wing", "right wing"
    free = width - 2 * (MARGIN + role_width(right, "label") + 8)
    words = (_span_words(share), f"span at {100 * share:.0f} %") if share < 1 else ("",)
    between = one_line(title, free, "strong") if title else first_fitting(words, free, "note")
    texts = (
        Text(MARGIN, top + 15, left), Text(width - MARGIN, top + 15, right, anchor="end"),
        Text(width / 2, top + 15, between, "strong" if title else "note", "middle"),
    )  # fmt: skip
    return [text for text in texts if text.text]


def _body(aircraft: Aircraft, view: View) -> list[Shape]:
    """Fuselage along the wing's root, and the propeller, standing still."""
    (nose, _), *sides = body_side_mm(aircraft)
    (x, wide), turns = sides[0], np.linspace(0, pi, 9).tolist()
    middle, line = view.put((x, 0.0, 0.0))
    bow = view.scale * hypot(SINK * (x - nose), RISE * wide)  # of a round nose
    cap = [(middle + view.scale * wide * cos(turn), line - bow * sin(turn)) for turn in turns]
    left, right = (view.line_of((x, sense * wide, 0.0) for x, wide in sides) for sense in (-1, 1))
    shapes: list[Shape] = [Polygon((*cap, *left[1:], *reversed(right[1:])), "fixed", "fuselage")]
    if not aircraft.motor:
        return shapes
    blade, thin = BLADE * aircraft.wing.span_mm, 2.5 / view.scale
    disc = view.line_of(
        (nose, blade * cos(turn), blade * sin(turn)) for turn in np.linspace(0, 2 * pi, 25).tolist()
    )
    blades = view.line_of((nose, y, z) for y, z in ((-blade, 0), (0, thin), (blade, 0), (0, -thin)))
    meaning = f"{aircraft.motor.propeller} propeller"
    return [Line(disc, "ghost", meaning), Polygon(blades, "neutral", meaning), *shapes]


def _part(part: str, halves: list[Half], plates: list[Plate], view: View) -> list[Shape]:
    """Fixed halves of one part, then its surfaces, which lie nearer."""
    own = [plate for plate in plates if plate.item.surface.part == part]
    surfaces = [plate.item.surface for plate in own]
    shapes: list[Shape] = []
    for half in halves:
        if half.part != part:
            continue
        corners = view.line_of(half.outline(surfaces))
        if part == "fin":  # seen along its own plane
            (x, _), ys = corners[0], [y for _, y in corners]
            ends = ((min(ys), _THICK / 2), (max(ys), _THICK))
            corners = tuple((x + sense * thick, y) for sense in (-1, 1) for y, thick in ends[::sense])
        shapes.append(Polygon(corners, "fixed", part))
    return [*shapes, *(_leaf(plate, view) for plate in own)]


def _leaf(plate: Plate, view: View) -> Polygon:
    """A surface from that skin at its hinge which is seen, to its trailing edge."""
    hinge, edge = view.line_of(plate.hinge), view.line_of(plate.edge(plate.item.angle))
    nx, ny = plate.way_up
    skins = [tuple((x + sense * nx, y + sense * ny) for x, y in hinge) for sense in (_THICK, -_THICK)]
    off = (edge[0][0] - hinge[0][0]) * nx + (edge[0][1] - hinge[0][1]) * ny
    if abs(off) > _THICK:
        skins[off < 0] = edge
    meaning = f"{plate.item.surface.name} {direction(plate.item.surface, plate.item.throw)}"
    return Polygon((*skins[0], *reversed(skins[1])), role_of(plate.item.surface, plate.item.throw), meaning)


def _marks(plate: Plate, view: View) -> list[Shape]:
    """Where a moved surface is when neutral, and an arrow for the way that it went."""
    item = plate.item
    word = direction(item.surface, item.throw)
    if word == "neutral":
        return []
    rest, edge = (view.line_of(plate.edge(angle)) for angle in (0.0, item.angle))
    ends = view.line_of((plate.hinge[0], plate.hinge[-1]))
    nx, ny = (-np.sign(item.angle) * way for way in plate.way_up)
    x, y = ((a + b) / 2 for a, b in zip(edge[0], edge[-1], strict=True))
    name = item.surface.name
    return [
        Line((ends[0], *rest, ends[1]), "ghost", f"{name} neutral"),
        Arrow((x, y), (x + _ARROW * nx, y + _ARROW * ny), meaning=f"{name} {word}"),
    ]


def _way(plate: Plate, view: View, low: float, high: float) -> list[Shape]:
    """The way of the trailing edge's wider end from one angle to another, its ends marked."""
    wider = 0 if plate.chords[0] > plate.chords[-1] else -1
    points = view.line_of(plate.edge(angle)[wider] for angle in np.linspace(low, high, 15).tolist())
    name = plate.item.surface.name
    ends = [Circle(*points[end], 3.0, "hinge", f"end of way of the {name}") for end in (0, -1)]
    return [Line(points, "wire", f"way of the {name}"), *ends]
