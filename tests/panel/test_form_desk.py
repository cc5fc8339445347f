"""The desk of lesson 00: nothing typed is lost, another window is noticed, nothing is wiped unasked."""

from __future__ import annotations

import contextlib
import errno
import json
import os
import re

import pytest
from form_desk import LEAST, item, kept, press, put, said, shown, type_in
from hypothesis import given, settings
from hypothesis import strategies as st
from ipywidgets.widgets.widget import _instances

from mixlib.describe import load, shelf
from mixlib.describe.demo import flaperon_setup, four_surface_setup, hopper_as_bought
from mixlib.draw.shapes import Room
from mixlib.panel.form.desk import DescriptionDesk
from mixlib.panel.form.looks import picture_of, sentence_of
from mixlib.panel.form.memory import State, draft_names
from mixlib.panel.form.short.made import made
from mixlib.panel.form.short.questions import KINDS, pairs, questions
from mixlib.panel.form.steps import STEPS, View, page_rows
from mixlib.say.speeds import speed_words


@pytest.fixture
def models(tmp_path, monkeypatch):
    """An empty shelf."""
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    return tmp_path


@pytest.fixture
def desk(models):
    return DescriptionDesk()


def test_a_model_is_kept_and_the_lessons_use_it(desk, models):
    kept(desk)
    assert said(desk).startswith("Kept.")
    assert load(models / "garden_glider.toml").aircraft.mass_kg == 0.95
    assert shelf.chosen(flaperon_setup()).setup.name == "Garden glider"
    assert "garden_glider" in desk._title.value


def test_every_step_has_a_picture_and_a_sentence(desk):
    put(desk, **LEAST)
    for step in STEPS:
        press(desk, f"step:{step}")
        assert "<svg" in desk.stage.picture, step
        assert len(said(desk)) > 30, step
        assert item(desk, f"step:{step}")["now"]


def test_the_plan_marks_the_number_one_is_at(desk):
    press(desk, "step:numbers")
    before = desk.stage.picture
    desk.receive({"at": "span"})
    put(desk, span="1600")
    assert "Span: 1600 mm" in desk.stage.picture != before
    assert item(desk, "span")["at"]
    desk.receive({"at": "tip"})
    assert "Tip chord" in desk.stage.picture


def test_each_edge_is_drawn_the_way_one_says_that_it_goes(desk):
    put(desk, **LEAST)
    press(desk, "step:ways")
    for aileron, other, elevator, rudder in (("down", "up", "up", "left"), ("up", "down", "down", "right")):
        put(desk, **{"left aileron.seen": aileron, "elevator.seen": elevator, "rudder.seen": rudder})
        words = (
            rf"Left aileron {aileron} .*; right aileron {other} .*; elevator {elevator} .*; rudder {rudder} "
        )
        assert re.search(words, desk.stage.picture)


def test_a_wrong_entry_stays_and_is_said_at_its_field_and_at_the_button_until_it_is_mended(desk, models):
    put(desk, **LEAST, name="Mine", tip="thin")
    press(desk, "step:numbers")
    for _ in range(2):
        assert item(desk, "tip")["value"] == "thin"
        assert "“thin” is not a number" in item(desk, "tip")["fault"]
        assert "!" in item(desk, "step:numbers")["words"]
        press(desk, "step:servos", "step:numbers")
    press(desk, "step:done", "keep")
    assert "“thin” is not a number" in said(desk)
    assert not list(models.glob("*.toml"))
    put(desk, tip="120")
    press(desk, "keep")
    assert said(desk).startswith("Kept.")


def test_what_is_missing_is_not_called_a_fault_before_the_reader_asks_for_the_model(desk):
    press(desk, "step:numbers")
    assert item(desk, "span")["fault"] == ""
    press(desk, "step:done", "keep", "step:numbers")
    assert "Span is not typed yet" in item(desk, "span")["fault"]


def test_what_looks_odd_is_asked_back_and_kept_when_it_is_so(desk):
    put(desk, **LEAST, name="Mine")
    put(desk, balance="300")
    press(desk, "step:done", "keep")
    assert "off the wing" in said(desk)
    assert not shelf.kept_names()
    question = next(found["key"] for found in shown(desk) if str(found.get("key", "")).startswith("so:"))
    press(desk, question, "keep")
    assert said(desk).startswith("Kept.")
    put(desk, balance="301")
    press(desk, "keep")
    assert "Not kept yet" in said(desk), "another number is another question"


def test_what_was_typed_is_there_again_after_a_crash(desk):
    put(desk, **LEAST, tip="thin")
    press(desk, "step:servos")
    again = DescriptionDesk()
    assert again.deeds.state == desk.deeds.state
    assert again.deeds.state.answers["tip"] == "thin"
    assert "as you left it" in said(again)


def test_undo_takes_back_one_entry_at_a_time_and_never_more_than_was_done(desk):
    put(desk, span="1", root="190")
    type_in(desk, "span", "1600")
    press(desk, "undo")
    assert desk.deeds.state.answers == {"span": "1", "root": "190"}
    press(desk, "undo", "undo", "undo", "undo")
    assert desk.deeds.state.answers == {}
    assert item(desk, "undo")["off"]


