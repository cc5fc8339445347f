"""Elevator with a lever, from the panel over wish and fit to the card, for every layout of surfaces."""

from __future__ import annotations

import re

import pytest
from own_hangar import aircraft as hangar

from mixlib.bench.card import bench_card
from mixlib.bench.fit import fit, usual_wants
from mixlib.chain import Rig
from mixlib.describe import Setup, plain_setup, shelf, shipped
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup
from mixlib.panel.fit.lines import lines_of
from mixlib.panel.handling import compensation_panel
from mixlib.units import throw_mm_from_angle

RICH = shipped("radio", "rich_ten")
FLOWN = (0.8, 1.0, 2.5)
"""mm down at a quarter, half and all of the way: no straight line, and no parabola."""


def fitted(plane) -> Setup:
    return fit(plane, RICH, usual_wants(plane), keep=plain_setup(plane, RICH)).setup


def tailless_with_flaps() -> Setup:
    wing, flap = (
        shipped("aircraft", "orchard_wing"),
        shipped("aircraft", "orchard_three").surface("left flap"),
    )
    flaps = [
        flap.replace(name=f"{side} flap", side=side, y_inner_mm=40.0, y_outer_mm=220.0, servo=elevon.servo)
        for side, elevon in zip(("left", "right"), wing.surfaces, strict=True)
    ]
    return fitted(wing.replace(surfaces=(*flaps, *wing.surfaces)))


LAYOUTS = {
    "two ailerons": (lambda: fitted(shipped("aircraft", "orchard_two")), "camber"),
    "ailerons and flaps": (four_surface_setup, "brake"),
    "V-tail": (v_tail_setup, "camber"),
    "elevons and flaps": (tailless_with_flaps, "brake"),
    "six on the wing, elevator in halves": (
        lambda: fitted(hangar()["six surfaces on the wing, elevator in halves"]),
        "brake",
    ),
}


@pytest.fixture
def own(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path / "mine"))


@pytest.mark.parametrize("layout", LAYOUTS)
def test_what_was_flown_reaches_the_settings_and_the_card(own, layout):
    make, command = LAYOUTS[layout]
    panel = compensation_panel(make(), command)
    panel.controls["flown"].value = True
    panel.controls["elevator"].value = [FLOWN]
    assert "holds what you have flown with a curve of 9 points" in panel.sentence
    panel.press("Keep it as a wish for lesson 08")
    kept = shelf.open_kept(*shelf.kept_names())
    result = fit(kept.aircraft, kept.radio, kept.wanted, keep=kept)
    setup, rig = result.setup, Rig(result.setup)
    parts = [part for part in kept.aircraft.surfaces if part.kind in ("elevator", "v-tail", "elevon")]
    rows = [
        row
        for row in bench_card(setup).wanted.rows
        if "camber" in row[1] or "brake" in row[1] or "droop" in row[1]
    ]
    still = rig.moves()
    for part in parts:
        ours = [row for row in rows if row[0] == part.name and "reflex" not in row[1]]
        assert [row[2] for row in ours] == ["down 2.5 mm", "down 1.0 mm", "down 0.8 mm"]
        for share, mm in zip((0.25, 0.5, 1.0), FLOWN, strict=True):
            angle = rig.moves(**{command: share * setup.used_to(command, 1)})[part.name] - still[part.name]
            assert float(throw_mm_from_angle(angle, part.chord_mm)) == pytest.approx(mm, abs=0.4), part.name
    assert result.flown.faults == ()
    # The fit's lines show all three, and the panel finds them again.
    (line,) = (
        line
        for line in lines_of(kept.aircraft, kept.wanted)
        if line.wants[0].surface in [part.name for part in parts] and line.wants[0].command == command
    )
    assert (line.wants[0].quarter, line.wants[0].half, line.wants[0].amount) == FLOWN
    assert compensation_panel(setup, command).controls["elevator"].value == (FLOWN,)


def test_a_mix_through_what_was_flown(own):
    panel = compensation_panel(v_tail_setup(), "camber")
    panel.controls["flown"].value = True
    panel.controls["elevator"].value = [FLOWN]
    panel.press("Keep this mix as my own")
    setup = shelf.open_kept(*shelf.kept_names())
    for part in setup.aircraft.of_kind("v-tail"):
        for share, mm in zip((0.25, 0.5, 1.0), FLOWN, strict=True):
            angle = Rig(setup).moves(camber=share)[part.name]
            assert float(throw_mm_from_angle(angle, part.chord_mm)) == pytest.approx(mm, abs=0.25)


def test_a_radio_that_has_no_mix_left_says_what_the_hand_must_hold(own):
    """Simple six has two mixes, and both make the flaperons."""
    panel = compensation_panel(flaperon_setup(), "camber")
    panel.controls["flown"].value = True
    panel.controls["elevator"].value = [FLOWN]
    panel.press("Keep this mix as my own")
    assert "Not saved" in panel.saved
    assert "at most 2" in panel.saved
    panel.press("Keep it as a wish for lesson 08")
    kept = shelf.open_kept(*shelf.kept_names())
    result = fit(kept.aircraft, kept.radio, kept.wanted, keep=kept)
    assert any(
        re.search(r"With droop.* hold(?: or trim)? the elevator 2\.5 mm down", note) for note in result.notes
    )


def test_it_speaks_of_what_the_hand_moves(own):
    radio = RICH.with_control("camber", held_by="slider")
    panel = compensation_panel(flaperon_setup().replace(radio=radio), "camber")
    drawn = panel.picture + panel.extra
    assert "camber slider, % of its way to droop" in drawn
    assert "what the camber slider moves now" in drawn
    assert not re.search(r"\blever\b|[Ff]ull camber", drawn + panel.sentence)


def test_elevons_alone_say_why_there_is_nothing_to_compensate():
    panel = compensation_panel(elevon_setup(), "camber")
    assert "elevons are elevator and ailerons in one" in panel.sentence
    assert not panel.controls
