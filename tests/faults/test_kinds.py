"""Kinds of faults by hand, their looks through the chain, and every true cause found by its tests."""

from itertools import combinations

import numpy as np
import pytest
from description_strategies import setups
from fault_helpers import DEMOS, each_demo, expected, fault, finder_of, follow, seen
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from mixlib.bench.faults import Finder
from mixlib.bench.faults.edits import apply_faults
from mixlib.bench.faults.kinds import KINDS, faults_of
from mixlib.bench.faults.observe import STILL_DEG, TOO_LITTLE_SHARE, bench_tests, codes, words_for
from mixlib.chain import LinkageError, Rig
from mixlib.chain.mixing import MixLoopError
from mixlib.describe import FreeMix, Output, Setup, shipped
from mixlib.describe.demo import flaperon_setup


def word_by_hand(surface, moved, meant):
    """What is seen, written out without arrays and from the sentences beside the two limits."""
    if abs(moved) < 0.5:
        return "still"
    if moved * meant > 0 and abs(meant) >= 0.5 and abs(moved) < 0.6 * abs(meant):
        return "too little"
    if surface.kind == "rudder":
        return "left" if moved > 0 else "right"
    return "down" if moved > 0 else "up"


def looks_by_rig(intended, actual, tests):
    """All that is seen in all tests, through the whole chain."""
    starts, ends = (np.array([getattr(test, end) for test in tests]) for end in ("start", "end"))
    movements = [rig.run(ends).surface - rig.run(starts).surface for rig in (Rig(actual), Rig(intended))]
    return {
        (test.name, surface.name): word_by_hand(surface, moved, meant)
        for test, *rows in zip(tests, *movements, strict=True)
        for surface, moved, meant in zip(intended.aircraft.surfaces, *rows, strict=True)
    }


@each_demo
def test_a_model_as_intended_answers_the_stick_as_handbooks_say(demo):
    # Stick to the right: right aileron up, left aileron down.  Stick back: elevator up.  Federal Aviation
    # Administration, Pilot's Handbook of Aeronautical Knowledge, chapter 6, from memory.
    finder = finder_of(demo)
    for surface in finder.setup.aircraft.surfaces:
        if surface.kind in ("aileron", "elevon"):
            way = "up" if surface.side == "right" else "down"
            assert finder.expected(0, "stick right", surface.name) == way
        if surface.kind in ("elevator", "elevon", "v-tail"):
            assert finder.expected(0, "stick back", surface.name) == "up"
        if surface.kind == "rudder":
            assert finder.expected(0, "nose right", surface.name) == "right"


LEFT, RIGHT = "left aileron", "right aileron"
HAND = [
    # Kind, words it mentions, {(test, surface): what is seen}: worked out on paper from the flaperon set-up.
    ("output reversed", "output 1 ", {("stick right", RIGHT): "down", ("droop", RIGHT): "up"}),
    ("control not assigned", "output 6", {("droop", LEFT): "still", ("stick right", LEFT): "down"}),
    ("gain sign", "camber into output 1", {("droop", RIGHT): "up", ("stick right", RIGHT): "up"}),
    ("gain side missing", "output 1 has no gain below", {("droop", RIGHT): "down"}),
    ("gain side missing", "output 1 has no gain below", {("reflex", RIGHT): "still"}),
    ("mix off", "roll into output 6", {("stick right", LEFT): "still", ("droop", LEFT): "down"}),
    # The mix becomes a second camber into output 1, which takes away what the first one gives.
    ("leader and follower swapped", "mix roll into output 6 has", {("stick right", LEFT): "still"}),
    ("leader and follower swapped", "mix roll into output 6 has", {("droop", RIGHT): "still"}),
    ("plugs swapped", "elevator and rudder", {("stick back", "elevator"): "still"}),
    ("Y-lead still in", "left aileron is on output 1", {("reflex", RIGHT): "up"}),
    (
        "servo dead or unplugged",
        "rudder",
        {("nose left", "rudder"): "still"},
    ),
    ("servo the other way round", LEFT, {("stick right", LEFT): "up", ("droop", LEFT): "up"}),
    ("horn on the wrong side", "elevator", {("stick back", "elevator"): "down"}),
    ("horn on the wrong side", "elevator", {("stick forward", "elevator"): "up"}),
    ("end point too small", "(rudder) is much too small on both", {("nose right", "rudder"): "too little"}),
    ("linkage binds early", "elevator binds early going up", {("stick back", "elevator"): "too little"}),
    ("linkage binds early", "elevator binds early going up", {("stick forward", "elevator"): "down"}),
]