def test_fifty_changes_can_be_taken_back(desk):
    for number in range(60):
        put(desk, **{("span", "root")[number % 2]: str(number)})
    press(desk, *["undo"] * 60)
    assert desk.deeds.state.answers == {"span": "8", "root": "9"}


def test_starting_anew_and_opening_ask_first_and_can_be_undone(desk):
    kept(desk)
    answers = dict(desk.deeds.state.answers)
    for button in ("new", "demo:orchard_three", "open:garden_glider"):
        press(desk, button)
        assert desk.deeds.state.answers == answers
        press(desk, "no")
        assert desk.deeds.state.answers == answers
        press(desk, "yes")
        assert desk.deeds.state.answers == answers, "a yes without a question"
    press(desk, "new", "yes")
    assert desk.deeds.state.answers == {}
    press(desk, "undo")
    assert desk.deeds.state.answers == answers


def test_a_second_window_is_noticed_and_nothing_of_either_is_lost(desk):
    put(desk, span="1600")
    other = DescriptionDesk()
    put(other, root="190")
    put(desk, root="200")
    assert "changed in another window" in said(desk)
    put(other, tip="130")
    put(desk, tip="140")
    assert draft_names() == ("form", "form_2")
    first, second = (shelf.load_draft(name).data["answers"] for name in draft_names())
    assert (first, second) == (
        {"span": "1600", "root": "190", "tip": "130"},
        {"span": "1600", "root": "200", "tip": "140"},
    )
    press(other, "shelf", "draft:form_2", "yes")
    assert other.deeds.state.answers["root"] == "200"


def test_a_full_disk_is_said_and_what_was_typed_stays(desk, monkeypatch):
    def full(*_):
        raise OSError(errno.ENOSPC, "No space left on device")

    put(desk, **LEAST, name="Mine")
    monkeypatch.setattr(os, "replace", full)
    put(desk, mass="1000")
    assert "not on disk yet" in said(desk)
    press(desk, "step:done", "keep")
    assert "Not done" in said(desk)
    assert desk.deeds.state.answers["mass"] == "1000"


def test_a_damaged_draft_is_set_aside_and_named(models):
    (models / "drafts").mkdir()
    (models / "drafts" / "form.json").write_text("{")
    assert "set aside" in said(DescriptionDesk())
    for odd in ({"odd": 1}, {"answers": {"span": 1600}}, {"answers": ["span"]}, {"step": 3}, ["answers"]):
        (models / "drafts" / "form.json").write_text(json.dumps(odd))
        assert "cannot be read" in said(DescriptionDesk()), odd
    (models / "drafts" / "form.json").write_text(json.dumps({"step": "later"}))
    assert item(DescriptionDesk(), "step:have")["now"]


def test_what_the_short_form_cannot_say_opens_in_the_long_one_and_is_kept(desk):
    setup = hopper_as_bought()
    fin = setup.aircraft.surface("rudder").replace(name="side rudder")
    wiring = {("side rudder" if name == "rudder" else name): number for name, number in setup.wiring.items()}
    setup = setup.replace(
        aircraft=setup.aircraft.replace(surfaces=(*setup.aircraft.surfaces[:3], fin)), wiring=wiring
    )
    desk.deeds.open(setup, "")
    desk.receive({"at": ""})
    assert desk.deeds.state.full
    assert desk.long.widget.layout.display == ""
    assert desk.deeds.finish()[0].replace(shaping={}) == setup
    desk.long.draft.put(("aircraft", "mass_kg"), 0.8)
    desk.long._changed()
    assert DescriptionDesk().deeds.state.full["aircraft"]["mass_kg"] == 0.8
    press(desk, "undo")
    assert desk.deeds.finish()[0].aircraft.mass_kg == 0.75
    assert desk.long.draft.get(("aircraft", "mass_kg")) == 0.75


def test_every_field_is_reached_from_the_short_form_and_back(desk):
    put(desk, **LEAST, name="Mine")
    press(desk, "every")
    assert desk.deeds.state.full
    desk.long.draft.put(("aircraft", "body_drag_area_cm2"), 33.0)
    desk.long._changed()
    press(desk, "short")
    assert desk.deeds.state.answers["more:aircraft.body_drag_area_cm2"] == "33.0"


def test_more_asks_in_the_readers_unit_and_another_unit_changes_nothing_typed(desk):
    """1 inch is 25.4 mm, by definition since 1959."""
    distance, holes = "more:left aileron.linkage.distance_mm", "more:left aileron.linkage.arm_holes_mm"
    root = "more:wing tip.leading_edge_mm"
    put(desk, **LEAST, name="Mine", **{distance: "127", holes: "8; 10,5"})
    before = desk.deeds.finish()[0]
    put(desk, length="inch")
    assert desk.deeds.finish()[0] == before
    press(desk, "step:numbers", "more")
    put(desk, more="wing tip")
    usual = made(desk.deeds.state.answers).usual["aircraft"]["wing"]["stations"][-1]["leading_edge_mm"]
    assert item(desk, root)["unit"] == "inch"
    assert float(item(desk, root)["usual"].removeprefix("assumed ")) == pytest.approx(usual / 25.4, abs=5e-4)
    put(desk, **{distance: "5", holes: "3/8; 1/2"})
    linkage = desk.deeds.finish()[0].aircraft.surface("right aileron").linkage
    assert linkage.distance_mm == 127
    assert linkage.arm_holes_mm == (9.525, 12.7)
    put(desk, **{distance: "five"})
    assert "in inch" in desk.deeds.made.faults[distance]


