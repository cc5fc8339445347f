"""Panels of the flight lessons: both ends of every control, for the demo aircraft, the right direction."""

from __future__ import annotations

import re

import numpy as np
import pytest

from mixlib.air.aircraft.from_setup import angles_at
from mixlib.air.landing import field
from mixlib.air.landing.field import Path
from mixlib.describe import plain_setup
from mixlib.describe.demo import flaperon_setup, four_surface_setup, hopper_ready, v_tail_setup
from mixlib.draw.flight.approach import landing_side_view, landing_words
from mixlib.draw.shapes import label_faults
from mixlib.panel import flight as air_panels
from mixlib.panel import handling as handling_panels


def plain(text: str) -> str:
    return re.sub(r"<[^>]+>", "", text)


def ends(panel):
    for name, control in panel.controls.items():
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
    "landing": air_panels.landing_panel,
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
        air_panels.landing_panel(four_surface_setup(), "brake"),
        handling_panels.compensation_panel(four_surface_setup(), "brake"),
    ):
        for name in ends(panel):
            assert panel.error == "", name
    assert "down elevator" in plain(panel.sentence)


def test_flap_brake_and_wind_shorten_the_landing():
    setup = four_surface_setup()
    settings = {"clean": {}, "half": {"brake": 0.5}, "full": {"brake": 1.0}}
    still = [item.path.touchdown_m for item in field.landings(setup, settings).values()]
    windy = [item.path.touchdown_m for item in field.landings(setup, settings, 4.0).values()]
    assert still == sorted(still, reverse=True)
    assert all(wind < calm for wind, calm in zip(windy, still, strict=True))
    low, high = field.landings(setup, settings)["full"].spread_m
    assert low <= still[2] <= high


def test_a_brake_set_at_the_hedge_lands_between():
    setup = four_surface_setup()
    settings = {"clean": {}, "full": {"brake": 1.0}}
    early = field.landings(setup, settings)
    late = field.landings(setup, settings, late="full")
    assert early["full"].path.touchdown_m < late["full"].path.touchdown_m < early["clean"].path.touchdown_m


def test_the_setting_leaves_out_what_trims():
    assert set(angles_at(v_tail_setup(), camber=1)) == {"left aileron", "right aileron"}
    crow = angles_at(four_surface_setup(), brake=1)
    assert crow["left flap"] > 0 > crow["left aileron"]


@pytest.mark.parametrize("touchdown", [12.0, 59.0, 61.0, 400.0, np.nan])
def test_the_side_view_can_be_read_wherever_it_lands(touchdown):
    x = np.linspace(-80, 160, 50)
    paths = [Path(f"setting {n}", x, np.maximum(12 - 0.1 * n * (x + 60), 0), touchdown) for n in range(4)]
    drawing = landing_side_view(paths)
    assert label_faults(drawing) == []
    word = "does not clear" if np.isnan(touchdown) else "on the strip" if touchdown < 60 else "beyond"
    assert word in landing_words(paths[0])


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
