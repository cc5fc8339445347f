"""The form for wanted throws: the answer follows what was typed, and nonsense gets a sentence."""

from __future__ import annotations

import html
import re

import pytest

from mixlib.chain import Rig
from mixlib.describe import load, plain_setup, shipped
from mixlib.describe.demo import flaperon_setup, four_surface_setup
from mixlib.panel.fit import fit_panel


def plain(text: str) -> str:
    return html.unescape(re.sub(r"<[^>]+>", " ", text))


def test_the_answer_shows_plugs_throws_and_what_cannot_be_had():
    panel = fit_panel(plain_setup(shipped("aircraft", "orchard_three"), shipped("radio", "simple_six")))
    panel.find()
    said = plain(panel.answer)
    assert panel.result.mixes_used <= 2
    for word in ("left aileron", "wanted, mm", "What cannot be had", "Rich ten"):
        assert word in said


def test_the_simple_radio_gets_its_flaperons_with_a_mark_on_the_dial():
    panel = fit_panel(flaperon_setup())
    panel.find()
    assert "the largest miss is 1.0 mm" in plain(panel.told)  # no mark below a fifth of the dial's way
    assert "Turn the dial of camber no further than" in plain(panel.answer)
    moves = Rig(panel.result.setup).moves(roll=1)
    assert moves["left aileron"] > 0 > moves["right aileron"]


def test_a_rich_radio_gives_all_of_it():
    panel = fit_panel(four_surface_setup())
    panel.find()
    assert "All of what you want can be had" in plain(panel.told)
    assert panel.result.worst_miss_mm < 0.5


def test_a_throw_out_of_reach_is_said_and_the_last_answer_stays():
    panel = fit_panel(flaperon_setup())
    panel.find()
    before = panel.answer
    rows = [list(row) for row in panel.grid.value]
    rows[0][0] = 140.0
    panel.grid.value = rows
    panel.find()
    assert "Not found" in plain(panel.told)
    assert panel.answer == before
    rows[0][0] = 400.0
    panel.grid.value = rows
    panel.find()
    assert "-150 to 150" in plain(panel.told)


def test_weight_nothing_leaves_a_throw_out():
    panel = fit_panel(flaperon_setup())
    rows = [
        [mm, 0.0 if "camber" in name else weight]
        for name, (mm, weight) in zip(panel.grid.rows, panel.grid.value, strict=True)
    ]
    panel.grid.value = rows
    panel.find()
    assert all(row.want.command != "camber" for row in panel.result.rows)


def test_keeping_saves_the_fitted_set_up(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    panel = fit_panel(
        plain_setup(shipped("aircraft", "orchard_wing"), shipped("radio", "simple_six"), "wing")
    )
    panel.keep()
    assert not list(tmp_path.iterdir())
    panel.find()
    panel.keep()
    assert "Saved" in plain(panel.told)
    (path,) = tmp_path.glob("*.toml")
    assert load(path) == panel.result.setup
    assert load(path).wanted


@pytest.mark.parametrize("radio", ["bare_four", "simple_six", "rich_ten"])
def test_every_layout_finds_an_answer_on_every_radio(radio):
    for aircraft in ("orchard_vee", "orchard_wing"):
        panel = fit_panel(plain_setup(shipped("aircraft", aircraft), shipped("radio", radio)))
        panel.find()
        assert panel.result is not None, plain(panel.told)
