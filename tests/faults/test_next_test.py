"""Which test comes next, what to look at, tests with a control held, both ends, and doubtful looks."""

from itertools import product

import numpy as np
import pytest
from fault_helpers import DEMOS, each_demo, expected, fault, finder_of
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import entropy

from mixlib.bench.faults.edits import apply_faults
from mixlib.bench.faults.finder import Finder
from mixlib.bench.faults.next_test import best_test, expected_bits, telling_surfaces
from mixlib.bench.faults.observe import HARD_TO_JUDGE, STILL_DEG, TOO_LITTLE_SHARE, both_ends, readings
from mixlib.chain import Rig
from mixlib.describe.words import command_end
from mixlib.units import COMMANDS


def codes_and_weights():
    """Looks of up to 12 causes on up to 4 surfaces, and a weight for each cause."""

    def of(shape):
        causes, surfaces = shape
        looks = st.lists(
            st.lists(st.integers(0, 3), min_size=causes, max_size=causes),
            min_size=surfaces,
            max_size=surfaces,
        )
        weights = st.lists(st.floats(0.01, 1), min_size=causes, max_size=causes)
        return st.tuples(looks, weights)

    return st.tuples(st.integers(1, 12), st.integers(1, 4)).flatmap(of)


def joint_bits(codes, weights, surfaces):
    # Reference: scipy.stats.entropy of the joint outcomes, collected in a dictionary.
    totals = {}
    for column, weight in zip(codes.T, weights, strict=True):
        key = tuple(column[surface] for surface in surfaces)
        totals[key] = totals.get(key, 0) + weight
    return entropy(list(totals.values()), base=2)


@given(codes_and_weights())
def test_surfaces_to_look_at_tell_as_much_as_all(case):
    codes, weights = np.array(case[0], dtype=np.int8), np.array(case[1]) / sum(case[1])
    chosen = telling_surfaces(codes, weights)
    everything = range(len(codes))
    assert joint_bits(codes, weights, chosen) == pytest.approx(joint_bits(codes, weights, everything))
    assert len(set(chosen)) == len(chosen)
    for count in range(len(chosen)):  # each one adds something to those before it
        before, after = (joint_bits(codes, weights, chosen[:n]) for n in (count, count + 1))
        assert after > before


@given(codes_and_weights())
def test_expected_bits_is_the_entropy(case):
    codes, weights = np.array(case[0]), np.array(case[1]) / sum(case[1])
    for surface in range(len(codes)):
        assert expected_bits(codes[surface], weights) == pytest.approx(joint_bits(codes, weights, [surface]))


def test_best_test_by_hand():
    # Four equal causes: the first test sets one apart (0.811 bits), the second halves them (1 bit).
    outcomes = np.array([[0, 0, 0, 1], [0, 0, 1, 1], [1, 1, 1, 1]])
    weights = np.full(4, 0.25)
    assert best_test(outcomes, weights) == 1
    assert best_test(outcomes, weights, {1}) == 0
    assert best_test(outcomes, weights, {0, 1}) is None  # the third tells nothing


def rows_of_two_controls(setup):
    """Every control alone, and every two with one held at an end; throttle apart."""
    ends = {}
    for command in set(setup.radio.commands) - {"throttle"}:
        unit = np.eye(len(COMMANDS))[COMMANDS.index(command)]
        ends[command] = [unit] if command == "brake" else [unit, -unit]
    for one in ends:
        yield from ((np.zeros(len(COMMANDS)), end) for end in ends[one])
        for other in set(ends) - {one}:
            yield from ((held, held + moved) for held, moved in product(ends[one], ends[other]))


def words_of_rows(intended, actual, rows):
    """Words for all surfaces, through the chain, with the limits written out here."""
    starts, ends = (np.array(part) for part in zip(*rows, strict=True))
    meant, moved = (
        Rig(setup).run(ends).surface - Rig(setup).run(starts).surface for setup in (intended, actual)
    )
    size = np.abs(moved)
    short = (np.abs(meant) >= 0.5) & (moved * meant > 0) & (size < 0.6 * np.abs(meant))
    return np.where(size < 0.5, 0, np.where(short, 9, np.sign(moved))).astype(int)


