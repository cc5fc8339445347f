"""The lessons in JupyterLab: what they print, and their panels by keyboard.

Each lesson is run once.  What it prints is compared here with what is stored in it, by nbval's own rules, so
that no second run by nbval is needed; axe-core looks at the same run.
"""

import re
from pathlib import Path

import pytest
from accessible import crowded, findings, narrow, walk
from nbval.plugin import IPyNbFile, coalesce_streams

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
LESSONS = sorted(path.name for path in NOTEBOOKS.glob("[0-9][0-9]_*.ipynb"))
FLAPERONS = "03_flaperons.ipynb"

pytestmark = pytest.mark.browser
each_lesson = pytest.mark.parametrize("lesson", LESSONS, indirect=True, ids=lambda name: Path(name).stem)


def some_lessons(*numbers):
    """Run a test on the lessons with these numbers."""
    some = [name for name in LESSONS if name[:2] in numbers]
    return pytest.mark.parametrize("lesson", some, indirect=True, ids=lambda name: Path(name).stem)


the_flaperons = some_lessons(FLAPERONS[:2])


def faults_of_outputs(stored, ran):
    """What differs between the stored and the new outputs of a lesson's code cells, as nbval says it."""
    faults = []
    for test, cell in zip(stored, ran, strict=True):
        if not test.compare_outputs(coalesce_streams(cell.outputs), coalesce_streams(test.cell.outputs)):
            faults += [f"cell {test.cell_num}:", *test.comparison_traceback]
    return faults


@each_lesson
def test_lesson_prints_what_is_stored_in_it(lesson, request):
    assert lesson.error_texts() == []
    ran = lesson.code_cells()
    assert [cell.execution_count for cell in ran] == list(range(1, len(ran) + 1))
    stored = IPyNbFile.from_parent(request.session, path=NOTEBOOKS / lesson.notebook).collect()
    assert not (faults := faults_of_outputs(stored, ran)), "\n".join(faults)


def told_and_drawn(lesson, panel):
    """What a panel shows; a vote has words alone."""
    return lesson.readout(panel), panel.locator("svg, img").count() and lesson.picture_hash(panel)


@each_lesson
def test_panels_answer_the_keyboard(lesson):
    for panel in lesson.panels():
        handles = panel.locator(".noUi-handle")
        if not handles.count():
            continue
        before = told_and_drawn(lesson, panel)
        handle = handles.first
        handle.scroll_into_view_if_needed()
        at_the_end = handle.get_attribute("aria-valuenow") == handle.get_attribute("aria-valuemax")
        handle.press("ArrowLeft" if at_the_end else "ArrowRight")
        lesson.page.wait_for_timeout(150)
        lesson.wait_idle()
        assert told_and_drawn(lesson, panel) != before, f"{lesson.title(panel)}: no change"
    assert lesson.errors == []


@each_lesson
def test_axe_finds_nothing_in_what_is_ours(lesson):
    assert not (found := findings(lesson.page)), "\n".join(found)


def angles_deg(sentence: str) -> dict[str, float]:
    """Angle of each aileron as the panel's sentence tells it, trailing edge down positive, in deg."""
    if "All surfaces are neutral" in sentence:
        return {"left": 0.0, "right": 0.0}
    found = {}
    for side in ("left", "right"):
        words = re.search(
            rf"{side} aileron (neutral|(up|down) [\d.]+ mm \(([\d.]+)°\))", sentence, re.IGNORECASE
        )
        assert words, f"the sentence does not tell what the {side} aileron does: {sentence}"
        found[side] = float(words[3]) * (1 if words[2] == "down" else -1) if words[2] else 0.0
    return found


@pytest.fixture
def wing(lesson):
    """The lesson's first panel with both a roll slider and a camber dial, at neutral."""
    found = next(
        panel
        for panel in lesson.panels()
        if {"roll stick", "camber dial"}
        <= set(panel.locator(".widget-slider .widget-label").all_text_contents())
    )
    lesson.press(found, "Back to the start", "click")
    return found


@the_flaperons
def test_roll_and_camber_by_keyboard(lesson, wing):
    """Common practice, no source: ailerons against each other on roll, together on camber, droop down."""
    assert angles_deg(lesson.readout(wing)) == {"left": 0.0, "right": 0.0}
    pictures = [lesson.picture_hash(wing)]

    lesson.press(wing, "roll stick", "PageUp", times=4)
    rolled = angles_deg(lesson.readout(wing))
    pictures.append(lesson.picture_hash(wing))
    assert rolled["right"] < 0 < rolled["left"], "stick right: right aileron up, left aileron down"

    lesson.press(wing, "roll stick", "PageDown", times=8)
    rolled = angles_deg(lesson.readout(wing))
    pictures.append(lesson.picture_hash(wing))
    assert rolled["left"] < 0 < rolled["right"], "stick left: left aileron up, right aileron down"

    lesson.press(wing, "roll stick", "PageUp", times=4)
    assert lesson.picture_hash(wing) == pictures[0], "back at neutral the first picture is back"

    lesson.press(wing, "camber dial", "PageUp", times=4)
    drooped = angles_deg(lesson.readout(wing))
    pictures.append(lesson.picture_hash(wing))
    assert drooped["left"] == pytest.approx(drooped["right"], abs=0.11), "camber moves both alike"
    assert drooped["left"] > 0, "the dial towards droop: both down"

    lesson.press(wing, "camber dial", "PageDown", times=8)
    reflexed = angles_deg(lesson.readout(wing))
    pictures.append(lesson.picture_hash(wing))
    assert reflexed["left"] < 0, "the dial towards reflex: both up"
    assert reflexed["right"] < 0
    assert len(set(pictures)) == len(pictures), "every position has a picture of its own"


@the_flaperons
def test_fast_keys_end_at_the_last_value(lesson, wing):
    """Twelve keys as fast as they can be sent: what is shown at the end is the last value."""
    lesson.press(wing, "roll stick", "PageUp", times=12)
    fast = lesson.readout(wing), lesson.picture_hash(wing)
    lesson.press(wing, "roll stick", "ArrowLeft")
    lesson.press(wing, "roll stick", "ArrowRight")
    assert (lesson.readout(wing), lesson.picture_hash(wing)) == fast
    assert "60 %" in fast[0]


@some_lessons("00", "03", "06", "07", "09")
def test_panels_can_be_used_on_a_page_as_narrow_as_a_phone(lesson):
    with narrow(lesson.page):
        lesson.wait_idle()
        for card in lesson.page.locator(".mix-card").all():
            assert crowded(card) == []


@some_lessons("00", "03", "09")
def test_every_panel_and_question_is_worked_by_keyboard_alone(lesson):
    cards = lesson.page.locator(".mix-card").all()
    assert len(cards) > 5
    for card in cards:
        stops = walk(card)
        assert not [stop for stop in stops if not (stop["name"] and stop["seen"] and stop["answers"])]
        assert any(stop["name"] == "Check" for stop in stops) == card.locator(".mix-exercise").count()
    assert lesson.errors == []
