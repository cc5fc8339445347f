"""Motor, trims, ready-made functions and one servo for two surfaces: what is accepted, and what is said."""

import pytest

from mixlib.describe import (
    Control,
    DescriptionError,
    FreeMix,
    Motor,
    Output,
    ReadyMade,
    as_toml,
    from_toml,
    motor_output,
    plain_setup,
    shipped,
    shipped_names,
)
from mixlib.describe.demo import flaperon_setup, hopper_as_bought, hopper_flaperons

HOPPER, TWO = shipped("aircraft", "orchard_hopper"), shipped("aircraft", "orchard_two")
SIMPLE, RICH, SEVEN = (shipped("radio", name) for name in ("simple_six", "rich_ten", "plain_seven"))
BOUGHT, FLAPERONS = hopper_as_bought(), hopper_flaperons()


def refused(change, *words):
    with pytest.raises(DescriptionError) as caught:
        change()
    for word in words:
        assert word in str(caught.value)


def test_the_motor_is_a_plug_like_any_other():
    assert BOUGHT.plugs_on(3) == ("motor",)
    assert BOUGHT.plugs_on(1) == ("left aileron", "right aileron")
    assert BOUGHT.surfaces_on(3) == ()
    assert BOUGHT.plugs_on(6) == ()
    assert HOPPER.motor == Motor(propeller="folding", off_us=1100, full_us=1900)
    assert HOPPER.finish == "foam"
    assert TWO.finish == "smooth"
    for setup in (BOUGHT, FLAPERONS):
        assert from_toml(as_toml(setup)) == setup


def test_old_files_without_a_motor_stay_readable():
    text = as_toml(flaperon_setup())
    for line in ("finish", "at_once", "at_high", "ready_made", "mixes_carry", "trim_max", "[trims]"):
        text = "\n".join(row for row in text.splitlines() if not row.startswith(line))
    old = from_toml(text)
    assert old.aircraft.motor is None
    assert "motor" not in old.wiring
    assert old.trims == {}
    assert old.ready_made == ()
    assert old.radio.control("camber").at_once


@pytest.mark.parametrize(
    "radio, output", [("simple_six", 3), ("bare_four", 3), ("plain_seven", 3), ("rich_ten", 10)]
)
def test_plain_setup_keeps_an_output_for_the_motor(radio, output):
    radio = shipped("radio", radio)
    assert motor_output(HOPPER, radio) == Output(number=output, control="throttle")
    assert motor_output(TWO, radio) is None
    setup = plain_setup(HOPPER, radio)
    assert setup.plugs_on(output) == ("motor",)
    assert setup.output(output).control == "throttle"


def test_the_motor_needs_a_plug_and_shares_it_with_nothing():
    without = {name: number for name, number in BOUGHT.wiring.items() if name != "motor"}
    refused(
        lambda: BOUGHT.replace(wiring=without), "Plug of motor is missing", "the output of its plug, 1 to 6"
    )
    refused(
        lambda: flaperon_setup().replace(wiring={**flaperon_setup().wiring, "motor": 3}),
        "plugs of",
    )
    refused(
        lambda: BOUGHT.replace(wiring={**BOUGHT.wiring, "rudder": 3}),
        "Plug of rudder is 3. Accepted: another output than 3: the motor is plugged in there",
    )
    refused(
        lambda: plain_setup(HOPPER, RICH).with_output(10, control="pitch"),
        "control is “pitch”. Accepted: throttle, or none: the motor is plugged into this output",
    )
    into_motor = (FreeMix.straight("pitch", 3, 10),)
    refused(lambda: BOUGHT.replace(free_mixes=into_motor), "Mix 1: follower is 3", "only throttle leads it")
    assert BOUGHT.replace(free_mixes=(FreeMix.straight("throttle", 3, 10),)).free_mixes
    made = (ReadyMade(kind="V-tail", first=6, second=3),)
    refused(
        lambda: plain_setup(HOPPER, SEVEN).replace(ready_made=made),
        "output with the difference is 3",
        "motor",
    )
    refused(
        lambda: plain_setup(
            HOPPER, SIMPLE.replace(outputs=1, controls=(Control(command="roll", held_by="stick"),))
        ),
        "another output than 1: the motor is plugged in there",
    )


