"""A dial with a mark beside it: the tests stop there, and a model that is right is never called faulty."""

import numpy as np
import pytest
from fault_helpers import follow, seen

from mixlib.bench.card import as_markdown, bench_card
from mixlib.bench.faults import Finder, Practice
from mixlib.bench.faults.edits import apply_faults
from mixlib.bench.faults.observe import bench_tests, every_test
from mixlib.bench.fit import fit, usual_wants
from mixlib.chain import Rig, commands
from mixlib.describe import Mark, shipped
from mixlib.describe.demo import flaperon_setup, four_surface_setup


@pytest.fixture(scope="module")
def marked():
    """Flaperons on the simple radio, whose dial is stopped for droop and for reflex."""
    glider = shipped("aircraft", "orchard_two")
    return fit(glider, shipped("radio", "simple_six"), usual_wants(glider), marks=True).setup


@pytest.fixture(scope="module")
def finder(marked):
    return Finder(marked)


def looks_at_the_bench(setup, tests):
    """Which way each surface goes when the reader turns the dial to its mark and no further."""
    to_mark = {("camber", mark.side): mark.percent / 100 for mark in setup.marks}
    ends = {"droop": to_mark["camber", "above"], "reflex": -to_mark["camber", "below"]}
    sticks = {"stick right": ("roll", 1), "stick left": ("roll", -1)}
    sticks |= {"stick back": ("pitch", 1), "stick forward": ("pitch", -1)}
    sticks |= {"nose right": ("yaw", 1), "nose left": ("yaw", -1)}
    rig, found = Rig(setup), {}
    for test in tests:
        moved, _, held = test.name.partition(" with ")
        values = []
        for words in filter(None, (moved, held)):
            end = next((end for end in ends if words.startswith(end)), None)
            values.append(("camber", ends[end]) if end else sticks[words])
        start, end = commands(**dict(values[1:])), commands(**dict(values))
        throws = rig.run(end).surface - rig.run(start).surface
        for part, throw in zip(setup.aircraft.surfaces, throws, strict=True):
            ways = ("left", "right") if part.kind == "rudder" else ("down", "up")
            found[test.name, part.name] = "still" if abs(throw) < 0.5 else ways[int(throw < 0)]
    return found


def test_the_tests_stop_at_the_marks_and_say_so(marked):
    above, below = (next(m.percent for m in marked.marks if m.side == side) for side in ("above", "below"))
    tests = {test.name: test for test in bench_tests(marked)}
    droop = tests[f"droop to the mark at {above:g} %"]
    assert droop.words == f"Move the camber dial to droop, from neutral as far as the mark at {above:g} %."
    np.testing.assert_allclose(droop.end, commands(camber=above / 100))
    reflex = tests[f"reflex to the mark at {below:g} %"]
    np.testing.assert_allclose(reflex.end, commands(camber=-below / 100))
    both = tests[f"stick right with droop to the mark at {above:g} %"]
    assert both.words == (
        f"Keep droop to the mark at {above:g} % and move the roll stick right, as far as it goes."
    )
    np.testing.assert_allclose(both.start, droop.end)
    assert tests["stick right"].words == "Move the roll stick right, from neutral as far as it goes."
    assert tests["nose left"].words == "Move the yaw stick to nose left, from neutral as far as it goes."
    text = as_markdown(bench_card(marked))
    assert droop.name[0].upper() + droop.name[1:] in text  # the card has the same words


def test_no_test_goes_beyond_a_mark():
    setup = four_surface_setup().replace(
        marks=(Mark(command="brake", percent=60), Mark(command="camber", side="below", percent=25))
    )
    rows = np.array([row for test in every_test(setup) for row in (test.start, test.end)])
    roll, camber, brake = rows[:, 0], rows[:, 3], rows[:, 5]
    assert (camber.min(), camber.max(), brake.min(), brake.max()) == (-0.25, 1, 0, 0.6)
    assert (roll.min(), roll.max()) == (-1, 1)


def test_a_model_that_is_right_is_never_called_faulty(marked, finder):
    looks = looks_at_the_bench(marked, finder.tests)
    answer = finder.causes(looks)
    assert [cause.changes for cause in answer.simplest] == [0]
    for (test, surface), word in looks.items():  # nor after any single look
        assert finder.cause(0) in finder.causes({(test, surface): word}).causes


def test_a_finder_that_knows_of_no_mark_would_call_it_faulty(marked, finder):
    """At the dial's end one aileron has nothing left for the stick; at the mark both still move."""
    droop = next(test.name for test in finder.tests if test.name.startswith("stick right with droop"))
    word = looks_at_the_bench(marked, finder.tests)[droop, "left aileron"]
    blind = Finder(marked.replace(marks=()))
    assert word == "down"
    assert blind.expected(0, "stick right with droop", "left aileron") == "still"


def test_every_single_fault_is_found_with_marks(marked, finder):
    for single in finder.faults:
        actual = apply_faults(marked, [single])
        _, answer = follow(finder, seen(marked, actual, finder.tests))
        assert (single,) in [cause.faults for cause in answer.causes], single.words


def test_a_binding_linkage_binds_within_the_way_that_is_used():
    """A brake that is pulled to 60 % moves the flap less: what stops it early must stop it within that."""
    whole = four_surface_setup()
    part = whole.replace(marks=(Mark(command="brake", percent=60), Mark(command="camber", percent=10)))

    def stop_deg(setup):
        (found,) = (f for f in Finder(setup, 1).faults if "left flap binds early going down" in f.words)
        return found.edits[0].value

    assert stop_deg(part) < 0.8 * stop_deg(whole)
    rig = Rig(part)
    reach = max(rig.moves(brake=0.6)["left flap"], rig.moves(camber=0.1, roll=1)["left flap"])
    assert stop_deg(part) == pytest.approx(0.3 * reach, abs=0.06)


def test_practice_with_marks_is_found_by_the_proposed_tests(marked):
    finder = Finder(marked, most_faults=1)
    for seed in range(3):
        game = Practice(finder, seed)
        while (answer := finder.causes(game.observations)).next_test is not None:
            game.do(answer.next_test.name)
        assert game.guess(answer.causes[0].faults).right


def test_without_marks_the_dial_goes_to_its_end():
    names = {test.name: test for test in bench_tests(flaperon_setup())}
    np.testing.assert_array_equal(names["droop"].end, commands(camber=1))
