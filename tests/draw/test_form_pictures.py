"""The pictures of the form: readable in every room, and true to the numbers they show."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from rooms import TYPICAL, any_room, faults

from mixlib.draw.form.kinds import kind_picture
from mixlib.draw.form.receiver import receiver_view
from mixlib.draw.form.sketch import sketch
from mixlib.draw.shapes import Arrow, Line, Polygon, Room, every_shape
from mixlib.panel.form.short.questions import KINDS

SIZES = {
    "span": 1600.0,
    "root": 190.0,
    "tip": 130.0,
    "sweep": 15.0,
    "balance": 62.0,
    "thick": 20.0,
    "flap.from": 50.0,
    "flap.to": 400.0,
    "flap.chord": 45.0,
    "aileron.from": 410.0,
    "aileron.to": 770.0,
    "aileron.chord": 40.0,
    "tail.back": 580.0,
    "tail.span": 400.0,
    "tail.chord": 100.0,
    "tail.flap": 40.0,
    "fin": 180.0,
    "motor": 1.0,
}
PLUGS = [
    ("both ailerons (Y-lead)", 1, False),
    ("elevator", 2, True),
    ("rudder", None, False),
    ("motor", 3, False),
]


@pytest.mark.parametrize("room", TYPICAL)
@pytest.mark.parametrize("at", [*SIZES, "mass", ""])
def test_the_sketch_can_be_read_in_every_room(room, at):
    drawn = sketch(SIZES, at, "Aileron from: 410 mm (assumed)", "Its inner end, from the middle.", room=room)
    assert faults(drawn, room, high=room.height >= 300) == []


LENGTHS = [key for key in SIZES if key not in ("thick", "fin", "motor")]


@pytest.mark.parametrize("at", LENGTHS)
def test_the_arrow_is_as_long_as_the_number_to_the_scale_of_the_span(at):
    drawn = sketch(SIZES, at, "", "", room=Room(900, 600))
    shapes = list(every_shape(drawn.shapes))
    wings = np.array(
        [
            corner
            for shape in shapes
            if isinstance(shape, Polygon) and shape.meaning == "wing"
            for corner in shape.points
        ]
    )
    scale = (wings[:, 0].max() - wings[:, 0].min()) / SIZES["span"]
    ends = [shape.end for shape in shapes if isinstance(shape, Arrow)]
    assert np.hypot(*np.subtract(*ends)) / scale == pytest.approx(SIZES[at], rel=1e-6)


@settings(max_examples=30, deadline=None)
@given(any_room)
def test_the_receiver_can_be_read_in_every_room(room):
    assert faults(receiver_view(8, PLUGS, "elevator", room=room), room) == []


def test_each_wire_ends_at_its_output_and_what_is_not_plugged_in_has_none():
    drawn = receiver_view(6, PLUGS, "elevator")
    shapes = list(every_shape(drawn.shapes))
    wires = {shape.meaning: shape for shape in shapes if isinstance(shape, Line)}
    sockets = {shape.meaning: shape for shape in shapes if shape.meaning.startswith("output")}
    assert set(wires) == {"both ailerons (Y-lead)", "elevator", "motor"}
    for words, number in (("both ailerons (Y-lead)", 1), ("elevator", 2), ("motor", 3)):
        assert wires[words].points[0][1] == sockets[f"output {number}"].y
    assert wires["elevator"].role == "measure"
    assert "rudder in no output yet" in drawn.description


def test_every_kind_by_picture_has_one_of_its_own():
    drawn = {
        choice: str(kind_picture(question, choice).shapes)
        for question in ("wing", "tail", "lead", "motor", "finish")
        for choice in KINDS[question][1]
    }
    assert len(set(drawn.values())) == len(drawn)
    assert kind_picture("length", "mm").shapes == ()
