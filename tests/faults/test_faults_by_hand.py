"""What each fault must look like at the bench, worked out by hand from the wiring, not by the chain.

The layout is the flaperon of the lessons: right aileron on output 1 (roll stick), left aileron on output 6
(dial), roll mixed into 6 with +100 and camber into 1 with -100, mirrored servos (common practice, no source).
So output 1 is asked for roll - camber and output 6 for camber + roll; a longer pulse lifts the right aileron
and lowers the left one.  Everything below follows from those two lines.
"""

import pytest
from fault_helpers import seen

from mixlib.bench.faults.edits import apply_faults
from mixlib.bench.faults.kinds import faults_of
from mixlib.bench.faults.observe import bench_tests
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup

ALL_WELL = {
    "stick right": {"left aileron": "down", "right aileron": "up", "elevator": "still", "rudder": "still"},
    "stick left": {"left aileron": "up", "right aileron": "down", "elevator": "still", "rudder": "still"},
    "droop": {
        "left aileron": "down",
        "right aileron": "down",
        "elevator": "still",
        "rudder": "still",
    },
    "reflex": {"left aileron": "up", "right aileron": "up", "elevator": "still", "rudder": "still"},
    "stick back": {
        "left aileron": "still",
        "right aileron": "still",
        "elevator": "up",
        "rudder": "still",
    },
    "nose right": {
        "left aileron": "still",
        "right aileron": "still",
        "elevator": "still",
        "rudder": "right",
    },
    # Full droop leaves output 1 at -100 and output 6 at +100: each can only go back.
    "stick right with droop": {
        "left aileron": "still",
        "right aileron": "up",
        "elevator": "still",
        "rudder": "still",
    },
    "stick left with droop": {
        "left aileron": "up",
        "right aileron": "still",
        "elevator": "still",
        "rudder": "still",
    },
}
LEFT, RIGHT = "left aileron", "right aileron"


def _turned(surface, tests=("stick right", "stick left", "droop", "reflex")):
    other = {"up": "down", "down": "up"}
    return {(test, surface): other[ALL_WELL[test][surface]] for test in tests}


# Part of the fault's words -> what differs from all well.
BY_HAND = {
    "output 1 (right aileron) runs the wrong way round": _turned(RIGHT),
    "output 6 (left aileron) runs the wrong way round": _turned(LEFT),
    "nothing is assigned to output 1 (": {("stick right", RIGHT): "still", ("stick left", RIGHT): "still"},
    "nothing is assigned to output 6 (": {
        ("droop", LEFT): "still",
        ("reflex", LEFT): "still",
    },
    "the mix roll into output 6 is off": {("stick right", LEFT): "still", ("stick left", LEFT): "still"},
    "the mix camber into output 1 is off": {
        ("droop", RIGHT): "still",
        ("reflex", RIGHT): "still",
        # Nothing has used up the right aileron's way: it goes both ways while the dial is at droop.
        ("stick left with droop", RIGHT): "down",
    },
    "the mix roll into output 6 has its gain with the wrong sign": _turned(
        LEFT, ("stick right", "stick left")
    ),
    "the mix camber into output 1 has its gain with the wrong sign": _turned(RIGHT, ("droop", "reflex")),
    "the mix roll into output 6 has no gain above": {("stick right", LEFT): "still"},
    "the mix roll into output 6 has no gain below": {
        ("stick left", LEFT): "still",
        ("stick left with droop", LEFT): "still",
    },
    # camber into 1 twice, +100 and -100: they cancel, and nothing brings roll to output 6.
    "the mix roll into output 6 has its leader and follower swapped": {
        ("stick right", LEFT): "still",
        ("stick left", LEFT): "still",
        ("droop", RIGHT): "still",
        ("reflex", RIGHT): "still",
        ("stick left with droop", LEFT): "still",
        ("stick left with droop", RIGHT): "down",
    },
    # roll into 6 twice, +100 and -100: the same look.
    "the mix camber into output 1 has its leader and follower swapped": {
        ("stick right", LEFT): "still",
        ("stick left", LEFT): "still",
        ("droop", RIGHT): "still",
        ("reflex", RIGHT): "still",
        ("stick left with droop", LEFT): "still",
        ("stick left with droop", RIGHT): "down",
    },
    # The left one answers roll - camber, the right one camber + roll: only the dial works backwards.
    "the plugs of left aileron and right aileron are swapped": {
        **_turned(LEFT, ("droop", "reflex")),
        **_turned(RIGHT, ("droop", "reflex")),
        ("stick right with droop", LEFT): "down",
        ("stick right with droop", RIGHT): "still",
        ("stick left with droop", LEFT): "still",
        ("stick left with droop", RIGHT): "down",
    },
    "the plugs of elevator and rudder are swapped": {
        ("stick back", "elevator"): "still",
        ("stick back", "rudder"): "right",
        ("nose right", "rudder"): "still",
        ("nose right", "elevator"): "up",
    },
    "left aileron is on output 1 together with right aileron": _turned(LEFT, ("droop", "reflex")),
    "right aileron is on output 6 together with left aileron": _turned(RIGHT, ("droop", "reflex")),
    "the servo of left aileron gets no signal": {
        (test, LEFT): "still" for test in ("stick right", "stick left", "droop", "reflex")
    },
    "the servo of right aileron is built in the other way round": _turned(RIGHT),
    "the servo of rudder is built in the other way round": {("nose right", "rudder"): "left"},
    "the horn of left aileron stands on the wrong side": _turned(LEFT),
    "the horn of elevator stands on the wrong side": {("stick back", "elevator"): "down"},
    # A shorter pulse lowers the right aileron: only its way down is cut.
    "the end point of output 1 (right aileron) is much too small towards the shorter pulse": {
        ("stick left", RIGHT): "too little",
        ("droop", RIGHT): "too little",
    },
    "the end point of output 6 (left aileron) is much too small towards the shorter pulse": {
        ("stick left", LEFT): "too little",
        ("reflex", LEFT): "too little",
    },
    "the linkage of right aileron binds early going up": {
        ("stick right", RIGHT): "too little",
        ("reflex", RIGHT): "too little",
    },
    "the linkage of left aileron binds early going down": {
        ("stick right", LEFT): "too little",
        ("droop", LEFT): "too little",
    },
}


