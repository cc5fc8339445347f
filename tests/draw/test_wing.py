"""What the pictures of wing, tail and sections show is where the surfaces are, and every word can be read."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rooms import TYPICAL, any_room, faults

from mixlib.describe import SECTION_NAMES, Aircraft, shipped, shipped_names
from mixlib.draw.section import outline, section_from_tip
from mixlib.draw.shapes import ROOM, Drawing, Polygon, Text, every_shape, label_faults
from mixlib.draw.wing import surfaces_drawing, wing_from_behind
from mixlib.units import throw_mm_from_angle

AIRCRAFT = {name: shipped("aircraft", name) for name in shipped_names("aircraft")}


def drawn(aircraft: Aircraft, angles, draw=surfaces_drawing, notes=None, room=ROOM) -> Drawing:
    throws = [
        float(throw_mm_from_angle(a, s.chord_mm)) for a, s in zip(angles, aircraft.surfaces, strict=True)
    ]
    return draw(aircraft, angles, throws, notes, room=room)


def polygons(drawing: Drawing, meaning: str) -> list[Polygon]:
    return [s for s in every_shape(drawing.shapes) if isinstance(s, Polygon) and s.meaning == meaning]


def middle(shape: Polygon) -> tuple[float, float]:
    xs, ys = zip(*shape.points, strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


@pytest.mark.parametrize("section", SECTION_NAMES)
@pytest.mark.parametrize("angle", [-40.0, -7.5, 12.0, 75.0])
def test_hinged_part_is_turned_by_the_true_angle(section, angle):
    rest, now = outline(section, 0.25, 0.0), outline(section, 0.25, angle)
    assert rest.hinge == now.hinge
    a, b = (np.subtract(o.edge, o.hinge) for o in (rest, now))
    turned = np.degrees(np.arctan2(a[0] * b[1] - a[1] * b[0], a @ b))
    assert turned == pytest.approx(-angle)  # trailing edge down is clockwise with the nose to the left
    assert np.hypot(*b) == pytest.approx(np.hypot(*a))
    throw = np.hypot(*np.subtract(now.edge, rest.edge))
    assert throw == pytest.approx(abs(throw_mm_from_angle(angle, np.hypot(*a))))


def test_four_digit_thickness_is_the_published_one():
    # NACA 0012 ordinates from Abbott and von Doenhoff, Theory of Wing Sections, appendix I, scaled to 9 %
    # (half thickness in percent of the chord at 10, 30, 50 and 80 %: 4.683, 6.002, 5.294, 2.623).
    points = np.array(outline("symmetrical", 0.05, 0.0).fixed)
    upper = points[points[:, 1] >= 0]
    order = np.argsort(upper[:, 0])
    for x, half in ((10, 4.683), (30, 6.002), (50, 5.294), (80, 2.623)):
        shown = np.interp(x / 100, upper[order, 0], upper[order, 1]) * 100
        assert shown == pytest.approx(half * 9 / 12, abs=0.03), x


@pytest.mark.parametrize("section", SECTION_NAMES)
def test_section_is_closed_and_of_chord_one(section):
    shape = outline(section, 0.25, 0.0)
    xs = [x for x, _ in (*shape.fixed, *shape.hinged)]
    assert min(xs) == pytest.approx(0.0, abs=1e-9)
    assert max(xs) == pytest.approx(1.0)
    assert shape.hinge[0] == pytest.approx(0.75)


def test_left_wing_is_on_the_left_and_down_is_down():
    aircraft = AIRCRAFT["orchard_two"]
    for angles, words in (
        ((10, -12), ("down", "up")),
        ((-10, 12), ("up", "down")),
        ((10, 10), ("down", "down")),
    ):
        drawing = drawn(aircraft, [*angles, *[0.0] * (len(aircraft.surfaces) - 2)], wing_from_behind)
        (left,) = polygons(drawing, f"left aileron {words[0]}")
        (right,) = polygons(drawing, f"right aileron {words[1]}")
        assert middle(left)[0] < drawing.width / 2 < middle(right)[0]
        assert (left.role, right.role) == words
        line = middle(polygons(drawing, "wing")[0])[1]
        for shape, word in ((left, words[0]), (right, words[1])):
            assert (middle(shape)[1] > line) == (word == "down")


def test_movement_from_behind_is_to_one_scale():
    aircraft = AIRCRAFT["orchard_three"]
    drawing = drawn(aircraft, [20.0, 20.0, -10.0, 30.0, 0.0, 0.0], wing_from_behind)
    heights = {}
    for meaning in ("left flap down", "left aileron up", "right aileron down"):
        ys = [y for _, y in polygons(drawing, meaning)[0].points]
        heights[meaning] = max(ys) - min(ys)
    chords = {s.name: s.chord_mm for s in aircraft.surfaces}
    per_mm = heights["left flap down"] / (chords["left flap"] * np.sin(np.radians(20)))
    assert heights["left aileron up"] == pytest.approx(
        per_mm * chords["left aileron"] * np.sin(np.radians(10))
    )
    assert heights["right aileron down"] == pytest.approx(per_mm * chords["right aileron"] * 0.5)


def test_rudder_left_goes_left_and_elevator_up_goes_up():
    aircraft = AIRCRAFT["orchard_two"]
    names = aircraft.surface_names
    angles = [0.0] * len(names)
    angles[names.index("rudder")] = 15.0
    angles[names.index("elevator")] = -10.0
    drawing = drawn(aircraft, angles)
    fin = polygons(drawing, "fin")[0]
    assert middle(polygons(drawing, "rudder left")[0])[0] < middle(fin)[0]
    halves = polygons(drawing, "elevator up")
    assert len(halves) == 2
    assert all(middle(half)[1] < middle(polygons(drawing, "tail")[0])[1] for half in halves)


def test_v_tail_moves_square_to_its_halves():
    aircraft = AIRCRAFT["orchard_vee"]
    angles = [0.0, 0.0, 12.0, 12.0]
    drawing = drawn(aircraft, angles)
    rise = aircraft.tail.dihedral_deg
    for side, sense in (("left", -1), ("right", 1)):
        inner, outer, outer_moved, _ = polygons(drawing, f"{side} V-tail down")[0].points
        along = np.subtract(outer, inner)
        shift = np.subtract(outer_moved, outer)
        assert along @ shift == pytest.approx(0, abs=1e-9)
        assert np.degrees(np.arctan2(-along[1], sense * along[0])) == pytest.approx(rise)
        assert shift[1] > 0  # trailing edge down
        assert shift[0] * sense > 0  # and outwards


def test_notes_are_drawn_and_said():
    aircraft = AIRCRAFT["orchard_two"]
    notes = ["at its stop"] + [""] * (len(aircraft.surfaces) - 1)
    drawing = drawn(aircraft, [10.0] * len(aircraft.surfaces), notes=notes)
    assert "Left aileron: at its stop." in drawing.description
    assert any(isinstance(s, Text) and s.text == "at its stop" for s in every_shape(drawing.shapes))
    assert label_faults(drawing) == []


@pytest.mark.parametrize("room", TYPICAL, ids=lambda room: f"{room.width}x{room.height}")
def test_picture_keeps_still_while_surfaces_move(room):
    """Its size, the fixed parts and the height of every word; only what moves moves."""
    for aircraft in AIRCRAFT.values():
        seen = set()
        for share in (-1.0, 0.0, 0.3, 1.0):
            angles = [share * (s.stop_down_deg if share > 0 else s.stop_up_deg) for s in aircraft.surfaces]
            drawing = drawn(aircraft, angles, notes=[""] * len(angles), room=room)
            fixed = [p.points for name in ("wing", "tail", "fin") for p in polygons(drawing, name)]
            words = [s.y for s in every_shape(drawing.shapes) if isinstance(s, Text)]
            seen.add((drawing.width, drawing.height, *fixed, *words))
        assert len(seen) == 1


def test_neutral_is_said_once_for_all():
    aircraft = AIRCRAFT["orchard_three"]
    assert drawn(aircraft, [0.0] * 6).description == "All surfaces are neutral."


def test_what_is_not_there_is_not_drawn():
    drawing = drawn(AIRCRAFT["orchard_wing"], [5.0, -5.0])
    assert drawing.title == "The wing of Orchard Wing from behind"
    tail = [part for part in AIRCRAFT["orchard_two"].surfaces if part.part != "wing"]
    no_wing = AIRCRAFT["orchard_two"].replace(surfaces=tuple(tail))
    assert drawn(no_wing, [5.0] * len(tail)).title == "The tail of Orchard Two from behind"
    with pytest.raises(ValueError, match="no surface on its wing"):
        drawn(no_wing, [5.0] * len(tail), wing_from_behind)


def crowded(names: tuple[str, ...]) -> Aircraft:
    """An aircraft with as many wing surfaces a side as there are names."""
    base = AIRCRAFT["orchard_three"]
    model = base.surface("left aileron")
    width = 1400 / len(names)
    wing = [
        model.replace(
            name=f"{side} {name}"[:40],
            side=side,
            y_inner_mm=40 + width * i,
            y_outer_mm=30 + width * (i + 1),
        )
        for side in ("left", "right")
        for i, name in enumerate(names)
    ]
    rest = [s for s in base.surfaces if s.part != "wing"]
    return base.replace(surfaces=(*wing, *rest))


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_words_can_always_be_read(data):
    words = st.text("abcdefghij WM", min_size=1, max_size=34).map(lambda text: text.strip() or "x")
    zoo = [*AIRCRAFT.values()]
    count = data.draw(st.integers(1, 4))
    names = tuple(data.draw(st.lists(words, min_size=count, max_size=count, unique_by=str.lower)))
    if data.draw(st.booleans()):
        zoo = [crowded(tuple(f"{i}{name}" for i, name in enumerate(names)))]
    aircraft = data.draw(st.sampled_from(zoo))
    angles = [data.draw(st.floats(-90, 90)) for _ in aircraft.surfaces]
    notes = [data.draw(st.sampled_from(["", "at its stop", "servo at the end of its pulse"])) for _ in angles]
    room = data.draw(any_room)
    assert faults(drawn(aircraft, angles, notes=notes, room=room), room) == []
    surface = data.draw(st.sampled_from(aircraft.surfaces))
    section = section_from_tip(aircraft, surface, data.draw(st.floats(-90, 90)), room=room)
    assert faults(section, room) == []
