"""Two models described from a paper list, by keyboard and mouse; after it, reloads, and a second window."""

import json
import time

import pytest
from lab import LabServer
from lesson import Lesson
from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

CELLS = """
from mixlib.panel.form.desk import DescriptionDesk
from ipywidgets.widgets.widget import _instances
---
desk = DescriptionDesk()
desk
---
print(len(_instances), "widget models")
"""
LAPTOP = (1366, 768)

# How high the card is, how much of it the page can show, and whether there is a picture.
SEEN = """card => {
  const scrolls = part =>
    part.scrollHeight > part.clientHeight && /auto|scroll/.test(getComputedStyle(part).overflowY);
  let port = card.parentElement;
  while (port.parentElement && !scrolls(port)) port = port.parentElement;
  const drawn = !!card.querySelector('.mix-picture svg');
  return { card: card.getBoundingClientRect().height, port: port.clientHeight, svg: drawn };
}"""

# What stands on the reader's sheet of paper.  A list of a step is gone through with the Enter key.
MOTOR_GLIDER = {
    "pick": ["on one Y-lead", "foam", "folding propeller"],
    "Numbers": {
        "Span": "1600",
        "Root chord": "190",
        "Tip chord": "135",
        "Thickness": "21",
        "Aileron from": "390",
        "Aileron to": "760",
        "Aileron chord": "38",
        "Tail distance": "610",
        "Tail span": "430",
        "Tail chord": "95",
        "Elevator chord": "36",
        "Weight": "0,92 kg",
        "Balance point": "66",
    },
    "Servos": {
        "left aileron.arm": "9",
        "left aileron.horn": "13",
        "elevator.arm": "8",
        "elevator.horn": "14",
    },
    "Which way": {"left aileron.seen": "down", "elevator.seen": "down", "rudder.seen": "right"},
    "Plugs": {"left aileron.output": "1", "motor.output": "3"},
    "name": "Meadow lark",
}
FOUR_SURFACES = {
    "pick": ["ailerons and flaps"],
    "Numbers": {
        "Span": "2,9 m",
        "Root chord": "225",
        "Tip chord": "120",
        "Flap from": "60",
        "Flap to": "800",
        "Flap chord": "52",
        "Aileron from": "815",
        "Aileron to": "1410",
        "Aileron chord": "41",
        "Tail distance": "930",
        "Tail span": "620",
        "Weight": "2250",
        "Balance point": "92",
    },
    "not mirrored": "flap",
    "Servos": {
        "left flap.arm": "13",
        "left flap.horn": "11",
        "right flap.arm": "12",
        "left aileron.arm": "10",
    },
    "Which way": {
        "left flap.seen": "down",
        "right flap.seen": "down",
        "left aileron.seen": "down",
        "elevator.seen": "up",
        "rudder.seen": "right",
    },
    "radio": "Rich ten",
    "Plugs": {"left flap.output": "3", "right flap.output": "4"},
    "name": "Slope four",
}


