"""One set-up through the workbook: what lessons 05 and 07 keep stands in the form of 08 and on the card."""

import math

import pytest

pytestmark = pytest.mark.browser


def keep(lesson, panel, words):
    """Press a saving button and read what it says."""
    lesson.press(panel, words, "click")
    said = lesson.readout(panel)
    assert "Saved." in said, said
    return said


@pytest.fixture
def nothing_kept(server):
    """The other tests work with the demos: what is kept here goes when the test ends."""
    yield
    for file in (server.home / "models").glob("*"):
        file.unlink()


@pytest.mark.usefixtures("nothing_kept")
def test_phases_go_from_lesson_to_lesson_to_the_card(open_lesson):
    lesson = open_lesson("05_camber_and_reflex.ipynb")
    lesson.run_all()
    own = [panel for panel in lesson.panels() if "Glide of" in panel.text_content()][-1]
    lesson.press(own, "camber", "ArrowRight")
    keep(lesson, own, "Keep as my thermal phase")
    lesson.press(own, "camber", "ArrowLeft", times=3)
    keep(lesson, own, "Keep as my speed phase")

    lesson = open_lesson("07_air_brake.ipynb")
    lesson.run_all()
    own = [panel for panel in lesson.panels() if "Landing at" in panel.text_content()][-1]
    lesson.press(own, "camber", "ArrowLeft", times=5)
    keep(lesson, own, "Keep as my landing phase")
    phases = lesson.panel("Flight phases of Orchard Two")
    said = lesson.readout(phases)
    assert all(f"{name}:" in said for name in ("Thermal", "Cruise", "Speed", "Landing"))
    lesson.press(phases, "Both ailerons, landing", "text=14")
    lesson.press(phases, "Both ailerons, landing", "Enter")
    keep(lesson, phases, "Keep these phases as my own")

    lesson = open_lesson("08_fit_your_radio.ipynb")
    lesson.run_all()
    form = lesson.panel("Wanted throws of Orchard Two")
    assert "landing is camber (droop)" in form.text_content()
    droop = float(lesson.control(form, "left aileron, camber (droop), throw, mm").input_value())
    chord_mm = 40.0  # of the demo's aileron; the form counts in half millimetres
    assert droop == pytest.approx(2 * chord_mm * math.sin(math.radians(14.0) / 2), abs=0.26)
    lesson.press(form, "Find the settings", "click")
    lesson.press(form, "Keep these settings as my own", "click")
    assert "Saved." in lesson.readout(form)

    lesson = open_lesson("09_bench_and_first_flight.ipynb")
    lesson.run_all()
    card = lesson.panel("Bench card: Flaperons, fitted").text_content()
    for words in ("Where it rests in each phase", "Thermal", "Speed", "Landing"):
        assert words in card
