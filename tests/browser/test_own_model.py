"""Every lesson from 03 on with six models of the reader's own: their panels, and no demo's in their place."""

import re

import pytest
from lab import NOTEBOOKS
from lesson import Lesson
from own_hangar import setups

from mixlib.describe import shelf

pytestmark = [pytest.mark.browser, pytest.mark.slow]

LESSONS = [path.name for path in sorted(NOTEBOOKS.glob("[01]?_*.ipynb")) if "03" <= path.name[:2] <= "10"]
DEMO = re.compile(r"Orchard (Hopper|Two|Three|Vee|Wing)")
SHORT = [name for name in setups() if "motor" in name or "four" in name]
FAULT = re.compile(r"Not shown|Traceback|cannot be used|\bnan\b")


@pytest.mark.parametrize(
    "words", [name if name in SHORT else pytest.param(name, marks=pytest.mark.long) for name in setups()]
)
@pytest.mark.parametrize("notebook", LESSONS, ids=lambda name: name[:2])
def test_a_lesson_works_with_the_model_that_is_chosen(notebook, words, server, page, tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    mine = setups()[words]
    shelf.keep(mine)
    before = f"import os\nos.environ['MIXING_WORKBOOK_MODELS'] = {str(tmp_path)!r}"
    lesson = Lesson(page, server, server.add(NOTEBOOKS / notebook, f"with_{notebook}", before=before))
    lesson.run_all()
    assert lesson.error_texts() == []
    assert lesson.errors == []
    bar = lesson.panel("This lesson works with")
    assert f"Working with your own set-up '{mine.name}'" in lesson.readout(bar)
    shown = [panel for panel in lesson.panels() if panel.locator(".mix-panel").count()]
    assert shown
    for panel in shown:
        text = panel.text_content()
        assert not DEMO.search(text), lesson.title(panel)
        assert not FAULT.search(text), lesson.title(panel)
    named = [lesson.title(panel) for panel in shown]
    assert len(set(named)) == len(named), "one panel for one thing"
