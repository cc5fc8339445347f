"""Time of each flight panel's update in the kernel, and its ratio to the drawing of its pictures alone.

Run it: ``python tests/bench/bench_panels.py``.  Every panel of lessons 05 to 07 is moved through values that
it has not shown before, so that nothing is only looked up.  It prints medians and ratios and asserts nothing.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("MIXING_WORKBOOK_ALL_ANSWERED", "yes")  # nothing is found again from another run

import statistics
import time
from collections.abc import Callable
from functools import partial

import numpy as np

from mixlib.air.aircraft import from_setup
from mixlib.air.landing import field
from mixlib.describe import Setup
from mixlib.describe.demo import flaperon_setup, four_surface_setup
from mixlib.draw.shapes import ROOM
from mixlib.draw.svg import svg
from mixlib.panel import balance as balance_panels
from mixlib.panel import flight as air_panels
from mixlib.panel import handling as handling_panels
from mixlib.panel import phases as phase_panels
from mixlib.panel.base.controls import NumberGrid, Slider
from mixlib.panel.base.panel import Panel
from mixlib.panel.landing import landing_panel
from mixlib.panel.what_if import what_if

MOVES = 12
PANELS: dict[str, Callable[[Setup], Panel]] = {
    "balance": balance_panels.balance_panel,
    "polar": air_panels.polar_panel,
    "landing, camber": landing_panel,
    "landing, brake": lambda setup: landing_panel(setup, "brake"),
    "roll and yaw": handling_panels.roll_panel,
    "compensation, camber": lambda setup: handling_panels.compensation_panel(setup, "camber"),
    "phases": phase_panels.phase_panel,
    "change of phase": phase_panels.change_panel,
    "what if, a lever": what_if,
}


def steps(panel: Panel) -> list[Callable[[], None]]:
    """Moves of the panel's main control, each to a value of its own."""
    first, *others = panel.controls.values()
    if isinstance(first, NumberGrid):
        entry = first._fields[0][0]
        return [partial(setattr, entry, "value", f"{value:.2f}") for value in np.linspace(1.05, 6.05, MOVES)]
    slider = next(control for control in (first, *others) if isinstance(control, Slider)).entry
    values = np.linspace(slider.min, slider.max, MOVES + 2)[1:-1] + 0.001
    return [partial(setattr, slider, "value", float(value)) for value in values]


def main() -> None:
    """Measure and print."""
    print(f"{'panel':28}{'update':>10}{'drawing':>10}{'ratio':>8}")
    for demo in (flaperon_setup, four_surface_setup):
        for name, make in PANELS.items():
            setup = demo()
            from_setup._performance.cache_clear()  # what another panel has worked out is not looked up
            field._landed.cache_clear()
            panel = make(setup)
            updates, drawings = [], []
            for step in steps(panel):
                start = time.process_time()
                step()
                updates.append(1000 * (time.process_time() - start))
                seen = panel._update(panel.values)
                start = time.process_time()
                svg(seen.picture(room=ROOM), "bench")
                drawings.append(1000 * (time.process_time() - start))
            update, drawing = statistics.median(updates), statistics.median(drawings)
            label = f"{setup.aircraft.name}, {name}"
            print(f"{label:28}{update:7.0f} ms{drawing:7.1f} ms{update / drawing:8.0f}")


if __name__ == "__main__":
    main()
