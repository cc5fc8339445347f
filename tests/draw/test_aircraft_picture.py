"""The picture of the whole aircraft: every surface where it is in space, and every word can be read."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import own_hangar
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rooms import TYPICAL, any_room, faults
from scipy.spatial.transform import Rotation

from mixlib.describe import Aircraft, Fin, Motor, Surface, shipped, shipped_names
from mixlib.describe.words import NEUTRAL_MM
from mixlib.draw.aircraft import aircraft_view
from mixlib.draw.aircraft.solid import ABOVE_DEG
from mixlib.draw.shapes import ROOM, Arrow, Circle, Drawing, Line, Polygon, Room, Text, every_shape
from mixlib.units import throw_mm_from_angle

DEMOS = {name: shipped("aircraft", name) for name in shipped_names("aircraft")}
THREE = DEMOS["orchard_three"]


def raised(aircraft: Aircraft, *dihedral_deg: float) -> Aircraft:
    """The same with each piece of the wing standing up."""
    inner = zip(aircraft.wing.stations, (*dihedral_deg, 0.0), strict=True)
    stations = tuple(station.replace(dihedral_deg=angle) for station, angle in inner)
    return aircraft.replace(wing=aircraft.wing.replace(stations=stations))


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
    "tapered surfaces": THREE.replace(
        surfaces=tuple(s.replace(outer_chord_mm=0.6 * s.chord_mm) for s in THREE.surfaces)
    ),
}
each_plane = pytest.mark.parametrize("aircraft", HANGAR.values(), ids=list(HANGAR))


def drawn(aircraft: Aircraft, angles, notes=None, room=ROOM, **options) -> Drawing:
    throws = [
        float(throw_mm_from_angle(a, s.chord_mm)) for a, s in zip(angles, aircraft.surfaces, strict=True)
    ]
    return aircraft_view(aircraft, angles, throws, notes, room=room, **options)


def with_angle(aircraft: Aircraft, **by_kind: float) -> list[float]:
    return [by_kind.get(s.kind.replace("-", "_"), 0.0) for s in aircraft.surfaces]


def shapes(drawing: Drawing, kind: type, meaning: str) -> list:
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


@pytest.mark.parametrize("angle", [-20.0, 20.0])
@pytest.mark.parametrize("aircraft", DEMOS.values(), ids=list(DEMOS))
def test_trailing_edge_down_is_lower_on_the_screen(aircraft, angle):
    for place, surface in enumerate(aircraft.surfaces):
        if surface.kind == "rudder":
            continue
        angles = [0.0] * len(aircraft.surfaces)
        angles[place] = angle
        word = "down" if angle > 0 else "up"
        drawing = drawn(aircraft, angles)
        found = ends(drawing, surface.name, word)
        assert len(found) == (2 if surface.side == "centre" else 1)
        for _, rest, now in found:
            assert (now[1] < rest[1]) == (angle > 0), surface.name
            side = {"left": [True], "right": [False], "centre": [True, False]}[surface.side]
            assert (now[0] < drawing.width / 2) in side
        for arrow in shapes(drawing, Arrow, f"{surface.name} {word}"):
            assert (arrow.end[1] > arrow.start[1]) == (angle > 0)
        for leaf in shapes(drawing, Polygon, f"{surface.name} {word}"):
            assert leaf.role == word


@pytest.mark.parametrize("name", ["orchard_two", "orchard_three", "orchard_hopper"])
def test_rudder_left_goes_to_the_left(name):
    for angle, word in ((15.0, "left"), (-15.0, "right")):
        drawing = drawn(DEMOS[name], with_angle(DEMOS[name], rudder=angle))
        ((_, rest, now),) = ends(drawing, "rudder", word)
        assert (now[0] < rest[0] - 1) == (word == "left")
        (arrow,) = shapes(drawing, Arrow, f"rudder {word}")
        assert (arrow.end[0] < arrow.start[0]) == (word == "left")
        assert arrow.end[1] == pytest.approx(arrow.start[1])


def test_v_tail_goes_up_and_in_together_and_apart_for_yaw():
    aircraft = DEMOS["orchard_vee"]
    middle = drawn(aircraft, [0.0] * 4).width / 2
    drawing = drawn(aircraft, [0.0, 0.0, -15.0, -15.0])
    for name in ("left V-tail", "right V-tail"):
        ((_, rest, now),) = ends(drawing, name, "up")
        assert now[1] > rest[1]
        assert abs(now[0] - middle) < abs(rest[0] - middle)
    drawing = drawn(aircraft, [0.0, 0.0, 15.0, -15.0])
    ((_, left_rest, left),) = ends(drawing, "left V-tail", "down")
    ((_, right_rest, right),) = ends(drawing, "right V-tail", "up")
    assert left[0] < left_rest[0]  # both push the tail to one side
    assert right[0] < right_rest[0]


def test_elevons_roll_and_pitch():
    aircraft = DEMOS["orchard_wing"]
    for angles, words in (((12.0, -12.0), ("down", "up")), ((-12.0, -12.0), ("up", "up"))):
        drawing = drawn(aircraft, angles)
        for name, word in zip(("left elevon", "right elevon"), words, strict=True):
            ((_, rest, now),) = ends(drawing, name, word)
            assert (now[1] > rest[1]) == (word == "up")


@pytest.mark.parametrize("angle", [-60.0, -25.0, -4.0, 7.0, 30.0, 75.0])
@each_plane
def test_each_surface_stands_at_its_true_angle(aircraft, angle):
    """Turned about its hinge line by SciPy, and seen by a camera that is turned instead of the aircraft."""
    camera = Rotation.from_euler("y", ABOVE_DEG, degrees=True)
    drawing = drawn(aircraft, [angle] * len(aircraft.surfaces))
    size = scale(drawing, aircraft)
    for surface in aircraft.surfaces:
        word = (
            ("left" if angle > 0 else "right") if surface.kind == "rudder" else "down" if angle > 0 else "up"
        )
        found = ends(drawing, surface.name, word)
        sides = {"left": [-1], "right": [1], "centre": [-1, 1]}[surface.side]
        for side, (hinge, rest, now) in zip(sides if surface.part != "fin" else [0], found, strict=True):
            along = hinge_way(aircraft, surface, side, share(drawing, aircraft, size))
            chord = float(np.mean(surface.chord_at_mm((surface.y_inner_mm, surface.y_outer_mm))))
            sense = 1 if side == 1 else -1
            turned = Rotation.from_rotvec(np.radians(sense * angle) * along).apply([chord, 0.0, 0.0])
            seen, flat = (camera.apply(place)[1:] * size for place in (turned, [chord, 0.0, 0.0]))
            assert rest - hinge == pytest.approx(flat, abs=0.02)
            assert now - hinge == pytest.approx(seen, abs=0.02), (surface.name, side)


def share(drawing: Drawing, aircraft: Aircraft, size: float) -> float:
    """Share of the span that is drawn, from the tips of the wing."""
    xs = [x for wing in shapes(drawing, Polygon, "wing") for x, _ in wing.points]
    stations = aircraft.wing.stations
    flat = sum((b.y_mm - a.y_mm) * np.cos(np.radians(a.dihedral_deg)) for a, b in pairwise(stations))
    return (max(xs) - min(xs)) / (2 * flat * size)


def hinge_way(aircraft: Aircraft, surface: Surface, side: int, shortened: float) -> np.ndarray:
    """Way of a hinge line from its inner to its outer end, of length 1: x aft, y right, z up."""
    if surface.part == "fin":
        way = np.array([surface.chord_mm - surface.chord_at_mm(surface.y_outer_mm), 0.0, length(surface)])
    elif surface.part == "tail":
        rise = np.radians(aircraft.tail.dihedral_deg)
        back = surface.chord_mm - surface.chord_at_mm(surface.y_outer_mm)
        way = np.array([back, side * np.cos(rise) * length(surface), np.sin(rise) * length(surface)])
    else:
        stations = aircraft.wing.stations

        def end(y: float) -> np.ndarray:
            across = height = 0.0
            for a, b in pairwise(stations):
                step = np.clip(y, a.y_mm, b.y_mm) - a.y_mm
                across += step * np.cos(np.radians(a.dihedral_deg))
                height += step * np.sin(np.radians(a.dihedral_deg))
            rear = np.interp(
                y, [s.y_mm for s in stations], [s.leading_edge_mm + s.chord_mm for s in stations]
            )
            hinge = rear - surface.chord_at_mm(y)
            return np.array([hinge, side * across * shortened, height * shortened])

        way = end(surface.y_outer_mm) - end(surface.y_inner_mm)
    return way / np.linalg.norm(way)


def length(surface: Surface) -> float:
    return surface.y_outer_mm - surface.y_inner_mm


@pytest.mark.parametrize("aircraft", DEMOS.values(), ids=list(DEMOS))
def test_mirrored_movement_is_a_mirrored_picture(aircraft):
    angles = [-18.0 if s.side == "left" else 11.0 if s.side == "right" else -7.0 for s in aircraft.surfaces]
    other = [11.0 if s.side == "left" else -18.0 if s.side == "right" else -7.0 for s in aircraft.surfaces]
    other = [-a if s.kind == "rudder" else a for a, s in zip(other, aircraft.surfaces, strict=True)]

    def outlines(drawing: Drawing, mirror: bool) -> set:
        found = set()
        for shape in every_shape(drawing.shapes):
            if isinstance(shape, Polygon) and shape.meaning not in ("up", "down", "left", "right", "neutral"):
                x0 = drawing.width
                points = [(x0 - x if mirror else x, y) for x, y in shape.points]
                found.add(frozenset((round(x, 3), round(y, 3)) for x, y in points))
        return found

    assert outlines(drawn(aircraft, angles), False) == outlines(drawn(aircraft, other), True)


@each_plane
def test_what_is_nearer_is_drawn_later(aircraft):
    drawing = drawn(aircraft, [-15.0] * len(aircraft.surfaces))
    order = [shape.meaning for shape in every_shape(drawing.shapes) if isinstance(shape, Polygon)]

    def last(meaning: str) -> int:
        return max((place for place, found in enumerate(order) if found == meaning), default=-1)

    moved = {
        s.name: order.index(f"{s.name} {'right' if s.kind == 'rudder' else 'up'}") for s in aircraft.surfaces
    }
    for surface in aircraft.surfaces:
        assert moved[surface.name] > last(surface.part)
        if surface.part != "wing":
            assert moved[surface.name] > last("fuselage")
            assert moved[surface.name] > last("wing")
    if aircraft.tail or aircraft.fin:
        assert order.index("fuselage") < order.index("wing")  # it lies under the wing
        assert last("wing") < max(last("tail"), last("fin"))
    if aircraft.motor:
        assert last(f"{aircraft.motor.propeller} propeller") < order.index("fuselage")


@pytest.mark.parametrize("room", TYPICAL, ids=lambda room: f"{room.width}x{room.height}")
@pytest.mark.parametrize("aircraft", DEMOS.values(), ids=list(DEMOS))
def test_demos_fit_and_can_be_read_in_every_room(aircraft, room):
    for way in (-1, 0, 1):
        angles = [way * (s.stop_down_deg if way > 0 else s.stop_up_deg) for s in aircraft.surfaces]
        for notes in (None, ["travel cut off"] * len(angles)):
            drawing = drawn(aircraft, angles, notes, room, trace=aircraft.surface_names)
            assert faults(drawing, room, high=True) == []
            assert outside(drawing) == []


def outside(drawing: Drawing) -> list:
    """Shapes that reach out of the picture."""
    found = []
    for shape in every_shape(drawing.shapes):
        if isinstance(shape, Text):
            continue
        points = (
            [(shape.x, shape.y)] if isinstance(shape, Circle)
            else [shape.start, shape.end] if isinstance(shape, Arrow) else shape.points
        )  # fmt: skip
        if any(not (0 <= x <= drawing.width and 0 <= y <= drawing.height) for x, y in points):
            found.append(shape)
    return found


@given(data=st.data())
def test_any_aircraft_can_be_read_in_any_room(data):
    aircraft = data.draw(st.sampled_from(list(HANGAR.values())))
    words = st.text("abcdefghij WM", min_size=1, max_size=30).map(lambda text: text.strip() or "x")
    if data.draw(st.booleans()):
        names = data.draw(
            st.lists(words, min_size=len(aircraft.surfaces), max_size=len(aircraft.surfaces), unique=True)
        )
        renamed = [s.replace(name=n) for s, n in zip(aircraft.surfaces, names, strict=True)]
        aircraft = aircraft.replace(surfaces=tuple(renamed))
    angles = [data.draw(st.floats(-90, 90)) for _ in aircraft.surfaces]
    notes = [data.draw(st.sampled_from(["", "at its stop", "travel cut off"])) for _ in angles]
    room = data.draw(any_room)
    drawing = drawn(aircraft, angles, notes, room)
    assert faults(drawing, room) == []
    assert outside(drawing) == []


@pytest.mark.parametrize("room", TYPICAL, ids=lambda room: f"{room.width}x{room.height}")
def test_picture_keeps_still_while_surfaces_move(room):
    for aircraft in DEMOS.values():
        seen = set()
        for way in (-1.0, 0.0, 0.3, 1.0):
            angles = [way * (s.stop_down_deg if way > 0 else s.stop_up_deg) for s in aircraft.surfaces]
            drawing = drawn(aircraft, angles, [""] * len(angles), room)
            fixed = [
                p.points
                for part in ("wing", "tail", "fin", "fuselage")
                for p in shapes(drawing, Polygon, part)
            ]
            words = [s.y for s in every_shape(drawing.shapes) if isinstance(s, Text)]
            seen.add((drawing.width, drawing.height, *fixed, *words))
        assert len(seen) == 1


def test_movements_are_written_beside_the_surfaces_and_said():
    aircraft = DEMOS["orchard_two"]
    drawing = drawn(aircraft, [-14.0, 9.5, 6.0, 12.0], ["at its stop", "", "", ""])
    texts = [s.text for s in every_shape(drawing.shapes) if isinstance(s, Text)]
    for words in (
        "Left aileron",
        "up 9.7 mm, 14.0°",
        "down 6.6 mm, 9.5°",
        "left 12.5 mm, 12.0°",
        "at its stop",
    ):
        assert words in texts
    assert "Left aileron up 9.7 mm (14.0°); right aileron down 6.6 mm (9.5°)" in drawing.description
    assert "Left aileron: at its stop." in drawing.description
    assert "left wing on the left" in drawing.description


def test_labels_stand_on_their_own_side():
    drawing = drawn(THREE, with_angle(THREE, flap=20.0))
    middle = drawing.width / 2
    for text in (s for s in every_shape(drawing.shapes) if isinstance(s, Text)):
        if text.text.startswith(("Left", "left wing")):
            assert text.x < middle
            assert text.anchor == "start"
        if text.text.startswith(("Right", "right wing")):
            assert text.x > middle
            assert text.anchor == "end"


@each_plane
@pytest.mark.parametrize("room", [Room(640, 400), Room(900, 400), Room(560, 500)])
def test_a_shorter_span_is_stated(aircraft, room):
    drawing = drawn(aircraft, [0.0] * len(aircraft.surfaces), room=room)
    found = share(drawing, aircraft, scale(drawing, aircraft))
    texts = " ".join(s.text for s in every_shape(drawing.shapes) if isinstance(s, Text))
    assert 0.69 < found < 1.001
    stated = f"{100 * found:.0f} %"
    assert (stated in texts) == (stated in drawing.description) == (found < 0.999)


def test_way_from_stop_to_stop():
    two = DEMOS["orchard_two"]
    wide = [s.replace(stop_up_deg=60, stop_down_deg=50) if s.kind == "aileron" else s for s in two.surfaces]
    aircraft = two.replace(surfaces=tuple(wide))
    angles = [-14.0, 9.5, 0.0, 0.0]
    drawing = drawn(aircraft, angles, trace=["left aileron"])
    (way,) = shapes(drawing, Line, "way of the left aileron")
    marks = shapes(drawing, Circle, "left aileron at its stop")
    assert [(mark.x, mark.y) for mark in marks] == [way.points[0], way.points[-1]]
    assert way.points[0][1] < way.points[-1][1]  # from the upper stop to the lower one
    for stop, place in ((-60.0, way.points[0]), (50.0, way.points[-1])):
        leaf = shapes(
            drawn(aircraft, [stop, 0.0, 0.0, 0.0]), Polygon, f"left aileron {'up' if stop < 0 else 'down'}"
        )[0]
        assert any(np.allclose(place, point) for point in leaf.points)
    assert (
        "A thin line shows the way of the trailing edge from stop to stop: left aileron."
        in drawing.description
    )
    plain = drawn(aircraft, angles)
    assert not shapes(plain, Line, "way of the left aileron")
    assert "way of" not in plain.description


def test_dihedral_lifts_the_tips_and_keeps_the_root():
    flat, up = (drawn(each, [0.0] * 6) for each in (THREE, HANGAR["polyhedral"]))
    for drawing in (flat, up):
        assert len(shapes(drawing, Polygon, "wing")) == 2

    def rise(drawing: Drawing) -> float:
        points = shapes(drawing, Polygon, "wing")[1].points
        root = min(y for x, y in points if x == pytest.approx(drawing.width / 2))
        return (root - min(y for x, y in points if x > drawing.width - 16)) / drawing.width

    assert rise(up) > rise(flat) + 0.02


def test_propeller_is_there_only_with_a_motor():
    for name, aircraft in HANGAR.items():
        drawing = drawn(aircraft, [0.0] * len(aircraft.surfaces))
        blades = shapes(drawing, Polygon, "folding propeller")
        assert len(blades) == (1 if aircraft.motor else 0), name
        assert ("propeller" in drawing.description) == (aircraft.motor is not None)


def test_a_surface_below_what_a_ruler_shows_is_neutral():
    aircraft = DEMOS["orchard_two"]
    small = float(np.degrees(NEUTRAL_MM / aircraft.surfaces[0].chord_mm)) * 0.9
    drawing = drawn(aircraft, [small, 0.0, 0.0, 0.0])
    assert not [s for s in every_shape(drawing.shapes) if isinstance(s, Arrow)]
    assert shapes(drawing, Polygon, "left aileron neutral")
    assert drawing.description.startswith("All surfaces are neutral.")