@each_demo
def test_no_other_test_tells_single_faults_of_one_look_apart(demo):
    """Where no bench test is said to tell two single faults apart, none with one or two controls does."""
    finder = finder_of(demo, 1)
    rows = list(rows_of_two_controls(finder.setup))
    words = {}
    for cause in map(finder.cause, range(len(finder.changes))):
        words[cause] = words_of_rows(finder.setup, apply_faults(finder.setup, cause.faults), rows)
    for cause, looks in words.items():
        for other in finder.alike(cause.faults):
            np.testing.assert_array_equal(looks, words[other], err_msg=f"{cause.words} / {other.words}")


def test_four_surfaces_need_a_held_control_to_tell_an_end_point_from_a_binding_linkage():
    finder = finder_of("four", 1)
    end = fault(finder, "end point too small", "output 5 (elevator) is much too small towards the longer")
    binds = fault(finder, "linkage binds early", "elevator binds early going up")
    looks = [expected(finder, finder.place([single])) for single in (end, binds)]
    differ = {test for test, surface in looks[0] if looks[0][test, surface] != looks[1][test, surface]}
    assert differ
    assert all(any(finder.test(name).start) for name in differ)


@each_demo
def test_held_tests_leave_the_throttle_and_say_what_is_held(demo):
    finder = finder_of(demo)
    assert len({test.name for test in finder.tests}) == len(finder.tests)
    throttle = COMMANDS.index("throttle")
    for test in finder.tests:
        assert test.start[throttle] == test.end[throttle] == 0
        assert all(-1 <= value <= 1 for value in (*test.start, *test.end))
        changed = [name for name, a, b in zip(COMMANDS, test.start, test.end, strict=True) if a != b]
        assert len(changed) == 1  # one movement at a time
        assert changed[0] in test.words
        if any(test.start):
            (held,) = (
                (name, value) for name, value in zip(COMMANDS, test.start.tolist(), strict=True) if value
            )
            assert command_end(*held) in test.words


def test_wrong_control_by_hand():
    # Output 6 has nothing but its control: the rudder leaves the yaw stick and follows the pitch stick.
    finder = finder_of("four", 1)
    single = fault(finder, "wrong control assigned", "output 6 (rudder) has the pitch control instead of yaw")
    place = finder.place([single])
    assert finder.expected(place, "nose right", "rudder") == "still"
    assert finder.expected(place, "stick back", "rudder") in ("left", "right")
    assert single.change == "assign the yaw control to output 6 instead of pitch"
    assert not [f for f in finder.faults if "throttle" in f.words]  # no test could need the motor


def test_wrong_control_only_where_the_radio_can_assign_it():
    # Each stick of this radio drives one output only, the dial the last two.
    assert not [f for f in finder_of("flaperons").faults if f.kind == "wrong control assigned"]


