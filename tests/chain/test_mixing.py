"""Mixing is addition: shares that add up, one side at a time, in any order, and loops that are named."""

import itertools

import numpy as np
import pytest
from description_strategies import numbers, setups
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from mixlib.chain import MixLoopError, Rig, commands
from mixlib.chain.mixing import Mixer, demand_shares, gain_tables, leading_command
from mixlib.describe import FreeMix, Output, plain_setup, shipped
from mixlib.units import COMMANDS

TWO = shipped("aircraft", "orchard_two")
SIMPLE, RICH = shipped("radio", "simple_six"), shipped("radio", "rich_ten")
BLANK = plain_setup(TWO, RICH).replace(outputs=())
heavy = settings(suppress_health_check=list(HealthCheck), deadline=None, max_examples=30)
COMMAND_ARRAYS = st.tuples(*[numbers(-1, 1)] * 4, *[numbers(0, 1)] * 2).map(np.array)


def mix(leader, follower, above, below=None, **more):
    below = above if below is None else below
    return FreeMix(
        leader=leader, follower=follower, gain_above_percent=above, gain_below_percent=below, **more
    )


def demand(setup, number, **values):
    return float(Mixer(setup).demand_percent(commands(**values))[number - 1])


def by_definition(setup, u, number):
    """The sum written out for one sample and one output, straight from its definition, with recursion."""

    def gain_of_side(above, below, value):
        return above * max(value, 0) + below * min(value, 0)

    output = setup.output(number)
    total = output.shift_percent
    trims = np.array([setup.trims.get(command, 0) / 100 for command in COMMANDS])
    own, mixed = u + trims, u + trims if setup.radio.mixes_carry_trim else u
    if output.control:
        value = own[COMMANDS.index(output.control)]
        (control,) = (part for part in setup.radio.controls if part.command == output.control)
        low = (
            {"brake": 0}.get(output.control, -100)
            if control.at_low_percent is None
            else control.at_low_percent
        )
        way = value if output.control in ("throttle", "brake") else (value + 1) / 2
        given = (1 - way) * low + way * control.at_high_percent
        total += gain_of_side(output.gain_above_percent, output.gain_below_percent, given / 100)
    for made in setup.ready_made:
        sign = {made.first: 1, made.second: -1}.get(number)
        if sign:
            pair = {"flaperons": "roll camber", "V-tail": "pitch yaw", "elevons": "roll pitch"}[made.kind]
            alike, opposite = (own[COMMANDS.index(command)] for command in pair.split())
            total += made.alike_percent * alike + sign * made.opposite_percent * opposite
    for part in setup.free_mixes:
        if not part.on or part.follower != number:
            continue
        if isinstance(part.leader, str):
            leader = 100 * mixed[COMMANDS.index(part.leader)]
        elif setup.radio.mix_takes == "output":
            leader = by_definition(setup, u, part.leader)
        elif setup.output(part.leader).control:
            leader = 100 * mixed[COMMANDS.index(setup.output(part.leader).control)]
        else:
            continue
        if part.curve_percent:
            points = len(part.curve_percent)
            place = (min(max(leader, -100), 100) + 100) / 200 * (points - 1)
            left = min(int(place), points - 2)
            slope = part.curve_percent[left + 1] - part.curve_percent[left]
            total += part.curve_percent[left] + slope * (place - left)
        else:
            total += (
                gain_of_side(part.gain_above_percent, part.gain_below_percent, leader - part.centre_percent)
                / 100
            )
    return total


def evenly(setup):
    """The set-up with controls that give their output the command itself, and trims in the middle."""
    controls = tuple(
        part.replace(at_low_percent=0 if part.command in ("throttle", "brake") else -100, at_high_percent=100)
        for part in setup.radio.controls
    )
    return setup.replace(radio=setup.radio.replace(controls=controls), trims={})


def test_own_control_by_hand():
    setup = BLANK.with_output(
        3, control="roll", gain_above_percent=80, gain_below_percent=40, shift_percent=5
    )
    assert demand(setup, 3, roll=0.5) == pytest.approx(5 + 40)
    assert demand(setup, 3, roll=-0.5) == pytest.approx(5 - 20)
    assert demand(setup, 3, pitch=1) == pytest.approx(5)


