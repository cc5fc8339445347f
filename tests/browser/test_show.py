"""A lesson shown to a room: by keyboard or clicker, in letters that the last row reads, without an editor."""

import json

import pytest
from lab import NOTEBOOKS
from lesson import as_opened
from show import LEAST_PX, PROJECTOR, SEEN, Show

pytestmark = pytest.mark.browser
STEPS, LESSON = "12_steps.ipynb", "07_air_brake.ipynb"  # that of most, and of the most crowded panels
SETUP = (
    "from mixlib.describe.demo import flaperon_setup\n"
    "from mixlib.panel import exercise, surfaces\n"
    "mine = flaperon_setup()"
)
QUESTION = 'exercise.choice("Which?", {"this": "Because.", "that": "No."}, "this")'
CELLS = (
    ("# An evening", ()),
    (SETUP, ("code",)),
    ("## Where does the roll go?\n\nRaise a hand.", ("step", "twenty")),
    ("Say it slowly.", ("note",)),
    ("surfaces.surfaces(mine)", ("code",)),
    ("Into the stop.", ("answer",)),
    ("## Ask the room", ("step",)),
    (QUESTION, ("code",)),
    ("## Home", ("step", "twenty")),
)


def notebook(cells):
    made = []
    for number, (source, tags) in enumerate(cells):
        kind = "code" if "code" in tags else "markdown"
        cell = {"cell_type": kind, "id": f"c{number}", "metadata": {"tags": list(tags)}, "source": source}
        made.append(cell | ({"outputs": [], "execution_count": None} if kind == "code" else {}))
    kernel = {"kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"}}
    return {"cells": made, "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}


@pytest.fixture(scope="module")
def opened(page, tmp_path_factory):
    """The page as `python3 mixlib show` opens it, on a short lesson with steps; another beside it."""
    home, lessons = tmp_path_factory.mktemp("show"), tmp_path_factory.mktemp("lessons")
    (lessons / STEPS).write_text(json.dumps(notebook(CELLS)), encoding="utf-8")
    (lessons / LESSON).write_bytes((NOTEBOOKS / LESSON).read_bytes())
    with as_opened(page, home, STEPS, PROJECTOR, lessons, to_a_room=True) as shown:
        yield shown


@pytest.fixture
def show(opened):
    """The short lesson in the order of the hour, at its first step."""
    show = Show(opened).ready()
    show.press("Home", "6")
    assert show.count == "1 of 3"
    return show


def test_the_presenter_chooses_the_short_order_or_the_hour_by_a_key(show):
    show.press("Home")
    choice = show.page.locator(".mixing-order").inner_text()
    assert "twenty minutes, 2 steps" in choice
    assert "the hour, 3 steps" in choice
    show.press("2")
    assert show.count == "1 of 2"
    show.press("End")
    assert (show.count, show.words) == ("2 of 2", "Home")


def test_a_clicker_leads_through_question_panel_and_answer_and_back(show):
    seen = []
    for _ in range(4):
        seen.append(show.words.split("\n")[-1])
        show.press("PageDown")
    assert seen[0] == "Raise a hand."
    assert "neutral" in seen[1]
    assert seen[2:] == ["Into the stop.", "Ask the room"]
    show.press("PageUp", "PageUp")
    assert show.words == "Into the stop."
    assert "Say it slowly" not in show.page.locator("body").inner_text(), "a note is the presenter's alone"


def test_answer_and_skip_are_a_key_away(show):
    show.press("Enter")
    assert show.words == "Into the stop."
    show.press("s")
    assert (show.words, show.count) == ("Ask the room", "2 of 3")
    show.press("PageUp", "Enter")
    assert "neutral" in show.words, "back to what was seen before"
    show.press("s", "PageDown", "Enter")
    show.until("The answer. this. Because.")
    show.press("s", "s", "PageDown")
    assert show.words == "Home"


def test_a_control_is_chosen_and_moved_by_keys_and_a_setting_kept_and_swapped(show):
    show.press("PageDown", "0", "ArrowDown")
    assert "Orchard Two from behind" in show.page.locator("#mixing-show > p").inner_text(), (
        "whose model it is"
    )
    show.press("ArrowRight", "ArrowRight")
    assert show.value() == 2
    show.press("Shift+ArrowRight")
    assert show.value() == 100
    show.until("Roll 100 %")
    show.press("a", "Shift+ArrowLeft")
    assert show.value() == 0
    show.until("Everything at neutral")
    show.until("B against A")
    show.press("b")
    show.page.wait_for_function("document.querySelector('.mixing-on .noUi-handle').ariaValueNow === '100.0'")
    show.press("c")
    show.stage.get_by_text("B against A").first.wait_for(state="hidden")
    show.press("ArrowDown", "ArrowLeft")
    assert show.count == "1 of 3", "the arrow moved the second control"
    show.press("PageUp", "PageUp")
    assert show.page.locator(".mixing-order").is_visible()


def test_the_keys_are_told_on_a_key(show):
    told = show.page.get_by_text("choose a control")
    assert not told.is_visible()
    show.press("h")
    assert told.is_visible()
    show.press("Escape")
    assert not told.is_visible()
    assert show.count == "1 of 3"


def test_leaving_stays_at_the_same_place_and_a_key_enters_there_again(show):
    show.press("s", "Escape")
    page = show.page
    assert not page.locator("#mixing-show").count()
    assert page.locator("#mixing-bar").is_visible()
    assert 0 < page.get_by_role("heading", name="Ask the room").bounding_box()["y"] < PROJECTOR["height"]
    assert page.get_by_role("paragraph").filter(has_text="Say it slowly.").is_visible()
    show.press("F8")
    assert (show.words, show.count) == ("Ask the room", "2 of 3")


def test_every_step_of_a_lesson_is_large_whole_and_without_an_editor(show):
    page = show.page
    show.press("Escape")
    page.get_by_label("Lesson", exact=True).select_option(LESSON)
    page.wait_for_function("document.body.dataset.mixing === 'running'", timeout=60_000)
    show.ready()
    page.get_by_role("button", name="Show to a room").click()
    steps = int(show.count.split()[-1])
    assert steps > 8
    for step in range(1, steps + 1):
        assert show.count == f"{step} of {steps}"
        if show.stage.locator(".mix-picture").is_visible():
            page.wait_for_timeout(700)  # until the picture is drawn for its place
        seen = page.evaluate(SEEN)
        assert seen["least"][0] >= LEAST_PX, (step, seen)
        assert seen["outside"] <= 0, (step, seen)
        assert seen["heading"], step
        assert not seen["editor"], step
        table = show.stage.locator(".mix-extra table")
        if table.count():
            assert not table.first.is_visible()
            show.press("t")
            assert table.first.is_visible()
        show.press("PageDown")