def test_every_field_is_shown_and_typed_in_the_readers_units_and_kept_as_it_is(desk):
    """An ounce is 28.349523125 g, an inch 25.4 mm, both by definition."""
    put(desk, **LEAST | {"name": "Mine", "mass": "907.18474", "balance": "63.5"})
    before = desk.deeds.finish()[0]
    put(desk, length="inch", weight="oz")
    press(desk, "every")
    [form] = desk.long._forms
    fields = {part.description: part for part in _parts(form.box) if hasattr(part, "description")}
    assert fields["mass (oz)"].value == "32"
    assert fields["balance point (inch)"].value == "2.5"
    assert desk.deeds.finish()[0].aircraft == before.aircraft
    fields["balance point (inch)"].value = "2 3/4"
    fields["mass (oz)"].value = "1 kg"
    assert desk.deeds.finish()[0].aircraft.cg_mm == pytest.approx(69.85)
    press(desk, "short")
    assert desk.deeds.units == {"length": "inch", "weight": "oz"}
    after = desk.deeds.finish()[0].aircraft
    assert (after.mass_kg, after.cg_mm) == (1.0, pytest.approx(69.85))
    assert after.wing == before.aircraft.wing


def _parts(widget):
    yield widget
    for part in getattr(widget, "children", ()):
        yield from _parts(part)


TYPED = st.sampled_from(
    ["", "0", "-1", "7", "40", "180", "1600", "1e9", "1,5", "3/8", "thin", "60 mm", "2 kg"]
)
PICKED = st.sampled_from(
    sorted({choice for _, choices in KINDS.values() for choice in choices} | {"up", "not"})
)


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_whatever_is_typed_and_picked_every_page_is_shown(data):
    state = State()
    for key in KINDS:
        state.answers[key] = data.draw(PICKED)
    for question in questions(state.answers):
        state.answers[question.key] = data.draw(TYPED)
    for names in pairs(state.answers).values():
        for name in names:
            for key in ("side", "seen", "reversed", "output"):
                state.answers[f"{name}.{key}"] = data.draw(PICKED if key != "output" else TYPED)
    done = made(state.answers)
    for step in STEPS:
        state.step = step
        view = View(state, at=data.draw(st.sampled_from(["", "span", "thick", "rudder.arm", "motor.output"])))
        assert page_rows(view, done, ())
        with contextlib.suppress(ValueError):  # which has a sentence in the picture's place
            assert picture_of(view, done)(room=Room(500, 400)).shapes
        assert sentence_of(view, done) or step == "plugs"


@pytest.mark.slow
def test_starting_settings_are_found_for_two_ailerons_and_for_four_surfaces(desk):
    put(desk, **LEAST | {"lead": "two plugs"}, name="Mine")
    press(desk, "fit")
    found, faults = desk.deeds.finish()
    assert faults == []
    assert found.free_mixes
    press(desk, "undo")
    assert desk.deeds.finish()[0].free_mixes == ()
    put(desk, wing="ailerons and flaps", radio="rich_ten")
    press(desk, "fit")
    assert desk.deeds.finish()[0].free_mixes


def test_ten_rounds_leave_no_widget_behind(desk):
    put(desk, **LEAST, name="Mine")
    desk.deeds.open(four_surface_setup())
    first = None
    for _ in range(10):
        press(desk, "step:have", "step:numbers", "more", "more")
        press(desk, "shelf", "shelf", "every", "short", "undo", "undo")
        first = first or len(_instances)
    assert len(_instances) == first


def test_the_page_is_plain_values_of_a_modest_size(desk):
    put(desk, **LEAST)
    for step in STEPS:
        press(desk, f"step:{step}", "more")
        assert len(json.dumps(desk.sheet.page)) < 60_000


def test_units_are_picked_once_and_the_weight_is_typed_in_the_one_picked(desk):
    put(desk, **LEAST, name="Mine", weight="oz", speed="km/h")
    fresh = desk.deeds.fresh
    put(desk, mass="32")
    assert desk.deeds.fresh == fresh, "typing a weight changes no unit, and no entry is shown anew"
    setup, _ = desk.deeds.finish()
    assert setup.aircraft.mass_kg == pytest.approx(0.90718474)  # 16 oz are 0.45359237 kg
    press(desk, "new", "yes")
    assert item(desk, "weight")["value"] == "g"
    assert item(desk, "speed")["value"] == "km/h", "the reader's, whatever the model"
    assert speed_words(10) == "36.0 km/h"
