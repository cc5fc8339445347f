"""Speeds in the reader's unit: 1 mph is 0.44704 m/s (NIST SP 811, B.8), 1 km/h is 1/3.6 m/s by definition."""

import pytest

from mixlib.air.aircraft.from_setup import known_performance
from mixlib.describe import flaperon_setup
from mixlib.panel import exercise
from mixlib.panel.flight import polar_panel
from mixlib.panel.handling import compensation_panel
from mixlib.say.differences import glide_measures
from mixlib.say.flight import glide_words
from mixlib.say.landing import decision_table
from mixlib.say.settings import settings_table
from mixlib.say.speeds import keep_speed_unit, round_speed_words, speed_unit, speed_words, told_in_speed_unit
from mixlib.say.tables import show_table


@pytest.fixture(autouse=True)
def place(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))


def test_metres_a_second_until_another_unit_is_picked_and_then_everywhere_at_once():
    assert speed_words(10) == "10.0 m/s"
    keep_speed_unit("km/h")
    assert (speed_unit(), speed_words(10)) == ("km/h", "36.0 km/h")
    keep_speed_unit("mph")
    assert speed_words(0.44704 * 20) == "20.0 mph"
    assert round_speed_words(4) == "9 mph"
    keep_speed_unit("furlongs")
    assert speed_unit() == "m/s"


def test_a_text_keeps_the_digits_that_it_has():
    text = "From 5 to 10 m/s it sinks 0.50 m/s, in m/s; 12 m of height"
    assert told_in_speed_unit(text) == text
    keep_speed_unit("km/h")
    assert told_in_speed_unit(text) == "From 18 to 36 km/h it sinks 1.80 km/h, in km/h; 12 m of height"


def test_a_table_is_in_the_unit_by_column_by_row_or_as_a_whole(capsys):
    keep_speed_unit("km/h")
    show_table(("", "lets go, m/s", "glide"), [("clean", 10.0, 10.0)])
    assert capsys.readouterr().out.splitlines()[1].split() == ["clean", "36.0", "10.0"]
    show_table(("change", "of 1 deg"), [("speed, m/s", 10.0), ("elevator, deg", 10.0)])
    assert capsys.readouterr().out.splitlines()[1:] == ["speed, km/h        36.0", "elevator, deg      10.0"]
    show_table(("sink, m/s", "at 20 m/s"), [("clean", 10.0)])
    assert capsys.readouterr().out.splitlines() == ["sink, km/h  at 72 km/h", "clean             36.0"]
    show_table(("elevator, deg", "from"), [("10 m/s", 10.0)])
    assert capsys.readouterr().out.splitlines()[1].split() == ["36", "km/h", "10.0"]


def test_a_question_is_asked_and_answered_in_the_unit():
    keep_speed_unit("km/h")
    words = {"because": "It is.", "hint": "Add 1 m/s."}
    ask = exercise.number("It lets go at 10.0 m/s. And at 1.3 times?", 13.0, "m/s", 0.5, **words)
    assert ask.question.question == "It lets go at 36.0 km/h. And at 1.3 times?"
    assert ask.check("46.8").right
    assert ask.check("13 m/s").right
    assert not ask.check("13").right
    pick = exercise.choice("How fast, at 9 m/s?", {"10 m/s": "Yes, it is.", "20 m/s": "Too fast."}, "10 m/s")
    assert pick.check("36 km/h").right


def test_sentences_tables_axes_and_sliders_are_all_in_it():
    setup = flaperon_setup()
    found = known_performance(setup.aircraft)
    before = {measure.name: measure.value for measure in glide_measures(found)}
    keep_speed_unit("km/h")
    told = [
        glide_words(found),
        settings_table(setup, {"clean": {}}),
        decision_table(setup, "camber", (0, 5)),
    ]
    for text in told:
        assert "km/h" in text
        assert "m/s" not in text.replace("km/h", "")
    after = {measure.name: measure.value for measure in glide_measures(found)}
    assert after["lets go"] == pytest.approx(3.6 * before["lets go"])
    assert after["best glide"] == before["best glide"]
    panel = polar_panel(setup)
    drawn = " ".join(panel.stage.picture.split())
    assert "speed, km/h" in drawn
    assert "m/s" not in drawn.replace("km/h", "")
    slider = compensation_panel(setup, "camber").controls["speed"]
    assert slider.entry.value == pytest.approx(3.6 * slider.value)
