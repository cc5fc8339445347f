"""Commit, then see: nothing that answers a prediction is on the page before the reader has answered it.

The other tests see every answer at once; here each lesson is opened as a reader opens it.
"""

import ast
import json
import re

import pytest
from lab import NOTEBOOKS
from lesson import Lesson

pytestmark = pytest.mark.browser

LESSONS = [path.name for path in sorted(NOTEBOOKS.glob("[0-9][0-9]_*.ipynb"))]
KEPT_BACK = "Kept back until you have answered"
FAR_OFF = "987654"


class Prediction:
    """A question of a lesson, as its source has it, and which cells wait for its answer."""

    def __init__(self, kind, call, question, place):
        self.kind, self.question, self.place = kind, question, place
        named = {word.arg: word.value for word in call.keywords}
        positional = dict(zip(("question", "options", "answer"), call.args, strict=False))
        self.options = positional.get("options", named.get("options"))
        self.answer = positional.get("answer", named.get("answer"))
        self.held = []

    def wrong_option(self):
        """One of the options that is not the answer."""
        options = [ast.literal_eval(key) for key in self.options.keys]
        return next(option for option in options if option != ast.literal_eval(self.answer))


def predictions(notebook):
    """The questions of a lesson that hold something back, in order, and the lesson's code cells."""
    cells = json.loads((NOTEBOOKS / notebook).read_text(encoding="utf-8"))["cells"]
    code = [cell for cell in cells if cell["cell_type"] == "code"]
    asked = {}
    for place, cell in enumerate(code):
        for node in ast.walk(ast.parse("".join(cell["source"]))):
            if isinstance(node, ast.Assign) and isinstance(node.value, ast.Call):
                called = node.value.func
                if isinstance(called, ast.Attribute) and ast.unparse(called.value) == "exercise":
                    shown = "".join(cell["outputs"][-1]["data"]["text/plain"])
                    question = shown.removeprefix("Exercise: ")
                    asked[node.targets[0].id] = Prediction(called.attr, node.value, question, place)
            if isinstance(node, ast.Attribute) and node.attr in ("answered", "then"):
                asked[node.value.id].held.append(place)
    return [one for one in asked.values() if one.held], code


def told(cell):
    """All that the outputs of a cell say, in one text."""
    parts = []
    for output in cell["outputs"]:
        parts.append("".join(output.get("text", "")))
        parts += ["".join(text) for kind, text in output.get("data", {}).items() if kind.startswith("text/")]
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "", " ".join(parts)))


def lines(cell):
    """What a cell says when it may, line by line, as it is stored; without the reasons for doubt."""
    texts = ["".join(output.get("text", "")) for output in cell["outputs"]]
    said = (re.sub(r"\s+", " ", line).strip() for text in texts for line in text.splitlines())
    return [line for line in said if line and not line.startswith("* ")]


def answer_wrongly(lesson, card, asked):
    if asked.kind == "number":
        card.locator("input").first.fill(FAR_OFF)
    elif asked.kind == "choice":
        card.get_by_label(asked.wrong_option(), exact=True).press("Space")
    else:
        for row in card.locator(".mix-surfaces").all():
            row.get_by_label("neutral", exact=True).press("Space")
    card.get_by_role("button", name="Check", exact=True).click()
    settle(lesson)


def settle(lesson):
    lesson.page.wait_for_timeout(250)
    lesson.wait_idle()


def card_of(lesson, asked):
    question = lesson.page.locator(".mix-question", has_text=asked.question)
    found = lesson.page.locator(".mix-exercise", has=question).first
    found.scroll_into_view_if_needed()
    return found


@pytest.mark.slow
@pytest.mark.parametrize("notebook", [name for name in LESSONS if predictions(name)[0]])
def test_an_answer_right_or_wrong_comes_before_what_answers(notebook, server, page, tmp_path):
    before = (
        "import os\n"
        f"os.environ |= {{'MIXING_WORKBOOK_ALL_ANSWERED': 'no', 'MIXING_WORKBOOK_MODELS': {str(tmp_path)!r}}}"
    )
    name = server.add(NOTEBOOKS / notebook, f"asked_{notebook}", before=before)
    asked, stored = predictions(notebook)
    lesson = Lesson(page, server, name)
    lesson.run_all()
    for one in asked:
        seen = lesson.code_cells()[1:]
        after = [told(cell) for cell in seen[one.place + 1 :]]  # what stands before, the reader knows
        for place in one.held:
            assert KEPT_BACK in told(seen[place]), one.question
            for line in lines(stored[place])[1:]:
                places = [text for text in after if line in text]
                assert set(places) <= {told(seen[place])}, f"{line} answers {one.question}"
        card = card_of(lesson, one)
        if one is asked[-1]:
            card.get_by_role("button", name="Show the answer", exact=True).click()
            settle(lesson)
        else:
            answer_wrongly(lesson, card, one)
        for place in one.held:
            seen = told(lesson.code_cells()[1:][place])
            assert KEPT_BACK not in seen, one.question
            assert all(line in seen for line in lines(stored[place])), one.question
    assert lesson.errors == []
    assert lesson.error_texts() == []

    lesson.run_all()
    assert not [cell for cell in lesson.code_cells() if KEPT_BACK in told(cell)], (
        "what was answered is remembered"
    )
