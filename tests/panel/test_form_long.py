"""The long form: every field is there, nothing typed is lost, every fault is named."""

from __future__ import annotations

import ipywidgets as widgets
import pytest
from ipywidgets.widgets.widget import _instances

from mixlib.describe import (
    Aircraft,
    FreeMix,
    Linkage,
    Phase,
    Radio,
    Setup,
    Tail,
    plain_setup,
    shipped,
    shipped_names,
)
from mixlib.describe.demo import flaperon_setup, four_surface_setup, hopper_as_bought
from mixlib.panel.form.drafts import Draft, fields_of, kind_at, plainest, typed_value
from mixlib.panel.form.every import every_field_of
from mixlib.panel.form.fields import DraftForm
from mixlib.panel.form.long import LongForm

PAGES = ("Aircraft", "Surfaces", "Radio", "Wiring", "Outputs", "Mixes", "Sticks", "Phases")


@pytest.fixture
def form():
    """The long form, filled with the flaperon demo."""
    opened = LongForm(lambda: None)
    opened.fill(every_field_of(flaperon_setup()))
    return opened


def draft_of(description) -> Draft:
    return Draft(type(description), description.model_dump(mode="json"))


def find(widget: widgets.Widget, kind: type) -> list:
    own = [widget] if isinstance(widget, kind) else []
    return own + [found for child in getattr(widget, "children", ()) for found in find(child, kind)]


MASS = next(field for field in fields_of(Aircraft) if field.key == "mass_kg")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12", 12),
        ("1,5", 1.5),
        (" 0.85 ", 0.85),
        ("850 g", 0.85),
        ("", None),
        ("heavy", "heavy"),
        ("1.2.3", "1.2.3"),
    ],
)
def test_a_number_is_read_where_there_is_one_and_words_stay_words(text, value):
    assert typed_value(text, MASS) == value


def test_a_list_keeps_what_was_typed_until_it_can_be_read():
    holes = next(field for field in fields_of(Linkage) if field.key == "arm_holes_mm")
    assert typed_value("8,5; 10,5", holes) == [8.5, 10.5]
    assert typed_value("8,5, 10,5", holes) == "8,5, 10,5"


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
    draft = draft_of(shipped("aircraft", "orchard_two"))
    draft.put(("mass_kg",), "heavy")
    draft.put(("surfaces", 1, "linkage", "arm_mm"), None)
    aircraft, problems = Draft.checked(Aircraft, draft.values, "mine")
    assert aircraft is None
    assert draft.get(("mass_kg",)) == "heavy"
    assert [problem.field for problem in problems] == ["mass_kg", "surfaces.2.linkage.arm_mm"]
    assert "0.05 to 25 kg" in problems[0].accepted


def test_items_are_added_as_copies_and_taken_out():
    draft = draft_of(flaperon_setup())
    assert draft.add(("free_mixes",), 0) == 1
    assert len(draft.get(("free_mixes",))) == 3
    for _ in range(3):
        index = draft.remove(("free_mixes",), 0)
    assert index is None
    assert draft.add(("free_mixes",), None) == 0


def entry(form: LongForm, words: str, kind: type = widgets.Text) -> widgets.Widget:
    """The entry with a label on the page that is shown."""
    return next(found for found in find(form.widget, kind) if found.description == words)


def open_page(form: LongForm, page: str) -> None:
    find(form.widget, widgets.ToggleButtons)[0].value = page


def told(form: LongForm) -> str:
    return " ".join(map(str, form.finish()[1]))


@pytest.mark.slow
def test_every_page_opens_for_every_pair(form):
    for aircraft in shipped_names("aircraft"):
        for radio in shipped_names("radio"):
            given = plain_setup(shipped("aircraft", aircraft), shipped("radio", radio))
            form.fill(every_field_of(given))
            for page in PAGES:
                open_page(form, page)
            setup, problems = form.finish()
            assert setup is not None, problems
            assert setup.aircraft == given.aircraft


def test_ten_rounds_through_the_pages_leave_no_widget_behind(form):
    for page in PAGES:
        open_page(form, page)
    first = len(_instances)
    for _ in range(10):
        for page in PAGES:
            open_page(form, page)
    assert len(_instances) == first
    assert all(widget.comm is not None for widget in _instances.values())


def test_lists_can_be_emptied_and_filled_again(form):
    open_page(form, "Surfaces")
    buttons = {button.description: button for button in find(form.widget, widgets.Button)}
    for _ in flaperon_setup().aircraft.surfaces:
        buttons["Take out"].click()
    assert form.draft.get(("aircraft", "surfaces")) == []
    assert form.picture() is None
    assert form.finish()[0] is None
    buttons["Add a copy"].click()
    assert len(form.draft.get(("aircraft", "surfaces"))) == 1


