"""The running orders of the club evening: made of the lesson's notes, to be read in a dim room."""

import json

import pytest
from printed import faults, letters, squeezed

from mixlib.paper.flow import PAPERS_MM
from mixlib.paper.running_order import EVENING, running_order, steps
from mixlib.paper.sheets import order_pages

by_paper = pytest.mark.parametrize("paper", PAPERS_MM)
TAGGED = [
    ("".join(cell["source"]), cell["metadata"].get("tags", []))
    for cell in json.loads(EVENING.read_text(encoding="utf-8"))["cells"]
]


def test_the_short_order_takes_twenty_minutes_and_the_long_one_an_hour():
    assert sum(step.minutes for step in steps() if step.twenty) == 20
    assert sum(step.minutes for step in steps()) == 60


def test_every_step_has_one_note_that_says_what_to_say_to_do_and_to_watch_for():
    titles = [text.partition("\n")[0].removeprefix("## ") for text, tags in TAGGED if "step" in tags]
    assert [step.title for step in steps()] == titles
    for step in steps():
        assert [point.partition(":")[0] for point in step.points] == ["Say", "Do", "Watch for"], step.title


def test_both_orders_begin_with_the_motor_and_end_with_what_to_take_home():
    short = [step for step in steps() if step.twenty]
    for order in (steps(), short):
        assert "battery" in order[0].title
        assert "propeller" in " ".join(order[0].points)
        assert order[-1].title == "What to take home"


def test_the_second_answer_of_an_order_is_a_minute_later_by_what_the_first_takes():
    rows = running_order(True).rows[-1][0][0].rows
    begins = [int(row[0]) for row in rows]
    short = [step.minutes for step in steps() if step.twenty]
    assert begins == [sum(short[:place]) for place in range(len(short))]


@by_paper
@pytest.mark.parametrize("short", [True, False])
def test_all_of_the_notes_stand_on_the_pages(short, paper):
    """10 points or more: as a book's print, for a dim room."""
    pages = order_pages(short, paper)
    assert len(pages) == (2 if short else 3)
    assert [faults(page) for page in pages] == [[]] * len(pages)
    assert min(letters(pages)) >= 10 - 1e-6
    words = {word for page in pages for line in page.placed for word in line.text.split()}
    for step in steps():
        if step.twenty or not short:
            for text in (step.title, *step.points):
                assert set(text.partition(": ")[2].split()) <= words, text
    assert not [word for word in words if "**" in word or "](" in word]
    assert any(squeezed("propeller off") in squeezed(line.text) for line in pages[0].placed)
