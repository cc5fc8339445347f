"""How long the kernel needs for one picture, each way to make it.

    python tests/bench/bench_pictures.py [--times 40]

Printed: median milliseconds of each picture, and its ratio to the smallest SVG there can be, made in the same
run.  The same chart is also made by matplotlib with a kept figure and only its moving lines drawn.
"""

import argparse
import base64
import io
import statistics
import time

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PIL import Image

from mixlib.describe import shipped
from mixlib.draw.aircraft import aircraft_view
from mixlib.draw.charts import Curve, Spot, line_chart
from mixlib.draw.linkage import linkage_side
from mixlib.draw.shapes import Circle, Drawing
from mixlib.draw.svg import svg
from mixlib.units import throw_mm_from_angle

AIRCRAFT = shipped("aircraft", "orchard_three")
SPEED = np.linspace(4, 20, 120)


def sinks(shift: float) -> list[np.ndarray]:
    return [-(0.4 + 0.015 * (SPEED - 8 - k - shift) ** 2) for k in range(4)]


def trivial(shift: float) -> str:
    return svg(Drawing(400, 80, (Circle(200 + 10 * shift, 40, 20),), "t", "d"))


def chart(shift: float) -> str:
    curves = [Curve(f"camber {k}", SPEED, sink) for k, sink in enumerate(sinks(shift))]
    spots = [Spot(8 + shift, -0.4, "least sink"), Spot(11, -0.9, "best glide")]
    ranges = {"x_range": (4, 20), "y_range": (-3, 0)}
    return svg(line_chart("Sink", curves, "speed, m/s", "sink, m/s", description="d", spots=spots, **ranges))


def whole_aircraft(shift: float) -> str:
    angles = [10 + shift] * len(AIRCRAFT.surfaces)
    throws = [throw_mm_from_angle(a, s.chord_mm) for a, s in zip(angles, AIRCRAFT.surfaces, strict=True)]
    return svg(aircraft_view(AIRCRAFT, angles, throws))


def linkage(shift: float) -> str:
    return svg(linkage_side(AIRCRAFT.surfaces[2], 10 + shift, 5 + shift))


def kept_figure():
    """The chart by matplotlib: background kept, only the curves drawn anew."""
    figure = Figure(figsize=(9, 5), dpi=100)
    canvas = FigureCanvasAgg(figure)
    axes = figure.add_subplot()
    axes.set(xlim=(4, 20), ylim=(-3, 0), xlabel="speed, m/s", ylabel="sink, m/s")
    lines = [axes.plot(SPEED, sink, animated=True)[0] for sink in sinks(0)]
    canvas.draw()
    background = canvas.copy_from_bbox(figure.bbox)

    def draw(shift: float) -> str:
        canvas.restore_region(background)
        for line, sink in zip(lines, sinks(shift), strict=True):
            line.set_ydata(sink)
            axes.draw_artist(line)
        page = io.BytesIO()
        Image.fromarray(np.asarray(canvas.buffer_rgba())).convert("RGB").save(page, "png", compress_level=1)
        return base64.b64encode(page.getvalue()).decode()

    return draw


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--times", type=int, default=40)
    times = parser.parse_args().times
    pictures = {
        "smallest SVG": trivial,
        "chart, SVG": chart,
        "chart, kept figure": kept_figure(),
        "whole aircraft, SVG": whole_aircraft,
        "linkage, SVG": linkage,
    }
    floor = 0.0
    for name, make in pictures.items():
        taken = []
        for number in range(times + 2):
            start = time.perf_counter()
            text = make(0.05 * number)
            taken.append(1e3 * (time.perf_counter() - start))
        median = statistics.median(taken[2:])
        floor = floor or median
        print(f"{name:20} {median:7.2f} ms  x {median / floor:7.1f}  {len(text) / 1000:7.1f} kB")


if __name__ == "__main__":
    main()
