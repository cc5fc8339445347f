"""The next test, bad input, answers when nothing fits, and practice with a hidden fault."""

import numpy as np
import pytest
from fault_helpers import each_demo, expected, fault, finder_of, follow
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import entropy

from mixlib.bench.faults.edits import apply_faults
from mixlib.bench.faults.finder import DOUBLES_SHARE, Finder
from mixlib.bench.faults.kinds import END_POINT_PERCENT
from mixlib.bench.faults.observe import TOO_LITTLE_SHARE
from mixlib.bench.faults.practice import Practice
from mixlib.chain import commands
from mixlib.describe import Output, plain_setup, shipped
from mixlib.describe.demo import flaperon_setup
from mixlib.units import COMMANDS


@pytest.mark.parametrize(
    ("demo", "most_faults"), [("flaperons", 2), ("elevons", 2), ("v-tail", 1), ("four", 1)]
)
def test_next_test_has_the_greatest_expected_information(demo, most_faults):
    # Reference: scipy.stats.entropy on the weights of all outcomes, counted one by one.
    finder = finder_of(demo, most_faults)
    changes = finder.changes
    doubles = max(1, np.sum(changes == 2))
    weights = np.where(changes == 2, DOUBLES_SHARE * np.sum(changes == 1) / doubles, 1.0)
    observations = {}
    for _ in range(2):
        answer = finder.causes(observations)
        left = [finder.place(cause.faults) for cause in answer.causes]
        bits = {}
        for test in finder.tests:
            totals = {}
            for place in left:
                outcome = tuple(
                    finder.expected(place, test.name, s) for s in finder.setup.aircraft.surface_names
                )
                totals[outcome] = totals.get(outcome, 0) + weights[place]
            bits[test.name] = entropy(list(totals.values()), base=2)
        assert bits[answer.next_test.name] == pytest.approx(max(bits.values()))
        name = answer.next_test.name
        observations.update({key: word for key, word in expected(finder, 0).items() if key[0] == name})


@each_demo
def test_no_test_needs_the_motor(demo):
    finder = finder_of(demo)
    throttle = COMMANDS.index("throttle")
    assert all(test.start[throttle] == test.end[throttle] == 0 for test in finder.tests)
    assert "Keep clear and only look." in finder.causes({}).words


def test_roll_at_droop_starts_at_droop():
    test = finder_of("flaperons").test("stick left with droop")
    np.testing.assert_array_equal(test.start, commands(camber=1))
    np.testing.assert_array_equal(test.end, commands(camber=1, roll=-1))


def test_surfaces_nobody_looked_at_are_left_out():
    finder = finder_of("flaperons", 1)
    answer = finder.causes({("nose right", "rudder"): "left"})
    assert {cause.faults[0].kind for cause in answer.causes} == {
        "output reversed", "servo the other way round", "horn on the wrong side"
    }  # fmt: skip
    assert answer.next_test is not None or len(answer.causes) > 1


def test_nothing_fits_blames_the_observation_that_contradicts_most():
    finder = finder_of("flaperons")
    observations = dict(expected(finder, 0))
    # No two faults move a rudder to one side only, with the roll stick only.
    observations["stick right", "rudder"] = "left"
    answer = finder.causes(observations)
    assert answer.causes == answer.simplest == ()
    assert answer.next_test.name == "stick right"
    assert answer.look_at == ("rudder",)
    assert "'stick right', rudder left" in answer.words


@pytest.mark.parametrize(
    ("key", "word", "parts"),
    [
        (("loop", "rudder"), "left", ["'loop'", "stick right", "reflex"]),
        (("stick right", "flap"), "up", ["'flap'", "left aileron", "rudder"]),
        (("stick right", "rudder"), "up", ["'up'", "still, left, right, too little"]),
        (("stick right", "elevator"), "left", ["'left'", "still, down, up, too little"]),
        ("stick right", "up", ["'stick right'", "a test and a surface"]),
        (3, "up", ["3", "a test and a surface"]),
        ((["stick right"], "elevator"), "up", ["['stick right']"]),
    ],
)
def test_unknown_words_get_a_sentence(key, word, parts):
    class Unhashable(dict):
        """Lets a list stand in a key."""

        def items(self):
            return [(key, word)]

    with pytest.raises(ValueError) as caught:
        finder_of("flaperons").causes(Unhashable(x=1))
    assert all(part in str(caught.value) for part in parts)


ANYTHING = st.one_of(
    st.text(max_size=12), st.integers(), st.none(), st.sampled_from(["stick right", "rudder", "up"])
)


@given(st.dictionaries(st.tuples(ANYTHING, ANYTHING), ANYTHING, min_size=1, max_size=3))
def test_any_input_is_answered_or_refused_in_a_sentence(observations):
    finder, sentence = finder_of("flaperons"), ""
    try:
        sentence = finder.causes(observations).words
    except ValueError as error:
        sentence = str(error)
        refused = True
    else:
        refused = False
    known = all(
        test in {t.name for t in finder.tests} and name == "rudder" and word in ("left", "still")
        for (test, name), word in observations.items()
    )
    assert refused != known
    assert ("accepted: " in sentence) == refused


@pytest.mark.parametrize("most_faults", [0, 3, True, "2"])
def test_number_of_faults_out_of_range(most_faults):
    with pytest.raises(ValueError, match="accepted: 1 or 2"):
        Finder(flaperon_setup(), most_faults)


