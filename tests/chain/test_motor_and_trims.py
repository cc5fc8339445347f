"""What the throttle sends and the motor makes of it, what a control gives at its ends, who gets the trim."""

import numpy as np
import pytest

from mixlib.chain import Rig, commands
from mixlib.chain.mixing import demand_shares
from mixlib.describe import Control, FreeMix, Output, ReadyMade, Setup, plain_setup, shipped
from mixlib.describe.demo import flaperon_setup, hopper_as_bought, hopper_flaperons

RICH, SEVEN = shipped("radio", "rich_ten"), shipped("radio", "plain_seven")


def pulses(setup, number, **values):
    return Rig(setup).run(commands(**values)).pulse[..., number - 1].tolist()


def power(setup, **values):
    return Rig(setup).run(commands(**values)).power[..., 0].tolist()


def test_throttle_runs_its_output_from_end_to_end():
    """MAVLink, common messages, RC_CHANNELS: "1000 microseconds: 0%, 2000 microseconds: 100%"; half: 1500. A
    controller that is off to 1100 us and full from 1900 us gives (1500 - 1100) / 800 = 50 % and
    (1250 - 1100) / 800 = 18.75 % of its power."""
    setup = hopper_as_bought()
    assert pulses(setup, 3, throttle=[0, 0.25, 0.5, 1]) == [1000, 1250, 1500, 2000]
    assert power(setup, throttle=[0, 0.05, 0.25, 0.5, 0.9, 1]) == pytest.approx([0, 0, 18.75, 50, 100, 100])
    assert demand_shares(setup, commands(throttle=0.25), 3)[0] == ("throttle, direct", -50)


def test_a_reversed_motor_output_gives_full_power_with_the_throttle_closed():
    setup = hopper_as_bought().with_output(3, reversed=True)
    assert pulses(setup, 3, throttle=[0, 0.5, 1]) == [2000, 1500, 1000]
    assert power(setup, throttle=[0, 0.5, 1]) == [100, 50, 0]


def test_no_other_control_reaches_the_motor():
    for setup in (hopper_as_bought(), hopper_flaperons()):
        every = {"roll": 1, "pitch": -1, "yaw": 1, "camber": 1, "brake": 1}
        assert power(setup, **every) == 0
        assert pulses(setup, 3, **every) == 1000


def test_without_a_motor_there_is_no_power():
    assert Rig(flaperon_setup()).run(np.zeros((4, 6))).power.shape == (4, 0)


def test_a_motor_output_that_nothing_drives_stands_in_the_middle():
    """The danger of a throttle that is not assigned: 1500 us is half power."""
    assert power(hopper_as_bought().with_output(3, control=None)) == 50


def test_a_mix_from_the_throttle_counts_from_closed():
    """10 % of down elevator at full throttle is 0 closed and 5 % at half; 1 % is 5 us."""
    setup = hopper_as_bought().replace(free_mixes=(FreeMix.straight("throttle", 2, -10),))
    assert pulses(setup, 2, throttle=[0, 0.5, 1]) == pytest.approx([1500, 1475, 1450])
    assert pulses(setup, 2, throttle=1, pitch=1) == pytest.approx(1950)


def test_a_mix_that_takes_the_motor_output_starts_from_its_low_end():
    """What output 10 ends up with is -100 % with the throttle closed, on a radio whose mixes take outputs."""
    setup = plain_setup(shipped("aircraft", "orchard_hopper"), RICH)
    assert setup.wiring["motor"] == 10
    elevator = setup.wiring["elevator"]
    setup = setup.replace(free_mixes=(FreeMix.straight(10, elevator, 20),))
    assert pulses(setup, elevator, throttle=[0, 0.5, 1]) == pytest.approx([1400, 1500, 1600])


def test_gains_of_the_throttle_work_on_both_sides_of_half():
    setup = plain_setup(shipped("aircraft", "orchard_hopper"), RICH)
    setup = setup.with_output(10, gain_above_percent=60, gain_below_percent=90)
    assert pulses(setup, 10, throttle=[0, 0.25, 0.5, 0.75, 1]) == pytest.approx(
        [1050, 1275, 1500, 1650, 1800]
    )


@pytest.mark.parametrize(
    "command, ends, asked, given",
    [
        ("brake", {}, [0, 0.5, 1], [1500, 1750, 2000]),
        ("brake", {"at_low_percent": -100}, [0, 0.5, 1], [1000, 1500, 2000]),
        ("brake", {"at_low_percent": 100, "at_high_percent": -100}, [0, 0.5, 1], [2000, 1500, 1000]),
        ("throttle", {"at_low_percent": 0}, [0, 0.5, 1], [1500, 1750, 2000]),
        ("camber", {}, [-1, 0, 1], [1000, 1500, 2000]),
        ("camber", {"at_low_percent": 0}, [-1, 0, 1], [1500, 1750, 2000]),
    ],
)
def test_a_control_gives_its_output_what_it_says_at_both_ends(command, ends, asked, given):
    control = Control(command=command, held_by="slider", drives=(8,), **ends)
    assert control.plain == (given == [1500 + 500 * value for value in asked])
    radio = RICH.replace(controls=(control,))
    aircraft = shipped("aircraft", "orchard_two")
    setup = Setup(
        name="one",
        aircraft=aircraft,
        radio=radio,
        wiring=dict.fromkeys(aircraft.surface_names, 1),
        outputs=(Output(number=8, control=command),),
        free_mixes=(FreeMix.straight(command, 9, 50),),
    )
    assert pulses(setup, 8, **{command: asked}) == pytest.approx(given)
    assert pulses(setup, 9, **{command: asked}) == pytest.approx([1500 + 250 * value for value in asked])


