"""The landing played in a browser: by the keyboard, in real time, without a word to the kernel."""

import json
from collections.abc import Iterator

import pytest
from lab import LabServer
from lesson import Lesson
from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

PANEL = """
from mixlib.describe import flaperon_setup
from mixlib.panel import landing
landing.landing_panel(flaperon_setup())
"""
PLACES = """card => [...card.querySelectorAll(".mix-picture g[transform]")]
  .map(g => g.transform.baseVal[0].matrix.e)"""


@pytest.fixture(scope="module")
def panel(server: LabServer, page: Page) -> Iterator[Locator]:
    cell = {"cell_type": "code", "id": "a", "metadata": {}, "source": PANEL.strip()}
    kernel = {"kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"}}
    content = {"cells": [cell | {"outputs": [], "execution_count": None}], "metadata": kernel}
    content |= {"nbformat": 4, "nbformat_minor": 5}
    (server.notebooks / "landing.ipynb").write_text(json.dumps(content), encoding="utf-8")
    lesson = Lesson(page, server, "landing.ipynb", 1366, 768)
    lesson.run_all()
    yield page.locator(".mix-card")
    page.emulate_media(reduced_motion="no-preference")
    assert lesson.errors == []


def press(panel: Locator, number: int) -> None:
    panel.locator(".mix-play button").nth(number).focus()
    panel.page.keyboard.press("Space")


def test_space_starts_and_stops_it_and_it_goes_in_real_time(panel):
    assert panel.evaluate(PLACES) == []
    press(panel, 0)
    panel.page.wait_for_timeout(1000)
    seconds = float(panel.locator(".mix-play span").first.inner_text().split()[0])
    first = panel.evaluate(PLACES)
    assert len(first) == 2
    panel.page.wait_for_timeout(1000)
    second = panel.evaluate(PLACES)
    assert all(after > before for before, after in zip(first, second, strict=True))
    panel.page.keyboard.press("Space")
    panel.page.wait_for_timeout(100)
    stopped = panel.evaluate(PLACES)
    later = float(panel.locator(".mix-play span").first.inner_text().split()[0])
    assert 0.8 <= later - seconds <= 5, "seconds of the clock on the wall"
    panel.page.wait_for_timeout(400)
    assert panel.evaluate(PLACES) == stopped
    press(panel, 1)
    assert panel.evaluate(PLACES) == []


def test_a_control_moves_the_picture_under_the_aircraft_that_stand(panel):
    press(panel, 0)
    panel.page.wait_for_timeout(600)
    panel.page.keyboard.press("Space")
    panel.locator(".noUi-handle").nth(1).focus()
    for _ in range(3):
        panel.page.keyboard.press("ArrowRight")
    panel.get_by_text("of the approach speed").or_(panel.locator(".mix-said")).first.wait_for()
    panel.page.wait_for_timeout(2500)
    assert len(panel.evaluate(PLACES)) == 2
    press(panel, 1)


def test_with_less_motion_a_press_goes_on_by_a_second(panel):
    panel.page.emulate_media(reduced_motion="reduce")
    for seconds in (1, 2):
        press(panel, 0)
        places = panel.evaluate(PLACES)
        panel.page.wait_for_timeout(300)
        assert panel.evaluate(PLACES) == places
        assert panel.locator(".mix-play span").first.inner_text() == f"{seconds}.0 s"
