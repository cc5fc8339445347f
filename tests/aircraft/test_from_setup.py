"""Which set-up the flight lessons fly."""

from mixlib.air.aircraft.from_setup import angles_at, flyable, known_performance
from mixlib.describe import shelf
from mixlib.describe.demo import flaperon_setup, four_surface_setup


def test_the_demo_flies_when_nothing_is_kept(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    assert flyable(flaperon_setup()).setup == flaperon_setup()


def test_an_own_set_up_flies_if_it_can_and_is_told_about_if_not(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    own = flaperon_setup().replace(name="mine")
    shelf.keep(own)
    assert flyable(four_surface_setup()).setup == own
    surfaces = tuple(part for part in own.aircraft.surfaces if part.kind != "elevator")
    wiring = {name: output for name, output in own.wiring.items() if name != "elevator"}
    shelf.keep(own.replace(aircraft=own.aircraft.replace(surfaces=surfaces), wiring=wiring))
    chosen = flyable(four_surface_setup())
    assert chosen.setup == four_surface_setup()
    assert "no elevator, V-tail or elevon, so nothing can trim it" in chosen.sentence
    assert chosen.sentence.endswith("Working with Orchard Three instead.")


def test_a_performance_is_worked_out_once():
    setup = four_surface_setup()
    angles = angles_at(setup, brake=0.37)
    assert known_performance(setup.aircraft, angles) is known_performance(setup.aircraft, dict(angles))