@each_demo
def test_one_way_only_is_the_two_ends_together(demo):
    """The word for both ends leaves exactly the causes with movement at one end and none at the other."""
    finder = finder_of(demo)
    ends = both_ends(finder.tests)
    assert "roll" in ends
    assert "brake" not in ends
    for command, places in ends.items():
        names = [finder.tests[place].name for place in places]
        for surface in finder.setup.aircraft.surface_names:
            sizes = 0
            for count, word in enumerate(("still", "one way only", "both ways")):
                answer = finder.causes({(command, surface): word})
                sizes += len(answer.causes)
                for cause in answer.causes[:: max(1, len(answer.causes) // 20)]:
                    place = finder.place(cause.faults)
                    moving = [finder.expected(place, name, surface) != "still" for name in names]
                    assert sum(moving) == count
            assert sizes == len(finder.changes)


def test_one_way_only_finds_a_missing_side():
    finder = finder_of("elevons", 1)
    answer = finder.causes({("roll", "right elevon"): "one way only"})
    assert answer.causes
    assert all(cause.faults[0].kind == "gain side missing" for cause in answer.causes)


@pytest.mark.parametrize(
    ("observations", "parts"),
    [
        (
            {("roll", "rudder"): "still", ("stick right", "rudder"): "left"},
            ["Rudder moves 'still' with roll", "left in the test 'stick right'", "accepted: "],
        ),
        (
            {
                ("yaw", "rudder"): "one way only",
                ("nose right", "rudder"): "right",
                ("nose left", "rudder"): "left",
            },
            ["'one way only' with yaw", "right in the test 'nose right' and left in the test 'nose left'"],
        ),
        ({("yaw", "rudder"): "both ways", ("nose left", "rudder"): "still"}, ["'both ways' with yaw"]),
        ({("yaw", "rudder"): "left"}, ["'left'", "accepted: still, one way only, both ways"]),
        ({("nose right", "rudder"): "one way only"}, ["'one way only'", "still, left, right, too little"]),
        ({("brake", "rudder"): "still"}, ["'brake'", "for both ends together: roll, pitch, yaw, camber"]),
    ],
)
def test_contradictions_and_wrong_words_get_a_sentence(observations, parts):
    with pytest.raises(ValueError) as caught:
        finder_of("flaperons").causes(observations)
    assert all(part in str(caught.value) for part in parts)


def test_words_that_agree_are_accepted():
    finder = finder_of("flaperons")
    answer = finder.causes({("yaw", "rudder"): "one way only", ("nose left", "rudder"): "still"})
    same = finder.causes({("nose right", "rudder"): "right", ("nose left", "rudder"): "still"})
    assert set(same.causes) <= set(answer.causes)


def test_nothing_fits_with_both_ends_asks_for_one_of_their_tests():
    finder = finder_of("flaperons", 1)
    observations = {(test, s): w for (test, s), w in expected(finder, 0).items() if test != "stick right"}
    answer = finder.causes(observations | {("roll", "rudder"): "one way only"})
    assert answer.next_test.name == "stick right"
    assert answer.look_at == ("rudder",)


def test_limits_of_what_is_hard_to_judge():
    assert HARD_TO_JUDGE[0] < (STILL_DEG, TOO_LITTLE_SHARE) < HARD_TO_JUDGE[1]
    still, down, up, short = 1, 2, 4, 8
    moved = np.array([0.29, 0.4, 0.7, 0.81, 4.9, 5.1, 6.9, 7.1, -0.6, -2.0])
    meant = np.array([0.00, 0.0, 0.0, 0.00, 10.0, 10.0, 10.0, 10.0, 0.0, -10.0])
    hand = [
        still,
        still | down,
        still | down,
        down,
        short,
        short | down,
        short | down,
        down,
        still | up,
        short,
    ]
    assert readings(moved, meant).tolist() == hand


def test_a_look_that_is_hard_to_judge_still_leads_to_its_cause():
    """Exchanged gains leave 65 % of the aileron's way: an eye that calls it too little must not be misled."""
    finder = finder_of("four", 1)
    setup = finder.setup
    single = fault(finder, "gain sides exchanged", "roll control of output 1 (left aileron)")
    actual = apply_faults(setup, [single])
    part = [Rig(which).moves(roll=-1)["left aileron"] for which in (actual, setup)]
    assert part[0] / part[1] == pytest.approx(45 / 70, abs=0.03)  # the gains, through a nearly even linkage
    strict = expected(finder, finder.place([single]))
    assert strict["stick left", "left aileron"] == "up"
    answer = finder.causes(strict | {("stick left", "left aileron"): "too little"})
    assert answer.causes == ()
    assert finder.cause(finder.place([single])) in answer.nearly
    assert "hard to judge" in answer.words


@each_demo
def test_nearly_fits_never_hides_what_fits(demo):
    finder = finder_of(demo)
    for place in np.random.default_rng(3).integers(0, len(finder.changes), 40):
        looks = expected(finder, place)
        answer = finder.causes(looks)
        assert set(answer.causes) == set(finder.alike(finder.cause(place).faults))
        assert all(cause.changes < answer.causes[0].changes for cause in answer.nearly)
        assert answer.next_test is None  # everything was looked at


@pytest.mark.parametrize("demo", DEMOS)
def test_looking_only_where_told_finds_the_cause_too(demo):
    """Each next test is done with eyes on the named surfaces only."""
    finder = finder_of(demo, 1)
    for place in range(0, len(finder.changes), 5):
        looks, observations = expected(finder, place), {}
        while (answer := finder.causes(observations)).next_test is not None:
            name, known = answer.next_test.name, len(observations)
            observations.update({(name, surface): looks[name, surface] for surface in answer.look_at})
            assert len(observations) > known  # a test may come again, but for another surface
        assert finder.cause(place) in answer.causes
        assert set(answer.causes) == set(finder.alike(finder.cause(place).faults))


def test_finder_of_a_changed_setup_is_its_own():
    one = finder_of("flaperons", 1)
    other = Finder(one.setup.with_output(1, reversed=True), 1)
    assert one.expected(0, "stick right", "right aileron") == "up"
    assert other.expected(0, "stick right", "right aileron") == "down"
