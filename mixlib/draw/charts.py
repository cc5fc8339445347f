"""Line charts as drawings: crisp on a projector, quick enough to follow a slider, and the same on paper."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from mixlib.describe import Surface
from mixlib.describe.words import direction
from mixlib.draw.shapes import (
    ROOM,
    Box,
    Circle,
    Drawing,
    Line,
    Point,
    Polygon,
    Room,
    Shape,
    Text,
    text_box,
)
from mixlib.draw.theme import CURVES, one_line, style, text_width

__all__ = ["Band", "Curve", "Spot", "line_chart", "throw_chart", "tick_places"]

LEFT, RIGHT, BELOW = 74.0, 24.0, 62.0
ROW = 26.0
FLAT = 1e-4  # share of its size below which a change is not worth an axis


@dataclass(frozen=True)
class Curve:
    """A line of a chart; where x or y is not a number the line has a gap."""

    label: str
    x: Sequence[float]
    y: Sequence[float]


@dataclass(frozen=True)
class Spot:
    """A point worth its own words; an empty label is only a dot."""

    x: float
    y: float
    label: str = ""


@dataclass(frozen=True)
class Band:
    """A part of an axis that means something, shaded over the whole chart."""

    low: float
    high: float
    label: str
    axis: str = "x"


def line_chart(
    title: str,
    curves: Sequence[Curve],
    x_label: str,
    y_label: str,
    *,
    description: str,
    x_range: tuple[float, float] | None = None,
    y_range: tuple[float, float] | None = None,
    spots: Sequence[Spot] = (),
    bands: Sequence[Band] = (),
    room: Room = ROOM,
) -> Drawing:
    """Draw curves over a common pair of axes.

    Parameters
    ----------
    x_label, y_label : str
        What the axes show, with the unit.
    description : str
        What the chart shows, in words and numbers, for those who do not see it.
    x_range, y_range : tuple of float, optional
        Ends of the axes; give them in a live panel, so that the axes keep still.  What lies outside is cut
        off.  Left out, they hold all curves.
    bands : sequence of Band
        Shaded parts of an axis; at most two.

    Raises
    ------
    ValueError
        If there are more curves or bands than can be told apart, or no number to draw.
    """
    width, height = room.width, room.height
    if len(curves) > len(CURVES) or len(bands) > 2:
        raise ValueError(f"a chart shows at most {len(CURVES)} curves and 2 bands")
    x_low, x_high = x_range or _range([curve.x for curve in curves], [spot.x for spot in spots])
    y_low, y_high = y_range or _range([curve.y for curve in curves], [spot.y for spot in spots])
    heading = [Text(20, 32, one_line(title, width - 40, "title"), role="title")]
    legend, top = _legend(curves, bands, width)
    heading += [Text(20, top + 20, one_line(y_label, width - 40, "label"))]
    y_ticks = tick_places(y_low, y_high, max(3, int((height - BELOW - top - 34) / 48)))
    margin = max(text_width(words, style("note").size) for words in _tick_words(y_ticks)) + 24
    frame = (max(LEFT, margin), top + 34, width - RIGHT, height - BELOW)
    x_ticks = tick_places(x_low, x_high, max(3, int((frame[2] - frame[0]) / 85)))

    def put(x: float, y: float) -> Point:
        return (
            frame[0] + (x - x_low) / (x_high - x_low) * (frame[2] - frame[0]),
            frame[3] - (y - y_low) / (y_high - y_low) * (frame[3] - frame[1]),
        )

    shapes: list[Shape] = [
        _band(band, number, put, (x_low, x_high), (y_low, y_high)) for number, band in enumerate(bands, 1)
    ]
    shapes += _axes(put, frame, x_ticks, y_ticks, (x_low, x_high), (y_low, y_high))
    lines = []
    for number, curve in enumerate(curves, start=1):
        columns = put(np.asarray(curve.x, dtype=float), np.asarray(curve.y, dtype=float))
        points = list(zip(*(column.tolist() for column in columns), strict=True))
        lines += [Line(part, f"curve {number}", curve.label) for part in _inside(points, frame)]
    shapes += lines
    label = Text(
        (frame[0] + frame[2]) / 2, height - 16, one_line(x_label, width - 40, "label"), anchor="middle"
    )
    seen = [spot for spot in spots if x_low <= spot.x <= x_high and y_low <= spot.y <= y_high]
    shapes += _spots(seen, put, frame, lines)
    return Drawing(width, height, (*heading, *legend, *shapes, label), title, description)


def throw_chart(
    title: str,
    surface: Surface,
    curves: Sequence[tuple[str, Sequence[float]]],
    command: str,
    description: str,
    most_mm: float,
    spots: Sequence[Spot] = (),
    *,
    room: Room = ROOM,
) -> Drawing:
    """Draw throws over a stick, with words for both halves of the chart.

    Parameters
    ----------
    curves : sequence of (str, array)
        Label, and throw in mm at evenly spaced places from -100 % to +100 % of the stick.

    Returns
    -------
    Drawing
        The chart; trailing edge down (rudder: left) is plus and lies in the upper half.
    """
    up, down = (direction(surface, sign * most_mm) for sign in (-1, 1))
    return line_chart(
        title,
        [Curve(label, np.linspace(-100, 100, len(throws)), throws) for label, throws in curves],
        f"{command} stick, %",
        f"throw, mm: plus is {down}",
        description=description,
        x_range=(-100.0, 100.0),
        y_range=(-most_mm, most_mm),
        spots=spots,
        room=room,
        bands=[Band(0, most_mm, f"trailing edge {down}", "y"), Band(-most_mm, 0, f"trailing edge {up}", "y")],
    )


def tick_places(low: float, high: float, most: int) -> list[float]:
    """Round numbers along an axis.

    Parameters
    ----------
    most : int
        How many steps there may be.

    Returns
    -------
    list of float
        Steps of 1, 2 or 5 times a power of ten.
    """
    rough = (high - low) / most
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * times for times in (1, 2, 5, 10) if power * times >= rough * (1 - 1e-9))
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return [round(number * step, 10) for number in range(first, last + 1)]


def _range(lines: Sequence[Sequence[float]], singles: Sequence[float]) -> tuple[float, float]:
    numbers = np.concatenate([np.asarray(values, dtype=float).ravel() for values in (*lines, singles)])
    numbers = numbers[np.isfinite(numbers)]
    if not numbers.size:
        raise ValueError("there is no number to draw")
    low, high = float(numbers.min()), float(numbers.max())
    if high - low < FLAT * max(abs(high), abs(low), 1.0):  # a level line, not rounding noise blown up
        return low - max(abs(high) * 0.1, 1.0), high + max(abs(high) * 0.1, 1.0)
    return low - 0.06 * (high - low), high + 0.06 * (high - low)


def _tick_words(ticks: Sequence[float]) -> list[str]:
    step = ticks[1] - ticks[0] if len(ticks) > 1 else 1.0
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return [f"{value:.{decimals}f}".replace("-", "−") for value in ticks]


def _axes(
    put,
    frame: Box,
    x_ticks: Sequence[float],
    y_ticks: Sequence[float],
    xs: tuple[float, float],
    ys: tuple[float, float],
) -> list[Shape]:
    shapes: list[Shape] = []
    for value, words in zip(x_ticks, _tick_words(x_ticks), strict=True):
        low, high = put(value, ys[0]), put(value, ys[1])
        shapes.append(Line((low, high), "zero" if value == 0 else "grid"))
        shapes.append(Text(low[0], low[1] + 21, words, "note", "middle"))
    for value, words in zip(y_ticks, _tick_words(y_ticks), strict=True):
        low, high = put(xs[0], value), put(xs[1], value)
        shapes.append(Line((low, high), "zero" if value == 0 else "grid"))
        shapes.append(Text(low[0] - 9, low[1] + 5, words, "note", "end"))
    corners = ((frame[0], frame[1]), (frame[0], frame[3]), (frame[2], frame[3]))
    return [*shapes, Line(corners, "axis", "axes")]


def _band(band: Band, number: int, put, xs: tuple[float, float], ys: tuple[float, float]) -> Polygon:
    ends = xs if band.axis == "x" else ys
    low, high = (min(max(value, ends[0]), ends[1]) for value in (band.low, band.high))
    (x0, x1), (y0, y1) = ((low, high), ys) if band.axis == "x" else (xs, (low, high))
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return Polygon(tuple(put(*corner) for corner in corners), f"band {number}", band.label)


def _legend(curves: Sequence[Curve], bands: Sequence[Band], width: float) -> tuple[list[Shape], float]:
    """A sample and a label for each curve and band, in as many rows as they need; also the lower end."""
    shapes: list[Shape] = []
    x, y = 20.0, 60.0
    entries = [(curve.label, f"curve {number}") for number, curve in enumerate(curves, 1)]
    entries += [(band.label, f"band {number}") for number, band in enumerate(bands, 1)]
    entries = [(label, role) for label, role in entries if label]
    for label, role in entries:
        text = one_line(label, width - 100, "label")
        need = 56 + text_width(text, style("label").size)
        if x > 20 and x + need > width - 20:
            x, y = 20.0, y + ROW
        if role.startswith("band"):
            corners = ((x, y - 15), (x + 40, y - 15), (x + 40, y + 2), (x, y + 2))
            shapes.append(Polygon(corners, role, label))
        else:
            shapes.append(Line(((x, y - 6), (x + 42, y - 6)), role, label))
        shapes.append(Text(x + 50, y, text))
        x += need + 26
    return shapes, y + 8 if entries else 40.0


def _inside(points: Sequence[Point], frame: Box) -> Iterator[tuple[Point, ...]]:
    """Parts of a line inside the frame, cut where they leave it or where a number is missing."""
    places = np.asarray(points)
    if ((places >= frame[:2]) & (places <= frame[2:])).all():  # nothing to cut, the usual case
        yield tuple(points)
        return
    part: list[Point] = []
    for start, end in pairwise(points):
        kept = _cut(start, end, frame)
        if kept is None:
            if len(part) > 1:
                yield tuple(part)
            part = []
            continue
        if part and part[-1] != kept[0]:
            yield tuple(part)
            part = []
        part = part or [kept[0]]
        part.append(kept[1])
    if len(part) > 1:
        yield tuple(part)


def _cut(start: Point, end: Point, frame: Box) -> tuple[Point, Point] | None:
    (x0, y0), (x1, y1) = start, end
    if not all(map(math.isfinite, (x0, y0, x1, y1))):
        return None
    low, high = 0.0, 1.0
    for origin, step, least, most in ((x0, x1 - x0, frame[0], frame[2]), (y0, y1 - y0, frame[1], frame[3])):
        if abs(step) < 1e-12:
            if not least - 1e-9 <= origin <= most + 1e-9:
                return None
            continue
        first, second = sorted(((least - origin) / step, (most - origin) / step))
        low, high = max(low, first), min(high, second)
    if low >= high:
        return None
    first = start if low == 0 else (x0 + low * (x1 - x0), y0 + low * (y1 - y0))
    last = end if high == 1 else (x0 + high * (x1 - x0), y0 + high * (y1 - y0))
    return first, last


def _spots(spots: Sequence[Spot], put, frame: Box, lines: Sequence[Line]) -> list[Shape]:
    """Dots, each with its words at the first place where they cover nothing."""
    shapes: list[Shape] = []
    taken: list[Box] = [(x - 8, y - 8, x + 8, y + 8) for x, y in (put(spot.x, spot.y) for spot in spots)]
    ends = [(*start, *end) for line in lines for start, end in pairwise(line.points)]
    strokes = np.array(ends).reshape(-1, 4)
    for spot in spots:
        x, y = put(spot.x, spot.y)
        shapes.append(Circle(x, y, 7.0, "spot", spot.label))
        if not spot.label:
            continue
        for words in _places(x, y, spot.label):
            box = text_box(words)
            inside = box[0] > frame[0] and box[2] < frame[2] and box[1] > frame[1] and box[3] < frame[3]
            free = not any(box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3] for b in taken)
            if inside and free and not _met(strokes, box):
                break
        else:
            continue
        taken.append(box)
        if np.hypot(words.x - x, words.y - y) > 40:
            target = (min(max(x, box[0]), box[2]), box[3] if y > box[3] else box[1])
            shapes.append(Line(((x, y), target), "leader"))
        shapes.append(words)
    return shapes


def _met(strokes: np.ndarray, box: Box) -> bool:
    """Whether any of many strokes (rows of x0, y0, x1, y1) passes through a box; see `shapes.crosses`."""
    low, high = np.zeros(len(strokes)), np.ones(len(strokes))
    for axis in (0, 1):
        origin = strokes[:, axis]
        step = strokes[:, axis + 2] - origin
        step = np.where(np.abs(step) < 1e-9, 1e-9, step)
        ends = np.sort(((box[axis] - origin) / step, (box[axis + 2] - origin) / step), axis=0)
        low, high = np.maximum(low, ends[0]), np.minimum(high, ends[1])
    return bool((low < high).any())


def _places(x: float, y: float, label: str) -> Iterator[Text]:
    """Places for a label, the nearest first."""
    for far in (0, 18, 40, 64, 92, 124, 160):
        yield Text(x + 13 + far / 3, y - 10 - far, label)
        yield Text(x + 13 + far / 3, y + 24 + far, label)
        yield Text(x - 13 - far / 3, y - 10 - far, label, anchor="end")
        yield Text(x - 13 - far / 3, y + 24 + far, label, anchor="end")
        yield Text(x, y - 16 - far, label, anchor="middle")
        yield Text(x, y + 30 + far, label, anchor="middle")
