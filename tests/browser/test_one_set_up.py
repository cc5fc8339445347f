"""One set-up of the reader's own carried through the lessons, and a demo that is kept beside it."""

import math
import shutil

import pytest

from mixlib.describe import flaperon_setup, shelf

pytestmark = [pytest.mark.browser, pytest.mark.slow]

MINE = flaperon_setup().replace(name="Mine")


def keep(lesson, panel, words):
    """Press a saving button and read what it says."""
    lesson.press(panel, words, "click")
    said = lesson.readout(panel)
    assert "Saved." in said, said
    return said


@pytest.fixture
def models(server, monkeypatch):
    """The shelf of the lessons on the server; the other tests work with the demos, so it goes at the end."""
    folder = server.home / "models"
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(folder))
    yield folder
    shutil.rmtree(folder, ignore_errors=True)


@pytest.mark.usefixtures("models")
def test_phases_go_from_lesson_to_lesson_to_the_card(open_own):
    """What is kept in one lesson is there in the next."""
    shelf.keep(MINE)
    lesson = open_own("05_camber_and_reflex.ipynb")
    polar = lesson.panel("Glide of Orchard Two")
    lesson.press(polar, "camber dial", "PageUp", times=2)
    said = keep(lesson, polar, "Keep as my thermal phase")
    assert "mine.toml: thermal, left aileron and right aileron: not set → down" in said
    lesson.press(polar, "camber dial", "PageDown", times=6)
    keep(lesson, polar, "Keep as my speed phase")
    lesson.press(polar, "Undo the keeping", "click")
    assert "Undone." in lesson.readout(polar)
    assert [phase.name for phase in shelf.open_kept("mine").phases] == ["thermal"]
    keep(lesson, polar, "Keep as my speed phase")

    lesson = open_own("07_air_brake.ipynb")
    landing = lesson.panel("Landing of Orchard Two")
    lesson.press(landing, "camber dial", "PageDown", times=10)
    keep(lesson, landing, "Keep as my landing phase")
    phases = lesson.panel("Flight phases of Orchard Two")
    said = lesson.readout(phases)
    assert all(f"{name}:" in said for name in ("Thermal", "Cruise", "Speed", "Landing"))
    lesson.press(phases, "Both ailerons, landing", "text=14")
    lesson.press(phases, "Both ailerons, landing", "Enter")
    keep(lesson, phases, "Keep these phases as my own")

    lesson = open_own("08_fit_your_radio.ipynb")
    form = lesson.panel("Wanted throws of Orchard Two")
    assert "landing is camber (droop)" in form.text_content()
    droop = float(lesson.control(form, "ailerons, camber, droop, mm").input_value())
    chord_mm = 40.0  # of the demo's aileron; the form counts in half millimetres
    assert droop == pytest.approx(2 * chord_mm * math.sin(math.radians(14.0) / 2), abs=0.26)
    lesson.press(form, "Find the settings", "click")
    form.get_by_text("can be had").first.wait_for()
    lesson.press(form, "Keep these settings as my own", "click")
    assert "Saved." in lesson.readout(form)

    lesson = open_own("09_bench_and_first_flight.ipynb")
    card = lesson.panel("Bench card: Mine, fitted").text_content()
    for words in ("Where it rests in each phase", "Thermal", "Speed", "Landing"):
        assert words in card


@pytest.mark.usefixtures("models")
def test_what_is_kept_of_a_demo_is_chosen_at_the_top_by_the_reader(open_own):
    lesson = open_own("05_camber_and_reflex.ipynb")
    polar = lesson.panel("Glide of Orchard Three")
    lesson.press(polar, "camber dial", "PageUp")
    said = keep(lesson, polar, "Keep as my thermal phase")
    name = "Four surfaces with crow, thermal phase"
    assert f"A new set-up, “{name}”. Choose it at the top of the lesson" in said
    assert shelf.name_in_use() is None
    bar = lesson.panel("This lesson works with")
    lesson.page.wait_for_timeout(500)  # in sight, it lists what is new
    lesson.choose(bar, "This lesson works with", name)
    assert "Working with your own set-up" in lesson.readout(bar)
    assert shelf.chosen(flaperon_setup()).setup.name == name
