"""What answers a question is held back until the reader has committed, and is remembered as such."""

import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.display import HTML, display

from mixlib.describe.shelf import place
from mixlib.panel.exercise import choice, number, progress
from mixlib.panel.exercise import exercises as module


@pytest.fixture
def reader(tmp_path, monkeypatch):
    """A reader with an empty place, and what their page shows: a list of what was displayed or updated."""
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    monkeypatch.delenv("MIXING_WORKBOOK_ALL_ANSWERED")
    shown = {}

    class Handle:
        def __init__(self, data):
            self.key = len(shown)
            shown[self.key] = data

        def update(self, data, raw):
            shown[self.key] = data

    monkeypatch.setattr(module, "display", lambda data, raw, display_id: Handle(data))
    InteractiveShell.instance()
    yield shown
    InteractiveShell.clear_instance()


def ask():
    return number("How far does it go?", 12, "mm", 0.5, because="So it is.", hint="Measure again.")


def page(shown):
    return " ".join(str(data.get("text/html", "")) for data in shown.values())


def answer_in(exercise):
    with exercise.answered():
        print("it goes 12 mm")
        display(HTML("<svg>picture of 12 mm</svg>"))


@pytest.mark.parametrize("given", ["12", "3"])
def test_an_answer_right_or_wrong_lets_it_be_seen(reader, given):
    exercise = ask()
    answer_in(exercise)
    assert "12 mm" not in page(reader)
    assert "until you have answered" in page(reader)
    exercise._give(given)
    exercise.submit()
    assert "it goes 12 mm" in page(reader)
    assert "picture of 12 mm" in page(reader)
    assert "until you have answered" not in page(reader)


@pytest.mark.parametrize("given", ["", "about ten"])
def test_what_is_no_answer_shows_nothing(reader, given):
    exercise = ask()
    answer_in(exercise)
    exercise._give(given)
    exercise.submit()
    assert "12 mm" not in page(reader)


def test_a_text_that_gives_it_away_waits_as_well(reader):
    exercise = ask()
    exercise.then("It goes **12 mm**.")
    assert "12 mm" not in str(reader)
    exercise._give("3")
    exercise.submit()
    assert [shown["text/markdown"] for shown in reader.values()] == ["It goes **12 mm**."]


def test_a_reader_may_ask_to_be_shown_and_that_is_remembered(reader):
    exercise = ask()
    answer_in(exercise)
    assert exercise._solution.layout.display == ""
    exercise._show_solution()
    assert "it goes 12 mm" in page(reader)
    assert place.recall("answer", exercise._key)["shown"]
    assert ask().committed


def test_an_answer_stands_there_again_the_next_time(reader):
    options = {"up": "It goes up.", "down": "Look again."}
    choice("Which way?", options, "up").submit()
    assert not choice("Which way?", options, "up").committed
    exercise = choice("Which way?", options, "up")
    exercise._give("down")
    exercise.submit()
    again = choice("Which way?", options, "up")
    assert again.committed
    assert again._given() == "down"
    assert "Look again" in again.stage.said
    assert not choice("Which way?", {"left": "So.", "right": "No."}, "left").stage.said.count("Look again")


def test_with_all_answered_nothing_is_held_back_or_remembered(reader, monkeypatch, capsys):
    monkeypatch.setenv("MIXING_WORKBOOK_ALL_ANSWERED", "yes")
    exercise = ask()
    with exercise.answered():
        print("it goes 12 mm")
    assert "it goes 12 mm" in capsys.readouterr().out
    exercise._show_solution()
    assert place.recall_all("answer") == {}


def test_an_error_in_what_is_held_back_is_an_error(reader):
    with pytest.raises(ZeroDivisionError), ask().answered():
        print(1 / 0)


def test_the_reader_finds_what_is_done_and_what_comes_next(reader, tmp_path, monkeypatch):
    for name in ("00_start_here", "01_from_stick_to_surface", "02_mixing_is_addition"):
        (tmp_path / f"{name}.ipynb").write_text("{}")
    (tmp_path / "01_from_stick_to_surface_2026-11-25_101112.ipynb").write_text("{}")  # set aside
    monkeypatch.setattr(module, "show_widget", lambda widget, words: None)
    assert [row[1:] for row in progress(tmp_path).rows] == [(0, 0, 0)] * 3
    monkeypatch.setenv("JPY_SESSION_NAME", "00_start_here.ipynb")
    first = ask()
    first._ipython_display_()
    assert progress(tmp_path).next == "00_start_here.ipynb"
    first._give("3")
    first.submit()
    assert progress(tmp_path).next == "01_from_stick_to_surface.ipynb"
    monkeypatch.setenv("JPY_SESSION_NAME", "01_from_stick_to_surface.ipynb")
    for question in ("Which way?", "And then?"):
        exercise = choice(question, {"up": "It goes up.", "down": "Look again."}, "up")
        exercise._ipython_display_()
    exercise._show_solution()
    found = progress(tmp_path)
    assert found.rows[1] == ("01_from_stick_to_surface.ipynb", 2, 0, 1)
    assert "0 of 2 answered, 1 shown" in found._repr_html_()
    assert 'href="01_from_stick_to_surface.ipynb"' in found._repr_html_()
    monkeypatch.setenv("MIXING_WORKBOOK_ALL_ANSWERED", "yes")
    assert found.rows != progress(tmp_path).rows
