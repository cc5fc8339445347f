"""Panels of the flight lessons: both ends of every control, for the demo aircraft, the right direction."""

from __future__ import annotations

import re

import numpy as np
import pytest
from odd_setups import short
from rooms import label_faults

from mixlib.air.aircraft.from_setup import angles_at
from mixlib.air.landing import Path, landings
from mixlib.describe import ORCHARD_FIELD, LandingField, plain_setup, shelf
from mixlib.describe.demo import flaperon_setup, four_surface_setup, hopper_ready, v_tail_setup
from mixlib.draw.flight.approach import MOMENT_S, landing_side_view, landing_words, tracks
from mixlib.draw.shapes import Room
from mixlib.panel import flight as air_panels
from mixlib.panel import handling as handling_panels
from mixlib.panel.base.controls import NumberGrid
from mixlib.panel.base.play import Player
from mixlib.panel.landing import landing_panel


def plain(text: str) -> str:
    return re.sub(r"<[^>]+>", "", text)


def ends(panel):
    for name, control in panel.controls.items():
        if isinstance(control, NumberGrid):
            continue
        if hasattr(control.entry, "min"):
            for value in (control.entry.min, control.entry.max):
                control.entry.value = value
                yield name
        else:
            for value in control.entry.options:
                control.value = value[1]
                yield name
        panel.reset()


MAKERS = {
    "polar": air_panels.polar_panel,
    "landing": landing_panel,
    "roll": handling_panels.roll_panel,
    "compensation": lambda setup: handling_panels.compensation_panel(setup, "camber"),
}


@pytest.mark.parametrize("demo", [flaperon_setup, four_surface_setup])
@pytest.mark.parametrize("maker", MAKERS)
def test_both_ends_of_every_control_are_shown_without_a_fault(maker, demo):
    panel = MAKERS[maker](demo())
    assert panel.error == ""
    for name in ends(panel):
        assert panel.error == "", name
        assert plain(panel.sentence)


def test_the_brake_has_its_own_panels():
    for panel in (
        landing_panel(four_surface_setup(), "brake"),
        handling_panels.compensation_panel(four_surface_setup(), "brake"),
    ):
        for name in ends(panel):
            assert panel.error == "", name
    assert "down elevator" in plain(panel.sentence)


def test_where_the_place_of_the_lever_cannot_be_landed_the_worked_out_landing_is_shown():
    """A wing of aspect ratio 5 drops its droop's last tenths."""
    panel = landing_panel(short())
    assert panel.controls["camber"].value == 1
    assert not panel.error
    assert "As set: no approach was found that can be flown so; take less of it." in panel.sentence
    assert "Worked out: touches down" in panel.sentence
    assert "<td>as set</td>" not in panel.extra
    panel.controls["camber"].value = 0.0
    assert "As set: touches down" in panel.sentence


def test_flap_brake_and_wind_shorten_the_landing():
    setup = four_surface_setup()
    settings = {"clean": {}, "half": {"brake": 0.5}, "full": {"brake": 1.0}}
    still = [item.path.touchdown_m for item in landings(setup, settings).values()]
    windy = [item.path.touchdown_m for item in landings(setup, settings, 4.0).values()]
    assert still == sorted(still, reverse=True)
    assert all(wind < calm for wind, calm in zip(windy, still, strict=True))
    low, high = landings(setup, settings)["full"].spread_m
    assert low <= still[2] <= high


def test_a_brake_set_at_the_hedge_lands_between():
    setup = four_surface_setup()
    settings = {"clean": {}, "full": {"brake": 1.0}}
    early = landings(setup, settings)
    late = landings(setup, settings, late="full")
    assert early["full"].path.touchdown_m < late["full"].path.touchdown_m < early["clean"].path.touchdown_m


def test_the_setting_leaves_out_what_trims():
    assert set(angles_at(v_tail_setup(), camber=1)) == {"left aileron", "right aileron"}
    crow = angles_at(four_surface_setup(), brake=1)
    assert crow["left flap"] > 0 > crow["left aileron"]


@pytest.mark.parametrize("touchdown", [12.0, 59.0, 61.0, 400.0, np.nan])
@pytest.mark.parametrize(
    "field", [ORCHARD_FIELD, LandingField(length_m=300, obstacle_m=0)], ids=lambda f: f.name
)
def test_the_side_view_can_be_read_wherever_it_lands(touchdown, field):
    x = np.linspace(-80, 160, 50)
    heights = [np.maximum(12 - 0.1 * n * (x + 60), 0) for n in range(4)]
    paths = [
        Path(f"setting {n}", x / 9, x, z, touchdown, touchdown + 8, field) for n, z in enumerate(heights)
    ]
    drawing = landing_side_view(paths)
    assert label_faults(drawing) == []
    said = landing_words(paths[0])
    if np.isnan(touchdown):
        assert said == f"does not clear the {field.edge}"
    else:
        assert f"{touchdown:.0f} m behind the {field.edge}" in said
        stops, down = touchdown + 8 <= field.length_m, touchdown <= field.length_m
        word = "stops on the strip, at" if stops else "slides beyond" if down else ", beyond the strip"
        assert word in said


