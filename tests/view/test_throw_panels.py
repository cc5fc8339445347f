"""Panels on throws: every way to a differential does what it says, and takes what it says."""

from __future__ import annotations

import re

import pytest

from mixlib.chain import Rig
from mixlib.describe.demo import flaperon_setup, v_tail_setup
from mixlib.view.throw_panels import WAYS, differential, differential_setup, holes, stick_curve


def plain(text: str) -> str:
    return re.sub(r"<[^>]+>", "", text)


def roll_and_droop(setup):
    rig = Rig(setup)
    right, left, droop = rig.moves(roll=1), rig.moves(roll=-1), rig.moves(camber=1)
    return {
        name: (max(-right[name], -left[name]), max(right[name], left[name]), droop[name])
        for name in ("left aileron", "right aileron")
    }


@pytest.mark.parametrize("way", WAYS)
def test_every_way_gives_less_down_than_up_on_a_radio_that_can(way):
    before, after = (
        roll_and_droop(v_tail_setup()),
        roll_and_droop(differential_setup(v_tail_setup(), way, 40)),
    )
    for name, (up, down, _) in after.items():
        assert down < 0.95 * up
        assert before[name][1] == pytest.approx(before[name][0], rel=0.05)


def test_end_points_take_the_droop_and_unequal_gains_leave_it():
    plain_droop = roll_and_droop(flaperon_setup())["left aileron"][2]
    ends = roll_and_droop(differential_setup(flaperon_setup(), WAYS[1], 50))
    gains = roll_and_droop(differential_setup(flaperon_setup(), WAYS[0], 50))
    assert ends["left aileron"][2] < 0.7 * plain_droop
    assert gains["left aileron"][2] == pytest.approx(plain_droop)


def test_a_direct_gain_that_cannot_be_set_keeps_its_aileron_even():
    gains = roll_and_droop(differential_setup(flaperon_setup(), WAYS[0], 50))
    up, down, _ = gains["right aileron"]
    assert down == pytest.approx(up, rel=0.05)


def test_panels_show_both_ends_without_a_fault():
    setup = flaperon_setup()
    panel = differential(setup)
    for way in WAYS:
        for amount in (0.0, 0.8):
            panel.controls["way"].value, panel.controls["amount"].value = way, amount
            assert panel.error == ""
            assert "left aileron up" in plain(panel.sentence)
    panel = holes(setup, "left aileron")
    for arm in (8.0, 14.0):
        for horn in (10.0, 16.0):
            for travel in (-1.0, 1.0):
                panel.controls["arm"].value, panel.controls["horn"].value = arm, horn
                panel.controls["travel"].value = travel
                assert panel.error == ""
                assert f"Arm {arm:g} mm, horn {horn:g} mm" in plain(panel.sentence)
    panel = stick_curve(setup, "left aileron")
    panel.controls["rate"].value, panel.controls["stick"].value = 0.5, 1.0
    assert "Full stick: +11.1 mm" in plain(panel.sentence)
    panel.controls["expo"].value = 0.8
    assert "Full stick: +11.1 mm" in plain(panel.sentence)
