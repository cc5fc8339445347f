"""Whose model a lesson works with: the demo as far as the lesson has come, or the own with what it has."""

import pytest
from own_hangar import setups

from mixlib.air.aircraft import flyable
from mixlib.describe import flaperon_setup, hopper_as_bought, hopper_ready, shelf
from mixlib.panel import surfaces, whose

Y_LEAD = setups()["motor glider on a Y-lead"]


@pytest.fixture(autouse=True)
def own(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))


def test_the_demo_is_shown_as_far_as_the_lesson_has_come():
    mine = whose.model(hopper_ready())
    assert not mine.own
    assert mine.at(hopper_as_bought()) == hopper_as_bought()
    assert mine.with_command("camber", lambda shown: shown, flaperon_setup()) == flaperon_setup()
    assert mine.with_command("camber", lambda shown: shown) == hopper_ready()


def test_the_readers_own_is_shown_at_every_stage():
    shelf.keep(Y_LEAD)
    mine = whose.model(hopper_ready())
    assert mine.own
    assert mine.at(hopper_as_bought()) == mine.setup == Y_LEAD


def test_what_it_does_not_have_is_said_in_the_words_of_its_radio():
    shelf.keep(Y_LEAD)
    mine = whose.model(hopper_ready())
    left_out = mine.with_command("camber", surfaces.dial)
    assert str(left_out) == (
        "On Garden Own the camber dial moves nothing: the panel that stands here for a demo is left out. One "
        "output moves both ailerons, so they cannot go down or up together apart from roll: each needs a "
        "servo and an output of its own."
    )
    assert str(left_out) in left_out._repr_html_()


@pytest.mark.parametrize(("setup", "said"), [(Y_LEAD, True), (hopper_ready(), False)])
def test_a_panel_without_a_camber_dial_says_why(setup, said):
    head = surfaces.surfaces(setup).widget.children[0].children[0].value
    assert ("One output moves both ailerons" in head) == said


def test_the_choice_is_the_readers_and_can_go_back_to_the_demo():
    shelf.keep(Y_LEAD)
    mine = whose.model(hopper_ready(), flyable)
    assert [label for label, _ in mine.choice.options] == ["a demo: Orchard Hopper", Y_LEAD.name]
    mine.choice.value = ""
    assert not whose.model(hopper_ready()).own
    mine.choice.value = shelf.stem_for(Y_LEAD)
    assert whose.model(hopper_ready()).setup == Y_LEAD
