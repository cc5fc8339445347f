"""Lessons 03 to 10 with models of the reader's own: their panels, no demo's in their place; the evening."""

import json
import re
from pathlib import Path

import ipywidgets as widgets
import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output
from own_hangar import setups

from mixlib.describe import shelf

pytestmark = pytest.mark.slow

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
LESSONS = [path for path in sorted(NOTEBOOKS.glob("[0-9][0-9]_*.ipynb")) if "03" <= path.name < "11"]
EVENING = NOTEBOOKS / "11_club_evening.ipynb"
DEMO = re.compile(r"Orchard (Hopper|Two|Three|Vee|Wing)")
FAULT = re.compile(r"Not shown|Traceback|cannot be used|\bnan\b")
VIEW = "application/vnd.jupyter.widget-view+json"


@pytest.fixture
def shell():
    yield InteractiveShell.instance()
    InteractiveShell.clear_instance()
    widgets.Widget.close_all()


def texts(widget):
    """All words of a widget and of those in it."""
    own = [value for name, value in widget.get_state().items() if isinstance(value, str) and name[0] != "_"]
    return " ".join([*own, *map(texts, getattr(widget, "children", ()))])


def shown(shell, path):
    """Run the cells of a lesson: all widgets that they show, by their plain words and with what they say."""
    found = []
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "code":
            with capture_output() as seen:
                shell.run_cell("".join(cell["source"])).raise_error()
            assert seen.stderr == ""
            views = [output.data for output in seen.outputs if VIEW in output.data]
            found += [
                (one["text/plain"], texts(widgets.widget._instances[one[VIEW]["model_id"]])) for one in views
            ]
    return found


@pytest.mark.parametrize("words", setups())
@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.name[:2])
def test_a_lesson_works_with_the_model_that_is_chosen(path, words, shell, tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    mine = setups()[words]
    shelf.keep(mine)
    (bar, _), *others = shown(shell, path)
    assert f"Working with your own set-up '{mine.name}'" in bar
    panels = [(title, said) for title, said in others if title.startswith("Panel: ")]
    assert panels
    for title, said in panels:
        assert not DEMO.search(said), title
        assert not FAULT.search(said), title
    assert len({title for title, _ in panels}) == len(panels), "one panel for one thing"


@pytest.mark.parametrize(
    "words, droops, brakes",
    [
        ("motor glider on a Y-lead", "Orchard Hopper", "Orchard Three"),
        ("four surfaces, one flap servo not mirrored", "Garden Own", "Garden Own"),
        ("V-tail", "Garden Own", "Orchard Three"),
    ],
)
def test_on_the_club_evening_a_demo_steps_in_only_where_the_model_cannot(
    words, droops, brakes, shell, tmp_path, monkeypatch
):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    shelf.keep(mine := setups()[words])
    (bar, _), *others = shown(shell, EVENING)
    assert f"Working with your own set-up '{mine.name}'" in bar
    assert not [title for title, said in others if FAULT.search(said)]
    titles = [title for title, _ in others]
    assert f"Panel: Landing of {droops}" in titles
    assert f"Panel: {brakes} from behind" in titles
