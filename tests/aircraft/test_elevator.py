"""Elevator compensation: what the air asks for, and that the radio's own chain gives it."""

import numpy as np
import pytest

from mixlib.air.aircraft import elevator as compensation
from mixlib.air.aircraft import flight
from mixlib.chain import Rig, commands
from mixlib.describe import plain_setup, shipped

AIRCRAFT = shipped("aircraft", "orchard_three")
THREE = flight.Airframe.from_aircraft(AIRCRAFT)
FULL_FLAP = {"left flap": 60.0, "right flap": 60.0}
CROW = FULL_FLAP | {"left aileron": -20.0, "right aileron": -20.0}
RICH = plain_setup(AIRCRAFT, shipped("radio", "rich_ten"))
PLAIN = plain_setup(AIRCRAFT, shipped("radio", "simple_six"))


@pytest.fixture(scope="module")
def crow():
    return compensation.compensation(THREE, CROW)


def test_it_is_the_trim_of_each_setting_at_one_speed(crow):
    assert crow.speed_m_s == pytest.approx(1.3 * float(flight.performance(THREE).stall.speed_m_s), rel=1e-3)
    assert crow.glides.converged.all()
    assert crow.change_deg[0] == 0
    assert np.ptp(crow.glides.speed_m_s) < 1e-9
    for index in (0, 5, 10):
        setting = {name: angle * crow.share[index] for name, angle in CROW.items()}
        alone = flight.trimmed_at(THREE, setting, crow.speed_m_s)
        assert crow.elevator_deg[index] == pytest.approx(float(alone.elevator_deg), abs=0.15)


def test_landing_flap_on_the_inner_wing_asks_for_down_elevator(crow):
    """Common practice, no source: flaps and crow of a glider with a tail take down elevator."""
    assert crow.change_deg[-1] > 2
    assert compensation.compensation(THREE, FULL_FLAP).change_deg[-1] > 2


def test_without_a_change_there_is_nothing_to_compensate():
    nothing = compensation.compensation(THREE, [{}, {}, {}], 10.0)
    assert nothing.change_deg == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("setup", [RICH, PLAIN], ids=["curve", "straight gain"])
def test_the_rig_moves_the_elevator_as_promised(crow, setup):
    held = compensation.held_by_radio(crow, setup, "elevator")
    leader = "brake" if "brake" in setup.radio.commands else "camber"
    with_mix = setup.replace(free_mixes=(held.as_mix(leader),))
    lever = commands(**{leader: crow.share})
    index = AIRCRAFT.surface_names.index("elevator")
    moved, still = (Rig(item).run(lever).surface[..., index] for item in (with_mix, setup))
    assert moved - still == pytest.approx(held.held_deg, abs=0.02)
    assert held.held_deg + held.left_over_deg == pytest.approx(crow.change_deg)
    assert not held.out_of_reach


def test_a_curve_follows_better_than_a_straight_gain(crow):
    curve = compensation.held_by_radio(crow, RICH, "elevator")
    straight = compensation.held_by_radio(crow, PLAIN, "elevator")
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
    one, other = (compensation.held_by_radio(crow, setup, "elevator") for setup in (RICH, turned))
    assert np.sign(one.curve_percent[-1]) == -np.sign(other.curve_percent[-1])
    assert other.held_deg == pytest.approx(one.held_deg, abs=0.4)


def test_more_than_the_output_can_give_is_told(crow):
    number = RICH.wiring["elevator"]
    short = RICH.with_output(number, end_low_percent=5, end_high_percent=5)
    held = compensation.held_by_radio(crow, short, "elevator")
    assert held.out_of_reach
    assert held.worst_deg > 1


def test_at_least_two_settings():
    with pytest.raises(ValueError, match="at least 2 settings"):
        compensation.compensation(THREE, [{}])
