"""The flaperon lesson's live wing, moved by keyboard alone: sentence and picture follow the right way."""

import re

import pytest

pytestmark = pytest.mark.browser
LESSON = "03_flaperons.ipynb"


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
def wing(open_lesson):
    """The lesson, run, and its first panel with both a roll slider and a camber dial, at neutral."""
    lesson = open_lesson(LESSON)
    lesson.run_all()
    panel = next(
        panel
        for panel in lesson.panels()
        if {"roll", "camber"} <= set(panel.locator(".widget-slider .widget-label").all_text_contents())
    )
    return lesson, panel


def test_roll_and_camber_by_keyboard(wing):
    """Common practice, no source: ailerons against each other on roll, together on camber, droop down."""
    lesson, panel = wing
    assert angles_deg(lesson.readout(panel)) == {"left": 0.0, "right": 0.0}
    pictures = [lesson.picture_hash(panel)]

    lesson.press(panel, "roll", "ArrowRight", times=4)
    rolled = angles_deg(lesson.readout(panel))
    pictures.append(lesson.picture_hash(panel))
    assert rolled["right"] < 0 < rolled["left"], "stick right: right aileron up, left aileron down"

    lesson.press(panel, "roll", "ArrowLeft", times=8)
    rolled = angles_deg(lesson.readout(panel))
    pictures.append(lesson.picture_hash(panel))
    assert rolled["left"] < 0 < rolled["right"], "stick left: left aileron up, right aileron down"

    lesson.press(panel, "roll", "ArrowRight", times=4)
    assert lesson.picture_hash(panel) == pictures[0], "back at neutral the first picture is back"

    lesson.press(panel, "camber", "ArrowRight", times=4)
    drooped = angles_deg(lesson.readout(panel))
    pictures.append(lesson.picture_hash(panel))
    assert drooped["left"] == pytest.approx(drooped["right"], abs=0.11), "camber moves both alike"
    assert drooped["left"] > 0, "the dial towards droop: both down"

    lesson.press(panel, "camber", "ArrowLeft", times=8)
    reflexed = angles_deg(lesson.readout(panel))
    pictures.append(lesson.picture_hash(panel))
    assert reflexed["left"] < 0, "the dial towards reflex: both up"
    assert reflexed["right"] < 0
    assert len(set(pictures)) == len(pictures), "every position has a picture of its own"


def test_fast_keys_end_at_the_last_value(wing):
    """Twelve keys as fast as they can be sent: what is shown at the end is the last value."""
    lesson, panel = wing
    lesson.press(panel, "roll", "ArrowRight", times=12)
    fast = lesson.readout(panel), lesson.picture_hash(panel)
    lesson.press(panel, "roll", "ArrowLeft")
    lesson.press(panel, "roll", "ArrowRight")
    assert (lesson.readout(panel), lesson.picture_hash(panel)) == fast
    assert "60 %" in fast[0]
