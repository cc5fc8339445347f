"""The picture of the whole aircraft: every surface is where it is in space."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from aircraft_pictures import DEMOS, HANGAR, THREE, drawn, ends, scale, shapes, share
from scipy.spatial.transform import Rotation

from mixlib.describe import Aircraft, Surface
from mixlib.describe.words import NEUTRAL_MM, direction
from mixlib.draw.aircraft.solid import ABOVE_DEG
from mixlib.draw.shapes import Arrow, Circle, Drawing, Line, Polygon, every_shape

each_plane = pytest.mark.parametrize("aircraft", HANGAR.values(), ids=list(HANGAR))


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
        drawing = drawn(DEMOS[name], [angle * (s.kind == "rudder") for s in DEMOS[name].surfaces])
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
        word = direction(surface, angle)
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


@pytest.mark.parametrize("angle", [-70.0, 45.0, 80.0])
@each_plane
def test_a_plate_reaches_from_its_hinge_to_its_trailing_edge(aircraft, angle):
    drawing = drawn(aircraft, [angle] * len(aircraft.surfaces))
    for surface in aircraft.surfaces:
        word = direction(surface, angle)
        leaves = shapes(drawing, Polygon, f"{surface.name} {word}")
        for leaf, (hinge, _, now) in zip(leaves, ends(drawing, surface.name, word), strict=True):
            corners = np.array(leaf.points) * (1, -1)
            middles = (corners[:, None] + corners[None]) / 2
            assert np.hypot(*np.moveaxis(middles - now, -1, 0)).min() < 0.01, surface.name
            # At its hinge it is 4 units thick, and that skin is seen which lies away from the trailing edge.
            off = (middles - hinge).reshape(-1, 2)
            skins = off[np.isclose(np.hypot(*off.T), 2.0)]
            assert len(skins), surface.name
            assert np.all(skins @ (now - hinge) < 0), surface.name


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
    else:
        assert order.index("fuselage") > last("wing")
    if aircraft.motor:
        assert last(f"{aircraft.motor.propeller} propeller") < order.index("fuselage")


def test_dihedral_lifts_the_tips_and_keeps_the_root():
    flat, up = (drawn(each, [0.0] * 6) for each in (THREE, HANGAR["polyhedral"]))
    for drawing in (flat, up):
        assert len(shapes(drawing, Polygon, "wing")) == 2

    def rise(drawing: Drawing) -> float:
        points = shapes(drawing, Polygon, "wing")[1].points
        root = min(y for x, y in points if x == pytest.approx(drawing.width / 2))
        return (root - min(y for x, y in points if x > drawing.width - 16)) / drawing.width

    assert rise(up) > rise(flat) + 0.02


def test_way_from_one_angle_to_another():
    two = DEMOS["orchard_two"]
    wide = [s.replace(stop_up_deg=60, stop_down_deg=50) if s.kind == "aileron" else s for s in two.surfaces]
    aircraft = two.replace(surfaces=tuple(wide))
    angles = [-14.0, 9.5, 0.0, 0.0]
    drawing = drawn(aircraft, angles, trace={"left aileron": (-60.0, 50.0)})
    (way,) = shapes(drawing, Line, "way of the left aileron")
    marks = shapes(drawing, Circle, "end of way of the left aileron")
    assert [(mark.x, mark.y) for mark in marks] == [way.points[0], way.points[-1]]
    assert way.points[0][1] < way.points[-1][1]  # from the first angle to the second
    for stop, place in ((-60.0, way.points[0]), (50.0, way.points[-1])):
        leaf = shapes(
            drawn(aircraft, [stop, 0.0, 0.0, 0.0]), Polygon, f"left aileron {'up' if stop < 0 else 'down'}"
        )[0]
        assert any(np.allclose(place, point) for point in leaf.points)
    assert "A thin line shows the way of the trailing edge: left aileron." in drawing.description
    plain = drawn(aircraft, angles)
    assert not shapes(plain, Line, "way of the left aileron")
    assert "way of" not in plain.description


def test_of_an_elevator_in_two_halves_the_right_half_leaves_its_way():
    drawing = drawn(THREE, [0.0] * 6, trace={"elevator": (-20.0, 20.0)})
    (way,) = shapes(drawing, Line, "way of the elevator")
    assert all(x > drawing.width / 2 for x, _ in way.points)


def test_way_is_shown_at_the_wider_end():
    for name, inner in (("tapered surfaces", True), ("orchard_three", False)):
        drawing = drawn(HANGAR[name], [0.0] * 6, trace={"right flap": (-25.0, 75.0)})
        (way,) = shapes(drawing, Line, "way of the right flap")
        (leaf,) = shapes(drawing, Polygon, "right flap neutral")
        xs = [x for x, _ in leaf.points]
        assert way.points[0][0] == pytest.approx(min(xs) if inner else max(xs), abs=0.5)


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