class Form:
    """The form in a page, worked as a reader does; counts entries and clicks."""

    def __init__(self, page: Page, server: LabServer, name: str = "form.ipynb"):
        kernel = {"kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"}}
        plain = {"cell_type": "code", "metadata": {}, "outputs": [], "execution_count": None}
        cells = [
            plain | {"id": f"c{n}", "source": text} for n, text in enumerate(CELLS.strip().split("\n---\n"))
        ]
        content = {"cells": cells, "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}
        (server.notebooks / name).write_text(json.dumps(content), encoding="utf-8")
        self.lesson = Lesson(page, server, name, *LAPTOP)
        self.lesson.run_all()
        self.page, self.card = page, page.locator(".mix-card")
        self.card.wait_for()
        self.entries = self.clicks = 0
        self.asked: list[str] = []

    def reload(self) -> None:
        """Load the page anew, as the browser's own button does, and open the same notebook."""
        self.page.evaluate("jupyterapp.shell.currentWidget.context.save()")
        self.page.reload()
        self.page.wait_for_function("!!window.jupyterapp")
        self.page.evaluate(
            """async path => {
              await jupyterapp.restored;
              await jupyterapp.commands.execute('docmanager:open', {path});
            }""",
            self.lesson.notebook,
        )
        self.card.wait_for(timeout=60_000)
        self.settle()

    def restart_kernel(self) -> None:
        """End the kernel and run the page again with a new one."""
        self.page.evaluate("jupyterapp.shell.currentWidget.sessionContext.session.kernel.restart()")
        self.settle()
        self.lesson.run_all()
        self.card.wait_for()
        self.settle()

    def press(self, words: str) -> None:
        """Click a button."""
        self.card.get_by_role("button", name=words, exact=True).first.click()
        self.clicks += 1
        self.settle()

    def settle(self) -> None:
        """Wait until the kernel has answered."""
        self.page.wait_for_timeout(250)
        self.lesson.wait_idle()

    def pick(self, words: str, within: Locator | None = None) -> None:
        """Click one of the choices."""
        (within or self.card).get_by_role("radio", name=words, exact=True).first.click()
        self.clicks += 1
        self.settle()

    def entry(self, key: str) -> Locator:
        """What has a key."""
        return self.card.locator(f'[data-key="{key}"]')

    def type(self, entry: Locator, text: str) -> None:
        """Type into a line, key by key, and go on with Enter."""
        line = entry.locator("input")
        if not line.evaluate("line => line === document.activeElement"):
            line.click()
            self.clicks += 1
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter")
        self.entries += 1

    def labelled(self, label: str) -> Locator:
        """The line with a label."""
        found = self.card.get_by_label(label, exact=True).first
        return found.locator("xpath=..")

    def describe(self, paper: dict) -> None:
        """Go through the form with a paper list."""
        for words in paper["pick"]:
            self.pick(words)
        self.press("Next")
        for label, text in paper["Numbers"].items():
            self.type(self.labelled(label), text)
        self.fields()
        self.press("Next")
        if "not mirrored" in paper:
            self.pick("not", self.entry(f"{paper['not mirrored']}.mirror"))
        for key, text in paper["Servos"].items():
            self.type(self.entry(key), text)
        self.fields()
        self.press("Next")
        for key, way in paper["Which way"].items():
            self.pick(way, self.entry(key))
        self.fields()
        self.press("Next")
        if "radio" in paper:
            self.pick(paper["radio"])
        for key, text in paper["Plugs"].items():
            self.type(self.entry(key), text)
        self.fields()
        self.press("Next")
        self.type(self.entry("name"), paper["name"])
        self.fields()
        self.settle()

    def fields(self) -> None:
        """Note which fields this step has asked."""
        keys = self.card.locator(".mix-body [data-key]:has(> input, > label > input)")
        self.asked += keys.evaluate_all("all => all.map(one => one.dataset.key)")

    def said(self) -> str:
        """The sentences below the picture."""
        return self.lesson.readout(self.card)


@pytest.fixture
def form(server: LabServer, page: Page) -> Form:
    """A form that nobody has typed into."""
    for path in (server.home / "models").rglob("*.*"):
        path.unlink()
    whole = ".jp-Cell { content-visibility: visible !important }"
    page.add_style_tag(content=whole)
    yield Form(page, server)
    page.evaluate(  # a reload has taken it away already
        "text => document.querySelectorAll('style').forEach(s => s.textContent === text && s.remove())",
        whole,
    )


@pytest.mark.parametrize("paper", [MOTOR_GLIDER, FOUR_SURFACES], ids=["motor glider", "four surfaces"])
def test_a_model_is_described_from_a_paper_list(form, server, paper):
    started = time.monotonic()
    form.describe(paper)
    form.press("Keep the model")
    while "Is it so?" in form.said():  # asked back: the reader says that it is so
        form.press("It is so")
        form.press("Keep the model")
    assert "Kept." in form.said()
    seconds = time.monotonic() - started
    print(f"{paper['name']}: {form.entries} entries, {form.clicks} clicks, {seconds:.0f} s")
    assert len(set(form.asked)) == len(form.asked), "a field was asked twice"
    kept = (server.home / "models" / f"{paper['name'].lower().replace(' ', '_')}.toml").read_text()
    if paper is MOTOR_GLIDER:
        assert "mass_kg = 0.92" in kept
        assert "motor = 3" in kept
    else:
        assert kept.count('longer_pulse_moves_arm = "forward"') > kept.count(
            'longer_pulse_moves_arm = "back"'
        )
        assert "arm_mm = 12.0" in kept
    assert form.lesson.errors == []


def test_the_entry_one_is_at_is_drawn_while_one_types_and_stays_after_a_reload(form, page):
    form.press("Next")
    before = form.lesson.picture_hash(form.card)
    form.labelled("Span").locator("input").click()
    page.keyboard.type("1500")
    form.settle()
    assert "Span: 1500 mm" in form.card.locator(".mix-picture").text_content()
    assert form.lesson.picture_hash(form.card) != before
    page.keyboard.press("Tab")
    page.keyboard.type("19O")
    form.settle()
    assert "“19O” is not a number" in form.card.inner_text()
    for anew in (form.lesson.run_all, form.reload, form.restart_kernel):
        anew()
        form.settle()
        assert form.labelled("Span").locator("input").input_value() == "1500", anew.__name__
        assert form.labelled("Root chord").locator("input").input_value() == "19O", anew.__name__
        assert form.card.locator(".mix-picture svg").count() == 1
    form.labelled("Tip chord").locator("input").click()
    page.keyboard.type("120")
    form.settle()
    assert "Tip chord: 120 mm" in form.card.locator(".mix-picture").text_content()


def test_two_tabs_notice_each_other_and_nothing_is_lost(form, page, server, monkeypatch):
    form.press("Next")
    form.type(form.labelled("Span"), "1500")
    form.settle()
    with monkeypatch.context() as kernels:
        kernels.setattr(server, "stop_kernels", lambda: None)  # the first tab's goes on
        second = page.context.browser.new_page()
        second.goto(f"{server.url}/lab/workspaces/second?token={server.token}&reset")
        second.wait_for_function("!!window.jupyterapp")
        second.evaluate("async () => { await jupyterapp.restored }")
        other = Form(second, server, "form_2.ipynb")
    assert other.labelled("Span").locator("input").input_value() == "1500"
    form.type(form.labelled("Root chord"), "180")
    form.settle()
    other.type(other.labelled("Root chord"), "200")
    other.settle()
    assert "changed in another window" in other.said()
    other.press("My models")
    assert "second draft" in other.card.inner_text()
    kept = [path.read_text() for path in (server.home / "models").rglob("*form*.json")]
    assert sum('"180"' in text for text in kept) == 1
    assert sum('"200"' in text for text in kept) == 1
    second.close()
    form.type(form.labelled("Tip chord"), "110")
    form.settle()
    assert "another window" not in form.said()


def test_ten_rounds_leave_no_models_behind_and_the_page_can_be_run_again(form, page):
    def models() -> int:
        return int(form.lesson.code_cells()[-1]["outputs"][0]["text"].split()[0])

    first = models()
    for _ in range(10):
        for step in ("2. Numbers", "3. Servos", "6. Done"):
            form.card.get_by_role("button", name=step).first.click()
            page.wait_for_timeout(60)
    form.settle()
    form.lesson.run_all()
    assert models() - first <= 40, "a new form, and nothing that the rounds have left"
    form.card.wait_for()
    form.press("Back")
    assert form.lesson.errors == []


def test_each_step_stands_on_one_screen(form, page):
    for step in ("1. Kind", "2. Numbers", "3. Servos", "4. Which way", "5. Plugs", "6. Done"):
        form.card.get_by_role("button", name=step).first.click()
        form.settle()
        seen = form.card.evaluate(SEEN)
        assert seen["card"] <= seen["port"], step
        assert seen["svg"], step
