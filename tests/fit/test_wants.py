"""The usual throws move the right way, as far as the stops allow, and mirror from left to right."""

import pytest

from mixlib.bench.fit import usual_wants
from mixlib.chain import Rig
from mixlib.describe import shipped, shipped_names
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup
from mixlib.describe.words import direction

AIRCRAFT = [shipped("aircraft", name) for name in shipped_names("aircraft")]
each_aircraft = pytest.mark.parametrize("aircraft", AIRCRAFT, ids=lambda aircraft: aircraft.name)


@pytest.mark.parametrize(
    "name, surface, command, word",
    [
        # The aileron on the side of the stick goes up; droop is down; crow is ailerons up and flaps down;
        # back stick raises the elevator; the rudder goes to the side of the turn.
        # Common practice, no source.
        ("orchard_two", "right aileron", "roll", "up"),
        ("orchard_two", "left aileron", "roll", "down"),
        ("orchard_two", "left aileron", "camber", "down"),
        ("orchard_two", "elevator", "pitch", "up"),
        ("orchard_two", "rudder", "yaw", "right"),
        ("orchard_three", "right aileron", "brake", "up"),
        ("orchard_three", "right flap", "brake", "down"),
        ("orchard_three", "right flap", "roll", "up"),
        # Upright V-tail: with right rudder the right one goes down and the left one up.
        ("orchard_vee", "right V-tail", "yaw", "down"),
        ("orchard_vee", "left V-tail", "yaw", "up"),
        ("orchard_vee", "left V-tail", "pitch", "up"),
        ("orchard_wing", "right elevon", "roll", "up"),
        ("orchard_wing", "right elevon", "pitch", "up"),
    ],
)
def test_directions(name, surface, command, word):
    aircraft = shipped("aircraft", name)
    (want,) = (
        want
        for want in usual_wants(aircraft)
        if (want.surface, want.command, want.side) == (surface, command, "above")
    )
    assert direction(aircraft.surface(surface), want.throw_mm(aircraft)) == word


@pytest.mark.parametrize(
    "setup", [flaperon_setup(), four_surface_setup(), v_tail_setup(), elevon_setup()], ids=lambda s: s.name
)
def test_demo_set_ups_move_as_wanted(setup):
    """Where a demo moves a surface for a command, it moves it the way the usual want says."""
    rig = Rig(setup)
    for want in usual_wants(setup.aircraft):
        if want.command in setup.radio.commands:
            got = rig.moves(**{want.command: 1 if want.side == "above" else -1})[want.surface]
            assert got * want.amount >= 0, want


@each_aircraft
def test_within_the_stops_and_mirrored(aircraft):
    wants = {(w.surface, w.command, w.side): w for w in usual_wants(aircraft)}
    other_side = {"above": "below", "below": "above"}
    for (name, command, side), want in wants.items():
        surface = aircraft.surface(name)
        assert -surface.stop_up_deg < want.angle_deg(aircraft) < surface.stop_down_deg
        if surface.side == "centre":
            continue
        mirror = name.replace("left", "LEFT").replace("right", "left").replace("LEFT", "right")
        twin = wants[mirror, command, other_side[side] if command == "roll" else side]
        sense = -1 if (surface.kind, command) == ("v-tail", "yaw") else 1
        assert twin.amount == sense * want.amount


@each_aircraft
def test_every_surface_is_asked_for_something(aircraft):
    assert {want.surface for want in usual_wants(aircraft)} == set(aircraft.surface_names)
