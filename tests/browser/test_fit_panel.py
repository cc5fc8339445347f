"""The fit's panel of lesson 08 in JupyterLab: a wish added, a lock, stop, another way, keep and undo."""

import re
from pathlib import Path

import pytest
from lab import NOTEBOOKS, LabServer
from lesson import Lesson
from playwright.sync_api import Locator, Page, expect

pytestmark = pytest.mark.browser

LAPTOP = (1366, 650)
FIND, STOP, KEEP, UNDO = "Find the settings", "Stop", "Keep these settings as my own", "Undo the keeping"

BELOW_THE_FOLD = """form => {
  const box = part => part.getBoundingClientRect();
  const scrolls = part => /auto|scroll/.test(getComputedStyle(part).overflowY);
  let port = form;
  while (!(port.scrollHeight > port.clientHeight && scrolls(port))) port = port.parentElement;
  port.scrollTop += box(form.querySelector('.mix-wishes')).top - box(port).top;
  const inside = part => box(part).top >= box(port).top - 1 && box(part).top < box(port).bottom - 20;
  const parts = '.mix-wishes, .mix-locks, .mix-buttons button, [role=status], .mix-picture svg';
  return [...form.querySelectorAll(parts)].filter(part => box(part).width && !inside(part)).length;
}"""
STOP_AT_ONCE = """(form, names) => {
  const [find, stop] = names.map(
    name => [...form.querySelectorAll('button')].find(button => button.textContent === name));
  find.click();
  const timer = setInterval(() => { if (!stop.disabled) { stop.click(); clearInterval(timer); } }, 5);
}"""


@pytest.fixture(scope="module")
def lesson(server: LabServer, page: Page) -> Lesson:
    name = server.add(NOTEBOOKS / "08_fit_your_radio.ipynb", "fit_08.ipynb", r"\bimport\b|\bmine\b")
    opened = Lesson(page, server, name, *LAPTOP)
    opened.run_all()
    return opened


@pytest.fixture
def form(lesson: Lesson, server: LabServer):
    yield lesson.panel("Wanted throws of")
    for file in (server.home / "models").glob("*"):
        if file.is_file():
            file.unlink()


def button(form: Locator, words: str) -> Locator:
    return form.get_by_role("button", name=words, exact=True)


def search(lesson: Lesson, form: Locator) -> str:
    """Start the search with the keyboard, wait for its end, and read the sentence."""
    button(form, FIND).press("Enter")
    expect(button(form, STOP)).to_be_enabled()
    expect(button(form, STOP)).to_be_disabled(timeout=60_000)
    return lesson.readout(form)


def kept(server: LabServer) -> list[Path]:
    return sorted((server.home / "models").glob("*.toml"))


def test_rows_buttons_and_the_start_of_the_answer_are_on_one_screen(lesson, form):
    search(lesson, form)
    seen = form.evaluate(BELOW_THE_FOLD)
    assert seen == 0


def test_a_wish_is_added_and_a_plug_is_locked_by_keyboard(lesson, form):
    button(form, "+ rudder with roll").press("Enter")
    field = form.get_by_label("rudder, roll, stick right, mm", exact=True)
    field.fill("−6,5 mm")
    field.press("Enter")
    mark = form.get_by_label("elevator: plug stays", exact=True)
    mark.press("Space")
    assert mark.is_checked()
    search(lesson, form)
    asked = form.locator("tr", has_text="rudder, roll (stick right)").inner_text()
    assert "−6.5" in asked
    plug = form.locator("tr", has_text=re.compile("^elevatorplug")).inner_text()
    assert "the same" in plug
    form.get_by_role("button", name="Take away rudder, roll").press("Enter")
    expect(button(form, "+ rudder with roll")).to_be_visible()
    mark.press("Space")


def test_stop_is_heard_while_the_search_runs(lesson, form):
    form.evaluate(STOP_AT_ONCE, [FIND, STOP])
    expect(form.get_by_text("Stopped: the best of")).to_be_visible(timeout=30_000)
    expect(button(form, FIND)).to_be_enabled()


def test_another_way_is_taken_over_kept_and_undone(lesson, form, server):
    search(lesson, form)
    other = form.get_by_role("radio").nth(1)
    words = other.locator("xpath=..").inner_text().strip()
    other.focus()
    lesson.page.keyboard.press("Space")
    expect(form.get_by_text("Taken over:")).to_be_visible()
    assert words in lesson.readout(form)
    button(form, KEEP).press("Enter")
    expect(form.get_by_text("Saved.")).to_be_visible()
    assert [path.stem for path in kept(server)] == ["hopper_ready_fitted"]
    button(form, UNDO).press("Enter")
    expect(form.get_by_text("Undone.")).to_be_visible()
    assert kept(server) == []
    assert lesson.errors == []
