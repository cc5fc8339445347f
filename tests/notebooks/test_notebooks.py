"""What every lesson must keep to, beside printing what is stored in it."""

import ast
import json
import re
from pathlib import Path

import pytest

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
LESSONS = sorted(NOTEBOOKS.glob("[0-9][0-9]_*.ipynb"))
MOST_BYTES = 400_000
MOST_CODE_LINES = 20
FEWEST_CELLS, MOST_CELLS = 25, 50
LEAST_PROSE_SHARE = 0.55
FEWEST_EXERCISES = 4
EXERCISE_KINDS = {"choice", "number", "movement"}
SHOW_TAGS = {"step", "answer", "note", "twenty"}  # for a page that is shown to a room, one step at a time
SHOWS_ONLY = ("Panel: ", "Exercise: ")
LINK = re.compile(r"\]\(([^)\s]+)\)")
# A path from the root of somebody's disk: a slash not inside a word, a web address or a closing tag.
ABSOLUTE_PATH = re.compile(r"(?<![\w<./:)°%])/\w+/\w|\b[A-Z]:\\")


def _lesson(path: Path) -> dict:
    return json.loads(path.read_text(encoding="utf-8"))


def _source(cell: dict) -> str:
    return "".join(cell["source"])


def _tags(cell: dict) -> list[str]:
    return cell["metadata"].get("tags", [])


def _code(path: Path) -> list[dict]:
    return [cell for cell in _lesson(path)["cells"] if cell["cell_type"] == "code"]


def _prose(path: Path) -> str:
    return "\n\n".join(_source(cell) for cell in _lesson(path)["cells"] if cell["cell_type"] == "markdown")


def _texts(cell: dict) -> list[str]:
    """What a code cell's outputs say, pictures left out."""
    said = []
    for output in cell["outputs"]:
        said.append("".join(output.get("text", [])))
        said += ["".join(text) for kind, text in output.get("data", {}).items() if kind.startswith("text/")]
    return [text for text in said if text]


def _anchors(path: Path) -> set[str]:
    headings = re.findall(r"^#+\s+(.*)$", _prose(path), re.MULTILINE)
    return {re.sub(r"[*`]", "", heading).strip().replace(" ", "-") for heading in headings}


each_lesson = pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)


def test_lessons_are_numbered_from_00_without_a_gap():
    assert [int(path.name[:2]) for path in LESSONS] == list(range(len(LESSONS)))
    assert LESSONS, "there are no lessons"
    others = {path.name for path in NOTEBOOKS.glob("*.ipynb")} - {path.name for path in LESSONS}
    assert not others, "notebooks that are not named NN_title.ipynb"


@each_lesson
def test_every_code_cell_was_run_once_from_top_to_bottom(path):
    counts = [cell["execution_count"] for cell in _code(path)]
    assert counts == list(range(1, len(counts) + 1))


@each_lesson
def test_no_cell_raised_or_warned(path):
    for cell in _code(path):
        for output in cell["outputs"]:
            assert output["output_type"] != "error", _source(cell)
            assert output.get("name") != "stderr", _source(cell)


@each_lesson
def test_everything_is_compared_and_nothing_heavy_is_stored(path):
    """Nothing that lets a cell off the comparison, no widget state, no time stamps; a small file."""
    lesson = _lesson(path)
    assert set(lesson["metadata"]) <= {"kernelspec", "language_info"}
    for cell in lesson["cells"]:
        assert set(cell["metadata"]) <= {"jupyter", "tags"}, _source(cell)
        assert set(_tags(cell)) <= SHOW_TAGS, _source(cell)
        assert "NBVAL" not in _source(cell)
        for output in cell.get("outputs", []):
            kinds = set(output.get("data", {}))
            assert not [kind for kind in kinds if "widget" in kind], (
                "re-run it with tests/notebooks/execute.py"
            )
    assert path.stat().st_size <= MOST_BYTES


