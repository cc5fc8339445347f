"""Speed of the whole chain, beside the bare matrix product on the same arrays and one single command.

Run it: ``python tests/bench/bench_chain.py``.  It prints medians and ratios and asserts nothing.  Times are
processor times of this process, so that other work on the machine counts little.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import numpy as np

from mixlib.chain import Rig, commands
from mixlib.chain.mixing import gain_tables
from mixlib.describe.demo import flaperon_setup, four_surface_setup

SAMPLES = 1_000_000


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
    """Print one line for each demo set-up."""
    generator = np.random.default_rng(1)
    many = generator.uniform(-1, 1, (SAMPLES, 6))
    many[:, 4:] = np.abs(many[:, 4:])
    one = commands(roll=0.5, camber=0.3)
    for demo in (flaperon_setup, four_surface_setup):
        setup = demo()
        rig, above = Rig(setup), gain_tables(setup)[0]
        product = median_s(lambda table=above: many @ table, 9)
        chain = median_s(lambda rig=rig: rig.run(many), 5)
        single = median_s(lambda rig=rig: [rig.run(one) for _ in range(500)], 5) / 500
        build = median_s(lambda setup=setup: [Rig(setup) for _ in range(100)], 5) / 100
        print(
            f"{setup.name}: {SAMPLES} commands through all stages of {len(rig.surface_names)} surfaces "
            f"{chain:.3f} s, matrix product {product:.4f} s, ratio {chain / product:.0f}; "
            f"one command {1e3 * single:.3f} ms; a new rig {1e3 * build:.3f} ms"
        )


if __name__ == "__main__":
    main()
