"""The picture of the whole aircraft: it fits its room, its words can be read, and they say what it shows."""

from __future__ import annotations

import numpy as np
import pytest
from aircraft_pictures import DEMOS, HANGAR, THREE, drawn, ends, scale, shapes, share
from hypothesis import given
from hypothesis import strategies as st
from rooms import TYPICAL, any_room, faults

from mixlib.describe.words import direction
from mixlib.draw.shapes import Arrow, Circle, Drawing, Line, Polygon, Room, Text, every_shape

each_plane = pytest.mark.parametrize("aircraft", HANGAR.values(), ids=list(HANGAR))


@each_plane
@pytest.mark.parametrize("room", [Room(640, 400), Room(800, 800)], ids=["usual", "large"])
def test_nothing_meets_a_word_on_the_way(aircraft, room):
    for angle in range(-90, 91, 15):
        drawing = drawn(aircraft, [float(angle)] * len(aircraft.surfaces), room=room)
        assert faults(drawing, room) == []
        names = [s.y for s in every_shape(drawing.shapes) if isinstance(s, Text) and s.role == "strong"]
        arrows = [s for s in every_shape(drawing.shapes) if isinstance(s, Arrow)]
        wing = {s.name for s in aircraft.surfaces if s.part == "wing"}
        tips = [arrow.end[1] for arrow in arrows if arrow.meaning.rpartition(" ")[0] in wing]
        assert max(tips, default=0.0) < min(names) - 13.0 * room.letter_ratio, angle  # a letter's height


@each_plane
def test_leaders_lead_to_their_surface_on_their_own_side(aircraft):
    drawing = drawn(aircraft, [20.0] * len(aircraft.surfaces))
    middle = drawing.width / 2
    for surface in aircraft.surfaces:
        (leader,) = [line for line in shapes(drawing, Line, surface.name) if line.role == "leader"]
        (x0, _), (x1, y1) = leader.points[0], leader.points[-1]
        if surface.part != "fin":
            assert (x0 < middle) == (x1 < middle), surface.name
        edges = [now for _, _, now in ends(drawing, surface.name, direction(surface, 20.0))]
        leaves = shapes(drawing, Polygon, f"{surface.name} {direction(surface, 20.0)}")
        assert len(edges) == len(leaves)
        xs, ys = np.transpose([point for leaf in leaves for point in leaf.points])
        assert xs.min() <= x1 <= xs.max()
        assert ys.min() <= y1 <= ys.max()


@pytest.mark.parametrize("room", TYPICAL, ids=lambda room: f"{room.width}x{room.height}")
@pytest.mark.parametrize("aircraft", DEMOS.values(), ids=list(DEMOS))
def test_demos_fit_and_can_be_read_in_every_room(aircraft, room):
    for way in (-1, 0, 1):
        angles = [way * (s.stop_down_deg if way > 0 else s.stop_up_deg) for s in aircraft.surfaces]
        for notes in (None, ["travel cut off"] * len(angles)):
            ways = {s.name: (-s.stop_up_deg, s.stop_down_deg) for s in aircraft.surfaces}
            drawing = drawn(aircraft, angles, notes, room, trace=ways)
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
    drawing = drawn(THREE, [20.0] * len(THREE.surfaces))
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
