"""What each fault must look like at the bench, worked out by hand from the wiring, not by the chain.

The layout is the flaperon of the lessons: right aileron on output 1 (roll stick), left aileron on output 6
(dial), roll mixed into 6 with +100 and camber into 1 with -100, mirrored servos (common practice, no source).
So output 1 is asked for roll - camber and output 6 for camber + roll; a longer pulse lifts the right aileron
and lowers the left one.  Everything below follows from those two lines.
"""

import pytest

from mixlib.bench.faults.kinds import apply_faults, faults_of
from mixlib.bench.faults.observe import bench_tests, seen
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup

ALL_WELL = {
    "roll right": {"left aileron": "down", "right aileron": "up", "elevator": "still", "rudder": "still"},
    "roll left": {"left aileron": "up", "right aileron": "down", "elevator": "still", "rudder": "still"},
    "camber to droop": {
        "left aileron": "down",
        "right aileron": "down",
        "elevator": "still",
        "rudder": "still",
    },
    "camber to reflex": {"left aileron": "up", "right aileron": "up", "elevator": "still", "rudder": "still"},
    "pitch back": {
        "left aileron": "still",
        "right aileron": "still",
        "elevator": "up",
        "rudder": "still",
    },
    "yaw right": {
        "left aileron": "still",
        "right aileron": "still",
        "elevator": "still",
        "rudder": "right",
    },
    # Full droop leaves output 1 at -100 and output 6 at +100: each can only go back.
    "roll right at full droop": {
        "left aileron": "still",
        "right aileron": "up",
        "elevator": "still",
        "rudder": "still",
    },
    "roll left at full droop": {
        "left aileron": "up",
        "right aileron": "still",
        "elevator": "still",
        "rudder": "still",
    },
}
LEFT, RIGHT = "left aileron", "right aileron"


def _turned(surface, tests=("roll right", "roll left", "camber to droop", "camber to reflex")):
    other = {"up": "down", "down": "up"}
    return {(test, surface): other[ALL_WELL[test][surface]] for test in tests}


# Part of the fault's words -> what differs from all well.
BY_HAND = {
    "output 1 (right aileron) runs the wrong way round": _turned(RIGHT),
    "output 6 (left aileron) runs the wrong way round": _turned(LEFT),
    "nothing is assigned to output 1 (": {("roll right", RIGHT): "still", ("roll left", RIGHT): "still"},
    "nothing is assigned to output 6 (": {
        ("camber to droop", LEFT): "still",
        ("camber to reflex", LEFT): "still",
    },
    "the mix roll into output 6 is off": {("roll right", LEFT): "still", ("roll left", LEFT): "still"},
    "the mix camber into output 1 is off": {
        ("camber to droop", RIGHT): "still",
        ("camber to reflex", RIGHT): "still",
        # Nothing has used up the right aileron's way: it goes both ways while the dial is at droop.
        ("roll left at full droop", RIGHT): "down",
    },
    "the mix roll into output 6 has its gain with the wrong sign": _turned(LEFT, ("roll right", "roll left")),
    "the mix camber into output 1 has its gain with the wrong sign": _turned(
        RIGHT, ("camber to droop", "camber to reflex")
    ),
    "the mix roll into output 6 has no gain above": {("roll right", LEFT): "still"},
    "the mix roll into output 6 has no gain below": {
        ("roll left", LEFT): "still",
        ("roll left at full droop", LEFT): "still",
    },
    # camber into 1 twice, +100 and -100: they cancel, and nothing brings roll to output 6.
    "the mix roll into output 6 has its leader and follower swapped": {
        ("roll right", LEFT): "still",
        ("roll left", LEFT): "still",
        ("camber to droop", RIGHT): "still",
        ("camber to reflex", RIGHT): "still",
        ("roll left at full droop", LEFT): "still",
        ("roll left at full droop", RIGHT): "down",
    },
    # roll into 6 twice, +100 and -100: the same look.
    "the mix camber into output 1 has its leader and follower swapped": {
        ("roll right", LEFT): "still",
        ("roll left", LEFT): "still",
        ("camber to droop", RIGHT): "still",
        ("camber to reflex", RIGHT): "still",
        ("roll left at full droop", LEFT): "still",
        ("roll left at full droop", RIGHT): "down",
    },
    # The left one answers roll - camber, the right one camber + roll: only the dial works backwards.
    "the plugs of left aileron and right aileron are swapped": {
        **_turned(LEFT, ("camber to droop", "camber to reflex")),
        **_turned(RIGHT, ("camber to droop", "camber to reflex")),
        ("roll right at full droop", LEFT): "down",
        ("roll right at full droop", RIGHT): "still",
        ("roll left at full droop", LEFT): "still",
        ("roll left at full droop", RIGHT): "down",
    },
    "the plugs of elevator and rudder are swapped": {
        ("pitch back", "elevator"): "still",
        ("pitch back", "rudder"): "right",
        ("yaw right", "rudder"): "still",
        ("yaw right", "elevator"): "up",
    },
    "left aileron is on output 1 together with right aileron": _turned(
        LEFT, ("camber to droop", "camber to reflex")
    ),
    "right aileron is on output 6 together with left aileron": _turned(
        RIGHT, ("camber to droop", "camber to reflex")
    ),
    "the servo of left aileron gets no signal": {
        (test, LEFT): "still" for test in ("roll right", "roll left", "camber to droop", "camber to reflex")
    },
    "the servo of right aileron is built in the other way round": _turned(RIGHT),
    "the servo of rudder is built in the other way round": {("yaw right", "rudder"): "left"},
    "the horn of left aileron stands on the wrong side": _turned(LEFT),
    "the horn of elevator stands on the wrong side": {("pitch back", "elevator"): "down"},
    # A shorter pulse lowers the right aileron: only its way down is cut.
    "the end point of output 1 (right aileron) is much too small towards the shorter pulse": {
        ("roll left", RIGHT): "too little",
        ("camber to droop", RIGHT): "too little",
    },
    "the end point of output 6 (left aileron) is much too small towards the shorter pulse": {
        ("roll left", LEFT): "too little",
        ("camber to reflex", LEFT): "too little",
    },
    "the linkage of right aileron binds early going up": {
        ("roll right", RIGHT): "too little",
        ("camber to reflex", RIGHT): "too little",
    },
    "the linkage of left aileron binds early going down": {
        ("roll right", LEFT): "too little",
        ("camber to droop", LEFT): "too little",
    },
}


