"""Elevator compensation: what the air asks for, and that the radio's own chain gives it."""

import numpy as np
import pytest

from mixlib.air.aircraft import Airframe, compensation, held_by_radio, known_performance, trimmed_at
from mixlib.chain import Rig, commands
from mixlib.describe import plain_setup, shipped

AIRCRAFT = shipped("aircraft", "orchard_three")
THREE = Airframe.from_aircraft(AIRCRAFT)
SHARES = np.linspace(0.0, 1.0, 11)
FULL_FLAP = {"left flap": 60.0, "right flap": 60.0}
CROW = FULL_FLAP | {"left aileron": -20.0, "right aileron": -20.0}
RICH = plain_setup(AIRCRAFT, shipped("radio", "rich_ten"))
PLAIN = plain_setup(AIRCRAFT, shipped("radio", "simple_six"))


def on_the_way(full):
    """Surface angles that grow evenly with the lever."""
    return [{name: angle * share for name, angle in full.items()} for share in SHARES]


SPEED = 1.3 * float(known_performance(AIRCRAFT).stall.speed_m_s)


@pytest.fixture(scope="module")
def crow():
    return compensation(THREE, on_the_way(CROW), SPEED)


def test_it_is_the_trim_of_each_place_at_one_speed(crow):
    assert crow.share == pytest.approx(SHARES)
    assert crow.glides.converged.all()
    assert crow.change_deg[0] == 0
    assert crow.glides.speed_m_s == pytest.approx(SPEED, abs=1e-9)
    for index in (0, 5, 10):
        alone = trimmed_at(THREE, on_the_way(CROW)[index], SPEED)
        assert crow.glides.elevator_deg[index] == pytest.approx(float(alone.elevator_deg), abs=0.15)


def test_landing_flap_on_the_inner_wing_asks_for_down_elevator(crow):
    """Common practice, no source: flaps and crow of a glider with a tail take down elevator."""
    assert crow.change_deg[-1] > 2
    assert compensation(THREE, [{}, FULL_FLAP], SPEED).change_deg[-1] > 2


def test_without_a_change_there_is_nothing_to_compensate():
    nothing = compensation(THREE, [{}, {}, {}], 10.0)
    assert nothing.change_deg == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("setup", [RICH, PLAIN], ids=["curve", "straight gain"])
def test_the_rig_moves_the_elevator_as_promised(crow, setup):
    held = held_by_radio(crow, setup, "elevator")
    leader = "brake" if "brake" in setup.radio.commands else "camber"
    with_mix = setup.replace(free_mixes=(held.as_mix(leader),))
    lever = commands(**{leader: crow.share})
    index = AIRCRAFT.surface_names.index("elevator")
    moved, still = (Rig(item).run(lever).surface[..., index] for item in (with_mix, setup))
    assert moved - still == pytest.approx(held.held_deg, abs=0.02)
    assert held.worst_deg == pytest.approx(np.abs(crow.change_deg - held.held_deg).max())


def test_a_curve_follows_better_than_a_straight_gain(crow):
    curve = held_by_radio(crow, RICH, "elevator")
    straight = held_by_radio(crow, PLAIN, "elevator")
    assert len(curve.curve_percent) == 9
    assert curve.curve_percent[:5] == (0, 0, 0, 0, 0)
    assert straight.curve_percent == ()
    assert curve.worst_deg < straight.worst_deg
    assert curve.worst_deg < 0.7
    steps = np.array(curve.curve_percent) / RICH.radio.gain_step_percent
    assert steps == pytest.approx(np.round(steps))


def test_reversing_the_output_turns_the_mix_round(crow):
    number = RICH.wiring["elevator"]
    turned = RICH.with_output(number, reversed=not RICH.output(number).reversed)
    one, other = (held_by_radio(crow, setup, "elevator") for setup in (RICH, turned))
    assert np.sign(one.curve_percent[-1]) == -np.sign(other.curve_percent[-1])
    assert other.held_deg == pytest.approx(one.held_deg, abs=0.4)


def test_more_than_the_output_can_give_is_told(crow):
    number = RICH.wiring["elevator"]
    short = RICH.with_output(number, end_low_percent=5, end_high_percent=5)
    held = held_by_radio(crow, short, "elevator")
    assert held.worst_deg > 1


def test_at_least_two_places():
    with pytest.raises(ValueError, match="at least 2 places"):
        compensation(THREE, [{}], SPEED)
