"""What if, by the keyboard alone: keep A, try B, and find both again when the page is opened anew."""

import pytest
from lab import NOTEBOOKS
from lesson import Lesson

pytestmark = pytest.mark.browser

READER = """import os
os.environ["MIXING_WORKBOOK_MODELS"] = {models!r}
os.environ.pop("MIXING_WORKBOOK_ALL_ANSWERED", None)"""


ONE_SCREEN = """e => {
  const seen = document.querySelector(".jp-WindowedPanel-outer").getBoundingClientRect();
  e.scrollIntoView({block: "start"});
  const parts = e.querySelectorAll(".mix-controls > *, button, .mix-picture, .mix-said, .mix-extra");
  const ends = [...parts].filter(part => part.offsetParent).map(part => part.getBoundingClientRect().bottom);
  return seen.bottom - Math.max(...ends);
}"""


def test_controls_picture_sentence_and_table_stand_on_one_screen(server, page):
    cells = r"\bimport\b|\bmine\b"
    name = server.add(NOTEBOOKS / "10_what_if.ipynb", "seen_10.ipynb", cells)
    lesson = Lesson(page, server, name, 1366, 768)
    lesson.run_all()
    panel = lesson.panel("What if?")
    lesson.press(panel, "Keep A", "Enter")
    page.wait_for_timeout(500)  # the picture is laid out again
    assert panel.evaluate(ONE_SCREEN) >= 0


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

    mass = panel.locator(".mix-slider", has_text="mass")
    typed = mass.locator(".widget-readout")
    typed.fill("2312.5")
    typed.press("Enter")
    lesson.wait_idle()
    lesson.press(panel, "Keep B as mine", "Enter")
    assert "mass: 2300 → 2312.5 g" in lesson.readout(panel), "as typed, whatever the step of the keys"
    mass.locator(".noUi-handle").press("ArrowRight")
    lesson.wait_idle()
    assert typed.text_content() == "2317.5"
    track = mass.locator(".noUi-target").bounding_box()
    page.mouse.click(track["x"] + 0.9 * track["width"], track["y"] + track["height"] / 2)
    lesson.wait_idle()
    assert (float(typed.text_content()) - 2300) % 5 == 0, "a hand moves it in steps"
    assert lesson.errors == []
