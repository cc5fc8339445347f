"""Speed of the air model, beside the lifting line of AeroSandbox doing one point, in the same run.

Run it: ``python tests/bench/bench_air.py``.  It prints medians and ratios and asserts nothing.  Times are
processor times of this process on one thread, so that other work on the machine counts little.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import statistics
import time
from collections.abc import Callable

import aerosandbox as asb
import numpy as np

from mixlib.air.aircraft import Airframe, compensation, flight, handling
from mixlib.air.landing import approach, landing
from mixlib.describe import shipped

SPEED_M_S = 9.0
CROW = {"left flap": 60.0, "right flap": 60.0, "left aileron": -20.0, "right aileron": -20.0}
FOILS = {"general purpose": "naca2412"}


def median_ms(task: Callable[[], object], repeats: int) -> float:
    """Median processor time of a task in ms; run once before to warm up."""
    task()
    times = []
    for _ in range(repeats):
        start = time.process_time()
        task()
        times.append(time.process_time() - start)
    return 1000 * statistics.median(times)


def library_point(airframe: Airframe) -> Callable[[], object]:
    """One incidence of the same wing, clean and without a tail, by the library's lifting line."""
    sections = [
        asb.WingXSec(
            xyz_le=[station.leading_edge_mm / 1000, station.y_mm / 1000, 0],
            chord=station.chord_mm / 1000,
            twist=station.twist_deg,
            airfoil=asb.Airfoil(FOILS[station.section]),
        )
        for station in airframe.aircraft.wing.stations
    ]
    plane = asb.Airplane(wings=[asb.Wing(xsecs=sections, symmetric=True)])
    flow = asb.OperatingPoint(velocity=SPEED_M_S, alpha=5.0)
    return lambda: asb.LiftingLine(plane, flow, spanwise_resolution=10).run()


def main() -> None:
    """Print one line for each task."""
    airframe = Airframe.from_aircraft(shipped("aircraft", "orchard_three"))
    crow = flight.performance(airframe, CROW)
    held = landing.configuration(crow, "crow")
    aileron = handling.roll_to_right(airframe, 15.0, 10.0)
    speeds = np.linspace(7.5, 20.0, 25)
    crows = [{name: share * angle for name, angle in CROW.items()} for share in np.linspace(0.0, 1.0, 11)]
    mass, area = airframe.aircraft.mass_kg, airframe.wing.area_m2
    ours = {
        "one glide, trimmed at a speed": lambda: flight.trimmed_at(airframe, {}, SPEED_M_S),
        "clean polar, 25 glides from no lift to past the stall": lambda: flight.polar(airframe),
        "25 glides trimmed at given speeds": lambda: flight.trimmed_at(airframe, {}, speeds),
        "panel: polar with stall, best glide, approach": lambda: flight.performance(airframe),
        "panel: the same with full air brake": lambda: flight.performance(airframe, CROW),
        "panel: steady roll with its yaw": lambda: handling.roll(airframe, aileron, SPEED_M_S),
        "compensation curve, 11 places": lambda: compensation(airframe, crows, SPEED_M_S),
        "approach of 7 cases to the touchdown": lambda: approach.fly(
            [held], mass, area, drag_factor=np.ones(7)
        ),
    }
    theirs = median_ms(library_point(airframe), 5)
    print(f"AeroSandbox {asb.__version__}, lifting line, one incidence of the clean wing: {theirs:.0f} ms")
    for name, task in ours.items():
        took = median_ms(task, 9)
        print(f"{name}: {took:.1f} ms, {took / theirs:.2f} of the library's one point")


if __name__ == "__main__":
    main()
