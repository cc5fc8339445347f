"""What a readout says of commands and of what ran out, against the rest of the chain."""

import numpy as np
import pytest

from mixlib.chain import Rig, commands
from mixlib.describe import plain_setup, shipped
from mixlib.describe.demo import flaperon_setup, hopper_as_bought
from mixlib.say.readout import command_words, limit_notes, limit_sentences, readout

TWO = shipped("aircraft", "orchard_two")
RICH, SIMPLE = shipped("radio", "rich_ten"), shipped("radio", "simple_six")


def said(setup, **values):
    stages = Rig(setup).run(commands(**values))
    return limit_sentences(setup, stages), limit_notes(setup, stages)


def elevator(radio, **settings):
    """The elevator alone on output 2."""
    wiring = {"left aileron": 1, "right aileron": 1, "elevator": 2, "rudder": 4}
    setup = plain_setup(TWO, radio).replace(wiring=wiring)
    return setup.with_output(2, control="pitch", **settings)


def test_commands_in_words():
    words = command_words(commands(roll=-1, camber=0.5), ("roll", "pitch", "camber"))
    assert words == "roll 100 % (stick left) and camber 50 % (droop)"
    assert command_words(commands(), ("roll", "camber")) == "everything at neutral"


@pytest.mark.parametrize(
    "settings",
    [
        {},
        {"sub_trim_percent": 20},  # where the middle is does not change what is passed on
        {"end_low_percent": 120, "end_high_percent": 120, "sub_trim_percent": 15},
        {"end_low_percent": 60, "end_high_percent": 60, "reversed": True},
    ],
)
def test_what_a_scaling_end_point_loses_is_told_in_the_measure_of_the_demand(settings):
    """Such an output passes the first 100 % on, however large it makes them: 25 of 125 % are lost."""
    sentences, notes = said(elevator(RICH, gain_above_percent=125, **settings), pitch=1)
    assert "Output 2 (elevator) is asked for 125 % and gives 100 %: the rest is lost." in sentences
    assert notes[TWO.surface_names.index("elevator")] == "travel cut off"


@pytest.mark.parametrize(("turned", "given"), [(False, 80), (True, 70)])
def test_what_a_clipping_end_point_loses(turned, given):
    settings = {"end_high_percent": 80, "end_low_percent": 70, "sub_trim_percent": 25, "reversed": turned}
    sentences, _ = said(elevator(SIMPLE, **settings), pitch=1)
    assert sentences == (f"Output 2 (elevator) is asked for 100 % and gives {given} %: the rest is lost.",)
    assert said(elevator(SIMPLE, **settings), pitch=0.6) == ((), ("",) * 4)


def test_a_stop_a_dead_point_and_a_pulse_are_told():
    setup = flaperon_setup()
    stopped = TWO.replace(
        surfaces=tuple(s.replace(stop_up_deg=8) if s.kind == "elevator" else s for s in TWO.surfaces)
    )
    sentences, notes = said(setup.replace(aircraft=stopped), pitch=1)
    assert sentences == ("The elevator is against its stop: its servo strains.",)
    assert "at its stop" in notes
    short = setup.replace(radio=setup.radio.replace(max_us=1800))
    assert "Output 2 (elevator) is at the end of the radio's pulse range." in said(short, pitch=1)[0]


def test_the_readout_says_all_that_is_drawn():
    setup = flaperon_setup()
    stages = Rig(setup).run(commands(roll=1, camber=1))
    text = readout(setup, stages)
    assert text.startswith("Roll 100 % (stick right) and camber 100 % (droop). Left aileron down")
    assert all(sentence in text for sentence in limit_sentences(setup, stages))
    assert np.count_nonzero(stages.demand_clipped) == 1
    assert "Output 6 (left aileron) is asked for 200 % and gives 100 %: the rest is lost." in text


@pytest.mark.parametrize(
    ("throttle", "told"),
    # From 1000 to 2000 us over the stick's way, and the controller's 1100 to 1900 us are 0 to 100 %.
    [
        (0.0, "Output 3 sends 1000 us: motor off."),
        (0.1, "Output 3 sends 1100 us: motor off."),
        (0.5, "Output 3 sends 1500 us: half power, 50 %."),
        (0.7, "Output 3 sends 1700 us: 75 % of full power."),
        (1.0, "Output 3 sends 2000 us: full power."),
    ],
)
def test_pulse_and_power_of_the_motor_are_told_where_the_throttle_is_moved(throttle, told):
    setup = hopper_as_bought()
    text = readout(setup, Rig(setup).run(commands(throttle=throttle)), throttle=True)
    assert told in text
    assert "surfaces are neutral" in text
    assert "motor" not in readout(flaperon_setup(), Rig(flaperon_setup()).run(commands()), throttle=True)


def test_a_motor_that_runs_is_told_also_where_no_throttle_is_moved():
    setup = hopper_as_bought()
    assert "motor" not in readout(setup, Rig(setup).run(commands(roll=1)))
    wrong = setup.with_output(3, reversed=True)
    assert "Output 3 sends 2000 us: full power." in readout(wrong, Rig(wrong).run(commands(roll=1)))


def test_the_motor_is_no_servo_at_a_limit():
    setup = hopper_as_bought().with_output(3, end_high_percent=50)
    assert said(setup, throttle=1)[0] == ()