@pytest.mark.parametrize(
    ("kind", "mentioned", "looks"), HAND, ids=lambda value: value if isinstance(value, str) else ""
)
def test_each_kind_of_fault_by_hand(kind, mentioned, looks):
    finder = finder_of("flaperons")
    place = finder.place([fault(finder, kind, mentioned)])
    assert {key: finder.expected(place, *key) for key in looks} == looks


def test_y_lead_makes_both_ailerons_follow_one_output():
    # Servos built in as mirror images on one output: the same pulse moves one up, the other down.
    finder = finder_of("flaperons")
    wrong = apply_faults(finder.setup, [fault(finder, "Y-lead still in", "left aileron is on output 1")])
    assert [surface.name for surface in wrong.surfaces_on(1)] == ["left aileron", "right aileron"]
    looks = seen(finder.setup, wrong, [finder.test("droop")])["droop"]
    assert looks["left aileron"] != looks["right aileron"]


def test_every_kind_is_made_by_some_demo():
    made = {f.kind for demo in DEMOS for f in finder_of(demo).faults}
    assert made == set(KINDS)


def test_only_possible_faults_are_made():
    # A radio with one gain for both sides cannot have one side missing or the sides exchanged.
    radio = shipped("radio", "simple_six").replace(gain_sides_differ=False)
    kinds = {f.kind for f in faults_of(flaperon_setup().replace(radio=radio))}
    assert not kinds & {"gain side missing", "gain sides exchanged"}
    assert "gain sign" in kinds


@each_demo
def test_faults_differ_and_say_what_to_change(demo):
    faults = finder_of(demo).faults
    setup = DEMOS[demo]()
    assert len({(f.kind, f.words) for f in faults}) == len(faults)
    assert all(f.change and apply_faults(setup, [f]) != setup for f in faults)


def test_limits_of_the_words():
    meant = np.array([10.0, 10.0, 10.0, 10.0, -10.0, 0.0, 0.0])
    moved = np.array([0.49, 0.51, 5.99, 6.01, 3.0, 0.6, -0.6])
    words = words_for(flaperon_setup().aircraft.surface("elevator"))
    expected_words = ["still", "too little", "too little", "down", "down", "down", "up"]
    assert [words[code] for code in codes(moved, meant)] == expected_words
    assert (STILL_DEG, TOO_LITTLE_SHARE) == (0.5, 0.6)


@each_demo
def test_looks_of_every_single_fault_through_the_chain(demo):
    finder = finder_of(demo)
    for single in finder.faults:
        actual = apply_faults(finder.setup, [single])
        place = finder.place([single])
        assert expected(finder, place) == looks_by_rig(finder.setup, actual, finder.tests), single.words


@each_demo
def test_looks_of_pairs_through_the_chain(demo):
    finder = finder_of(demo)
    doubles = np.flatnonzero(finder.changes == 2)
    for place in np.random.default_rng(7).choice(doubles, min(150, len(doubles)), replace=False):
        actual = apply_faults(finder.setup, finder.cause(place).faults)
        assert expected(finder, place) == looks_by_rig(finder.setup, actual, finder.tests)


def test_all_pairs_at_different_places_are_looked_for():
    finder = finder_of("flaperons")
    pairs = [p for p in combinations(finder.faults, 2) if not p[0].places & p[1].places]
    assert np.sum(finder.changes == 2) == len(pairs)
    for pair in pairs[::10]:  # each is valid, though the finder does not check it again
        Setup.model_validate(apply_faults(finder.setup, pair).model_dump())


