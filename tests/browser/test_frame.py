"""The frame of the panels in JupyterLab: all on one screen, letters that can be read, names for the ear."""

import json
from collections.abc import Iterator

import pytest
from lab import LabServer
from lesson import Lesson
from playwright.sync_api import Page

pytestmark = pytest.mark.browser

PANELS = """
from mixlib.describe.demo import flaperon_setup, four_surface_setup
from mixlib.panel import budget, handling, landing, phases, surfaces, throws
small, large = flaperon_setup(), four_surface_setup()
---
surfaces.surfaces(large)
---
surfaces.gains(small, ("roll", "camber"))
---
throws.differential(large)
---
landing.landing_panel(small)
---
handling.compensation_panel(large, "brake")
---
phases.phase_panel(large)
---
budget.budget_panel(small)
"""
# The inside of a browser window of a laptop, and of a small projector at a zoom of 150 %, CSS px.
LAPTOP, ZOOMED = (1366, 650), (853, 480)

# What of a panel is seen when its sentence stands at the lower edge.
SEEN = """card => {
  const box = part => part.getBoundingClientRect();
  const scrolls = part => /auto|scroll/.test(getComputedStyle(part).overflowY);
  let port = card;
  while (!(port.scrollHeight > port.clientHeight && scrolls(port))) port = port.parentElement;
  const handles = [...card.querySelectorAll('.noUi-handle')], svg = card.querySelector('.mix-picture svg');
  const sentence = card.querySelector('.mix-said');
  port.scrollTop += box(sentence).bottom - box(port).bottom + 2;
  const inside = part => box(part).top >= box(port).top - 1 && box(part).bottom <= box(port).bottom + 1;
  const letters = [...svg.querySelectorAll('text')].map(text => {
    const m = text.getScreenCTM();
    return parseFloat(getComputedStyle(text).fontSize) * Math.sqrt(Math.abs(m.a * m.d - m.b * m.c));
  });
  return {
    handles: handles.filter(inside).length, of: handles.length, picture: inside(svg),
    letters: Math.min(...letters), outside: box(svg).right > box(card).right + 1,
    title: card.querySelector('h3').textContent,
  };
}"""


