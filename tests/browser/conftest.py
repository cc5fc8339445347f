"""One JupyterLab for the whole run, one browser for each test file."""

import os
from collections.abc import Callable, Iterator

import pytest
from lab import LabServer, find_browser, open_browser
from lesson import Lesson
from playwright.sync_api import Browser

NO_BROWSER = (
    "no Chromium, Chrome or Edge was found: install one, or name one in the environment variable "
    "MIXING_WORKBOOK_BROWSER"
)


@pytest.fixture(scope="session")
def server() -> Iterator[LabServer]:
    """A running JupyterLab with a copy of the lessons.

    Without a browser the test is skipped, but in continuous integration (the variable CI is set) it fails:
    there a skipped browser test would hide a fault.
    """
    if find_browser() is None:
        if os.environ.get("CI"):
            pytest.fail(NO_BROWSER)
        pytest.skip(NO_BROWSER)
    with LabServer() as running:
        yield running


@pytest.fixture(scope="module")
def browser(server: LabServer) -> Iterator[Browser]:
    """A headless browser, for one file only: its event loop must be gone before a lesson's kernel starts."""
    with open_browser() as running:
        yield running


@pytest.fixture
def open_lesson(server: LabServer, browser: Browser) -> Iterator[Callable[..., Lesson]]:
    """Open a lesson by file name; closed, and its kernel ended, after the test."""
    opened: list[Lesson] = []

    def open_one(notebook: str, width: int = 1280, height: int = 900) -> Lesson:
        opened.append(Lesson(browser, server, notebook, width, height))
        return opened[-1]

    yield open_one
    for lesson in opened:
        lesson.close()
    server.stop_kernels()
