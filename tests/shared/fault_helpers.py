"""What the tests of the fault finder share: one finder for each demo, and what it expects to be seen."""

from functools import cache

import pytest

from mixlib.bench.faults import Finder
from mixlib.bench.faults.observe import codes, moved_deg, words_for
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup

DEMOS = {
    "flaperons": flaperon_setup,
    "four": four_surface_setup,
    "v-tail": v_tail_setup,
    "elevons": elevon_setup,
}
each_demo = pytest.mark.parametrize("demo", DEMOS)


@cache
def finder_of(demo, most_faults=2):
    """One finder for all tests of a demo."""
    return Finder(DEMOS[demo](), most_faults)


def seen(intended, actual, tests):
    """What is seen of each surface in each test, through the whole chain: name of the test to words."""
    found = codes(moved_deg(actual, tests), moved_deg(intended, tests)).tolist()
    surfaces = intended.aircraft.surfaces
    return {
        test.name: {part.name: words_for(part)[code] for part, code in zip(surfaces, row, strict=True)}
        for test, row in zip(tests, found, strict=True)
    }


@cache
def answer_to(finder, observations):
    """The finder's answer; many faults share what is seen in the first tests."""
    return finder.causes(dict(observations))


def follow(finder, looks):
    """Do the proposed tests until none can tell more: the tests done, in their order, and the last answer.

    What is seen is given by test and surface, as `seen` has it.
    """
    done, observations = [], {}
    while (answer := answer_to(finder, tuple(observations.items()))).next_test is not None:
        done.append(answer.next_test)
        name = done[-1].name
        observations.update({(name, surface): word for surface, word in looks[name].items()})
    return done, answer


@cache
def expected(finder, place):
    """All that the finder expects to be seen with a cause."""
    names = finder.setup.aircraft.surface_names
    return {
        (test.name, name): finder.expected(place, test.name, name) for test in finder.tests for name in names
    }


def fault(finder, kind, mentioned):
    """The one fault of a kind whose words say something."""
    found = [f for f in finder.faults if f.kind == kind and mentioned in f.words]
    assert len(found) == 1, [f.words for f in found]
    return found[0]