@pytest.fixture(scope="module")
def panels(server: LabServer, page: Page) -> Iterator[Lesson]:
    """A notebook with a panel of each kind, run."""
    cells = [
        {
            "cell_type": "code",
            "id": f"c{n}",
            "metadata": {},
            "source": text,
            "outputs": [],
            "execution_count": None,
        }
        for n, text in enumerate(PANELS.strip().split("\n---\n"))
    ]
    kernel = {"kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"}}
    content = {"cells": cells, "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}
    (server.notebooks / "panels.ipynb").write_text(json.dumps(content), encoding="utf-8")
    lesson = Lesson(page, server, "panels.ipynb", *LAPTOP)
    # What is off the screen has neither size nor text otherwise.
    style = page.add_style_tag(content=".jp-Cell { content-visibility: visible !important }")
    lesson.run_all()
    yield lesson
    style.evaluate("style => style.remove()")


def looked_at(lesson: Lesson, size: tuple[int, int]) -> list[dict]:
    lesson.page.set_viewport_size({"width": size[0], "height": size[1]})
    lesson.page.wait_for_timeout(600)
    lesson.wait_idle()
    return [card.evaluate(SEEN) for card in lesson.page.locator(".mix-card").all()]


def test_controls_picture_and_sentence_are_on_one_screen(panels):
    for seen in looked_at(panels, LAPTOP):
        assert (seen["picture"], seen["handles"]) == (True, seen["of"]), seen["title"]


def test_a_zoomed_page_keeps_its_letters_and_a_control_beside_the_picture(panels):
    for seen in looked_at(panels, ZOOMED):
        assert seen["letters"] >= 12, seen["title"]
        assert not seen["outside"], seen["title"]
        assert seen["picture"], seen["title"]
        assert seen["handles"] or not seen["of"], seen["title"]


def test_the_picture_keeps_still_once_it_is_drawn(panels):
    """The room must not depend on the picture that is drawn for it."""
    looked_at(panels, LAPTOP)
    drawn = [panels.picture_hash(card) for card in panels.page.locator(".mix-card").all()]
    panels.page.wait_for_timeout(1000)
    assert [panels.picture_hash(card) for card in panels.page.locator(".mix-card").all()] == drawn


def test_a_slider_says_its_name_and_its_value_with_the_unit_in_words(panels):
    looked_at(panels, LAPTOP)
    handles = panels.page.locator(".noUi-handle")
    said = handles.evaluate_all("all => all.map(one => [one.ariaLabel, one.ariaValueText])")
    assert said
    assert all(name and words for name, words in said)
    panels.press(panels.page.locator(".mix-card").first, "roll stick", "ArrowLeft")
    left = float(handles.first.get_attribute("aria-valuenow"))
    assert left < 0
    assert handles.first.get_attribute("aria-valuetext") == f"−{-left:g} percent, stick left"
    panels.press(panels.page.locator(".mix-card").first, "roll stick", "ArrowRight")
    assert handles.first.get_attribute("aria-valuetext") == "0 percent"


def test_one_place_speaks_for_all_panels_once_a_slider_is_let_go(panels):
    looked_at(panels, LAPTOP)
    page = panels.page
    speaker = page.locator("#mix-spoken[role=status]")
    page.evaluate("""() => {
      const heard = window.mixHeard = [], place = document.getElementById('mix-spoken');
      new MutationObserver(() => heard.push(place.textContent)).observe(place, {childList: true});
    }""")
    for card in page.locator(".mix-card").all()[:2]:
        handle = card.locator(".noUi-handle").first
        handle.focus()
        for _ in range(6):
            handle.press("ArrowRight")
            page.wait_for_timeout(60)
        panels.wait_idle()
        page.wait_for_timeout(900)
        assert speaker.text_content() == panels.readout(card)
    assert len(page.evaluate("mixHeard")) == 2, "not at each step"
    assert panels.errors == []


def test_a_button_pressed_at_once_after_a_slider_takes_its_last_place(panels):
    panel = panels.panel("from behind")
    panels.press(panel, "Back to the start", "Enter")
    panel.evaluate("""card => {
      const handle = card.querySelector('.noUi-handle');
      const press = key => handle.dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true}));
      for (let times = 0; times < 8; times++) press('PageUp');
      [...card.querySelectorAll('button')].find(one => one.textContent === 'Keep A').click();
    }""")
    panels.wait_idle()
    assert "B against A (dashes). No difference that can be told." in panels.readout(panel)
    assert panels.control(panel, "roll stick").get_attribute("aria-valuenow") == "40.0"
    panels.press(panel, "Let A go", "Enter")
    panels.press(panel, "Back to the start", "Enter")


def test_keys_in_a_panel_are_the_panels_own(panels):
    """The notebook would cut the cell at an x, and go to the next one at an arrow key."""
    looked_at(panels, LAPTOP)
    cells = panels.page.locator(".jp-Cell").count()
    button = panels.page.get_by_role("button", name="Back to the start").first
    for key in ("ArrowDown", "a", "x", "Enter"):
        button.press(key)
        panels.page.wait_for_timeout(100)
        assert button.evaluate("button => button === document.activeElement"), key
        assert panels.page.locator(".jp-Cell").count() == cells, key


def test_a_grid_takes_a_comma_and_a_unit_as_typed_and_the_arrow_keys_step(panels):
    looked_at(panels, LAPTOP)
    card = panels.page.locator(".mix-card", has=panels.page.locator(".mix-grid")).first
    entry = card.locator(".mix-grid input:enabled").first
    before = entry.input_value()
    for typed, kept, fault in (
        ("50,5 %", "50,5 %", "steps of 1 %"),
        ("seven", "seven", "“seven” is not a number"),
        ("−40", "−40", ""),
    ):
        entry.fill(typed)
        entry.press("Enter")
        panels.wait_idle()
        panels.page.wait_for_timeout(300)
        assert entry.input_value() == kept
        assert fault in card.inner_text()
    entry.press("ArrowUp")
    assert entry.input_value() == "−39"
    entry.press("ArrowDown")
    entry.press("ArrowDown")
    assert entry.input_value() == "−41"
    entry.fill(before)
    entry.press("Enter")
    panels.wait_idle()
