"""What the tests of the fault finder share: one finder for each demo, and what it expects to be seen."""

from functools import cache

import pytest

from mixlib.bench.faults.finder import Finder
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
