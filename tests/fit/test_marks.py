"""Marks beside a dial: found where the direct share cannot be set, on the card, refused where senseless."""

from __future__ import annotations

import numpy as np
import pytest

from mixlib.bench.card import as_markdown, bench_card
from mixlib.bench.fit import fit, usual_wants
from mixlib.chain import Rig, commands
from mixlib.describe import DescriptionError, as_toml, from_toml, shipped
from mixlib.describe.demo import flaperon_setup, hopper_ready
from mixlib.describe.files import build


@pytest.fixture(scope="module")
def flaperons():
    glider = shipped("aircraft", "orchard_two")
    return fit(glider, shipped("radio", "simple_six"), usual_wants(glider), marks=True)


def cost_mm2(setup, marks):
    """Weighted squared misses of all wants with the dial stopped at other places, from the whole chain."""
    rig, cost = Rig(setup), 0.0
    for want in setup.wanted:
        way = 1 if want.side == "above" else -1
        throw = rig.run(commands(**{want.command: way * marks.get((want.command, want.side), 1.0)})).throw
        cost += want.weight * (throw[rig.surface_names.index(want.surface)] - want.amount) ** 2
    return cost


def test_a_low_cost_radio_gets_flaperons_right_with_a_mark_on_its_dial(flaperons):
    plain = fit(flaperons.setup.aircraft, flaperons.setup.radio, flaperons.setup.wanted, marks=False)
    assert plain.worst_miss_mm > 5
    reflex = ("camber", "below")
    others = [row for row in flaperons.rows if (row.want.command, row.want.side) != reflex]
    assert max(abs(row.miss_mm) for row in others) < 2.5
    assert flaperons.worst_miss_mm < 3.5
    # Roll and pitch have one rate for both ways; reflex would take a mark below a fifth of the dial's way.
    missed = {row.want.command for row in flaperons.rows if abs(row.miss_mm) >= 0.5}
    assert missed == {"camber", "pitch", "roll"}
    assert any(words.startswith("Less down than up cannot be had") for words in flaperons.cannot)
    assert any("a mark below a fifth" in words for words in flaperons.cannot)
    assert {(mark.command, mark.side) for mark in flaperons.setup.marks} == {
        ("camber", "above"),
        ("camber", "below"),
    }
    assert any("put a mark there" in note for note in flaperons.notes)


def test_rows_are_what_the_chain_gives_at_the_marks(flaperons):
    marks = {(mark.command, mark.side): mark.percent / 100 for mark in flaperons.setup.marks}
    cost = sum(row.want.weight * row.miss_mm**2 for row in flaperons.rows)
    assert cost == pytest.approx(cost_mm2(flaperons.setup, marks), abs=1e-9)


def test_no_other_place_of_the_dial_is_better(flaperons):
    """Both marks moved over the whole dial, the settings kept: the found ones cost least."""
    marks = {(mark.command, mark.side): mark.percent / 100 for mark in flaperons.setup.marks}
    for key in marks:
        tried = {
            place: cost_mm2(flaperons.setup, marks | {key: place}) for place in np.linspace(0.01, 1, 100)
        }
        best = min(tried, key=tried.get)
        assert max(best, 0.2) == pytest.approx(marks[key], abs=0.011)  # no mark is below a fifth of the way


def test_where_the_share_can_be_set_no_mark_is_needed():
    glider = shipped("aircraft", "orchard_two")
    assert fit(glider, shipped("radio", "rich_ten"), usual_wants(glider), marks=True).setup.marks == ()


def test_the_card_tells_the_mark_and_moves_only_as_far(flaperons):
    text = as_markdown(bench_card(flaperons.setup))
    percent = next(mark.percent for mark in flaperons.setup.marks if mark.side == "above")
    assert f"camber: mark the camber dial at {percent:g} % of its way to droop; turn it no further" in text
    assert f"Droop to the mark at {percent:g} % \\(dial\\)" in text.replace("(", "\\(").replace(")", "\\)")
    wanted = next(
        want.amount for want in flaperons.setup.wanted if (want.command, want.side) == ("camber", "above")
    )
    assert f"down {wanted:.1f} mm" in text
    assert from_toml(as_toml(flaperons.setup)) == flaperons.setup


@pytest.mark.parametrize(
    ("marks", "words"),
    [
        ([{"command": "roll", "percent": 50}], "what a dial or slider holds: camber"),
        ([{"command": "camber", "percent": 0}], "1 to 100 %"),
        ([{"command": "camber", "percent": 50}, {"command": "camber", "percent": 60}], "once only"),
    ],
)
def test_senseless_marks_are_refused(marks, words):
    setup = flaperon_setup()
    with pytest.raises(DescriptionError, match=words):
        build(type(setup), setup.model_dump(mode="json", exclude_none=True) | {"marks": marks})


def test_a_mark_beside_a_dial_that_moves_nothing_is_not_typed():
    before = hopper_ready()
    assert any(mark.command == "camber" for mark in before.marks)
    rolls = [want for want in before.wanted or usual_wants(before.aircraft) if want.command != "camber"]
    none = [want.replace(weight=0) for want in usual_wants(before.aircraft) if want.command == "camber"]
    found = fit(before.aircraft, before.radio, [*rolls, *none], keep=before)
    moving = {mix.leader for mix in found.setup.free_mixes} | {out.control for out in found.setup.outputs}
    assert ("camber" in moving) == any(mark.command == "camber" for mark in found.setup.marks)
