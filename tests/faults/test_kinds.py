"""Kinds of faults by hand, their looks through the chain, and every true cause found by its tests."""

from itertools import combinations

import numpy as np
import pytest
from description_strategies import setups
from fault_helpers import DEMOS, each_demo, expected, fault, finder_of
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from mixlib.bench.faults.edits import apply_faults
from mixlib.bench.faults.finder import Finder
from mixlib.bench.faults.kinds import KINDS, faults_of
from mixlib.bench.faults.observe import STILL_DEG, TOO_LITTLE_SHARE, bench_tests, codes, seen, words_for
from mixlib.chain import LinkageError, Rig
from mixlib.chain.mixing import MixLoopError
from mixlib.describe import FreeMix, Output, shipped
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
    """All that is seen in all tests, one command row at a time through the chain."""
    good, bad = Rig(intended), Rig(actual)
    found = {}
    for test in tests:
        movements = [
            rig.run(np.array(test.end)).surface - rig.run(np.array(test.start)).surface for rig in (bad, good)
        ]
        for surface, moved, meant in zip(intended.aircraft.surfaces, *movements, strict=True):
            found[test.name, surface.name] = word_by_hand(surface, moved, meant)
    return found


@each_demo
def test_a_model_as_intended_answers_the_stick_as_handbooks_say(demo):
    # Stick to the right: right aileron up, left aileron down.  Stick back: elevator up.  Federal Aviation
    # Administration, Pilot's Handbook of Aeronautical Knowledge, chapter 6, from memory.
    finder = finder_of(demo)
    for surface in finder.setup.aircraft.surfaces:
        if surface.kind in ("aileron", "elevon"):
            way = "up" if surface.side == "right" else "down"
            assert finder.expected(0, "roll right", surface.name) == way
        if surface.kind in ("elevator", "elevon", "v-tail"):
            assert finder.expected(0, "pitch back", surface.name) == "up"
        if surface.kind == "rudder":
            assert finder.expected(0, "yaw right", surface.name) == "right"


LEFT, RIGHT = "left aileron", "right aileron"
HAND = [
    # Kind, words it mentions, {(test, surface): what is seen}: worked out on paper from the flaperon set-up.
    ("output reversed", "output 1 ", {("roll right", RIGHT): "down", ("camber to droop", RIGHT): "up"}),
    ("control not assigned", "output 6", {("camber to droop", LEFT): "still", ("roll right", LEFT): "down"}),
    ("gain sign", "camber into output 1", {("camber to droop", RIGHT): "up", ("roll right", RIGHT): "up"}),
    ("gain side missing", "output 1 has no gain below", {("camber to droop", RIGHT): "down"}),
    ("gain side missing", "output 1 has no gain below", {("camber to reflex", RIGHT): "still"}),
    ("mix off", "roll into output 6", {("roll right", LEFT): "still", ("camber to droop", LEFT): "down"}),
    # The mix becomes a second camber into output 1, which takes away what the first one gives.
    ("leader and follower swapped", "mix roll into output 6 has", {("roll right", LEFT): "still"}),
    ("leader and follower swapped", "mix roll into output 6 has", {("camber to droop", RIGHT): "still"}),
    ("plugs swapped", "elevator and rudder", {("pitch back", "elevator"): "still"}),
    ("Y-lead still in", "left aileron is on output 1", {("camber to reflex", RIGHT): "up"}),
    (
        "servo dead or unplugged",
        "rudder",
        {("yaw left", "rudder"): "still"},
    ),
    ("servo the other way round", LEFT, {("roll right", LEFT): "up", ("camber to droop", LEFT): "up"}),
    ("horn on the wrong side", "elevator", {("pitch back", "elevator"): "down"}),
    ("horn on the wrong side", "elevator", {("pitch forward", "elevator"): "up"}),
    ("end point too small", "(rudder) is much too small on both", {("yaw right", "rudder"): "too little"}),
    ("linkage binds early", "elevator binds early going up", {("pitch back", "elevator"): "too little"}),
    ("linkage binds early", "elevator binds early going up", {("pitch forward", "elevator"): "down"}),
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
    looks = seen(finder.setup, wrong, finder.test("camber to droop"))
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
    assert len({f.key for f in faults}) == len(faults)
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
    doubles = np.flatnonzero(finder.changes() == 2)
    for place in np.random.default_rng(7).choice(doubles, 150, replace=False):
        actual = apply_faults(finder.setup, finder.cause(place).faults)
        assert expected(finder, place) == looks_by_rig(finder.setup, actual, finder.tests)


def test_all_pairs_at_different_places_are_looked_for():
    finder = finder_of("flaperons")
    pairs = [p for p in combinations(finder.faults, 2) if not p[0].places & p[1].places]
    assert np.sum(finder.changes() == 2) == len(pairs)
    for pair in pairs:  # each is valid, though the finder does not check it again
        apply_faults(finder.setup, pair)


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
    for place in range(0, len(finder.changes()), 7):
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
    place = data.draw(st.integers(0, len(finder.changes()) - 1))
    actual = apply_faults(setup, finder.cause(place).faults)
    assert expected(finder, place) == looks_by_rig(setup, actual, finder.tests)
    _, answer = finder.follow(actual)
    assert finder.cause(place) in answer.causes


def found_and_narrowed(finder, place):
    """Follow the tests on one hidden cause; number of tests done."""
    hidden = finder.cause(place)
    done, answer = finder.follow(apply_faults(finder.setup, hidden.faults))
    assert hidden in answer.causes
    assert answer.next_test is None
    looks = expected(finder, place)
    for cause in answer.causes:  # no bench test of the set-up tells any of them from the true one
        assert expected(finder, finder.place(cause.faults)) == looks
    assert answer.told_apart == (len(answer.causes) == 1)
    assert [cause.changes for cause in answer.causes] == sorted(cause.changes for cause in answer.causes)
    return len(done)


@each_demo
@pytest.mark.parametrize("most_faults", [1, 2])
def test_every_single_fault_is_found_and_narrowed(demo, most_faults):
    finder = finder_of(demo, most_faults)
    needed = finder.tests_needed()
    for place in np.flatnonzero(finder.changes() < 2):
        assert found_and_narrowed(finder, place) == needed[place] <= len(finder.tests)


@each_demo
def test_double_faults_are_found_and_narrowed(demo):
    finder = finder_of(demo)
    needed = finder.tests_needed()
    doubles = np.flatnonzero(finder.changes() == 2)
    for place in np.random.default_rng(11).choice(doubles, 60, replace=False):
        assert found_and_narrowed(finder, place) == needed[place] <= len(finder.tests)


def test_answer_names_the_three_ways_to_turn_a_surface_round():
    finder = finder_of("flaperons", 1)
    single = fault(finder, "output reversed", "output 1 ")
    _, answer = finder.follow(apply_faults(finder.setup, [single]))
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
    for place in range(len(finder.changes())):
        classes.setdefault(tuple(expected(finder, place).values()), []).append(place)
    assert len(classes) == finder.class_counts()[1]
    for members in classes.values():
        observations, looks = {}, expected(finder, members[0])
        while (answer := finder.causes(observations)).next_test is not None:
            observations.update({key: word for key, word in looks.items() if key[0] == answer.next_test.name})
        assert {finder.place(cause.faults) for cause in answer.causes} == set(members)
