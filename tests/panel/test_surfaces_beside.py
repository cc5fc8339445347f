"""The reader's own aircraft in the panels of all lessons: there, as the levers move it, signs true."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import own_hangar
import pytest

from mixlib.bench.fit import fit, usual_wants
from mixlib.chain import Rig
from mixlib.describe import Setup
from mixlib.describe.words import direction
from mixlib.draw.shapes import Line, Polygon, Room, Scaled, every_shape
from mixlib.panel import budget, flight, handling, landing, phases, surfaces, throws
from mixlib.panel.fit import fit_panel, moves_picture
from mixlib.panel.fit.desk import _Way
from mixlib.units import throw_mm_from_angle

LARGE, SMALL = Room(900, 540), Room(400, 200)
SETUPS = own_hangar.setups()
each_setup = pytest.mark.parametrize("setup", SETUPS.values(), ids=list(SETUPS))


def leaves(shapes) -> dict[str, str]:
    """Way of each surface in a picture, such as "up", by its name; neutral ones too."""
    found = {}
    for shape in every_shape(shapes):
        name, _, way = getattr(shape, "meaning", "").rpartition(" ")
        if name and isinstance(shape, Polygon) and way in ("up", "down", "left", "right", "neutral"):
            found[name] = way
    return found


def moved(setup: Setup, **values: float) -> dict[str, str]:
    """Way of each surface by the chain."""
    angles = Rig(setup).moves(**values)
    chords = {part.name: part.chord_mm for part in setup.aircraft.surfaces}
    return {
        part.name: direction(part, float(throw_mm_from_angle(angles[part.name], chords[part.name])))
        for part in setup.aircraft.surfaces
    }


def ways(drawing) -> set[str]:
    lines = (s.meaning for s in every_shape(drawing.shapes) if isinstance(s, Line))
    return {words for words in lines if words.startswith("way of the ")}


@each_setup
def test_panels_of_levers_show_the_aircraft_as_they_move_it(setup):
    camber = "camber" in surfaces.moving_commands(setup)
    panels = {
        surfaces.adding(setup): {"roll": 1.0},
        budget.budget_panel(setup): {"roll": -1.0, "camber": 1.0},
        throws.differential(setup): {"roll": 1.0, "camber": -1.0},
    }
    panels |= {flight.polar_panel(setup): {"camber": -1.0}} if camber else {}
    for panel, values in panels.items():
        for name, value in values.items():
            panel.controls[name].value = value
        assert panel.error == "", panel.title
        drawing = panel._draw(room=LARGE)
        assert leaves(drawing.shapes) == moved(setup, **values), panel.title
        assert ways(drawing) or (not camber and "camber" in values), panel.title
    if not camber:
        assert leaves(flight.polar_panel(setup)._draw(room=LARGE).shapes) == {}


def test_a_small_room_keeps_the_chart_alone():
    setup = SETUPS["two ailerons"]
    for panel in (surfaces.adding(setup), flight.polar_panel(setup), budget.budget_panel(setup)):
        assert leaves(panel._draw(room=SMALL).shapes) == {}
        assert leaves(panel._draw(room=LARGE).shapes)


@each_setup
def test_the_roll_panel_rolls_to_the_right(setup):
    panel = handling.roll_panel(setup)
    assert panel.error == ""
    seen = leaves(panel._draw(room=LARGE).shapes)
    rolling = [part for part in setup.aircraft.surfaces if part.kind in ("aileron", "elevon")]
    for part in rolling:
        assert seen[part.name] == ("up" if part.side == "right" else "down")
    assert {seen[part.name] for part in setup.aircraft.surfaces if part.part != "wing"} <= {"neutral"}


def test_compensation_shows_full_lever_and_its_elevator():
    setup = SETUPS["four surfaces, one flap servo not mirrored"]
    panel = handling.compensation_panel(setup, "brake")
    seen = leaves(panel._draw(room=LARGE).shapes)
    assert seen == moved(setup, brake=1.0) | {"elevator": "down"}  # "raises its nose", as lesson 07 teaches
    panel.controls["flown"].value = True
    panel.controls["elevator"].value = ((-1.0, -2.0, -3.0),)
    assert leaves(panel._draw(room=LARGE).shapes)["elevator"] == "up"


@each_setup
def test_the_landing_shows_both_settings(setup):
    command = "brake" if "brake" in surfaces.moving_commands(setup) else "camber"
    if command not in surfaces.moving_commands(setup):
        return
    drawing = landing.landing_panel(setup, command)._draw(room=Room(1150, 330))
    figures = {s.meaning: s for s in drawing.shapes if isinstance(s, Scaled)}
    rudders = {part.name for part in setup.aircraft.of_kind("rudder")}
    for name, value in (("clean", 0.0), ("as set", 1.0)):
        seen, true = leaves([figures[name]]), moved(setup, **{command: value})
        assert {key: seen[key] for key in seen if key not in rudders} == {
            key: true[key] for key in true if key not in rudders
        }


def test_the_landing_that_is_played_follows_the_paths_alone():
    panel = landing.landing_panel(SETUPS["two ailerons"])
    panel.stage.room = [1150.0, 330.0]
    (player,) = panel._more
    assert [track["name"] for track in player.tracks] == ["clean", "as set"]
    for track in player.tracks:
        assert np.ptp([x for x, _ in track["points"]]) > 200  # in the wide picture, not in a figure


@each_setup
def test_each_phase_shows_its_angles(setup):
    panel = phases.phase_panel(setup)
    drawing = panel._draw(room=Room(1150, 300))
    figures = [s for s in drawing.shapes if isinstance(s, Scaled)]
    assert [one.meaning for one in figures] == list(panel.controls["angles"].columns)
    grid = panel.controls["angles"].value
    for column, one in enumerate(figures):
        lowered = any(row[column] > 1 for row in grid)
        assert ("down" in leaves([one]).values()) >= lowered


@pytest.mark.parametrize("name", ["motor glider on a Y-lead", "V-tail", "elevons"])
def test_a_fit_shows_what_each_stick_moves(name):
    setup = SETUPS[name]
    found = fit(setup.aircraft, setup.radio, usual_wants(setup.aircraft))
    drawing = moves_picture(found.setup)(room=Room(1150, 300))
    figures = {s.meaning: leaves([s]) for s in drawing.shapes if isinstance(s, Scaled)}
    for part in setup.aircraft.surfaces:
        if part.kind in ("aileron", "elevon"):
            assert figures["stick right"][part.name] == ("up" if part.side == "right" else "down")
        if part.kind in ("elevator", "elevon", "v-tail"):
            assert figures["stick back"][part.name] == "up"
        if part.kind == "rudder":
            assert figures["nose right"][part.name] == "right"


def test_the_picture_of_a_fit_follows_the_way_that_is_chosen_and_the_room():
    setup = SETUPS["elevons"]
    found = fit(setup.aircraft, setup.radio, usual_wants(setup.aircraft))
    desk = fit_panel(setup)
    desk.stage.room = [1000.0, 400.0]
    assert desk.stage.picture == ""
    desk._offer([_Way("as found", found), _Way("as before", replace(found, setup=setup))], 0)
    first = desk.stage.picture
    assert "What sticks and levers then move" in first
    desk.stage.room = [1400.0, 500.0]
    wide = desk.stage.picture
    assert wide != first
    desk.ways.value = 1
    assert desk.stage.picture != wide