def test_shares_add_up_by_hand():
    setup = BLANK.with_output(3, control="roll").replace(
        free_mixes=(mix("camber", 3, 60, 30), mix("brake", 3, -50), mix("yaw", 3, 10, on=False))
    )
    assert demand(setup, 3, roll=0.25, camber=0.5, brake=1, yaw=1) == pytest.approx(25 + 30 - 50)
    assert demand(setup, 3, roll=0.25, camber=-0.5) == pytest.approx(25 - 15)
    shares = demand_shares(setup, commands(roll=0.25, camber=0.5, brake=1), 3)
    assert [(name, float(part)) for name, part in shares] == [
        ("roll, direct", 25),
        ("camber, mixed in", 30),
        ("brake, mixed in", -50),
    ]


def test_centre_moves_the_point_where_the_share_is_nothing():
    setup = BLANK.replace(free_mixes=(mix("brake", 3, 40, 40, centre_percent=50),))
    assert demand(setup, 3, brake=0.5) == 0
    assert demand(setup, 3, brake=1) == pytest.approx(20)
    assert demand(setup, 3, brake=0) == pytest.approx(-20)


def test_curve_is_read_between_its_points():
    """Points at -100, -50, 0, 50, 100 % of the leader; straight between two of them."""
    setup = BLANK.replace(free_mixes=(mix("camber", 3, 0, curve_percent=(-10, 0, 0, 40, 50)),))
    assert demand(setup, 3, camber=0.25) == pytest.approx(20)
    assert demand(setup, 3, camber=0.75) == pytest.approx(45)
    assert demand(setup, 3, camber=-0.75) == pytest.approx(-5)
    assert demand(setup, 3, camber=1) == pytest.approx(50)


def chained(radio):
    """Roll moves output 3; output 3 leads 4; camber is mixed into 3 as well."""
    setup = plain_setup(TWO, radio).replace(outputs=(Output(number=3, control="roll"),))
    return setup.replace(free_mixes=(mix("camber", 3, 50), mix(3, 4, 100)))


def test_mix_that_takes_the_command_and_mix_that_takes_the_output():
    takes_command = chained(RICH.replace(mix_takes="command"))
    takes_output = chained(RICH)
    assert demand(takes_command, 4, roll=0.5, camber=1) == pytest.approx(50)
    assert demand(takes_output, 4, roll=0.5, camber=1) == pytest.approx(100)


def test_leader_without_a_control_has_no_command_to_pass_on():
    setup = plain_setup(TWO, RICH.replace(mix_takes="command")).replace(
        outputs=(), free_mixes=(mix(3, 4, 100),)
    )
    assert leading_command(setup, setup.free_mixes[0]) is None
    assert demand(setup, 4, roll=1, camber=1) == 0


CHAIN = (
    mix("roll", 1, 100),
    mix(1, 2, 50),
    mix(2, 3, 50),
    mix("camber", 2, 20),
    mix(1, 4, -100),
    mix(3, 4, 100),
)


@pytest.mark.parametrize("order", list(itertools.permutations(range(6)))[::17])
def test_order_of_the_list_does_not_matter(order):
    """By hand: 1 = 100 r; 2 = 50 r + 20 c; 3 = 25 r + 10 c; 4 = -100 r + 25 r + 10 c."""
    setup = BLANK.replace(free_mixes=tuple(CHAIN[place] for place in order))
    found = Mixer(setup).demand_percent(commands(roll=0.4, camber=-0.5))[:4]
    assert found == pytest.approx([40, 20 - 10, 10 - 5, -40 + 10 - 5])