@pytest.mark.parametrize("demo", [flaperon_setup, hopper_as_bought])
def test_a_set_up_goes_through_the_form_unchanged(form, demo):
    form.fill(every_field_of(demo()))
    setup, problems = form.finish()
    assert problems == ()
    assert setup.replace(shaping=demo().shaping) == demo()


def test_a_fault_is_said_beside_its_field(form):
    open_page(form, "Aircraft")
    entry(form, "mass (kg)").value = "heavy"
    assert form.finish()[0] is None
    notes = " ".join(note.value for note in find(form.widget, widgets.HTML))
    assert "Not accepted" in notes
    assert "0.05 to 25 kg" in notes


def test_a_linkage_that_cannot_close_is_said_on_its_page_and_on_saving(form):
    open_page(form, "Surfaces")
    entry(form, "length of the rod (mm)").value = "200"
    with pytest.raises(ValueError, match="cannot close"):
        form.picture()
    assert "cannot close" in told(form)


def test_a_form_of_a_part_shows_only_its_own_fields():
    form = DraftForm(draft_of(flaperon_setup()), ("radio",), skip=("controls",))
    assert {path[0] for path in form._notes} == {"radio"}
    assert ("radio", "outputs") in form._notes


def test_a_motor_is_ticked_and_has_propeller_pulses_and_a_plug_with_the_throttle(form):
    open_page(form, "Aircraft")
    entry(form, "It has a motor", widgets.Checkbox).value = True
    assert "The motor's plug is put into output 3" in form.said
    entry(form, "propeller", widgets.RadioButtons).value = "fixed"
    open_page(form, "Wiring")
    assert entry(form, "motor").value == "3"
    setup, _ = form.finish()
    assert setup.aircraft.motor.propeller == "fixed"
    assert setup.wiring["motor"] == 3
    assert setup.output(3).control == "throttle"


def test_a_motor_taken_out_takes_its_plug_along_and_comes_back_with_it(form):
    form.fill(every_field_of(hopper_as_bought()))
    open_page(form, "Aircraft")
    ticked = entry(form, "It has a motor", widgets.Checkbox)
    ticked.value = False
    assert "motor" not in form.finish()[0].wiring
    ticked.value = True
    assert form.finish()[0].replace(shaping={}) == hopper_as_bought()


@pytest.mark.parametrize("typed", ["2", "9", "three", ""])
def test_a_plug_of_the_motor_that_cannot_be_is_said_and_stays_typed(form, typed):
    form.fill(every_field_of(hopper_as_bought()))
    open_page(form, "Wiring")
    entry(form, "motor").value = typed
    assert told(form)
    open_page(form, "Outputs")
    open_page(form, "Wiring")
    assert entry(form, "motor").value == typed


def test_one_servo_for_both_ailerons_is_chosen_and_its_plug_follows(form):
    form.fill(every_field_of(hopper_as_bought()))
    open_page(form, "Surfaces")
    find(form.widget, widgets.ToggleButtons)[1].value = 1
    servo = entry(form, "servo shared with", widgets.RadioButtons)
    assert [word for word, _ in servo.options] == ["none", "left aileron", "elevator", "rudder"]
    servo.value = "left aileron"
    setup, _ = form.finish()
    assert setup.aircraft.surface("right aileron").servo_of == "left aileron"
    assert setup.wiring["right aileron"] == setup.wiring["left aileron"] == 1


def test_a_mix_is_led_by_a_command_or_by_an_output_that_is_typed(form):
    open_page(form, "Mixes")
    entry(form, "leader").value = "pitch"
    assert form.finish()[0].free_mixes[0].leader == "pitch"
    entry(form, "leader").value = "1"
    assert form.finish()[0].free_mixes[0].leader == 1


def test_roll_of_its_own_is_typed_and_taken_out_beside_the_phase(form):
    """On a radio that does not keep it the fault stands there, and a blank line takes it away."""
    own = Phase(name="speed", angles_deg={"elevator": 1.0}, roll_rate_percent=70)
    form.fill(every_field_of(four_surface_setup().replace(phases=(own,))))
    open_page(form, "Phases")
    entry(form, "roll rate (%)").value = "65"
    entry(form, "differential (%)").value = "10"
    assert form.finish()[0].phases == (own.with_roll({"roll rate": 65, "differential": 10}),)
    form.draft.put(("radio", "phases_keep"), ["roll rate"])
    assert form.finish()[0] is None
    said = [note.value for note in find(form.widget, widgets.HTML)]
    assert any("one differential for all phases" in text for text in said)
    entry(form, "differential (%)").value = ""
    assert form.finish()[0].phases == (own.with_roll({"roll rate": 65}),)


def test_a_first_phase_begins_without_angles(form):
    open_page(form, "Phases")
    (add,) = (button for button in find(form.widget, widgets.Button) if button.description == "Add one")
    add.click()
    assert form.finish()[0].phases == (Phase(name="name", angles_deg={}),)
