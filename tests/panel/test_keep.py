"""What *Keep* does: a demo makes a new set-up, old and new are told, one press undoes it."""

import pytest

from mixlib.describe import Phase, flaperon_setup, four_surface_setup, shelf
from mixlib.panel import flight, handling, phases, whose
from mixlib.panel.base.keep import keep
from mixlib.say.changed import change_lines

UNDO = "Undo the keeping"
MINE = flaperon_setup().replace(name="Mine")
REFLEX = Phase(name="speed", angles_deg={"left aileron": -2.0, "right aileron": -2.0})


@pytest.fixture(autouse=True)
def own(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    return tmp_path


def with_reflex(newest):
    return newest.with_phase(REFLEX)


def undo_is_offered(panel):
    return panel._undo.layout.display != "none"


def test_a_demo_makes_a_new_set_up_and_the_choice_stays():
    shelf.keep(MINE)
    demo = four_surface_setup()
    panel = flight.polar_panel(demo)
    panel.controls["camber"].value = 0.3
    panel.press("Keep as my thermal phase")
    name = "Four surfaces with crow, thermal phase"
    assert f"A new set-up, “{name}”. Choose it at the top of the lesson" in panel.saved
    assert "thermal, left aileron and right aileron: not set → down" in panel.saved
    assert shelf.chosen(demo).setup == MINE
    kept = shelf.open_kept(shelf.stem_for(demo.replace(name=name)))
    assert kept.replace(name=demo.name, phases=()) == demo
    assert [phase.name for phase in kept.phases] == ["thermal"]
    panel.press(UNDO)
    assert "is gone" in panel.saved
    assert shelf.kept_names() == ("mine",)
    assert not undo_is_offered(panel)


def test_nothing_chosen_stays_nothing_chosen():
    keep(flaperon_setup(), "speed phase", with_reflex)
    assert shelf.name_in_use() is None
    assert shelf.chosen(flaperon_setup()).setup == flaperon_setup()


def test_an_own_set_up_of_a_demos_name_is_not_touched_from_the_demo():
    own = flaperon_setup().replace(note="my own words")
    shelf.keep(own)
    keep(flaperon_setup(), "speed phase", with_reflex)
    assert shelf.open_kept("flaperons") == own
    assert len(shelf.kept_names()) == 2


def test_the_same_kept_twice_from_a_demo_is_one_set_up_and_another_is_another():
    for _ in range(2):
        keep(flaperon_setup(), "speed phase", with_reflex)
    assert len(shelf.kept_names()) == 1
    other = REFLEX.replace(angles_deg={"left aileron": -3.0, "right aileron": -3.0})
    keep(flaperon_setup(), "speed phase", lambda newest: newest.with_phase(other))
    assert [shelf.open_kept(stem).name for stem in shelf.kept_names()] == [
        "Flaperons, speed phase",
        "Flaperons, speed phase 2",
    ]


def test_the_readers_own_is_changed_under_its_name_and_undone():
    shelf.keep(MINE)
    shelf.keep(four_surface_setup().replace(name="Other"))
    shelf.choose("mine")
    kept = keep(MINE, "speed phase", with_reflex)
    assert "speed, left aileron and right aileron: not set → up 1.4 mm (2.0°)" in kept.said
    assert shelf.chosen(flaperon_setup()).setup == with_reflex(MINE)
    assert kept.undo() == "mine.toml is as it was before."
    assert shelf.chosen(flaperon_setup()).setup == MINE, "the choice is the same as well"


def test_keeping_from_a_page_of_a_set_up_that_is_no_more_chosen_does_not_choose_it():
    shelf.keep(MINE)
    shelf.keep(four_surface_setup().replace(name="Other"))
    kept = keep(MINE, "speed phase", with_reflex)
    assert shelf.name_in_use() == "other"
    kept.undo()
    assert shelf.name_in_use() == "other"
    assert shelf.open_kept("mine") == MINE


def test_old_and_new_are_told_and_nothing_new_is_nothing_saved():
    before = with_reflex(MINE)
    after = before.with_phase(REFLEX.replace(angles_deg={"left aileron": -4.0, "right aileron": -2.0}))
    assert change_lines(before, after) == ("speed, left aileron: up 1.4 mm (2.0°) → up 2.8 mm (4.0°)",)
    assert change_lines(after, after) == ()
    clean = MINE.with_phase(REFLEX.replace(name="cruise", angles_deg={}))
    assert change_lines(MINE, clean) == ("cruise: not set → all at neutral",)
    assert change_lines(before, MINE) == (
        "speed, left aileron and right aileron: up 1.4 mm (2.0°) → not set",
    )
    mixed = MINE.replace(free_mixes=(MINE.free_mixes[0],))
    assert any(line.startswith("mix camber into output 1") for line in change_lines(MINE, mixed))
    shelf.keep(before)
    kept = keep(before, "speed phase", with_reflex)
    assert kept.said == "mine.toml has it already; nothing is changed."
    assert kept.undo is None


def test_what_was_saved_again_since_is_not_taken_away():
    shelf.keep(MINE)
    panel = flight.polar_panel(MINE)
    panel.press("Keep as my speed phase")
    shelf.keep_change(MINE, lambda newest: newest.replace(note="a word of my own"))
    panel.press(UNDO)
    assert "Not undone" in panel.saved
    assert "it was saved again since" in panel.saved
    assert shelf.open_kept("mine").note == "a word of my own"


@pytest.mark.parametrize(
    ("panel", "button"),
    [
        (lambda setup: handling.compensation_panel(setup, "brake"), "Keep this mix as my own"),
        (phases.phase_panel, "Keep these phases as my own"),
    ],
)
def test_every_keeping_tells_old_and_new_and_can_be_undone(panel, button):
    mine = four_surface_setup().replace(name="Mine")
    shelf.keep(mine)
    shown = panel(mine)
    assert not undo_is_offered(shown)
    shown.press(button)
    assert "→" in shown.saved
    assert undo_is_offered(shown)
    shown.press(UNDO)
    assert shelf.open_kept("mine") == mine


def test_a_model_that_was_kept_can_be_chosen_at_the_top_of_the_same_page():
    demo = flaperon_setup()
    mine = whose.model(demo)
    keep(demo, "speed phase", with_reflex)
    mine._look()
    assert [label for label, _ in mine.choice.options] == ["a demo: Orchard Two", "Flaperons, speed phase"]
    assert mine.choice.value == ""
    assert shelf.name_in_use() is None
    mine.choice.value = "flaperons_speed_phase"
    assert shelf.chosen(demo).setup == with_reflex(demo).replace(name="Flaperons, speed phase")