def test_outputs_that_lead_outputs():
    # Orders of mixes matter here, so a fault on one output shows on another.
    radio = shipped("radio", "simple_six").replace(mix_takes="output")
    mixes = (
        FreeMix(leader=1, follower=6, gain_above_percent=80, gain_below_percent=80),
        FreeMix(leader=6, follower=2, gain_above_percent=40, gain_below_percent=20),
    )
    outputs = (
        Output(number=1, control="roll"),
        Output(number=2, control="pitch"),
        Output(number=4, control="yaw"),
    )
    finder = Finder(flaperon_setup().replace(radio=radio, free_mixes=mixes, outputs=outputs))
    for place in range(0, len(finder.changes), 7):
        actual = apply_faults(finder.setup, finder.cause(place).faults)
        assert expected(finder, place) == looks_by_rig(finder.setup, actual, finder.tests)


@settings(max_examples=15, suppress_health_check=list(HealthCheck))
@given(setup=setups(), data=st.data())
def test_any_setup(setup, data):
    try:
        assume(bench_tests(setup))
    except (LinkageError, MixLoopError):
        assume(False)
    finder = Finder(setup, most_faults=1)
    place = data.draw(st.integers(0, len(finder.changes) - 1))
    actual = apply_faults(setup, finder.cause(place).faults)
    assert expected(finder, place) == looks_by_rig(setup, actual, finder.tests)
    _, answer = follow(finder, seen(setup, actual, finder.tests))
    assert finder.cause(place) in answer.causes


def found_and_narrowed(finder, place):
    """Follow the tests on one hidden cause; number of tests done."""
    hidden = finder.cause(place)
    actual = apply_faults(finder.setup, hidden.faults)
    done, answer = follow(finder, seen(finder.setup, actual, finder.tests))
    assert hidden in answer.causes
    looks = expected(finder, place)
    for cause in answer.causes:  # no bench test of the set-up tells any of them from the true one
        assert expected(finder, finder.place(cause.faults)) == looks
    assert [cause.changes for cause in answer.causes] == sorted(cause.changes for cause in answer.causes)
    return len(done)


@pytest.mark.parametrize(
    ("demo", "most_faults"),
    [
        *((demo, most) for demo in DEMOS for most in (1, 2) if (demo, most) != ("four", 2)),
        pytest.param("four", 2, marks=pytest.mark.slow),
    ],
)
def test_every_single_fault_is_found_and_narrowed(demo, most_faults):
    finder = finder_of(demo, most_faults)
    needed = finder.tests_needed
    for place in np.flatnonzero(finder.changes < 2):
        assert found_and_narrowed(finder, place) == needed[place] <= len(finder.tests)


@each_demo
def test_double_faults_are_found_and_narrowed(demo):
    finder = finder_of(demo)
    needed = finder.tests_needed
    doubles = np.flatnonzero(finder.changes == 2)
    for place in np.random.default_rng(11).choice(doubles, 60, replace=False):
        assert found_and_narrowed(finder, place) == needed[place] <= len(finder.tests)


def test_answer_names_the_three_ways_to_turn_a_surface_round():
    finder = finder_of("flaperons", 1)
    single = fault(finder, "output reversed", "output 1 ")
    actual = apply_faults(finder.setup, [single])
    _, answer = follow(finder, seen(finder.setup, actual, finder.tests))
    kinds = [cause.faults[0].kind for cause in answer.causes]
    assert kinds == [
        "output reversed",
        "servo the other way round",
        "horn on the wrong side",
    ]
    assert "No bench test tells these apart" in answer.words


def test_every_pair_of_faults_on_the_flaperons_is_narrowed():
    # Equal looks take the same way, so one cause of each class stands for all of them.  What is seen is read
    # from the finder here; other tests work it out through the chain.
    finder = finder_of("flaperons")
    classes = {}
    for place in range(len(finder.changes)):
        classes.setdefault(tuple(expected(finder, place).values()), []).append(place)
    for members in classes.values():
        assert {finder.place(cause.faults) for cause in finder.alike(finder.cause(members[0]).faults)} == set(
            members
        )
        looks = {}
        for (test, surface), word in expected(finder, members[0]).items():
            looks.setdefault(test, {})[surface] = word
        _, answer = follow(finder, looks)
        assert {finder.place(cause.faults) for cause in answer.causes} == set(members)
