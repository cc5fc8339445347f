"""The fault finder and the practice on the screen."""

from __future__ import annotations

import html
import re

import pytest

from mixlib.bench.faults import Finder, Practice
from mixlib.describe.demo import elevon_setup, flaperon_setup, hopper_flaperons, v_tail_setup
from mixlib.panel.faults import fault_finder, hidden_fault, practice, vote


def plain(text: str) -> str:
    return html.unescape(re.sub(r"<[^>]+>", " ", text))


def enter(panel, looks: dict[str, str]) -> None:
    for surface, word in looks.items():
        panel.controls[surface].value = word
    panel.press("Add what I saw")


def entered(panel) -> dict[tuple[str, str], str]:
    """What the list below says was seen: (test, surface) to its word."""
    rows = [re.findall(r"<t[hd].*?>(.*?)</t[hd]>", row) for row in panel.extra.split("<tr>")[2:]]
    return {(test, surface): word for test, surface, word in rows}


def test_cautions_stand_before_the_first_test():
    panel = fault_finder(flaperon_setup())
    (head,) = (part.value for part in panel.widget.children[0].children if "mix-head" in part._dom_classes)
    assert "propeller off" in plain(head)
    assert "Next test" in plain(panel.sentence)


def test_the_motor_is_looked_at_first_and_never_tried():
    panel = fault_finder(hopper_flaperons())
    (head,) = (part.value for part in panel.widget.children[0].children if "mix-head" in part._dom_classes)
    assert (
        plain(head)
        .split("?")[1]
        .strip()
        .startswith("Before the battery is connected, look: the motor's plug")
    )
    assert "No test moves the throttle" in plain(panel.sentence)
    assert "Set the direction of output 3 to normal before the battery is connected" in plain(panel.extra)
    assert "Plug the motor into output 3 and elevator into output 2" in plain(panel.extra)
    assert "throttle" not in " ".join(name for name, _ in panel.controls["test"].entry.options)
    enter(panel, {"left aileron": "up"})
    assert "battery" not in plain(panel.extra)  # then what was seen stands there


@pytest.mark.parametrize("demo", [flaperon_setup, hopper_flaperons, v_tail_setup, elevon_setup])
def test_following_the_proposed_tests_names_the_hidden_fault(demo):
    panel, finder = fault_finder(demo()), Finder(demo())
    hidden = Practice(finder, 5)
    for _ in finder.tests:
        enter(panel, hidden.do(panel.controls["test"].value))
    assert hidden.hidden in finder.causes(entered(panel)).causes
    assert plain(panel.sentence).count("Next test") <= 1


def test_a_surface_nobody_looked_at_is_left_out_and_starting_again_forgets():
    panel = fault_finder(flaperon_setup())
    enter(panel, {"left aileron": "up"})
    assert len(entered(panel)) == 1
    panel.press("Start again")
    assert panel.extra == ""
    assert panel.controls["left aileron"].value == "not looked"


def test_what_cannot_be_is_said_in_a_sentence():
    panel = fault_finder(flaperon_setup())
    for test in ("stick right", "stick left", "stick back", "nose right", "droop"):
        panel.controls["test"].value = test
        enter(panel, {"left aileron": "up", "right aileron": "up", "elevator": "up", "rudder": "left"})
    assert "No cause that the finder knows" in plain(panel.sentence)


def test_both_ends_of_a_control_have_their_own_words_and_contradictions_are_told():
    panel = fault_finder(flaperon_setup())
    test, rudder, elevator = (panel.controls[name] for name in ("test", "rudder", "elevator"))
    test.value = "nose right"
    rudder.value = "right"
    elevator.value = "still"
    test.value = "yaw"
    assert rudder.entry.options == ("still", "one way only", "both ways", "not looked")
    assert rudder.value == "not looked"
    assert elevator.value == "still"  # a word of both lists stays
    enter(panel, {"rudder": "one way only"})
    assert entered(panel)["yaw", "rudder"] == "one way only"
    for name, word in (("nose right", "right"), ("nose left", "left")):
        test.value = name
        enter(panel, {"rudder": word})
    said = "Rudder moves 'one way only' with yaw, but is right in the test 'nose right'"
    assert said in plain(panel.sentence)
    assert len(entered(panel)) == 4  # nothing entered is lost
    test.value = "yaw"
    enter(panel, {"rudder": "not looked", "elevator": "still"})
    assert "contradict" not in plain(panel.sentence)
    assert "but is" not in plain(panel.sentence)


