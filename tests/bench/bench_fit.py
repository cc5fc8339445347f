"""What is recommended for every shipped aircraft on every radio, how it flies, and what the search takes.

Run it: ``python tests/bench/bench_fit.py``.  It prints a table, asserts nothing; times are of the processor.
"""

from __future__ import annotations

import time
from itertools import product

from mixlib.bench.fit import fit, usual_wants
from mixlib.bench.fit.words import count_of_mixes
from mixlib.describe import shipped, shipped_names

HEAD = "| aircraft | radio | recommended | asymmetry, mm | roll left | miss, mm | ways | s |"


def main() -> None:
    """Print one line for each pair; roll left is at droop, at reflex, with the brake out."""
    simple = shipped("radio", "simple_six")
    radios = [shipped("radio", name) for name in shipped_names("radio")]
    radios += [simple.replace(name=f"Simple six, {count_of_mixes(n)}", free_mixes=n) for n in (0, 1, 3, 4)]
    print(HEAD)
    print("| --- " * 8 + "|")
    for plane, radio in product(shipped_names("aircraft"), radios):
        aircraft = shipped("aircraft", plane)
        start = time.process_time()
        result = fit(aircraft, radio, usual_wants(aircraft))
        spent = time.process_time() - start
        flown = result.flown
        left = (
            "; ".join(
                words.rstrip(".")
                for words in result.cannot
                if words.startswith("Left out") or "no control for" in words
            )
            or "all"
        )
        words = f"{count_of_mixes(result.mixes_used)} of {result.mixes_needed}: {left}"
        kept = ", ".join(f"{100 * flown.least_kept('roll', at):.0f} %" for at in ("droop", "reflex", "brake"))
        bad = f" ({len(flown.faults)} broken)" if flown.faults else ""
        print(
            f"| {aircraft.name} | {radio.name} | {words} | {flown.asymmetry_mm:.1f}{bad} | {kept} "
            f"| {result.worst_miss_mm:.1f} | {result.ways_tried} | {spent:.2f} |"
        )


if __name__ == "__main__":
    main()
