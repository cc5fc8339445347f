"""What if, by the keyboard alone: keep A, try B, and find both again when the page is opened anew."""

import pytest
from lab import NOTEBOOKS
from lesson import Lesson

pytestmark = pytest.mark.browser

READER = """import os
os.environ["MIXING_WORKBOOK_MODELS"] = {models!r}
os.environ.pop("MIXING_WORKBOOK_ALL_ANSWERED", None)"""


def test_a_and_b_are_kept_side_by_side_and_found_again(server, page, tmp_path):
    before = READER.format(models=str(tmp_path))
    cells = r"\bimport\b|\bmine\b"
    name = server.add(NOTEBOOKS / "10_what_if.ipynb", "again_10.ipynb", cells, before)
    lesson = Lesson(page, server, name)
    lesson.run_all()
    panel = lesson.panel("What if?")
    lesson.press(panel, "Keep A", "Enter")
    lesson.press(panel, "roll stick", "PageUp", times=4)
    lesson.press(panel, "Both ailerons, arm, mm", "text=8")
    lesson.press(panel, "Both ailerons, arm, mm", "Enter")
    assert "B against A" in lesson.readout(panel)
    rows = panel.locator(".mix-extra tr", has_text="stick right: right aileron").all_text_contents()
    assert rows
    assert "lower" in rows[0], "a shorter arm: the aileron goes up less"
    asked = lesson.readout(panel).partition(".")[0]
    page.wait_for_timeout(2500)  # it is written once there is a pause

    lesson = Lesson(page, server, name)
    lesson.run_all()
    panel = lesson.panel("What if?")
    assert "As you left it" in lesson.readout(panel)
    assert lesson.readout(panel).startswith(asked)
    assert panel.locator(".mix-extra tr", has_text="stick right: right aileron").all_text_contents() == rows
    lesson.press(panel, "Back to A", "Enter")
    assert "Everything at neutral" in lesson.readout(panel)
    lesson.press(panel, "Let A go", "Enter")
    assert "B against A" not in lesson.readout(panel)
    assert lesson.errors == []