def _the_fault(setup, words):
    found = [fault for fault in faults_of(setup) if words in fault.words]
    assert len(found) == 1, [fault.words for fault in found]
    return found[0]


def test_all_well_looks_as_intended():
    setup = flaperon_setup()
    looks = seen(setup, setup, bench_tests(setup))
    assert {name: looks[name] for name in ALL_WELL} == ALL_WELL


@pytest.mark.parametrize("words", BY_HAND)
def test_a_fault_looks_as_worked_out_by_hand(words):
    """In the tests of one command all surfaces are told; with roll at droop those that are named."""
    setup = flaperon_setup()
    looks = _looks(setup, words)
    for test in ALL_WELL:
        told = {name: word for (where, name), word in BY_HAND[words].items() if where == test}
        if "with droop" in test:
            assert {name: looks[test][name] for name in told} == told, test
        else:
            assert looks[test] == ALL_WELL[test] | told, test


def _looks(setup, words):
    faulty = apply_faults(setup, [_the_fault(setup, words)])
    return seen(setup, faulty, bench_tests(setup))


def test_exchanged_gains_of_a_brake_mix_leave_the_flap_still():
    """A slider gives 0 to 1 only: with the gains exchanged, the side that is used has none."""
    setup = four_surface_setup()
    look = _looks(setup, "the mix brake into output 3 has its gains above and below exchanged")
    assert look["brake out"]["left flap"] == "still"
    assert look["brake out"]["right flap"] == "down"
    assert look["droop"]["left flap"] == "down"


def test_wrong_sign_of_yaw_on_one_half_of_a_v_tail():
    """Both halves then go the same way on yaw; pitch is as it should be."""
    setup = v_tail_setup()
    well = seen(setup, setup, bench_tests(setup))
    look = _looks(setup, "the mix yaw into output 3 has its gain with the wrong sign")
    assert well["nose right"]["left V-tail"] != well["nose right"]["right V-tail"]
    assert look["nose right"]["left V-tail"] == look["nose right"]["right V-tail"]
    assert look["stick back"] == well["stick back"]


def test_plugs_of_elevons_swapped():
    """Output 1 is roll - pitch, output 2 pitch + roll, mirrored servos: only pitch turns round."""
    setup = elevon_setup()
    look = _looks(setup, "the plugs of left elevon and right elevon are swapped")
    assert look["stick right"] == {"left elevon": "down", "right elevon": "up"}
    assert look["stick back"] == {"left elevon": "down", "right elevon": "down"}
