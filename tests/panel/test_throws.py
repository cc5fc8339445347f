"""Panels on throws: words, table and picture agree with the numbers, at both ends of every control."""

from __future__ import annotations

import itertools
import re

import pytest
from rooms import label_faults

from mixlib.bench.surface.differential import WAYS, aileron_throws, less_down
from mixlib.bench.surface.throws import throw_ends, with_holes
from mixlib.chain import Rig, commands
from mixlib.describe import FreeMix, Output, plain_setup, shipped
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup
from mixlib.draw.charts import throw_chart
from mixlib.draw.linkage import linkage_side
from mixlib.panel.throws import differential, holes, stick_curve

GAINS, ENDS, ARM, HORN, TRAP = WAYS
DEMOS = [flaperon_setup, four_surface_setup, v_tail_setup, elevon_setup]
each_demo = pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.__name__)


def plain(text: str) -> str:
    return re.sub(r"<[^>]+>", "", text)


def cells(panel) -> list[list[str]]:
    rows = re.findall(r"<tr>(.*?)</tr>", panel.extra)
    return [[plain(cell) for cell in re.findall(r"<t[hd].*?</t[hd]>", row)] for row in rows]


def roll_by_mixes():
    start = flaperon_setup()
    pair = {"gain_above_percent": 100, "gain_below_percent": 100}
    back = {"gain_above_percent": -100, "gain_below_percent": -100}
    dial = (Output(number=5, control="camber", reversed=True), Output(number=6, control="camber"))
    return start.replace(
        radio=start.radio.with_control("camber", at_once=True),
        wiring={**start.wiring, "right aileron": 5},
        outputs=(start.output(2), start.output(4), *dial),
        free_mixes=(
            FreeMix(leader="roll", follower=5, **back),
            FreeMix(leader="roll", follower=6, **pair),
        ),
    )


@each_demo
def test_every_pair_of_holes_of_every_surface_is_shown_at_both_ends(demo):
    setup = demo()
    for surface in setup.aircraft.surfaces:
        panel = holes(setup, surface.name)
        arms, horns = (panel.controls[name].entry.options for name in ("arm", "horn"))
        for (_, arm), (_, horn) in itertools.product((arms[0], arms[-1]), (horns[0], horns[-1])):
            panel.controls["arm"].value, panel.controls["horn"].value = arm, horn
            for travel in (-100.0, 0.0, 100.0):
                panel.controls["travel"].value = travel
                assert panel.error == ""
            ends = throw_ends(with_holes(surface, arm, horn), setup.radio)
            assert f"Full travel gives {ends.up_mm:.1f} mm" in plain(panel.sentence)
            assert cells(panel)[0][2] == f"chosen, {arm:g} / {horn:g} mm"
            assert cells(panel)[-1][2] == (ends.held or "free")


def test_the_hole_panel_shows_stop_and_dead_point_where_they_are():
    panel = holes(flaperon_setup(), "left aileron")
    panel.controls["arm"].value, panel.controls["horn"].value = 14.0, 10.0
    assert "left aileron down 24.1 mm (35.0°), linkage binds" in plain(panel.sentence)
    assert "linkage binds" in panel.picture
    panel.controls["travel"].value = -100.0
    assert "Travel −100 %: left aileron up 24.1 mm (35.0°), at its stop" in plain(panel.sentence)
    assert "At one end or both: linkage binds." in plain(panel.sentence)
    assert "at its stop" in panel.picture
    panel.reset()
    assert "20.7 mm up and 21.1 mm down" in plain(panel.sentence)


def test_a_description_without_spare_holes_still_offers_some():
    setup = flaperon_setup()
    parts = tuple(
        part.replace(linkage=part.linkage.replace(arm_holes_mm=(), horn_holes_mm=(), arm_mm=5))
        for part in setup.aircraft.surfaces
    )
    panel = holes(setup.replace(aircraft=setup.aircraft.replace(surfaces=parts)), "left aileron")
    assert [value for _, value in panel.controls["arm"].entry.options] == [3, 5, 7, 9]


def test_a_linkage_that_cannot_close_is_a_sentence():
    setup = flaperon_setup()
    parts = tuple(
        part.replace(linkage=part.linkage.replace(rod_mm=30)) if part.name == "left aileron" else part
        for part in setup.aircraft.surfaces
    )
    broken = setup.replace(aircraft=setup.aircraft.replace(surfaces=parts))
    for panel in (holes(broken, "left aileron"), differential(broken), stick_curve(broken, "left aileron")):
        assert "eft aileron: the linkage cannot close" in plain(panel.error)