def _the_fault(setup, words):
    found = [fault for fault in faults_of(setup) if words in fault.words]
    assert len(found) == 1, [fault.words for fault in found]
    return found[0]


def test_all_well_looks_as_intended():
    setup = flaperon_setup()
    for test in bench_tests(setup):
        if test.name in ALL_WELL:
            assert seen(setup, setup, test) == ALL_WELL[test.name], test.name


@pytest.mark.parametrize("words", BY_HAND)
def test_a_fault_looks_as_worked_out_by_hand(words):
    """In the tests of one command all surfaces are told; with roll at full droop those that are named."""
    setup = flaperon_setup()
    faulty = apply_faults(setup, [_the_fault(setup, words)])
    for test in bench_tests(setup):
        if test.name not in ALL_WELL:
            continue
        told = {name: word for (where, name), word in BY_HAND[words].items() if where == test.name}
        got = seen(setup, faulty, test)
        if "full droop" in test.name:
            got = {name: got[name] for name in told}
            assert got == told, test.name
        else:
            assert got == ALL_WELL[test.name] | told, test.name


def _looks(setup, words):
    faulty = apply_faults(setup, [_the_fault(setup, words)])
    return {test.name: seen(setup, faulty, test) for test in bench_tests(setup)}


def test_exchanged_gains_of_a_brake_mix_leave_the_flap_still():
    """A slider gives 0 to 1 only: with the gains exchanged, the side that is used has none."""
    setup = four_surface_setup()
    look = _looks(setup, "the mix brake into output 3 has its gains above and below exchanged")
    assert look["brake on"]["left flap"] == "still"
    assert look["brake on"]["right flap"] == "down"
    assert look["camber to droop"]["left flap"] == "down"


def test_wrong_sign_of_yaw_on_one_half_of_a_v_tail():
    """Both halves then go the same way on yaw; pitch is as it should be."""
    setup = v_tail_setup()
    well = {test.name: seen(setup, setup, test) for test in bench_tests(setup)}
    look = _looks(setup, "the mix yaw into output 3 has its gain with the wrong sign")
    assert well["yaw right"]["left V-tail"] != well["yaw right"]["right V-tail"]
    assert look["yaw right"]["left V-tail"] == look["yaw right"]["right V-tail"]
    assert look["pitch back"] == well["pitch back"]


def test_plugs_of_elevons_swapped():
    """Output 1 is roll - pitch, output 2 pitch + roll, mirrored servos: only pitch turns round."""
    setup = elevon_setup()
    look = _looks(setup, "the plugs of left elevon and right elevon are swapped")
    assert look["roll right"] == {"left elevon": "down", "right elevon": "up"}
    assert look["pitch back"] == {"left elevon": "down", "right elevon": "down"}