def test_the_words_are_those_of_the_readers_field():
    setup = four_surface_setup()
    panel = landing_panel(setup, "brake")
    assert "behind the hedge" in plain(panel.sentence)
    panel.controls["field"].value = [[90.0, 10.0]]
    shown = plain(panel.sentence + panel.picture + panel.extra)
    assert "obstacle 10 m" in shown
    assert "strip 90 m" in shown
    assert "hedge" not in shown
    panel.controls["field"].value = [[90.0, 0.0]]
    assert "behind the near end" in plain(panel.sentence)
    panel.controls["field"].value = [[5.0, 0.0]]
    assert "Length of the field is 5 m. Accepted: a number from 10 to 500 m" in plain(panel.error)
    panel.controls["field"].value = [[60.0, 6.0]]
    assert not panel.error
    assert "behind the hedge" in plain(panel.sentence)


def test_a_field_is_kept_with_the_set_up():
    mine = four_surface_setup().replace(name="Mine")
    shelf.keep(mine)
    panel = landing_panel(mine, "brake")
    panel.controls["field"].value = [[90.0, 10.0]]
    panel.controls["ground"].value = "long grass"
    panel.press("Keep as my field")
    assert "60 m of mown grass, 6 m in front → 90 m of long grass, 10 m in front" in plain(panel.saved)
    kept = shelf.chosen(flaperon_setup()).setup
    assert kept.field == LandingField(length_m=90, obstacle_m=10, ground="long grass")
    assert kept.replace(field=ORCHARD_FIELD) == mine
    again = landing_panel(kept, "brake")
    assert "behind the obstacle" in plain(again.sentence)


def test_what_is_played_is_what_is_drawn():
    """Points of a track lie a moment apart: at the edge of the strip it has its speed over the ground."""
    setup = flaperon_setup()
    paths = [item.path for item in landings(setup, {"clean": {}, "full": {"camber": 1.0}}, 3.0).values()]
    drawing = landing_side_view(paths, room=Room(1000.0, 500.0))
    played = tracks(drawing)
    assert [track["name"] for track in played] == ["clean", "full"]
    assert len({track["colour"] for track in played}) == 2
    strip = next(shape for shape in drawing.shapes if getattr(shape, "meaning", "") == "strip")
    left, right = strip.points[0][0], strip.points[1][0]
    for path, track in zip(paths, played, strict=True):
        x_m = (np.array(track["points"])[:, 0] - left) * path.field.length_m / (right - left)
        over = np.argmax(x_m >= 0)
        speed = (x_m[over] - x_m[over - 1]) / MOMENT_S
        assert speed == pytest.approx(
            float(np.gradient(path.x_m, path.time_s)[np.argmax(path.x_m >= 0)]), rel=0.05
        )
    assert played[1]["points"][-1][0] == pytest.approx(left + paths[1].stop_m * (right - left) / 60, abs=0.5)


def test_the_player_gets_the_tracks_of_the_picture():
    panel = landing_panel(flaperon_setup())
    player = next(part for part in panel.widget.children[0].children[2].children if isinstance(part, Player))
    before = player.tracks
    assert [track["name"] for track in before] == ["clean", "as set"]
    panel.controls["camber"].value = 0.2
    ends = [(old["points"][-1], new["points"][-1]) for old, new in zip(before, player.tracks, strict=True)]
    assert ends[0][0] == ends[0][1]
    assert ends[1][0] != ends[1][1]


def test_what_dihedral_does_is_told_where_there_is_some():
    """Also without ailerons, which is how such a glider is flown."""
    setup = hopper_ready()
    said = handling_panels.roll_panel(setup).sentence
    rate = float(re.search(r"10° to one side by the rudder, dihedral rolls it that way by (\d+)", said)[1])
    assert 10 < rate < 30
    assert "dihedral" not in handling_panels.roll_panel(flaperon_setup()).sentence
    kept = tuple(part for part in setup.aircraft.surfaces if part.kind != "aileron")
    without = plain_setup(setup.aircraft.replace(surfaces=kept), setup.radio)
    assert "has no ailerons. With the nose held 10°" in handling_panels.roll_panel(without).sentence


def test_no_aileron_goes_beyond_its_stop():
    """The stops are at 35 deg; full droop leaves 4 of them on the way down."""
    panel = handling_panels.roll_panel(flaperon_setup())
    assert "aileron 15° up and 15° down: roll" in panel.sentence
    panel.controls["camber"].value, panel.controls["up"].value = 1.0, 25.0
    assert "aileron 25° up and 4° down, held by a stop: roll" in panel.sentence
    panel.controls["camber"].value = -1.0
    assert "aileron 5° up and 25° down, held by a stop: roll" in panel.sentence


def test_a_large_swing_of_the_nose_stays_on_the_chart():
    setup = flaperon_setup()
    wide = tuple(part.replace(stop_down_deg=60) for part in setup.aircraft.surfaces)
    panel = handling_panels.roll_panel(setup.replace(aircraft=setup.aircraft.replace(surfaces=wide)))
    panel.controls["camber"].value, panel.controls["up"].value = 1.0, 25.0
    assert panel.error == ""
    assert re.search(r">−1[5-9]<|>−20<", panel.stage.picture), (
        "the scale reaches below the swing of about −17 deg"
    )
    assert "as set" in panel.stage.picture
