"""The form for wanted throws: the answer follows what was typed, and nonsense gets a sentence."""

from __future__ import annotations

import html
import re
from functools import cache

import pytest

from mixlib.chain import Rig
from mixlib.describe import load, plain_setup, shipped
from mixlib.describe.demo import flaperon_setup, four_surface_setup
from mixlib.panel.fit import fit_panel

FIND, KEEP = "Find the settings", "Keep these settings as my own"


def plain(text: str) -> str:
    return html.unescape(re.sub(r"<[^>]+>", " ", text))


@pytest.fixture(autouse=True)
def own(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    return tmp_path


def kept(panel, folder):
    panel.press(KEEP)
    assert "Saved" in plain(panel.saved)
    (path,) = folder.glob("*.toml")
    return load(path)


def worst_miss_mm(panel) -> float:
    return float(re.search(r"the largest miss is ([\d.]+) mm", plain(panel.sentence))[1])


@cache
def searched(aircraft: str, radio: str):
    """The panel of a pair after its search, which the tests share."""
    flaperons = (aircraft, radio) == ("orchard_two", "simple_six")
    pair = shipped("aircraft", aircraft), shipped("radio", radio)
    panel = fit_panel(flaperon_setup() if flaperons else plain_setup(*pair, "wing"))
    panel.press(FIND)
    return panel


def test_the_answer_shows_plugs_throws_and_what_cannot_be_had(own):
    panel = searched("orchard_three", "simple_six")
    said = plain(panel.extra)
    assert len(kept(panel, own).free_mixes) <= 2
    for word in ("left aileron", "wanted, mm", "What cannot be had", "Rich ten"):
        assert word in said


def test_the_simple_radio_gets_its_flaperons_with_a_mark_on_the_dial(own):
    panel = searched("orchard_two", "simple_six")
    assert "the largest miss is" in plain(panel.stage.said)
    assert "Turn the dial of camber no further than" in plain(panel.extra)
    moves = Rig(kept(panel, own)).moves(roll=1)
    assert moves["left aileron"] > 0 > moves["right aileron"]


def test_a_rich_radio_gives_all_of_it():
    panel = fit_panel(four_surface_setup())
    panel.press(FIND)
    assert "All of what you want can be had" in plain(panel.stage.said)
    assert worst_miss_mm(panel) < 0.5


def test_a_throw_out_of_reach_is_said_and_the_last_answer_stays():
    panel = searched("orchard_two", "simple_six")
    before = panel.extra
    rows = [list(row) for row in panel.controls["wanted"].value]
    rows[0][0] = 140.0
    panel.controls["wanted"].value = rows
    panel.press(FIND)
    assert "Not done" in plain(panel.stage.said)
    assert panel.extra == before
    rows[0][0] = 400.0
    panel.controls["wanted"].value = rows
    panel.press(FIND)
    assert "-150 to 150" in plain(panel.stage.said)
    panel.controls["wanted"].reset()


def test_weight_nothing_leaves_a_throw_out():
    panel = fit_panel(flaperon_setup())
    rows = [
        [mm, 0.0 if "camber" in name else weight]
        for name, (mm, weight) in zip(
            panel.controls["wanted"].rows, panel.controls["wanted"].value, strict=True
        )
    ]
    panel.controls["wanted"].value = rows
    panel.press(FIND)
    assert ", roll (" in plain(panel.extra)
    assert ", camber (" not in plain(panel.extra)


def test_keeping_saves_the_fitted_set_up_and_nothing_before_it_is_found(own):
    panel = fit_panel(flaperon_setup())
    panel.press(KEEP)
    assert "Not saved. Find the settings first." in plain(panel.saved).replace("  ", " ")
    assert not list(own.iterdir())
    setup = kept(searched("orchard_wing", "simple_six"), own)
    assert setup.name == "wing, fitted"
    assert setup.wanted


@pytest.mark.slow
@pytest.mark.parametrize("radio", ["bare_four", "simple_six", "rich_ten"])
def test_every_layout_finds_an_answer_on_every_radio(radio):
    for aircraft in ("orchard_vee", "orchard_wing"):
        panel = searched(aircraft, radio)
        assert "can be had" in plain(panel.sentence), plain(panel.stage.said)
