"""Time and size of the search of a fit, and time of a budget, for every demo aircraft on every demo radio.

Run it: ``python tests/bench/bench_fit.py``.  It prints medians of processor time and asserts nothing.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from itertools import product

from mixlib.bench.fit import fit, other_holes, usual_wants
from mixlib.bench.surface.budget import budget
from mixlib.describe import shipped, shipped_names


def median_s(task: Callable[[], object], repeats: int) -> float:
    """Median processor time of a task in seconds; run once before to warm up."""
    task()
    times = []
    for _ in range(repeats):
        start = time.process_time()
        task()
        times.append(time.process_time() - start)
    return statistics.median(times)


def main() -> None:
    """Print one line for each pair."""
    for plane, sender in product(shipped_names("aircraft"), shipped_names("radio")):
        aircraft, radio = shipped("aircraft", plane), shipped("radio", sender)
        wants = usual_wants(aircraft)
        result = fit(aircraft, radio, wants)
        fitted = median_s(lambda a=aircraft, r=radio, w=wants: fit(a, r, w), 5)
        holes = median_s(lambda r=result: other_holes(r), 3)
        spent = median_s(lambda r=result: budget(r.setup), 9)
        print(
            f"{aircraft.name} on {radio.name}: {len(wants)} wants; "
            f"mixes {result.mixes_used} of {result.mixes_needed}; "
            f"largest miss {result.worst_miss_mm:.2f} mm; fit {fitted:.2f} s, "
            f"other holes {holes:.2f} s, budget {1e3 * spent:.1f} ms"
        )


if __name__ == "__main__":
    main()
