"""A wish in mm and degrees, where a control is used to, and numbers and ends of commands in words."""

import pytest

from mixlib.describe import Control, FreeMix, Mark, Want, shipped
from mixlib.describe.demo import flaperon_setup
from mixlib.describe.words import COMMAND_ENDS, command_end, number, signed
from mixlib.units import COMMANDS

GLIDER = shipped("aircraft", "orchard_two")


def wish(amount: float, unit: str = "mm") -> Want:
    return Want(surface="left aileron", command="roll", amount=amount, unit=unit)


def test_a_wish_in_mm_and_degrees():
    """The aileron's chord is 40 mm: 60 degrees is a throw of one chord, 180 degrees of two."""
    assert GLIDER.surface("left aileron").chord_mm == 40
    assert wish(-12.5).throw_mm(GLIDER) == -12.5
    assert wish(0.5, "inch").throw_mm(GLIDER) == 12.7
    assert wish(60, "deg").throw_mm(GLIDER) == pytest.approx(40)
    assert wish(-40).angle_deg(GLIDER) == pytest.approx(-60)
    assert wish(80).angle_deg(GLIDER) == pytest.approx(180)
    assert wish(14.5, "deg").angle_deg(GLIDER) == pytest.approx(14.5)


@pytest.mark.parametrize(
    ("amount", "unit", "accepted"),
    [(80.1, "mm", "-80 to 80 mm"), (-3.2, "inch", "-3.15 to 3.15 inch"), (91, "deg", "-90 to 90 deg")],
)
def test_a_wish_that_no_hinge_can_give_is_told(amount, unit, accepted):
    for asked in (wish(amount, unit).throw_mm, wish(amount, unit).angle_deg):
        with pytest.raises(ValueError) as caught:
            asked(GLIDER)
        assert "left aileron" in str(caught.value)
        assert f"is {amount:g}. Accepted: {accepted}, for a surface of 40 mm chord." in str(caught.value)


def test_a_control_is_used_to_its_mark_or_its_end():
    setup = flaperon_setup().replace(
        marks=(
            Mark(command="camber", side="above", percent=60),
            Mark(command="camber", side="below", percent=25),
        )
    )
    assert setup.used_to("camber", 1) == 0.6
    assert setup.used_to("camber", -1) == -0.25
    assert (setup.used_to("roll", 1), setup.used_to("roll", -1)) == (1, -1)
    for one_sided in ("throttle", "brake"):
        assert (setup.used_to(one_sided, 1), setup.used_to(one_sided, -1)) == (1, 0)
    assert flaperon_setup().used_to("camber", 1) == 1


def test_a_straight_mix_has_one_gain():
    mix = FreeMix.straight("roll", 6, -40)
    assert (mix.leader, mix.follower) == ("roll", 6)
    assert mix.gain_above_percent == mix.gain_below_percent == -40


@pytest.mark.parametrize(
    ("value", "digits", "plain", "with_sign"),
    [
        (12.5, None, "12.5", "+12.5"),
        (-12.5, 0, "−12", "−12"),
        (7.25, 1, "7.2", "+7.2"),
        (100, None, "100", "+100"),
        (0, None, "0", "0"),
        (-0.0, None, "0", "0"),
        (-0.04, 1, "0.0", "0.0"),
        (0.04, 1, "0.0", "0.0"),
    ],
)
def test_numbers_have_a_long_minus_and_nothing_has_no_sign(value, digits, plain, with_sign):
    assert number(value, digits) == plain
    assert signed(value, digits) == with_sign


def test_ends_of_commands_in_words():
    assert set(COMMAND_ENDS) == set(COMMANDS)
    assert command_end("roll", 1) == "stick right"
    assert command_end("pitch", -1) == "stick forward"
    assert command_end("camber", 0.6) == "droop to the mark at 60 %"
    assert command_end("camber", -0.125) == "reflex to the mark at 12.5 %"
    assert command_end("brake", 1) == "brake out"
    words = [command_end(command, way) for command in COMMANDS for way in (-1, 1)]
    assert len(set(words)) == len(words)


def test_a_lever_is_what_the_radio_has_for_a_command():
    radio = shipped("radio", "simple_six")
    assert radio.lever("roll") == "roll stick"
    assert radio.with_control("camber", held_by="slider").lever("camber") == "camber slider"
    levers = radio.replace(controls=(Control(command="brake", held_by="stick"),))
    assert levers.lever("brake") == "throttle stick"
    assert levers.lever("camber") == "camber"  # there is none
    motor = Control(command="throttle", held_by="stick")
    assert radio.replace(controls=(*levers.controls, motor)).lever("brake") == "brake stick"
