"""The word list and the index stand in lesson 00 as they stand in the library, and words lead there."""

import json
import re
from pathlib import Path

import pytest

from mixlib.say.word_list import QUESTIONS, WORDS, questions_table, words_table

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
FILES = {path.name[:2]: path.name for path in sorted(NOTEBOOKS.glob("[0-9][0-9]_*.ipynb"))}
LINK = re.compile(r"\[([^\]]+)\]\(00_start_here\.ipynb#Words\)")


def prose(number: str) -> str:
    cells = json.loads((NOTEBOOKS / FILES[number]).read_text(encoding="utf-8"))["cells"]
    return "\n\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown")


def test_lesson_00_shows_what_the_library_holds():
    assert words_table(FILES) in prose("00"), "lesson 00 shows other words than mixlib/say/word_list.py"
    assert questions_table(FILES) in prose("00"), "lesson 00 shows another index than the library holds"


def test_every_word_stands_once():
    words = [word for one in WORDS for word in one.words.split(", ")]
    assert len(words) == len(set(words))
    assert all(one.meaning for one in WORDS)


@pytest.mark.parametrize("one", WORDS, ids=lambda one: one.words)
def test_a_word_leads_to_the_list_where_it_first_stands(one):
    linked = [text.lower() for text in LINK.findall(prose(one.lesson))]
    stems = [word.removesuffix(" function") for word in one.words.split(", ")]
    assert [text for text in linked if text.startswith(tuple(stem.lower() for stem in stems))]


def test_every_lesson_answers_a_question():
    assert {lesson for _, lesson in QUESTIONS} == set(FILES) - {"00"}
    assert all(asked.endswith("?") for asked, _ in QUESTIONS)
