"""One JupyterLab for the whole run, one page of it for each test file."""

import os
from collections.abc import Callable, Iterator
from functools import partial

import pytest
from lab import LabServer, find_browser, open_page
from lesson import Lesson
from playwright.sync_api import Page

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
def page(server: LabServer) -> Iterator[Page]:
    """JupyterLab's page, for one file only: its event loop must be gone before nbval starts a kernel."""
    with open_page(server) as running:
        yield running


@pytest.fixture
def open_lesson(server: LabServer, page: Page) -> Callable[..., Lesson]:
    """Open a lesson by file name."""
    return partial(Lesson, page, server)


@pytest.fixture(scope="module")
def lesson(server: LabServer, page: Page, request: pytest.FixtureRequest) -> Lesson:
    """A lesson, run: all tests of the same lesson share it."""
    opened = Lesson(page, server, request.param)
    opened.run_all()
    return opened
