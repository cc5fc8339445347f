"""How well and how fast the fault finder works on the demo set-ups.

Run it: ``python tests/bench/bench_faults.py``.  It asserts nothing.  For each demo it prints how many faults
and pairs of faults are looked for, the share of true causes among the causes that are left after the proposed
tests, how many tests that takes (mean and most), and the median processor times of making the finder and of
one answer.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import numpy as np

from mixlib.bench.faults import Finder
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup

DOUBLES_TRIED = 100
ALL_DOUBLES_UP_TO = 2000  # a set-up with no more pairs than this has all of them tried


def median_ms(task: Callable[[], object], repeats: int) -> float:
    """Median processor time of a task in ms; run once before to warm up."""
    task()
    times = []
    for _ in range(repeats):
        start = time.process_time()
        task()
        times.append(time.process_time() - start)
    return 1e3 * statistics.median(times)


def share_found(finder: Finder, places: np.ndarray) -> float:
    """Share of causes that are in the answer after the proposed tests on a model that has them."""
    found = 0
    for place in places:
        observations: dict[tuple[str, str], str] = {}
        while (answer := finder.causes(observations)).next_test is not None:
            name = answer.next_test.name
            for surface in finder.setup.aircraft.surface_names:
                observations[name, surface] = finder.expected(place, name, surface)
        found += finder.cause(place) in answer.causes
    return found / len(places)


def rows(finder: Finder) -> list[str]:
    """Lines of the table for one finder."""
    needed, lines = finder.tests_needed, []
    for count, name in ((1, "single"), (2, "double")):
        places = tried = np.flatnonzero(finder.changes == count)
        if len(places):
            if count == 2 and len(places) > ALL_DOUBLES_UP_TO:
                tried = np.random.default_rng(1).choice(places, DOUBLES_TRIED, replace=False)
            lines.append(
                f"  {name}: {len(places):6d} faults; found {share_found(finder, tried):.0%} of {len(tried)} "
                f"tried; tests {needed[places].mean():.2f} mean, {needed[places].max()} most"
            )
    return lines


def main() -> None:
    """Print the table."""
    for make in (flaperon_setup, four_surface_setup, v_tail_setup, elevon_setup):
        setup = make()
        for most_faults in (1, 2):
            finder = Finder(setup, most_faults)
            first = {(finder.tests[0].name, name): word for name, word in _looks_right(finder).items()}
            making = median_ms(lambda known=finder, most=most_faults: Finder(known.setup, most), 3)
            empty = median_ms(lambda known=finder: known.causes({}), 9)
            later = median_ms(lambda known=finder, seen=first: known.causes(seen), 9)
            print(f"{setup.name}, looking for at most {most_faults}, {len(finder.tests)} tests")
            print("\n".join(rows(finder)))
            print(f"  finder {making:.0f} ms; answer {empty:.1f} ms before, {later:.1f} ms after one test")


def _looks_right(finder: Finder) -> dict[str, str]:
    names = finder.setup.aircraft.surface_names
    return {name: finder.expected(0, finder.tests[0].name, name) for name in names}


if __name__ == "__main__":
    main()
