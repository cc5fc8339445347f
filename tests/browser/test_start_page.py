"""The page that runs by itself: lessons one after the other, code, restart, nothing of an editor."""

import pytest
from lesson import as_opened

pytestmark = pytest.mark.browser
FIRST, SECOND = "00_start_here.ipynb", "01_from_stick_to_surface.ipynb"


@pytest.fixture(scope="module")
def reader(page, tmp_path_factory):
    """The first lesson as a reader opens it, in a page of its own."""
    size = {"width": 1366, "height": 768}
    with as_opened(page, tmp_path_factory.mktemp("reader"), FIRST, size) as opened:
        yield opened


def ran(page):
    page.wait_for_function("document.body.dataset.mixing === 'ready'", timeout=120_000)
    return page.locator(".jp-NotebookPanel .mix-panel, .jp-NotebookPanel .mix-exercise")


def test_a_lesson_runs_without_a_press_and_stays_at_its_top(reader):
    assert ran(reader).count() > 2
    assert reader.locator("h1").first.is_visible()
    assert reader.evaluate("document.querySelector('.jp-WindowedPanel-outer').scrollTop") == 0
    assert not reader.locator(".jp-RenderedText .ansi-red-fg").count()


def test_nothing_of_an_editor_is_in_sight(reader):
    ran(reader)
    for part in ("#jp-menu-panel", ".jp-NotebookPanel-toolbar", ".jp-cell-toolbar", "#jp-main-statusbar"):
        assert not any(found.is_visible() for found in reader.locator(part).all()), part
    assert not any(code.is_visible() for code in reader.locator(".jp-CodeCell .cm-editor").all())


def test_every_part_of_a_panel_is_within_reach_of_the_mouse(reader):
    """What the page has in place of the prompts must not lie over the left edge of a panel."""
    ran(reader)
    form = reader.locator(".mix-card:has(.mix-form)")
    form.get_by_role("button", name="Next", exact=True).click(timeout=5000)
    form.get_by_label("Span", exact=False).first.wait_for()
    form.get_by_role("button", name="1. Kind").click(timeout=5000)


def test_the_code_is_one_press_away(reader):
    ran(reader)
    reader.get_by_role("button", name="Show the code").click()
    reader.locator(".jp-CodeCell .cm-editor").first.wait_for()
    reader.get_by_role("button", name="Show the code").click()
    reader.locator(".jp-CodeCell .cm-editor").first.wait_for(state="hidden")


def test_a_panel_cannot_be_deleted_by_a_key(reader):
    ran(reader)
    before = reader.locator(".jp-Cell").count()
    reader.locator(".jp-Cell").nth(1).click()
    for key in ("Escape", "x", "d", "d"):
        reader.keyboard.press(key)
    assert reader.locator(".jp-Cell").count() == before


def test_a_restarted_kernel_runs_the_page_again(reader):
    ran(reader)
    reader.get_by_role("button", name="Run the page again").click()
    reader.wait_for_function("document.body.dataset.mixing === 'running'", timeout=60_000)
    assert ran(reader).count() > 2


def test_the_next_lesson_runs_too_and_the_kernel_before_ends(reader):
    ran(reader)
    reader.get_by_role("button", name="Next lesson").click()
    reader.locator("h1", has_text="01 ·").wait_for(timeout=60_000)
    reader.wait_for_function("document.body.dataset.mixing === 'running'", timeout=60_000)
    assert ran(reader).count() > 2
    reader.wait_for_timeout(1000)
    assert [session["path"] for session in reader.lab.ask("api/sessions")] == [SECOND]
    assert reader.get_by_label("Lesson", exact=True).input_value() == SECOND
