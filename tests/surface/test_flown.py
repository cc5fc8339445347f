"""The judge of a set-up: what a flyer would refuse is refused, with the place where it shows."""

import re

import numpy as np
import pytest

from mixlib.bench.surface.flown import flyable
from mixlib.bench.surface.rests import units_of
from mixlib.chain import Rig, commands
from mixlib.describe import FreeMix, Mark, Output, Phase, Setup, shipped
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup


def square(setup: Setup) -> Setup:
    """Arm and horn alike: a parallelogram passes the arm's angle on, 45 deg for 100 %."""
    parts = tuple(
        s.replace(
            linkage=s.linkage.replace(arm_mm=12.0, horn_mm=12.0, rod_mm=None),
            stop_up_deg=80.0,
            stop_down_deg=80.0,
        )
        for s in setup.aircraft.surfaces
    )
    return setup.replace(aircraft=setup.aircraft.replace(surfaces=parts))


@pytest.mark.parametrize("make", [flaperon_setup, four_surface_setup, v_tail_setup, elevon_setup])
def test_the_demos_are_mirrored_and_keep_half(make):
    flown = flyable(make())
    assert flown.faults == ()
    assert flown.asymmetry_mm == pytest.approx(0, abs=1e-9)
    assert flown.worst_ratio == 1
    assert flown.least_kept("roll") >= 0.49


def test_units_are_pairs_and_single_surfaces():
    aircraft = shipped("aircraft", "orchard_three")
    named = [tuple(aircraft.surface_names[p] for p in unit) for unit in units_of(aircraft)]
    assert named == [
        ("right flap", "left flap"),
        ("right aileron", "left aileron"),
        ("elevator",),
        ("rudder",),
    ]


def test_elevons_keep_exactly_half_by_hand():
    """Roll at full pitch: one elevon goes from 0 to 200 %, held at 100; so each moves 100 of its 200 %."""
    flown = flyable(square(elevon_setup()))
    assert flown.least_kept("roll", "stick back") == pytest.approx(0.5)
    assert flown.least_kept("pitch", "stick left") == pytest.approx(0.5)
    assert flyable(square(elevon_setup()), keep=0.6).faults


def test_differential_by_an_end_point_on_one_side_only_is_told():
    """Right: 100 % up, 60 % down by its end point.  Left: 60 % down by its gain.  They part."""
    setup = square(flaperon_setup())
    right_down = Rig(setup).run(commands(roll=-1.0)).travel[0] > 0
    ends = {"end_high_percent" if right_down else "end_low_percent": 60.0}
    setup = setup.with_output(1, **ends).with_mix(
        FreeMix(leader="roll", follower=6, gain_above_percent=60, gain_below_percent=100)
    )
    flown = flyable(setup)
    mirror = [words for words in flown.faults if "mirror" in words]
    assert "reflex" in mirror[0]
    # Half roll to the left asks the right aileron for 50 % down, and the end point lets it pass; the left one
    # goes 30 % for half roll to the right: 45 deg x 0.5 against 45 deg x 0.3.
    half = Rig(setup).run(commands(roll=np.array([0.5, -0.5]))).surface
    assert half[1, 1] == pytest.approx(22.5)
    assert half[0, 0] == pytest.approx(13.5)


def test_one_aileron_alone_on_the_dial_is_told():
    setup = flaperon_setup().replace(free_mixes=flaperon_setup().free_mixes[:1])
    flown = flyable(setup)
    assert any("mirror" in words for words in flown.faults)
    assert flown.asymmetry_mm > 10


def test_an_end_point_as_throw_limiter_leaves_the_stick_dead():
    setup = flaperon_setup().with_output(2, end_low_percent=38, end_high_percent=100)
    told = re.search(
        r"Elevator.*: the last (\d+) % of the way move nothing", "\n".join(flyable(setup).faults)
    )
    assert float(told[1]) == pytest.approx(62, abs=2.6)  # steps of 2.5 % of the way


def test_yaw_that_does_nothing_at_full_pitch_is_told():
    setup = v_tail_setup().replace(radio=v_tail_setup().radio.replace(end_points="clip"))
    for number in (3, 4):
        setup = setup.with_output(number, end_low_percent=38, end_high_percent=38)
    flown = flyable(setup)
    assert flown.least_kept("yaw", "stick back") < 0.5
    assert any(words.startswith("Yaw keeps") for words in flown.faults)


def test_a_phase_at_the_stops_takes_roll_away():
    angles = {"left aileron": 33.0, "right aileron": 33.0}
    setup = four_surface_setup().replace(phases=(Phase(name="slow", angles_deg=angles),))
    flown = flyable(setup)
    assert flown.least_kept("roll", "slow") < flown.least_kept("roll", "droop")
    assert flyable(setup, keep=0.9).faults


def test_a_dial_past_its_mark_is_told_but_is_no_fault():
    mix = FreeMix.straight("camber", 1, -100)
    setup = square(flaperon_setup()).with_mix(mix).replace(marks=(Mark(command="camber", percent=20),))
    flown = flyable(setup)
    (roll,) = [kept for kept in flown.beyond if kept.command == "roll"]
    assert (roll.where, roll.share) == ("camber past its mark, droop", pytest.approx(0.5))
    # Droop of 20 %: down 100 instead of 120 %, up 80 %; throws go with the sine of half the angle.
    left = (np.sin(np.radians(22.5)) + np.sin(np.radians(18))) / (2 * np.sin(np.radians(22.5)))
    assert flown.least_kept("roll", "droop to the mark") == pytest.approx(left)


def test_a_stick_that_moves_the_elevator_one_way_only_is_dead_the_other_way():
    setup = four_surface_setup().with_output(5, gain_below_percent=0)
    assert any("stick forward: the last 100 %" in words for words in flyable(setup).faults)


def test_a_rudder_alone_needs_no_mirror():
    setup = flaperon_setup().replace(
        outputs=(Output(number=4, control="yaw"),), free_mixes=(), wiring=flaperon_setup().wiring
    )
    assert flyable(setup).faults == ()


def test_a_low_roll_rate_of_a_phase_is_a_choice_and_no_fault():
    """At 30 % of the rate the phase keeps all that it asks for, so nothing more is broken than without it."""
    setup = four_surface_setup()
    slow = Phase(name="speed", angles_deg={}, roll_rate_percent=30)
    flown = flyable(setup.replace(phases=(slow,)))
    assert flown.faults == flyable(setup).faults
    assert flown.least_kept("roll", "speed") == pytest.approx(1, abs=0.05)