def drawn(panel) -> str:
    """What the picture says of itself."""
    return panel._draw().description


def test_the_finder_shows_what_the_chosen_test_should_move():
    panel = fault_finder(flaperon_setup())
    test = panel.controls["test"]
    test.value = "stick right"
    assert "Left aileron down 21.1 mm (30.6°); right aileron up 20.7 mm" in drawn(panel)
    assert "The picture shows stick right, as it should be." in plain(panel.sentence)
    panel.controls["left aileron"].value = "up"
    test.value = "droop"
    assert "Left aileron down 21.1 mm (30.6°); right aileron down 21.1 mm" in drawn(panel)
    assert panel.controls["left aileron"].value == "up"  # another look is not lost
    test.value = "roll"
    assert "All surfaces are neutral." in drawn(panel)
    assert "way of the trailing edge: left aileron, right aileron" in drawn(panel)


def test_practice_shows_the_aircraft_with_its_hidden_fault():
    setup = flaperon_setup()
    panel = practice(setup, 4)
    assert panel.picture == ""
    for test in Finder(setup, most_faults=1).tests:
        panel.controls["test"].value = test.name
        panel.press(DO)
        head, *rows = re.findall(r"<tr>(.*?)</tr>", panel.extra)
        names, words = (
            [plain(cell).strip() for cell in re.findall(r"<t[hd].*?</t[hd]>", row)]
            for row in (head, rows[-1])
        )
        said = drawn(panel).lower()
        for name, word in zip(names[1:], words[1:], strict=True):
            if word in ("up", "down", "left", "right") and " with " not in test.name:
                assert f"{name.lower()} {word}" in said, test.name


DO, CHECK = "Do this test", "Check my answer"


def test_practice_offers_eight_faults_and_judges_the_guess():
    for seed in range(6):
        panel = practice(flaperon_setup(), seed)
        hidden = Practice(Finder(flaperon_setup(), most_faults=1), seed).hidden
        guess = panel.controls["guess"]
        offered = [faults for _, faults in guess.entry.options]
        assert offered.count(hidden.faults) == 1
        assert len(offered) == 8
        guess.value = hidden.faults
        panel.press(CHECK)
        assert "at least one test" in plain(panel.error)
        panel.press(DO)
        assert panel.error == ""
        assert "left aileron" in plain(panel.extra)
        panel.press(CHECK)
        assert "Right" in plain(panel.sentence)
        assert "mix-good" in panel.sentence


def test_a_wrong_guess_is_told_why_and_another_fault_can_be_hidden():
    panel = practice(flaperon_setup(), 3)
    hidden = Practice(Finder(flaperon_setup(), most_faults=1), 3).hidden
    test, guess = panel.controls["test"], panel.controls["guess"]
    for _, name in test.entry.options:
        test.value = name
        panel.press(DO)
    guess.value = next(faults for _, faults in guess.entry.options if faults != hidden.faults)
    panel.press(CHECK)
    assert "Not yet" in plain(panel.sentence)
    panel.press("Hide another fault")
    assert panel.extra == ""
    assert guess.value is None
    panel.press(CHECK)
    assert "Choose an answer" in plain(panel.error)


def test_a_room_sees_the_fault_and_its_hands_are_counted():
    """Swapped plugs of two mirrored ailerons: roll is as it should be, droop is turned round on both."""
    setup = flaperon_setup()
    about = "the plugs of left aileron and right aileron are swapped"
    hidden = Practice(Finder(setup, most_faults=1), 0, about)
    panel = hidden_fault(hidden)
    assert "Left aileron down" in drawn(panel)
    assert "right aileron up" in drawn(panel)
    panel.controls["test"].value = "droop"
    assert "Left aileron up" in drawn(panel)
    assert "right aileron up" in drawn(panel)
    panel = vote(hidden)
    panel.controls["C"].value = 7
    *lines, most = [plain(line).strip() for line in panel.sentence.split("</div>") if line.strip()]
    assert [line[0] for line in lines] == list("ABCD")
    assert [line for line in lines if about in line[3].lower() + line[4:]]
    assert most == "Most hands for C."