def test_stick_panel_says_what_rate_and_expo_do():
    setup = flaperon_setup()
    panel = stick_curve(setup, "right aileron")
    panel.controls["expo"].value = 60.0
    half = Rig(setup).run(commands(roll=0.275)).throw[1]  # 0.4 x 0.5 + 0.6 x 0.125
    assert f"Stick at +50 %: up {-half:.1f} mm" in plain(panel.sentence)
    assert "Full stick, +100 %: up 20.7 mm" in plain(panel.sentence)
    panel.controls["expo"].value, panel.controls["rate"].value = 0.0, 120.0
    assert "From about 85 % of the stick on nothing more comes" in plain(panel.sentence)  # 100 / 120 is 83
    for rate, expo, stick in itertools.product((20.0, 120.0), (-50.0, 100.0), (-100.0, 0.0, 100.0)):
        for name, value in (("rate", rate), ("expo", expo), ("stick", stick)):
            panel.controls[name].value = value
        assert panel.error == ""


def test_a_radio_without_rate_and_expo_is_told():
    bare = plain_setup(shipped("aircraft", "orchard_two"), shipped("radio", "bare_four"))
    panel = stick_curve(bare.replace(radio=bare.radio.replace(rate_and_expo=False)), "left aileron")
    panel.controls["expo"].value = 30.0
    assert "this radio has no rate and expo" in plain(panel.error)
    panel.reset()
    assert panel.error == ""


def test_the_chart_names_both_halves_and_its_words_can_be_read():
    aileron = flaperon_setup().aircraft.surface("left aileron")
    lines = [("as it is", [-20.0, 0.0, 20.0]), ("limited", [-20.0, 0.0, 10.0])]
    chart = throw_chart("Left aileron", aileron, lines, "roll", "said", 25.0)
    assert label_faults(chart) == []
    words = {shape.text for shape in chart.shapes if hasattr(shape, "text")}
    assert {"trailing edge up", "trailing edge down", "throw, mm: plus is down"} <= words


@pytest.mark.parametrize("way", WAYS)
def test_differential_panel_agrees_with_the_numbers(way):
    setup = roll_by_mixes()
    panel = differential(setup)
    panel.controls["way"].value = way
    assert panel.controls["amount"].unit == WAYS[way]
    for amount in (0.0, 10.0, 20.0):
        panel.controls["amount"].value = amount
        left = aileron_throws(less_down(setup, way, amount))[0]
        assert panel.error == ""
        assert f"up {left.up_mm:.1f} mm, down {left.down_mm:.1f} mm" in plain(panel.sentence)
        table = {row[0]: row[2] for row in cells(panel)[1:]}
        assert table["roll: down"] == f"{left.down_mm:.1f}"
        assert table["full droop"] == f"{left.droop_mm:.1f} down"


def test_differential_panel_tells_what_cannot_be_and_keeps_the_last_picture():
    panel = differential(flaperon_setup())
    panel.controls["amount"].value = 20.0
    assert panel.error == "", "it opens on a way that this wiring can have"
    before = panel.picture
    panel.controls["way"].value = "unequal gains"
    assert "Simple six cannot set that gain" in plain(panel.error)
    assert panel.picture == before
    panel.controls["way"].value = TRAP
    assert panel.error == ""
    assert "no longer stand level" in plain(panel.sentence)
    panel.controls["amount"].value = 60.0
    assert "Servo arm ahead of its drawn place is 60 deg" in plain(panel.error)
    assert "−30 to 30 deg" in plain(panel.error)


@each_demo
def test_every_way_at_both_ends_is_a_picture_or_a_sentence(demo):
    panel = differential(demo())
    for way, amount, roll in itertools.product(WAYS, (0.0, 60.0), (-1.0, 1.0)):
        panel.controls["way"].value, panel.controls["amount"].value = way, amount
        panel.controls["roll"].value, panel.controls["camber"].value = roll, -roll
        assert panel.error == "" or "The picture is the last one that worked." in plain(panel.error)
        assert "These values cannot be used" not in plain(panel.error)  # the words for an unforeseen fault


def test_an_aircraft_without_ailerons_gets_a_sentence():
    vee = v_tail_setup()
    tail = tuple(part for part in vee.aircraft.surfaces if part.kind == "v-tail")
    wiring = {part.name: vee.wiring[part.name] for part in tail}
    panel = differential(vee.replace(aircraft=vee.aircraft.replace(surfaces=tail), wiring=wiring))
    assert "has no aileron and no elevon" in plain(panel.error)


def test_a_leaning_linkage_can_be_read():
    for way in (ARM, HORN):
        part = less_down(roll_by_mixes(), way, 35).aircraft.surface("left aileron")
        assert label_faults(linkage_side(part, 0.0, 0.0)) == []


def test_sliders_step_as_finely_as_the_radio():
    setup = flaperon_setup()
    fine = setup.replace(radio=setup.radio.replace(gain_step_percent=0.5, travel_step_percent=0.1))

    def steps(panel, name: str) -> list[str]:
        return [one for one in panel.controls[name].widget._dom_classes if one.startswith("mix-step-")]

    assert steps(holes(fine, "left aileron"), "travel") == ["mix-step-0.1"]
    assert steps(holes(setup, "left aileron"), "travel") == ["mix-step-1"]
    assert steps(differential(fine), "amount") == ["mix-step-0.1"]
