"""The form of lesson 00: nothing typed is lost, every fault is named, nothing wrong is saved."""

from __future__ import annotations

import errno
import html
import os
import re

import ipywidgets as widgets
import pytest
from ipywidgets.widgets.widget import _instances

from mixlib.describe import (
    Aircraft,
    FreeMix,
    Linkage,
    Radio,
    Setup,
    Tail,
    load,
    shelf,
    shipped,
    shipped_names,
)
from mixlib.describe.demo import flaperon_setup, hopper_as_bought
from mixlib.panel.form.desk import DescriptionDesk
from mixlib.panel.form.drafts import Draft, fields_of, kind_at, plainest, typed_value
from mixlib.panel.form.fields import DraftForm

PAGES = ("Aircraft", "Surfaces", "Radio", "Wiring", "Outputs", "Mixes", "Sticks")


@pytest.fixture
def desk(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    return DescriptionDesk()


def find(widget: widgets.Widget, kind: type) -> list:
    own = [widget] if isinstance(widget, kind) else []
    return own + [found for child in getattr(widget, "children", ()) for found in find(child, kind)]


def said(desk: DescriptionDesk) -> str:
    return html.unescape(re.sub(r"<[^>]+>", "", desk.stage.said))


@pytest.mark.parametrize(
    ("text", "value"),
    [("12", 12), ("1,5", 1.5), (" 0.85 ", 0.85), ("", None), ("heavy", "heavy"), ("1.2.3", "1.2.3")],
)
def test_a_number_is_read_where_there_is_one_and_words_stay_words(text, value):
    assert typed_value(text) == value


def test_every_field_says_what_it_is_and_what_it_accepts():
    for kind in (Aircraft, Linkage, Radio, Setup):
        for field in fields_of(kind):
            assert field.accepted
            assert field.meaning or field.sort in ("part", "list"), field.key


def test_the_path_of_a_part_leads_to_its_description():
    assert kind_at(Setup, ("aircraft", "surfaces", 2, "linkage")) is Linkage
    assert kind_at(Setup, ("shaping", "roll")).__name__ == "Shaping"


@pytest.mark.parametrize("kind", [FreeMix, Tail, Linkage])
def test_the_plainest_values_are_accepted(kind):
    description, problems = Draft.checked(kind, plainest(kind), "plain")
    assert description is not None, problems


def test_what_was_typed_stays_in_the_draft_and_is_named():
    draft = Draft(shipped("aircraft", "orchard_two"))
    draft.put(("mass_kg",), "heavy")
    draft.put(("surfaces", 1, "linkage", "arm_mm"), None)
    aircraft, problems = Draft.checked(Aircraft, draft.values, "mine")
    assert aircraft is None
    assert draft.get(("mass_kg",)) == "heavy"
    assert [problem.field for problem in problems] == ["mass_kg", "surfaces.2.linkage.arm_mm"]
    assert "0.05 to 25 kg" in problems[0].accepted


def test_items_are_added_as_copies_and_taken_out():
    draft = Draft(flaperon_setup())
    assert draft.add(("free_mixes",), 0) == 1
    assert len(draft.get(("free_mixes",))) == 3
    for _ in range(3):
        index = draft.remove(("free_mixes",), 0)
    assert index is None
    assert draft.add(("free_mixes",), None) == 0


@pytest.mark.slow
def test_every_page_opens_for_every_pair(desk):
    for aircraft in shipped_names("aircraft"):
        for radio in shipped_names("radio"):
            desk._aircraft.value, desk._radio.value = aircraft, radio
            desk._open_demo()
            for page in PAGES:
                desk._page.value = page
            setup, problems = desk.finish()
            assert setup is not None, problems
            assert setup.aircraft == shipped("aircraft", aircraft)


def test_ten_rounds_through_the_pages_leave_no_widget_behind(desk):
    for page in PAGES:
        desk._page.value = page
    first = set(_instances)
    for _ in range(10):
        for page in PAGES:
            desk._page.value = page
    assert len(_instances) == len(first)
    assert all(widget.comm is not None for widget in _instances.values())


def test_lists_can_be_emptied_and_filled_again(desk):
    desk._page.value = "Surfaces"
    buttons = {button.description: button for button in find(desk.widget, widgets.Button)}
    many = len(_instances)
    for _ in flaperon_setup().aircraft.surfaces:
        buttons["Take out"].click()
    assert desk.draft.get(("aircraft", "surfaces")) == []
    assert desk.stage.picture == ""
    assert len(_instances) < many
    assert desk.save() is None
    buttons["Add a copy"].click()
    assert len(desk.draft.get(("aircraft", "surfaces"))) == 1


def test_a_set_up_goes_through_the_form_unchanged(desk):
    desk.open(flaperon_setup())
    setup, _ = desk.finish()
    changes = {"shaping": {name: value for name, value in setup.shaping.items() if value.rate_percent != 100}}
    assert setup.replace(**changes) == flaperon_setup()


def test_saving_keeps_the_set_up_and_the_lessons_use_it(desk, tmp_path):
    desk._name.value = "My glider"
    desk.draft.put(("aircraft", "mass_kg"), 1.1)
    assert desk.save() is not None
    assert said(desk).startswith("Saved.")
    assert load(tmp_path / "my_glider.toml").aircraft.mass_kg == 1.1
    assert shelf.chosen(flaperon_setup()).setup.name == "My glider"


def test_a_fault_is_said_beside_its_field_and_nothing_is_saved(desk, tmp_path):
    desk.draft.put(("aircraft", "mass_kg"), "heavy")
    assert desk.save() is None
    assert 'mass_kg is "heavy"' in said(desk)
    note = desk._forms[0]._notes[("aircraft", "mass_kg")].value
    assert "Not accepted" in note
    assert "0.05 to 25 kg" in note
    assert not list(tmp_path.glob("*.toml"))


def test_a_linkage_that_cannot_close_is_said_on_its_page_and_on_saving(desk):
    desk._page.value = "Surfaces"
    desk.draft.put(("aircraft", "surfaces", 0, "linkage", "rod_mm"), 200)
    desk._draw_linkage()
    assert "cannot close" in desk.stage.picture
    assert desk.save() is None
    assert "cannot close" in said(desk)


def test_a_full_disk_is_said_and_nothing_typed_is_lost(desk, monkeypatch):
    def full(*_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    desk.draft.put(("aircraft", "mass_kg"), 1.3)
    assert desk.save() is None
    assert "no room is left" in said(desk)
    assert desk.draft.get(("aircraft", "mass_kg")) == 1.3


def test_a_broken_own_file_is_said_and_the_demo_is_used(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    path = shelf.keep(flaperon_setup())
    path.write_text(path.read_text().replace("mass_kg", "mas_kg"))
    found = shelf.chosen(flaperon_setup())
    assert found.setup == flaperon_setup()
    assert "did you mean mass_kg?" in found.sentence


def test_a_form_of_a_part_shows_only_its_own_fields():
    form = DraftForm(Draft(flaperon_setup()), ("radio",), skip=("controls",))
    assert {path[0] for path in form._notes} == {"radio"}
    assert ("radio", "outputs") in form._notes


def entry(desk: DescriptionDesk, words: str, kind: type = widgets.Text) -> widgets.Widget:
    """The entry with a label on the page that is shown; one of several has another kind."""
    return next(found for found in find(desk._body, kind) if found.description == words)


def test_the_motor_glider_goes_through_the_form_unchanged(desk):
    desk.open(hopper_as_bought())
    setup, problems = desk.finish()
    assert problems == ()
    assert setup.replace(shaping={}) == hopper_as_bought()


def test_a_motor_is_ticked_and_has_propeller_pulses_and_a_plug_with_the_throttle(desk):
    desk.open(flaperon_setup())
    desk._page.value = "Aircraft"
    entry(desk, "It has a motor", widgets.Checkbox).value = True
    assert "The motor's plug is put into output 3" in said(desk)
    entry(desk, "propeller", widgets.RadioButtons).value = "fixed"
    entry(desk, "full (us)").value = "1850"
    entry(desk, "finish", widgets.RadioButtons).value = "foam"
    desk._page.value = "Wiring"
    assert entry(desk, "motor").value == "3"
    setup = desk.save()
    assert (setup.aircraft.motor.propeller, setup.aircraft.motor.full_us) == ("fixed", 1850)
    assert setup.aircraft.finish == "foam"
    assert setup.wiring["motor"] == 3
    assert setup.output(3).control == "throttle"
    assert "Danger" not in said(desk)


def test_a_motor_taken_out_takes_its_plug_along_and_comes_back_with_it(desk):
    desk.open(hopper_as_bought())
    desk._page.value = "Aircraft"
    ticked = entry(desk, "It has a motor", widgets.Checkbox)
    ticked.value = False
    setup, _ = desk.finish()
    assert "motor" not in setup.wiring
    ticked.value = True
    assert desk.finish()[0].replace(shaping={}) == hopper_as_bought()


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("2", "another output than 2: the motor is plugged in there"),
        ("9", "1 to 6, the outputs of the radio"),
        ("three", 'wiring.motor is "three". Accepted: a whole number'),
        ("", "the output of its plug, 1 to 6"),
    ],
)
def test_a_plug_of_the_motor_that_cannot_be_is_said_and_stays_typed(desk, typed, told):
    desk.open(hopper_as_bought())
    desk._page.value = "Wiring"
    entry(desk, "motor").value = typed
    assert desk.save() is None
    assert told in said(desk)
    desk._page.value = "Outputs"
    desk._page.value = "Wiring"
    assert entry(desk, "motor").value == typed


def test_a_motor_that_runs_with_the_throttle_closed_is_said_on_saving(desk):
    desk.open(hopper_as_bought().with_output(3, reversed=True))
    assert desk.save() is not None
    assert "Danger: with the throttle closed output 3 sends 2000 us" in said(desk)


def test_one_servo_for_both_ailerons_is_chosen_and_its_plug_follows(desk):
    desk.open(hopper_as_bought().replace(wiring={**hopper_as_bought().wiring, "left aileron": 6}))
    desk._page.value = "Surfaces"
    picker = find(desk._body, widgets.ToggleButtons)[0]
    picker.value = 1
    servo = entry(desk, "servo of", widgets.RadioButtons)
    assert [word for word, _ in servo.options] == ["none", "left aileron", "elevator", "rudder"]
    servo.value = "left aileron"
    desk._page.value = "Wiring"
    assert "right aileron" not in [found.description for found in find(desk._body, widgets.Text)]
    assert "right aileron: moved by the servo of left aileron" in str(
        [found.value for found in find(desk._body, widgets.HTML)]
    )
    setup = desk.save()
    assert setup.aircraft.surface("right aileron").servo_of == "left aileron"
    assert setup.wiring["right aileron"] == setup.wiring["left aileron"] == 6
    desk._page.value = "Surfaces"
    find(desk._body, widgets.ToggleButtons)[0].value = 1
    entry(desk, "servo of", widgets.RadioButtons).value = None
    assert desk.finish()[0].wiring["right aileron"] == 1


def test_a_dial_that_moves_one_output_only_is_refused_on_a_second_one(desk):
    desk.open(hopper_as_bought().with_output(5, control="camber").with_output(6, control=None))
    desk._page.value = "Outputs"
    find(desk._body, widgets.ToggleButtons)[0].value = 5
    control = entry(desk, "control", widgets.RadioButtons)
    control.value = "camber"
    assert desk.save() is None
    assert "the dial of this radio moves one output, not several at once" in said(desk)
    control.value = None
    assert desk.save() is not None
    control.value = "camber"
    desk._page.value = "Radio"
    controls = find(desk._body, widgets.ToggleButtons)[0]
    controls.value = 4
    entry(desk, "at once", widgets.Checkbox).value = True
    assert [desk.save().output(number).control for number in (5, 6)] == ["camber", "camber"]


def test_a_radio_that_carries_trims_and_has_a_function_ready_made(desk):
    desk.open(hopper_as_bought())
    desk._page.value = "Radio"
    entry(desk, "mixes carry trim", widgets.Checkbox).value = True
    entry(desk, "ready made").value = "flaperons, butterfly"
    assert desk.save() is None
    assert 'radio.ready_made.2 is "butterfly". Accepted: one of flaperons, V-tail, elevons' in said(desk)
    assert "Not accepted" in desk._forms[0]._notes["radio", "ready_made"].value
    entry(desk, "ready made").value = "flaperons"
    setup = desk.save()
    assert setup.radio.mixes_carry_trim
    assert setup.radio.ready_made == ("flaperons",)
    desk._page.value = "Mixes"
    [button for button in find(desk._body, widgets.Button) if button.description == "Add one"][-1].click()
    assert entry(desk, "kind", widgets.RadioButtons).value == "flaperons"
    assert desk.save() is None
    assert "an output without a control of its own" in said(desk)


def test_a_form_without_surfaces_is_refused_in_words(desk):
    desk.draft.put(("aircraft", "surfaces"), [])
    desk._page.value = "Surfaces"
    entry(desk, "Add one", widgets.Button).click()
    desk._page.value = "Wiring"
    assert desk.save() is None
    assert 'wiring.name is "nothing". Accepted: the output of its servo, 1 to 6' in said(desk)
