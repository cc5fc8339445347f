"""Each lesson, run in JupyterLab: no error anywhere, and every panel answers the keyboard."""

from pathlib import Path

import pytest

LESSONS = sorted((Path(__file__).resolve().parents[2] / "notebooks").glob("[0-9][0-9]_*.ipynb"))
pytestmark = pytest.mark.browser


@pytest.mark.parametrize(
    "name", [path.name for path in LESSONS], ids=lambda name: name.removesuffix(".ipynb")
)
def test_lesson_runs_and_its_panels_answer_the_keyboard(open_lesson, name):
    lesson = open_lesson(name)
    lesson.run_all()
    assert lesson.error_texts() == []
    for panel in lesson.panels():
        handles = panel.locator(".noUi-handle")
        if not handles.count():
            continue
        sentence, drawn = lesson.readout(panel), lesson.picture_hash(panel)
        handle = handles.first
        handle.scroll_into_view_if_needed()
        at_the_end = handle.get_attribute("aria-valuenow") == handle.get_attribute("aria-valuemax")
        handle.press("ArrowLeft" if at_the_end else "ArrowRight")
        lesson.page.wait_for_timeout(150)
        lesson.wait_idle()
        assert (lesson.readout(panel), lesson.picture_hash(panel)) != (sentence, drawn), (
            f"{lesson.title(panel)}: no change"
        )
    assert lesson.errors == []