@pytest.mark.parametrize(
    "mixes, named",
    [
        ((mix(3, 3, 50),), {3}),
        ((mix(1, 2, 50), mix(2, 1, 50)), {1, 2}),
        ((mix(1, 2, 50), mix(2, 5, 50), mix(5, 1, 50), mix("roll", 7, 50)), {1, 2, 5}),
    ],
)
def test_loop_is_refused_and_its_outputs_named(mixes, named):
    setup = BLANK.replace(free_mixes=mixes)
    for ask in (lambda: Mixer(setup).demand_percent(commands(roll=1)), lambda: Rig(setup)):
        with pytest.raises(MixLoopError, match="round in a loop") as caught:
            ask()
        told = str(caught.value).split(".")[0]
        assert {int(word) for word in told.replace(":", " ").split() if word.isdigit()} == named


def test_loop_goes_the_way_of_the_mixes():
    setup = BLANK.replace(free_mixes=(mix(1, 2, 50), mix(2, 5, 50), mix(5, 1, 50)))
    with pytest.raises(MixLoopError) as caught:
        Rig(setup)
    path = [int(word) for word in str(caught.value).split(".")[0].split() if word.isdigit()]
    assert path[0] == path[-1]
    assert set(itertools.pairwise(path)) == {(1, 2), (2, 5), (5, 1)}


def test_loop_that_is_switched_off_or_takes_commands_is_none():
    loop = (mix(1, 2, 50), mix(2, 1, 50))
    Rig(BLANK.replace(free_mixes=(loop[0], loop[1].replace(on=False))))
    Rig(plain_setup(TWO, RICH.replace(mix_takes="command")).replace(free_mixes=loop))


@given(setups(), COMMAND_ARRAYS)
@heavy
def test_demand_is_the_sum_of_its_definition(setup, u):
    found = Mixer(setup).demand_percent(u)
    for number in range(1, setup.radio.outputs + 1):
        assert found[number - 1] == pytest.approx(by_definition(setup, u, number), abs=1e-8)


@given(setups(), COMMAND_ARRAYS)
@heavy
def test_shares_add_up_to_the_demand(setup, u):
    found = Mixer(setup).demand_percent(u)
    for number in range(1, setup.radio.outputs + 1):
        total = sum(float(part) for _, part in demand_shares(setup, u, number))
        assert found[number - 1] == pytest.approx(total, abs=1e-8)


@given(setups(), COMMAND_ARRAYS, COMMAND_ARRAYS, st.randoms())
@heavy
def test_superposition_as_long_as_no_command_changes_sides(setup, first, second, random):
    """Straight mixes led by commands: on one side of every command the demand is linear but for the shift."""
    straight = [
        part.replace(centre_percent=0, curve_percent=())
        for part in setup.free_mixes
        if isinstance(part.leader, str)
    ]
    setup = evenly(setup).replace(free_mixes=tuple(straight))
    sides = np.array([random.choice((-1, 1)) for _ in range(6)])
    first, second = sides * np.abs(first) / 2, sides * np.abs(second) / 2
    rest, one, other, both = Mixer(setup).demand_percent([np.zeros(6), first, second, first + second])
    assert np.allclose(both - rest, (one - rest) + (other - rest))


@given(setups(), st.randoms())
@heavy
def test_any_order_of_the_mixes_gives_the_same_demand(setup, random):
    shuffled = list(setup.free_mixes)
    random.shuffle(shuffled)
    u = np.linspace(-1, 1, 30).reshape(5, 6)
    again = Mixer(setup.replace(free_mixes=tuple(shuffled))).demand_percent(u)
    assert np.allclose(Mixer(setup).demand_percent(u), again, atol=1e-8)


@given(setups())
@heavy
def test_gain_tables_are_the_demand_of_single_commands(setup):
    straight = setup.replace(
        free_mixes=tuple(part.replace(centre_percent=0, curve_percent=()) for part in setup.free_mixes
                         if isinstance(part.leader, str))
    )  # fmt: skip
    straight = evenly(straight)
    above, below = gain_tables(straight)
    rest = Mixer(straight).demand_percent(np.zeros(6))
    assert np.allclose(Mixer(straight).demand_percent(np.eye(6)) - rest, above)
    assert np.allclose(Mixer(straight).demand_percent(-np.eye(6)) - rest, -below)
