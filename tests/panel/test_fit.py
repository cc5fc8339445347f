"""The form for wanted throws: the answer follows what was typed, and nonsense gets a sentence."""

from __future__ import annotations

import html
import re
from functools import cache

import pytest

from mixlib.bench.fit.typed import entries
from mixlib.chain import Rig, commands
from mixlib.describe import FreeMix, Setup, Shaping, hopper_ready, load, plain_setup, shipped
from mixlib.describe.demo import flaperon_setup, four_surface_setup
from mixlib.panel.base.panel import Panel
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


def coupled(radio: str) -> Setup:
    """Orchard Hopper whose rudder has expo and sub-trim and follows the roll stick by a mix."""
    setup = plain_setup(shipped("aircraft", "orchard_hopper"), shipped("radio", radio), "coupled")
    rudder = setup.wiring["rudder"]
    setup = setup.with_output(rudder, control="yaw", sub_trim_percent=4)
    return setup.with_mix(FreeMix.straight("roll", rudder, 30)).replace(
        shaping={"yaw": Shaping(expo_percent=30)}
    )


@cache
def searched(aircraft: str, radio: str) -> Panel:
    """The panel of a pair after its search, which the tests share."""
    if aircraft == "coupled":
        setup = coupled(radio)
    elif (aircraft, radio) == ("orchard_two", "simple_six"):
        setup = flaperon_setup()
    elif (aircraft, radio) == ("orchard_four", "rich_ten"):
        setup = four_surface_setup()
    else:
        setup = plain_setup(shipped("aircraft", aircraft), shipped("radio", radio), "wing")
    panel = fit_panel(setup)
    panel.press(FIND)
    return panel


def test_the_answer_shows_all_that_is_typed_in_order_and_what_cannot_be_had(own):
    panel = searched("orchard_three", "simple_six")
    said = plain(panel.extra)
    fitted = kept(panel, own)
    assert len(fitted.free_mixes) <= 2
    for word in ("left aileron", "wanted, mm", "What cannot be had", "Rich ten"):
        assert word in said
    rows = re.findall(r"<tr>(.*?)</tr>", panel.extra[panel.extra.index("What to type") :])
    typed = [tuple(re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row))[:3] for row in rows if "<td" in row]
    assert typed[: len(entries(fitted))] == [(one.where, one.what, one.value) for one in entries(fitted)]


def test_the_simple_radio_gets_its_flaperons_with_a_mark_on_the_dial(own):
    panel = searched("orchard_two", "simple_six")
    assert "the largest miss is" in plain(panel.stage.said)
    assert "Turn the dial of camber no further than" in plain(panel.extra)
    moves = Rig(kept(panel, own)).moves(roll=1)
    assert moves["left aileron"] > 0 > moves["right aileron"]


def test_a_rich_radio_gives_all_of_it():
    panel = searched("orchard_four", "rich_ten")
    assert "All of what you want can be had" in plain(panel.stage.said)
    assert worst_miss_mm(panel) < 0.5


def test_what_the_reader_has_besides_stays(own):
    """Expo and sub-trim of the rudder, and its coupling with roll, for which nothing is asked."""
    panel = searched("coupled", "rich_ten")
    fitted, before = kept(panel, own), coupled("rich_ten")
    assert fitted.shaping["yaw"].expo_percent == 30
    assert fitted.output(fitted.wiring["rudder"]).sub_trim_percent == 4
    assert "yaw expo +30 % the same" in " ".join(plain(panel.extra).split())
    with_roll = [Rig(one).run(commands(roll=1)).throw[3] for one in (before, fitted)]
    assert with_roll[1] == pytest.approx(with_roll[0], abs=0.5)
    assert abs(with_roll[0]) > 5


def test_what_is_dropped_and_what_stood_there_is_told_before_it_is_saved(own):
    """The radio has two mixes; flaperons take both, so the rudder's mix from roll has to go."""
    panel = searched("coupled", "simple_six")
    said = " ".join(plain(panel.extra).split())
    assert "before and this one does not Rudder with roll above" in said
    assert "mix roll into output 4 gain no more ● +30 % both sides" in said
    rig = Rig(kept(panel, own))
    moved = rig.run([commands(roll=1), commands()]).throw[:, 3]
    assert moved[0] == pytest.approx(moved[1], abs=0.01)


def test_a_search_says_that_it_works_and_ends_in_time(monkeypatch):
    monkeypatch.setattr("mixlib.panel.fit._PATIENCE_S", 0.0)
    panel = fit_panel(
        plain_setup(shipped("aircraft", "orchard_wing"), shipped("radio", "simple_six"), "wing")
    )
    told = []
    panel.stage.observe(lambda change: told.append(plain(change.new)), "said")
    panel.press(FIND)
    assert "Searching." in told[0]
    assert "the best of 1 ways so far" in told[-1]


def test_plugs_that_stay_stay(own):
    before = hopper_ready()
    panel = fit_panel(before)
    panel.controls["plugs"].value = True
    panel.press(FIND)
    fitted = kept(panel, own)
    assert fitted.wiring == before.wiring
    assert all(fitted.output(n).reversed == before.output(n).reversed for n in fitted.wiring.values())


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


def test_weight_nothing_leaves_a_throw_out_and_it_stays_in_the_form(own):
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
    again = fit_panel(kept(panel, own)).controls["wanted"]
    assert [list(row) for row in again.value] == rows


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