def test_a_motor_says_what_its_pulses_may_be():
    refused(
        lambda: Motor().replace(off_us=1500, full_us=1500),
        "Pulse for full power is 1500 us",
        "more than the pulse for off, 1500 us",
    )
    surfaces = (HOPPER.surfaces[0].replace(name="motor"), *HOPPER.surfaces[1:])
    refused(lambda: HOPPER.replace(surfaces=surfaces), "Motor: name is “motor”", "another name")


def test_one_of_two_outputs_or_both_at_once():
    both = (Output(number=5, control="camber"), Output(number=6, control="camber"))
    refused(
        lambda: BOUGHT.replace(outputs=both),
        "Output 6: control is “camber”",
        "output 5 has it: the dial of this radio moves one output, not several at once",
    )
    assert BOUGHT.replace(radio=SIMPLE.with_control("camber", at_once=True), outputs=both).outputs == both
    flaps = plain_setup(shipped("aircraft", "orchard_three"), SIMPLE)
    assert [flaps.output(number).control for number in (5, 6)].count("camber") == 1
    flaps = plain_setup(shipped("aircraft", "orchard_three"), RICH)
    assert [output.control for output in flaps.outputs].count("camber") == 2


def test_a_ready_made_function_is_the_radios_and_has_its_outputs_to_itself():
    bare = plain_setup(HOPPER, SEVEN).with_output(1, control=None).with_output(6, control=None)
    made = ReadyMade(kind="flaperons", first=1, second=6)
    assert bare.replace(ready_made=(made,)).ready_made == (made,)
    refused(
        lambda: BOUGHT.replace(ready_made=(made,)),
        "kind is “flaperons”",
        "none: this radio has none",
    )
    elevons = made.replace(kind="elevons")
    refused(lambda: bare.replace(ready_made=(elevons,)), "what this radio brings along: flaperons, V-tail")
    refused(
        lambda: bare.replace(ready_made=(made.replace(second=1),)),
        "output with the difference is 1",
        "no ready-made",
    )
    refused(
        lambda: bare.replace(ready_made=(made.replace(second=8),)),
        "output with the difference is 8",
        "1 to 7",
    )
    refused(
        lambda: bare.replace(ready_made=(made, made.replace(first=7))),
        "output with the difference is 6",
    )
    refused(lambda: bare.replace(ready_made=(made.replace(first=2),)), "output 2 has pitch")
    refused(
        lambda: bare.replace(ready_made=(made.replace(alike_percent=112),)),
        "gain of the command that comes alike is 112 %",
        "−110 to 110 %",
    )
    refused(
        lambda: bare.replace(ready_made=(made.replace(opposite_percent=51),)),
        "gain of the command that comes opposite is 51 %",
        "steps of 2 %",
    )
    refused(lambda: SEVEN.replace(ready_made=("V-tail", "V-tail")), "each of them once")


def test_trims_are_those_of_the_sticks():
    assert SIMPLE.trimmed_commands == ("roll", "pitch", "yaw")
    assert BOUGHT.replace(trims={"roll": -25}).trims == {"roll": -25}
    refused(lambda: BOUGHT.replace(trims={"roll": 26}), "Trim of roll is 26", "−25 to 25 %")
    refused(lambda: BOUGHT.replace(trims={"throttle": 5}), "Trim of throttle is 5", "trims of roll, pitch")
    refused(lambda: BOUGHT.replace(trims={"camber": 5}), "Trim of camber is 5", "trims of roll, pitch, yaw")


def test_one_servo_that_moves_both_ailerons():
    left, right, *others = HOPPER.surfaces
    one = HOPPER.replace(surfaces=(left.replace(servo_of="right aileron"), right, *others))
    for name in shipped_names("radio"):
        setup = plain_setup(one, shipped("radio", name))
        assert setup.plugs_on(setup.wiring["right aileron"]) == ("left aileron", "right aileron")
    refused(
        lambda: BOUGHT.replace(aircraft=one, wiring={**BOUGHT.wiring, "left aileron": 6}),
        "Plug of left aileron is 6. Accepted: 1, like the right aileron, whose servo moves it too",
    )
    circle = (left.replace(servo_of="right aileron"), right.replace(servo_of="left aileron"), *others)
    refused(lambda: HOPPER.replace(surfaces=circle), "servo shared with", "a surface with a servo of its own")
    itself = (left.replace(servo_of="left aileron"), right, *others)
    refused(lambda: HOPPER.replace(surfaces=itself), "servo shared with", "right aileron, elevator, rudder")
