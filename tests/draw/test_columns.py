"""The aircraft beside a chart, and in several settings side by side: true, and where there is room."""

from __future__ import annotations

from functools import partial

import numpy as np
import pytest
from aircraft_pictures import DEMOS, HANGAR, THREE, shapes
from rooms import PROJECTOR, TYPICAL, faults

from mixlib.describe.words import direction
from mixlib.draw.aircraft import aircraft_view, with_aircraft, with_aircraft_aside
from mixlib.draw.aircraft.view import LEAST_SPAN, aircraft_figure
from mixlib.draw.charts import Curve, line_chart
from mixlib.draw.phases import aircraft_columns
from mixlib.draw.shapes import Arrow, Line, Polygon, Room, Scaled, Text, every_shape
from mixlib.units import throw_mm_from_angle

each_plane = pytest.mark.parametrize("aircraft", HANGAR.values(), ids=list(HANGAR))
each_room = pytest.mark.parametrize("room", TYPICAL, ids=lambda room: f"{room.width}x{room.height}")


PLACE = Room(240, 120)


def figure(aircraft, angles):
    return aircraft_figure(aircraft, angles, "a name", 200.0, 50.0, PLACE)


@each_plane
def test_a_figure_stays_in_its_room_and_each_edge_goes_its_way(aircraft):
    for angle in (-25.0, 25.0):
        drawn, bottom = figure(aircraft, dict.fromkeys(aircraft.surface_names, angle))
        assert bottom <= 50.0 + PLACE.height + 1e-6
        points = [p for s in every_shape([drawn]) if isinstance(s, Polygon | Line) for p in s.points]
        points += [s.end for s in every_shape([drawn]) if isinstance(s, Arrow)]
        xs, ys = np.transpose(points)
        assert xs.min() >= 200 - PLACE.width / 2 - 1e-6
        assert xs.max() <= 200 + PLACE.width / 2 + 1e-6
        assert ys.min() >= 50 - 1e-6
        assert ys.max() <= bottom + 1e-6
        for surface in aircraft.surfaces:
            word = direction(surface, angle)
            arrows = [s for s in every_shape([drawn]) if isinstance(s, Arrow) and s.meaning.endswith(word)]
            own = [arrow for arrow in arrows if arrow.meaning == f"{surface.name} {word}"]
            assert len(own) == (2 if (surface.side, surface.part) == ("centre", "tail") else 1)
            for arrow in own:
                axis = 0 if surface.kind == "rudder" else 1
                way = arrow.end[axis] - arrow.start[axis]
                assert (way < 0) == (word in ("up", "left")), surface.name


def test_a_figure_is_the_view_to_another_scale():
    angles = [20.0, 20.0, -10.0, -10.0, 5.0, 0.0]
    throws = [float(throw_mm_from_angle(a, s.chord_mm)) for a, s in zip(angles, THREE.surfaces, strict=True)]
    whole = aircraft_view(THREE, angles, throws, room=Room(640, 600))
    (view,) = [s for s in whole.shapes if isinstance(s, Scaled)]
    drawn, _ = figure(THREE, dict(zip(THREE.surface_names, angles, strict=True)))

    def edge(group: Scaled, name: str) -> float:
        """How far a surface's trailing edge has gone down, mm."""
        (leaf,) = [s for s in every_shape([group]) if isinstance(s, Polygon) and s.meaning.startswith(name)]
        return max((y - group.zero[1]) / group.unit[1] for _, y in leaf.points)

    for name in ("right aileron", "right flap"):
        assert edge(drawn, name) == pytest.approx(edge(view, name), abs=0.5)
    wing = [s for s in every_shape([drawn]) if isinstance(s, Polygon) and s.meaning == "wing"]
    span = max(x for s in wing for x, _ in s.points) - min(x for s in wing for x, _ in s.points)
    assert span / drawn.unit[0] == pytest.approx(LEAST_SPAN * THREE.wing.span_mm, rel=0.01)


@each_room
@each_plane
def test_columns_can_be_read_in_every_room(aircraft, room):
    ends = {
        "stick right": {s.name: -20.0 if s.side == "right" else 15.0 for s in aircraft.surfaces},
        **{f"setting {n}": dict.fromkeys(aircraft.surface_names, 10.0 * n) for n in (-2, 0, 1, 6)},
    }
    drawing = aircraft_columns(aircraft, ends, dict.fromkeys(ends, "18.8 m/s, sinks 1.74 m/s"), room=room)
    assert faults(drawing, room) == []
    if room == PROJECTOR:
        figures = [s.meaning for s in drawing.shapes if isinstance(s, Scaled)]
        assert figures == list(ends)


def test_each_column_says_what_its_figure_shows():
    flaps = ("left flap", "right flap")
    settings = {"droop": dict.fromkeys(flaps, 6.0), "brake": dict.fromkeys(flaps, 60.0)}
    drawing = aircraft_columns(THREE, settings, {}, room=Room(900, 300))
    words = [s.text for s in every_shape(drawing.shapes) if isinstance(s, Text)]
    for name, angles in settings.items():
        throw = float(throw_mm_from_angle(angles["left flap"], THREE.surface("left flap").chord_mm))
        assert any(text.startswith(f"down {throw:.1f} mm") for text in words)
        (drawn,) = [s for s in drawing.shapes if isinstance(s, Scaled) and s.meaning == name]
        assert (
            len([s for s in every_shape([drawn]) if s.meaning.endswith("flap down")]) == 4
        )  # leaf and arrow
    assert words.count("Both flaps") == 1
    assert drawing.description.startswith("Droop: both flaps down ")


def test_of_many_settings_as_many_stand_in_a_row_as_make_them_large():
    settings = {str(n): dict.fromkeys(THREE.surface_names, float(n)) for n in range(5)}

    def rows(room: Room) -> int:
        drawing = aircraft_columns(THREE, settings, {}, room=room)
        return len({round(s.zero[1]) for s in drawing.shapes if isinstance(s, Scaled)})

    assert rows(Room(1150, 260)) == 1
    assert rows(Room(1150, 900)) == 2


def chart(room=None):
    speed = np.linspace(5, 20, 20)
    return line_chart(
        "Sink over speed",
        [Curve("clean", speed, 0.1 * speed)],
        "speed, m/s",
        "sink, m/s",
        description="d",
        room=room,
    )


@pytest.mark.parametrize("lay", [with_aircraft, with_aircraft_aside])
@pytest.mark.parametrize("aircraft", DEMOS.values(), ids=list(DEMOS))
def test_the_aircraft_stands_by_a_chart_only_where_both_fit(aircraft, lay):
    angles = [15.0] * len(aircraft.surfaces)
    throws = [
        float(throw_mm_from_angle(a, s.chord_mm)) for a, s in zip(angles, aircraft.surfaces, strict=True)
    ]
    view = partial(aircraft_view, aircraft, angles, throws)
    for room in (*TYPICAL, Room(807, 536), Room(1300, 330)):
        drawing = lay("title", chart, view, room=room)
        assert faults(drawing, room, high=True) == []
        both = bool(shapes(drawing, Polygon, "wing"))
        assert both or drawing == chart(room=room)
        if room == PROJECTOR:
            assert both
            assert drawing.description.startswith("d ")
        if min(room.width / 430, room.height / 300) <= 1:
            assert not both