def test_trim_of_roll_on_both_ailerons():
    """10 % of trim is 50 us.  On a Y-lead both ailerons have it; by a mix only where the radio carries it."""
    bought, flaperons = hopper_as_bought(), hopper_flaperons()
    assert pulses(bought.replace(trims={"roll": 10}), 1) == pytest.approx(1550)
    left_behind = flaperons.replace(trims={"roll": 10})
    assert (pulses(left_behind, 1), pulses(left_behind, 6)) == pytest.approx((1550, 1500))
    carried = left_behind.replace(radio=flaperons.radio.replace(mixes_carry_trim=True))
    assert (pulses(carried, 1), pulses(carried, 6)) == pytest.approx((1550, 1550))
    up, still = Rig(left_behind).moves()["right aileron"], Rig(left_behind).moves()["left aileron"]
    assert up < -1
    assert still == pytest.approx(0, abs=1e-9)
    down = Rig(carried).moves()["left aileron"]
    assert down == pytest.approx(-up, abs=0.3)


def test_trim_comes_on_top_of_the_stick_and_its_rate():
    """Full stick at a rate of 50 % and 20 % of trim: 70 % here; 50 % where the mix leaves the trim behind."""
    setup = hopper_flaperons().replace(trims={"roll": 20}, shaping={"roll": {"rate_percent": 50}})
    assert (pulses(setup, 1, roll=1), pulses(setup, 6, roll=1)) == pytest.approx((1850, 1750))
    assert (pulses(setup, 1, roll=-1), pulses(setup, 6, roll=-1)) == pytest.approx((1350, 1250))
    assert Rig(setup).run(commands(roll=1)).command[0] == pytest.approx(0.5)


def test_a_mix_that_takes_an_output_takes_its_trim_along():
    setup = plain_setup(shipped("aircraft", "orchard_two"), RICH.replace(mixes_carry_trim=False))
    setup = setup.with_output(2, control=None).replace(trims={"roll": 10})
    by_output = setup.replace(free_mixes=(FreeMix.straight(1, 2, 100),))
    by_command = setup.replace(free_mixes=(FreeMix.straight("roll", 2, 100),))
    assert (pulses(by_output, 1), pulses(by_output, 2)) == pytest.approx((1550, 1550))
    assert (pulses(by_command, 1), pulses(by_command, 2)) == pytest.approx((1550, 1500))


def test_the_dial_at_rest_at_its_mark_and_at_its_end():
    """60 % of the dial's way is 300 us on the output that it drives, and as much the other way by the mix."""
    setup = hopper_flaperons()
    assert pulses(setup, 6, camber=[0, 0.6, 1]) == pytest.approx([1500, 1800, 2000])
    assert pulses(setup, 1, camber=[0, 0.6, 1]) == pytest.approx([1500, 1200, 1000])


def test_ready_made_flaperons_by_hand():
    """Roll comes alike to both outputs, camber opposite; 1 % is 4.6 us on this radio, and no mix is spent."""
    hopper = shipped("aircraft", "orchard_hopper")
    setup = plain_setup(hopper, SEVEN).with_output(1, control=None)
    flaperons = ReadyMade(kind="flaperons", first=6, second=1, opposite_percent=50)
    setup = setup.with_output(6, control=None).replace(
        wiring={**setup.wiring, "left aileron": 6, "right aileron": 1},
        ready_made=(flaperons,),
        free_mixes=(FreeMix.straight("camber", 2, 10),),
    )
    assert (pulses(setup, 6, roll=1), pulses(setup, 1, roll=1)) == pytest.approx((1960, 1960))
    assert (pulses(setup, 6, camber=1), pulses(setup, 1, camber=1)) == pytest.approx((1730, 1270))
    assert pulses(setup, 2, camber=1) == pytest.approx(1546)
    moves = Rig(setup).moves(roll=1)
    assert moves["right aileron"] < 0 < moves["left aileron"]
    droop = Rig(setup).moves(camber=1)
    assert droop["right aileron"] == pytest.approx(droop["left aileron"])
    assert droop["left aileron"] > 5
    assert demand_shares(setup, commands(roll=0.5, camber=1), 1) == (
        ("roll, flaperons", 50),
        ("camber, flaperons", -50),
    )
    trimmed = setup.replace(trims={"roll": 10})
    assert (pulses(trimmed, 6), pulses(trimmed, 1)) == pytest.approx((1546, 1546))


def test_directions_of_the_hopper_are_those_of_a_working_model():
    for setup in (hopper_as_bought(), hopper_flaperons()):
        roll, pitch, yaw = (Rig(setup).moves(**{name: 1}) for name in ("roll", "pitch", "yaw"))
        assert roll["right aileron"] < -20
        assert roll["left aileron"] > 20
        assert pitch["elevator"] < -20
        assert yaw["rudder"] < -20
    droop, reflex = (Rig(hopper_flaperons()).moves(camber=value) for value in (1, -1))
    for side in ("left aileron", "right aileron"):
        assert droop[side] > 20
        assert reflex[side] < -20
