"""The strip of stages and the arrows that add up say what the chain says, at every corner of the commands."""

from __future__ import annotations

import itertools

import pytest
from rooms import label_faults

from mixlib.chain import Rig, commands
from mixlib.chain.mixing import Mixer, demand_shares
from mixlib.describe import Setup
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup
from mixlib.draw.chain import addition, chain_strip
from mixlib.draw.shapes import Room

DEMOS = [flaperon_setup, four_surface_setup, v_tail_setup, elevon_setup]
ROOMS = [Room(1000, 450), Room(640, 400), Room(430, 230), Room(340, 300)]
each_demo = pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.__name__)


def corners(setup: Setup):
    names = [name for name in ("roll", "pitch", "yaw", "camber", "brake") if name in setup.radio.commands]
    ends = [(0.0, 1.0) if name == "brake" else (-1.0, 0.0, 1.0) for name in names]
    for values in itertools.product(*ends):
        yield commands(**dict(zip(names, values, strict=True)))


@each_demo
def test_the_strip_of_stages_can_be_read_at_every_corner(demo):
    setup = demo()
    rig = Rig(setup)
    for asked in corners(setup):
        stages = rig.run(asked)
        for name in setup.aircraft.surface_names:
            drawing = chain_strip(setup, stages, name, "roll")
            assert label_faults(drawing) == []
            assert "throw" in drawing.description


@each_demo
def test_the_arrows_add_up_to_the_demand_at_every_corner(demo):
    setup = demo()
    for asked in corners(setup):
        demand = Mixer(setup).demand_percent(asked)
        for number in set(setup.wiring.values()):
            shares = [(name, float(share)) for name, share in demand_shares(setup, asked, number)]
            assert sum(share for _, share in shares) == pytest.approx(demand[number - 1], abs=1e-9)
            assert label_faults(addition(setup, asked, number)) == []


def test_the_sum_says_what_is_lost():
    """Roll and droop at their ends ask for 200 %; the end point lets 100 % through."""
    drawing = addition(flaperon_setup(), commands(roll=1, camber=1), 6)
    assert drawing.title == "Output 6 (left aileron)"
    assert "make +200 %" in drawing.description
    assert "let −100 % to +100 % through, so 100 % is lost" in drawing.description
    assert "lost" not in addition(flaperon_setup(), commands(roll=1), 6).description


def test_limits_are_told_in_the_sense_of_the_demand():
    """A reversed output: a demand of +100 % is a shorter pulse, so the low end point limits it."""
    setup = flaperon_setup().with_output(6, reversed=True, end_low_percent=60, sub_trim_percent=10)
    words = addition(setup, commands(roll=1), 6).description
    assert "let −100 % to +60 % through, so 40 % is lost" in words


def test_end_points_that_scale_lose_nothing_of_a_full_command():
    base = flaperon_setup()
    radio = base.radio.replace(name="scaling", end_points="scale")
    setup = base.replace(radio=radio).with_output(6, end_high_percent=60)
    drawing = addition(setup, commands(roll=1), 6)
    assert "lost" not in drawing.description
    assert any("+60 %" in getattr(shape, "text", "") for shape in drawing.shapes)
