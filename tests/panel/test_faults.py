"""The fault finder and the practice on the screen."""

from __future__ import annotations

import html
import re

import pytest

from mixlib.bench.faults.observe import seen
from mixlib.bench.faults.practice import Practice
from mixlib.describe.demo import elevon_setup, flaperon_setup, v_tail_setup
from mixlib.panel.faults import fault_finder, practice


def plain(text: str) -> str:
    return html.unescape(re.sub(r"<[^>]+>", " ", text))


def enter(panel, looks: dict[str, str]) -> None:
    for surface, word in looks.items():
        panel.seen[surface].value = word
    panel.add()


def test_cautions_stand_before_the_first_test():
    panel = fault_finder(flaperon_setup())
    head = plain(panel.widget.children[0].value)
    assert "propeller off" in head
    assert "Next test" in plain(panel.answer)


@pytest.mark.parametrize("demo", [flaperon_setup, v_tail_setup, elevon_setup])
def test_following_the_proposed_tests_names_the_hidden_fault(demo):
    panel = fault_finder(demo())
    finder = panel._finder
    hidden = Practice(finder, 5)
    for _ in finder.tests:
        test = finder.test(panel.test.value)
        enter(panel, seen(finder.setup, hidden._actual, test))
    causes = finder.causes(panel.observations).causes
    assert hidden.hidden in causes
    assert plain(panel.answer).count("Next test") <= 1


def test_a_surface_nobody_looked_at_is_left_out_and_starting_again_forgets():
    panel = fault_finder(flaperon_setup())
    enter(panel, {"left aileron": "up"})
    assert len(panel.observations) == 1
    panel.start_again()
    assert panel.observations == {}


def test_what_cannot_be_is_said_in_a_sentence():
    panel = fault_finder(flaperon_setup())
    for test in ("roll right", "roll left", "pitch back", "yaw right", "camber to droop"):
        panel.test.value = test
        enter(panel, {"left aileron": "up", "right aileron": "up", "elevator": "up", "rudder": "left"})
    assert "No cause that the finder knows" in plain(panel.answer)


def test_both_ends_of_a_control_have_their_own_words_and_contradictions_are_told():
    panel = fault_finder(flaperon_setup())
    panel.test.value = "yaw right"
    panel.seen["rudder"].value = "right"
    panel.seen["elevator"].value = "still"
    panel.test.value = "yaw"
    assert panel.seen["rudder"].options == ("still", "one way only", "both ways", "not looked")
    assert panel.seen["rudder"].value == "not looked"
    assert panel.seen["elevator"].value == "still"  # a word of both lists stays
    enter(panel, {"rudder": "one way only"})
    assert panel.observations["yaw", "rudder"] == "one way only"
    for test, word in (("yaw right", "right"), ("yaw left", "left")):
        panel.test.value = test
        enter(panel, {"rudder": word})
    assert "Rudder moves 'one way only' with yaw, but is right in the test 'yaw right'" in plain(panel.answer)
    assert len(panel.observations) == 4  # nothing entered is lost
    panel.test.value = "yaw"
    enter(panel, {"rudder": "not looked", "elevator": "still"})
    assert "contradict" not in plain(panel.answer)
    assert "but is" not in plain(panel.answer)


def test_practice_offers_the_hidden_fault_once_and_judges_the_guess():
    for seed in range(6):
        panel = practice(flaperon_setup(), seed)
        offered = [faults for _, faults in panel.guess.options]
        assert offered.count(panel.practice.hidden.faults) == 1
        assert len(offered) == 8
        panel.guess.value = panel.practice.hidden.faults
        panel.check()
        assert "at least one test" in plain(panel.told)
        panel.do()
        assert "left aileron" in plain(panel.seen)
        panel.check()
        assert "Right" in plain(panel.told)


def test_a_wrong_guess_is_told_why_and_another_fault_can_be_hidden():
    panel = practice(flaperon_setup(), 3)
    for test in panel._finder.tests:
        panel.test.value = test.name
        panel.do()
    wrong = next(faults for _, faults in panel.guess.options if faults != panel.practice.hidden.faults)
    panel.guess.value = wrong
    panel.check()
    assert "Not yet" in plain(panel.told)
    panel.hide_another()
    assert panel.seen == ""
    assert panel.guess.value is None
    panel.check()
    assert "Choose an answer" in plain(panel.told)
