"""Exercises and panels as widgets: what is shown follows what is set, and faults become sentences."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from functools import partial

import ipywidgets as widgets
import pytest
from ipywidgets.widgets.widget import _instances

from mixlib.describe import shipped
from mixlib.draw import theme
from mixlib.draw.shapes import ROOM, Drawing, Room, Text
from mixlib.panel.base.controls import Note, NumberGrid, Pick, Slider, command_slider
from mixlib.panel.base.panel import Panel, Seen, reason
from mixlib.panel.base.screen import Stage, refill, spoken
from mixlib.panel.exercise.exercises import choice, movement, number
from mixlib.say.tables import html_table


def find(widget: widgets.Widget, kind: type) -> list:
    own = [widget] if isinstance(widget, kind) else []
    return own + [found for child in getattr(widget, "children", ()) for found in find(child, kind)]


def plain(html_text: str) -> str:
    return re.sub(r"<[^>]+>", "", html_text)


def drawn(text: str, *, room: Room) -> Drawing:
    return Drawing(room.width, 50, (Text(5, 20, text),), "t", "what is drawn")


def roll_panel(update=None):
    def show(values):
        if values["roll"] > 0.9:
            raise ValueError("roll of more than 90 % is too much")
        return Seen(partial(drawn, f"{values['roll']:.2f}"), f"roll {values['roll']:.2f}")

    return Panel("Roll <panel>", [command_slider("roll")], update or show, "Try it.")


def test_number_exercise_answers_in_place_and_keeps_what_was_typed():
    exercise = number("How far?", 12, "mm", 0.5, because="So it is.", hint="Measure again.")
    (entry,) = find(exercise.widget, widgets.Text)
    stage = exercise.stage
    entry.value = "twelve <b>"
    assert "Not checked" in plain(stage.said)
    assert "<b>" not in stage.said
    assert entry.value == "twelve <b>"
    entry.value = "24"
    assert "Not yet. That is twice too much." in plain(stage.said)
    entry.value = "12,2 mm"
    assert plain(stage.said).startswith("Right. 12 mm. So it is.")


def test_solution_is_offered_after_two_different_wrong_answers():
    exercise = number("How far?", 12, "mm", 0.5, because="So it is.", hint="Measure again.")
    (entry,) = find(exercise.widget, widgets.Text)
    check, solution = find(exercise.widget, widgets.Button)
    entry.value = "3"
    check.click()
    assert solution.layout.display == "none"
    entry.value = "4"
    assert solution.layout.display != "none"
    solution.click()
    assert "The answer. 12 mm. So it is." in plain(exercise.stage.said)


def test_choice_and_movement_exercises_read_their_widgets():
    exercise = choice("Which?", {"a": "Yes, it is.", "b": "It is not."}, "a")
    (radio,) = find(exercise.widget, widgets.RadioButtons)
    (check, _) = find(exercise.widget, widgets.Button)
    check.click()
    assert "Choose an answer first" in exercise.stage.said
    radio.value = "b"
    check.click()
    assert "Not yet." in plain(exercise.stage.said)
    radio.value = "a"
    check.click()
    assert plain(exercise.stage.said) == "Right. It is."

    exercise = movement("Which way?", {"elevator": "up", "rudder": "left"}, because="Yes.", hint="Hm.")
    rows = find(exercise.widget, widgets.RadioButtons)
    assert [row.options for row in rows] == [("up", "neutral", "down"), ("left", "neutral", "right")]
    rows[0].value, rows[1].value = "up", "left"
    assert exercise.submit().right


@pytest.mark.parametrize("make", [lambda: choice("Which <one>?", {"a": "x", "b": "y"}, "a"), roll_panel])
def test_stored_output_is_one_fixed_sentence_and_a_view(make, monkeypatch):
    shown = []
    monkeypatch.setattr("mixlib.panel.base.screen.display", lambda data, raw: shown.append((data, raw)))
    thing = make()
    thing._ipython_display_()
    ((data, raw),) = shown
    assert raw
    assert data["text/plain"] in ("Exercise: Which <one>?", "Panel: Roll <panel>")
    assert data["application/vnd.jupyter.widget-view+json"]["model_id"] == thing.widget.model_id


def test_panel_follows_its_slider():
    panel = roll_panel()
    assert plain(panel.sentence) == "roll 0.00"
    panel.controls["roll"].value = -0.45
    assert plain(panel.sentence) == "roll -0.45"
    assert ">-0.45<" in panel.picture
    ET.fromstring(panel.picture)
    assert panel.error == ""
    panel.reset()
    assert panel.values == {"roll": 0.0}
    assert plain(panel.sentence) == "roll 0.00"


def test_fault_becomes_a_sentence_and_the_last_good_picture_stays():
    panel = roll_panel()
    panel.controls["roll"].value = 0.5
    good = panel.picture
    panel.controls["roll"].value = 1.0
    assert "Not shown. Roll of more than 90 % is too much." in plain(panel.error)
    assert panel.picture == good
    panel.controls["roll"].value = 0.4
    assert panel.error == ""


@pytest.mark.parametrize(
    "error", [ZeroDivisionError("division by zero"), KeyError("x"), RuntimeError(), TypeError("a <b>")]
)
def test_any_exception_at_all_is_a_sentence(error):
    def update(values):
        raise error

    panel = roll_panel(update)
    said = plain(panel.error)
    assert type(error).__name__ in said
    assert "Traceback" not in said
    assert "<b>" not in panel.error


def test_fault_of_a_description_names_field_value_and_range():
    surface = shipped("aircraft", "orchard_two").surfaces[0]
    with pytest.raises(ValueError) as caught:
        surface.replace(chord_mm=5000)
    said = reason(caught.value)
    for part in ("Chord is", "5000", "5 to 400 mm"):
        assert part in said
    assert "pydantic" not in said
    assert "\n" not in said


def test_change_during_a_picture_is_shown_last():
    seen = []

    def update(values):
        seen.append(values["roll"])
        if len(seen) == 2:  # a second change arrives while the first is being drawn
            panel.controls["roll"].value = 0.8
        return Seen(sentence=f"roll {values['roll']:.2f}")

    panel = roll_panel(update)
    panel.controls["roll"].value = 0.3
    assert seen == [0.0, 0.3, 0.8]
    assert plain(panel.sentence) == "roll 0.80"


def test_another_room_is_drawn_anew_and_nothing_is_worked_out_again():
    seen = []

    def update(values):
        seen.append(values)
        return Seen(partial(drawn, "wing"))

    panel = roll_panel(update)
    assert plain(panel.sentence) == "what is drawn"
    assert f"viewBox='0 0 {ROOM.width:g} 50'" in panel.picture
    panel.stage.room = [431.0, 230.0]
    assert "viewBox='0 0 431 50'" in panel.picture
    assert len(seen) == 1
    panel.controls["roll"].value = 0.2
    assert "viewBox='0 0 431 50'" in panel.picture


def test_a_picture_that_fails_in_another_room_is_a_sentence_and_the_last_one_stays():
    def draw(*, room: Room) -> Drawing:
        if room.width < 400:
            raise ValueError("there is no room for the wing")
        return drawn("wing", room=room)

    panel = roll_panel(lambda _: Seen(draw, "said"))
    before = panel.picture
    panel.stage.room = [300.0, 200.0]
    assert "There is no room for the wing. The picture is the last one that worked." in plain(panel.error)
    assert panel.picture == before


def test_a_panel_with_actions_follows_its_buttons_alone():
    done = []
    slider = command_slider("roll")
    panel = Panel(
        "t",
        [slider],
        lambda values: Seen(sentence=f"{len(done)} done", mark="good"),
        actions={"Do it": lambda values: done.append(values["roll"])},
    )
    slider.value = 0.5
    assert plain(panel.sentence) == "0 done"
    panel.press("Do it")
    assert done == [0.5]
    assert "mix-good" in panel.sentence
    assert plain(panel.sentence) == "1 done"


def test_what_is_said_of_saving_goes_when_a_value_changes():
    panel = Panel(
        "t", [command_slider("roll")], lambda _: Seen(sentence="s"), savers={"Keep": lambda _: "a."}
    )
    panel.press("Keep")
    assert plain(panel.stage.said) == "sSaved. a."
    panel.controls["roll"].value = 1.0
    assert panel.saved == ""
    assert plain(panel.stage.said) == "s"


def test_the_page_speaks_names_sliders_and_measures():
    """What the browser does is tried in tests/browser; here: that its part comes with every card."""
    script, look = str(Stage._esm), str(Stage._css)
    assert 'role: "status"' in script
    assert ".mix-frame" in look
    assert theme.INK in look


def test_refilled_widgets_are_closed():
    box = widgets.Box([widgets.Box([widgets.Text()])])
    before = set(_instances)
    old = box.children[0]
    refill(box, [widgets.HTML()])
    assert old.comm is None
    gone = before - set(_instances)
    assert len(gone) == 5  # two widgets, their layouts, and the style of the field


def test_two_panels_have_different_ids():
    one, two = roll_panel(), roll_panel()
    ids = [set(re.findall(r" id='([^']+)'", panel.picture)) for panel in (one, two)]
    assert ids[0]
    assert not ids[0] & ids[1]


def test_command_sliders_run_over_their_range_in_percent():
    roll, brake = command_slider("roll"), command_slider("brake")
    assert (roll.entry.min, roll.entry.max, brake.entry.min) == (-100, 100, 0)
    roll.entry.value = -35
    assert roll.value == pytest.approx(-0.35)
    words = "".join(part.value for part in find(roll.widget, widgets.HTML))
    assert words.index("stick left") < words.index("stick right")
    assert [label.value for label in find(roll.widget, widgets.Label)] == ["%"]


def test_other_controls_give_their_value_and_return_to_the_start():
    slider = Slider("speed", 5, 30, 0.5, 12, "m/s")
    pick = Pick("phase", {"speed": 1, "thermal": 2})
    note = Note("note", "Your note")
    for control, new in ((slider, 20.0), (pick, 2), (note, "windy")):
        calls, first = [], control.value
        control.on_change(lambda calls=calls: calls.append(1))
        control.value = new
        assert control.value == new
        assert calls
        control.reset()
        assert control.value == first


def test_number_grid_keeps_what_was_typed_and_names_what_is_out_of_range():
    grid = NumberGrid(
        "gains", ["left <l>", "right"], ["above", "below"], [[100, 100], [-100, -100]], -125, 125, 1, "%"
    )
    fields = find(grid.widget, widgets.Text)
    assert fields[1].description == "left <l>, below, %"
    assert grid.value == ((100, 100), (-100, -100))
    fields[1].value = "300"
    assert fields[1].value == "300"
    said = "left <l>, below is 300 %. Accepted: −125 to 125 %."
    assert grid.faults == (said,)
    assert any("left &lt;l&gt;, below is 300 %" in note.value for note in find(grid.widget, widgets.HTML))
    assert "mix-out-of-range" in fields[1]._dom_classes
    with pytest.raises(ValueError, match="below is 300 %"):
        _ = grid.value
    grid.reset()
    assert grid.faults == ()
    assert "mix-out-of-range" not in fields[1]._dom_classes


def test_a_row_of_a_grid_may_have_a_range_of_its_own():
    grid = NumberGrid("g", ["a", "c"], ["b"], [[0], [0]], -20, 20, ranges={"c": (0, 30)})
    grid.value = [[-20], [30]]
    assert grid.faults == ()
    grid.value = [[30], [-20]]
    assert grid.faults == ("a, b is 30. Accepted: −20 to 20.", "c, b is −20. Accepted: 0 to 30.")


@pytest.mark.parametrize(
    "typed, value", [("1,5", 1.5), ("−2", -2.0), ("12 %", 12.0), ("１２", 12.0), ("0.123456789", 0.123456789)]
)
def test_a_grid_takes_a_number_as_it_is_typed(typed, value):
    grid = NumberGrid("g", ["a"], ["b"], [[0]], -20, 20, unit="%")
    (field,) = find(grid.widget, widgets.Text)
    field.value = typed
    assert grid.value == ((value,),)
    assert field.value == typed


@pytest.mark.parametrize(
    "typed, says", [("x", "a, b: “x” is not a number"), ("", "a, b: Nothing is typed yet")]
)
def test_what_is_no_number_stays_in_the_grid_and_is_told(typed, says):
    grid = NumberGrid("g", ["a"], ["b"], [[0]], -20, 20, unit="%")
    (field,) = find(grid.widget, widgets.Text)
    field.value = typed
    assert field.value == typed
    assert "mix-out-of-range" in field._dom_classes
    with pytest.raises(ValueError, match=says):
        _ = grid.value


def test_grid_out_of_range_is_told_by_the_panel():
    grid = NumberGrid("g", ["a"], ["b"], [[1]], 0, 10)
    panel = Panel("t", [grid], lambda values: Seen(sentence=f"{values['g'][0][0]:g}"))
    grid.value = [[11]]
    assert "a, b is 11. Accepted: 0 to 10." in panel.error.replace("A, b", "a, b")
    grid.value = [[7]]
    assert panel.error == ""
    assert plain(panel.sentence) == "7"


def test_words_from_readers_are_escaped():
    assert "<i>" not in spoken("<i>", "<i>")
    assert "<i>" not in html_table(["<i>"], [["<i>", "<i>"]], "<i>")
    rows = html_table(["what", "mm"], [["left", "-3.5"], ["right", "none"]])
    assert rows.count("mix-number") == 1
