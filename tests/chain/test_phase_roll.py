"""Roll of its own in a phase, worked by hand: a rate and a differential in place of the set-up's."""

import numpy as np
import pytest

from mixlib.chain import Rig, commands
from mixlib.describe import DescriptionError, FreeMix, Output, Phase, Shaping, as_toml, from_toml
from mixlib.describe.demo import flaperon_setup, four_surface_setup, hopper_as_bought
from mixlib.units import COMMANDS

SIDES = [-1.0, -0.5, 0.0, 0.5, 1.0]


def demand(setup, phase=None, **asked):
    return Rig(setup, phase).run(commands(**asked)).demand


def phase(**own):
    return Phase(name="speed", angles_deg={}, **own)


def test_the_rate_takes_the_place_of_the_sticks_and_its_expo_stays():
    """Half stick, expo 40 %: 0.6 x 0.5 + 0.4 x 0.125 = 0.35; of it 80 % everywhere, and 60 % in the phase."""
    setup = four_surface_setup().replace(shaping={"roll": Shaping(rate_percent=80, expo_percent=40)})
    roll = COMMANDS.index("roll")
    shaped = [
        Rig(setup, own).run(commands(roll=0.5)).command[roll] for own in (None, phase(roll_rate_percent=60))
    ]
    assert shaped == pytest.approx([0.8 * 0.35, 0.6 * 0.35])
    assert Rig(setup, phase(roll_rate_percent=60)).run(commands(pitch=1)).command[1] == 1.0  # roll's alone


@pytest.mark.parametrize(("percent", "down"), [(0, 70.0), (50, 35.0), (100, 0.0), (-50, 105.0)])
def test_what_goes_down_is_so_much_less_than_what_goes_up(percent, down):
    """The glider's gains are 70 % up and 45 % down; stick right takes the right aileron up."""
    setup, own = four_surface_setup(), phase(differential_percent=percent)
    left, right = demand(setup, own, roll=SIDES)[:, [0, 1]].T
    assert right == pytest.approx([-down, -down / 2, 0, 35, 70])
    assert left == pytest.approx([-70, -35, 0, down / 2, down])
    flaps = demand(setup, own, roll=SIDES)[:, [2, 3]]
    assert flaps == pytest.approx(demand(setup, roll=SIDES)[:, [2, 3]])


def test_droop_brake_and_trim_stay_whole_beside_it():
    """Only what roll adds is less: the right aileron, at +58 % with crow, goes down from there by 35."""
    setup = four_surface_setup().replace(trims={"roll": 10})
    own = phase(differential_percent=50)
    for rest in ({"brake": 1.0}, {"camber": 1.0}, {"camber": -1.0, "brake": 0.5}):
        still, moved = demand(setup, roll=0, **rest), demand(setup, own, roll=[0, -1], **rest)
        assert moved[0] == pytest.approx(still)
        assert moved[1, 1] - still[1] == pytest.approx(-35)


def test_by_whatever_way_roll_comes():
    """Direct with an even gain, or by a mix, led by the command or by an output that is mixed: half."""
    own, rich = phase(differential_percent=50), four_surface_setup()
    command_led = flaperon_setup()
    command_led = command_led.replace(radio=command_led.radio.replace(phases_keep=("differential",)))
    right, left = demand(command_led, own, roll=[1.0, -1.0])[:, [0, 5]].T
    assert right == pytest.approx([100, -50])
    assert left == pytest.approx([50, -100])
    follows = rich.replace(
        outputs=(*(output for output in rich.outputs if output.number > 1), Output(number=1)),
        free_mixes=(FreeMix.straight(2, 1, 100),),
    )
    right, left = demand(follows, own, roll=[1.0, -1.0])[:, [1, 0]].T
    assert right == pytest.approx([70, -35])
    assert left == pytest.approx([22.5, -45])  # its leader's gains: 45 % is what stick left takes it up


def test_two_ailerons_on_one_output_have_no_differential():
    bought = hopper_as_bought()
    setup = bought.replace(radio=bought.radio.replace(phases_keep=("roll rate", "differential")))
    assert setup.roll_kept == ("roll rate",)
    own = phase(differential_percent=50)
    assert np.array_equal(demand(setup, own, roll=SIDES), demand(setup, roll=SIDES))


def test_a_phase_without_roll_of_its_own_changes_nothing():
    setup = four_surface_setup()
    assert np.array_equal(demand(setup, phase(), roll=SIDES), demand(setup, roll=SIDES))


def test_a_radio_that_does_not_keep_it_refuses_it_in_words():
    for own, words in (
        (
            {"roll_rate_percent": 70},
            "Phase speed: roll rate is 70 %. Accepted: nothing: this radio has one roll rate",
        ),
        (
            {"differential_percent": 0},
            "Phase speed: differential is 0 %. Accepted: nothing: this radio has one",
        ),
    ):
        with pytest.raises(DescriptionError, match=words):
            flaperon_setup().replace(phases=(phase(**own),))
        assert phase(**own).kept_by(flaperon_setup().radio) == phase()
        assert phase(**own).kept_by(four_surface_setup().radio) == phase(**own)
    assert four_surface_setup().radio.replace(rate_and_expo=False).own_rolls == ("differential",)


def test_a_file_without_it_opens_as_before_and_one_with_it_comes_back():
    setup = four_surface_setup().replace(phases=(phase(roll_rate_percent=70, differential_percent=20),))
    assert from_toml(as_toml(setup)) == setup
    old = as_toml(flaperon_setup().replace(phases=(phase(),)))
    assert "roll_rate" not in old
    without = "\n".join(line for line in old.splitlines() if not line.startswith("phases_keep"))
    assert from_toml(without) == from_toml(old)
