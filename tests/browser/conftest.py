"""One JupyterLab for the whole run, and one page of it."""

import os
import shutil
from collections.abc import Callable, Iterator

import pytest
from lab import NOTEBOOKS, LabServer, find_browser, open_page
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


@pytest.fixture(scope="session")
def page(server: LabServer) -> Iterator[Page]:
    """JupyterLab's page."""
    with open_page(server) as running:
        yield running


@pytest.fixture
def open_own(server: LabServer, page: Page) -> Callable[[str], Lesson]:
    """Open and run of a lesson, by file name, what works with the reader's own model, and its questions."""

    def open_one(notebook: str) -> Lesson:
        name = server.add(NOTEBOOKS / notebook, f"own_{notebook}", r"\bimport\b|\bmine\b|exercise\.")
        opened = Lesson(page, server, name)
        opened.run_all()
        assert opened.error_texts() == []
        return opened

    return open_one


@pytest.fixture(scope="module")
def lesson(server: LabServer, page: Page, request: pytest.FixtureRequest) -> Lesson:
    """A lesson, run for a reader who has kept and picked nothing: all tests of the same lesson share it."""
    shutil.rmtree(server.home / "models", ignore_errors=True)
    opened = Lesson(page, server, request.param)
    opened.run_all()
    return opened