def test_setup_without_any_movement():
    setup = plain_setup(shipped("aircraft", "orchard_two"), shipped("radio", "simple_six"), "idle")
    still = setup.replace(outputs=tuple(Output(number=output.number) for output in setup.outputs))
    with pytest.raises(ValueError, match="'idle' moves a surface"):
        Finder(still)


def test_two_faults_at_one_place_are_refused():
    finder = finder_of("flaperons")
    ends = [f for f in finder.faults if f.kind == "end point too small" and "output 1 " in f.words][:2]
    with pytest.raises(ValueError, match="end points of output 1"):
        apply_faults(finder.setup, ends)
    with pytest.raises(ValueError, match="at most 2 faults at different places"):
        finder.place(ends)
    foreign = finder_of("elevons").faults[0]
    with pytest.raises(ValueError, match="not one of this set-up"):
        finder.place([foreign])


class _Doing(dict):
    """What is seen in a test of a practice, by doing it."""

    def __init__(self, game):
        self.game = game

    def __missing__(self, name):
        return self.game.do(name)


@each_demo
def test_practice_by_the_proposed_tests_takes_as_many_as_the_finder(demo):
    finder = finder_of(demo, 1)
    for seed in range(5):
        game, again = Practice(finder, seed), Practice(finder, seed)
        assert game.hidden == again.hidden
        assert game.hidden.changes == 1
        done, answer = follow(finder, _Doing(game))
        verdict = game.guess(answer.causes[0].faults)
        assert verdict.right
        assert (
            f"You did {len(done)} test{'s' * (len(done) != 1)}; the finder needs {len(done)}."
            in verdict.words
        )
        exact = game.guess(game.hidden.faults)
        assert exact.right
        assert exact.words.startswith("Right. ")


def test_practice_draws_different_faults_that_show():
    finder = finder_of("four", 1)
    drawn = [Practice(finder, seed).hidden for seed in range(40)]
    assert len({cause.words for cause in drawn}) > 20
    blank = finder.alike([])
    assert not set(drawn) & set(blank)


def test_wrong_guess_is_told_why():
    finder = finder_of("flaperons", 1)
    seed = next(s for s in range(200) if "rudder" in Practice(finder, s).hidden.words)
    game = Practice(finder, seed)
    game.do("stick right")
    game.do("stick right")
    verdict = game.guess([fault(finder, "output reversed", "output 1 ")])
    assert not verdict.right
    assert "You did 1 test;" in verdict.words  # doing a test twice counts once
    assert "right aileron would be down in the test 'stick right', and it was up" in verdict.words
    too_early = game.guess([fault(finder, "output reversed", "output 2 ")])
    assert "another test would show the difference" in too_early.words


SWAPPED = "the plugs of left aileron and right aileron are swapped"


def test_a_fault_can_be_asked_for_and_stands_among_others_that_look_nearly_like_it():
    """By hand, two ailerons on mirrored servos: swapped plugs leave roll as it is and turn droop round on
    both; with the wrong sign of its mix only the right one is turned, with a Y-lead only the left one."""
    game = Practice(finder_of("flaperons", 1), 0, SWAPPED)
    assert game.hidden.words == SWAPPED
    words = [cause.words for cause in game.offered(4)]
    assert len(words) == 4
    assert words.count(SWAPPED) == 1
    assert "the mix camber into output 1 has its gain with the wrong sign" in words
    assert any(each.startswith("a Y-lead is still in: left aileron") for each in words)
    looks = [tuple(game.finder.alike(cause.faults)) for cause in game.offered(8)]
    assert len(set(looks)) == 8
    roll = [game.finder.expected(game.finder.place(cause.faults), "stick right", "left aileron")
            for cause in game.offered(4)]  # fmt: skip
    assert roll == ["down"] * 4
    assert Practice(finder_of("flaperons", 1), 0, "no such fault").hidden.changes == 1


def test_the_answer_names_the_cure_the_telling_look_and_what_speaks_against_the_others():
    game = Practice(finder_of("flaperons", 1), 0, SWAPPED)
    first, cure, look, *others = game.solved(game.offered(4))
    assert first == f"It is this: {SWAPPED}."
    assert cure.startswith("Put right: plug left aileron into output ")
    assert look in ("The look that tells most: droop.", "The look that tells most: reflex.")
    assert len(others) == 3
    sign = next(each for each in others if "wrong sign" in each)
    assert sign.endswith("left aileron would be down in the test 'droop', and it was up.")
    reversed_ = Practice(finder_of("flaperons", 1), 0, "output 1 (right aileron) runs the wrong way round")
    alike = next(each for each in reversed_.solved(reversed_.offered(4)) if "no test tells" in each)
    assert "the horn of right aileron stands on the wrong side" in alike  # either turns all of it round


@pytest.mark.parametrize("seed", [-1, "a", True, 1.5])
def test_practice_refuses_a_seed(seed):
    with pytest.raises(ValueError, match=r"seed is .*accepted: "):
        Practice(finder_of("flaperons"), seed)


def test_end_point_of_the_fault_is_below_the_limit_of_too_little():
    assert END_POINT_PERCENT / 100 < TOO_LITTLE_SHARE