@each_lesson
def test_cells_are_short_and_a_good_part_is_prose(path):
    cells = _lesson(path)["cells"]
    # A note beside each step is the presenter's, not the learner's.
    assert FEWEST_CELLS <= sum("note" not in _tags(cell) for cell in cells) <= MOST_CELLS
    for cell in _code(path):
        assert 1 <= len(_source(cell).splitlines()) <= MOST_CODE_LINES, _source(cell)
    prose = len(_prose(path).split())
    # The texts of an exercise are read on its card, not as code: what starts folded does not count as code.
    seen = [cell for cell in _code(path) if not cell["metadata"].get("jupyter", {}).get("source_hidden")]
    code = sum(len(_source(cell).split()) for cell in seen)
    assert prose / (prose + code) >= LEAST_PROSE_SHARE
    kinds = "".join(cell["cell_type"][0] for cell in cells)
    assert "ccccc" not in kinds, "five code cells in a row without a word between them"


@each_lesson
def test_a_cell_that_only_shows_a_panel_or_an_exercise_is_folded(path):
    """The reader sees the panel, not how it is called; and no exercise shows its answer."""
    for cell in _code(path):
        texts = _texts(cell)
        if texts and all(text.startswith(SHOWS_ONLY) for text in texts):
            assert cell["metadata"].get("jupyter", {}).get("source_hidden"), _source(cell)


@each_lesson
def test_enough_exercises_are_asked_and_shown(path):
    asked = sum(
        isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and isinstance(node.func.value, ast.Name)
        and node.func.value.id == "exercise"
        and node.func.attr in EXERCISE_KINDS
        for cell in _code(path)
        for node in ast.walk(ast.parse(_source(cell)))
    )
    shown = sum(text.startswith("Exercise: ") for cell in _code(path) for text in _texts(cell))
    assert asked == shown
    if path != LESSONS[0]:
        assert shown >= FEWEST_EXERCISES


@each_lesson
def test_a_prediction_has_something_to_enter(path):
    """Commit, then see: the first code cell after a *Predict* is its question."""
    cells = _lesson(path)["cells"]
    for place, cell in enumerate(cells):
        if cell["cell_type"] == "markdown" and "**Predict" in _source(cell):
            following = next(other for other in cells[place:] if other["cell_type"] == "code")
            assert [text for text in _texts(following) if text.startswith("Exercise: ")], _source(cell)


@pytest.mark.parametrize(
    "path", [path for path in LESSONS if path.name[:2] >= "03"], ids=lambda path: path.stem
)
def test_a_lesson_works_with_the_readers_choice(path):
    """The choice stands at the top, and every panel follows it or what was made of it."""
    imports, choice, *others = _code(path)
    assert "import" in _source(imports)
    assert _source(choice).startswith("mine = whose.model(")
    own = {"mine"}
    for cell in others:
        for name, made in re.findall(r"(?ms)^(\w+) = (.*?)(?=^\w|\Z)", _source(cell)):
            own |= {name} if own & set(re.findall(r"\w+", made)) else set()
        if any(text.startswith("Panel: ") for text in _texts(cell)):
            assert own & set(re.findall(r"\w+", _source(cell))), _source(cell)


@each_lesson
def test_links_lead_somewhere(path):
    for target in LINK.findall(_prose(path)):
        if re.match(r"\w+:", target):
            assert target.startswith(("https://", "mailto:")), target
            continue
        assert ".." not in target, f"{target}: JupyterLab sees no folder but the notebooks' own"
        name, _, anchor = target.partition("#")
        file = path.parent / name if name else path
        assert file.exists(), target
        if anchor and file.suffix == ".ipynb":
            assert anchor in _anchors(file), f"{target}: the headings there are {sorted(_anchors(file))}"


@pytest.mark.parametrize("path", LESSONS[:-1], ids=lambda path: path.stem)
def test_a_lesson_leads_to_the_next(path):
    following = LESSONS[LESSONS.index(path) + 1]
    assert following.name in {target.partition("#")[0] for target in LINK.findall(_prose(path))}


@each_lesson
def test_nothing_tells_whose_machine_it_was_made_on(path):
    for cell in _lesson(path)["cells"]:
        for text in [_source(cell), *(_texts(cell) if cell["cell_type"] == "code" else [])]:
            found = ABSOLUTE_PATH.search(text)
            assert not found, text[max(0, found.start() - 40) : found.end() + 40]
