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
    LOW,
    MARGIN,
    ROOM,
    Box,
    Circle,
    Drawing,
    Line,
    Point,
    Polygon,
    Room,
    Scaled,
    Shape,
    Text,
    crosses,
    fitted,
    frame,
    heading,
    inside_part,
    text_box,
)
from mixlib.draw.theme import CURVES, one_line, role_width

__all__ = ["Band", "Curve", "Spot", "inside", "line_chart", "throw_chart", "tick_places"]

RIGHT, BELOW = 22.0, 50.0  # beside and below the frame
ROW = 22.0  # of the legend
LEAST = 58.0  # height of a frame that can still be read
FLAT = 1e-4  # share of its size below which a change is not worth an axis


Numbers = Sequence[float] | np.ndarray


@dataclass(frozen=True)
class Curve:
    """A line of a chart; where x or y is not a number the line has a gap."""

    label: str
    x: Numbers
    y: Numbers
    kept: bool = True
    """Whether it is laid over another chart when a setting is kept."""


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


@fitted
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
    if len(curves) > len(CURVES) or len(bands) > 2:
        raise ValueError(f"a chart shows at most {len(CURVES)} curves and 2 bands")
    xs = x_range or _range([curve.x for curve in curves], [spot.x for spot in spots])
    ys = y_range or _range([curve.y for curve in curves], [spot.y for spot in spots])
    beside = room.width - 2 * MARGIN - role_width(title, "title") - role_width(y_label, "note") >= 20
    beside &= room.height < LOW  # then the heading has the words of the axis
    heads, top = heading(title, room, *([y_label] if beside else []))
    legend, top = _legend(curves, bands, room.width, top)
    if not beside:
        legend.append(_axis_label(y_label, 0.0, top + 17, room))
        top += 18
    bottom = max(room.height - BELOW, top + 10 + LEAST)
    y_ticks = _ticks(ys, (bottom - top - 10) / 38)
    margin = max(role_width(words, "note") for words in _tick_words(y_ticks)) + 22
    axes = _Axes((margin, top + 10, room.width - RIGHT, bottom), xs, ys)
    lines = [
        [Line(part, f"curve {n}", curve.label) for part in inside(axes.placed(curve.x, curve.y), axes.box)]
        for n, curve in enumerate(curves, start=1)
    ]
    seen = [spot for spot in spots if xs[0] <= spot.x <= xs[1] and ys[0] <= spot.y <= ys[1]]
    dots, words = _spots(seen, axes, [line for parts in lines for line in parts])
    shapes: list[Shape] = [
        *heads,
        *legend,
        *(axes.band(band, number) for number, band in enumerate(bands, 1)),
        *axes.drawn(y_ticks),
        *(axes.scaled(parts, curve.label * curve.kept) for curve, parts in zip(curves, lines, strict=True)),
        axes.scaled(dots, "spots"),
        *words,
        _axis_label(x_label, (margin + room.width - RIGHT) / 2, bottom + 42, room),
    ]
    return Drawing(room.width, bottom + BELOW, tuple(shapes), title, description)


def throw_chart(
    title: str,
    surface: Surface,
    curves: Sequence[tuple[str, Numbers]],
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


def _range(lines: Sequence[Numbers], singles: Sequence[float]) -> tuple[float, float]:
    numbers = np.concatenate([np.asarray(values, dtype=float).ravel() for values in (*lines, singles)])
    numbers = numbers[np.isfinite(numbers)]
    if not numbers.size:
        raise ValueError("there is no number to draw")
    low, high = float(numbers.min()), float(numbers.max())
    if high - low < FLAT * max(abs(high), abs(low), 1.0):  # a level line, not rounding noise blown up
        return low - max(abs(high) * 0.1, 1.0), high + max(abs(high) * 0.1, 1.0)
    return low - 0.06 * (high - low), high + 0.06 * (high - low)


def _ticks(ends: tuple[float, float], most: float) -> list[float]:
    """About as many ticks as there is room for, but not one alone."""
    return next(ticks for more in range(8) if len(ticks := tick_places(*ends, max(2, int(most)) + more)) > 1)


def _axis_label(words: str, middle: float, y: float, room: Room) -> Text:
    """What an axis shows, as near to its middle as it can stand; small where it would not fit otherwise."""
    wide = room.width - 2 * MARGIN
    role = "label" if role_width(words, "label") <= wide else "note"
    words = one_line(words, wide, role)
    half = role_width(words, role) / 2
    return Text(min(max(middle, MARGIN + half), room.width - MARGIN - half), y, words, role, "middle")


def _tick_words(ticks: Sequence[float]) -> list[str]:
    step = ticks[1] - ticks[0] if len(ticks) > 1 else 1.0
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return [f"{value:.{decimals}f}".replace("-", "−") for value in ticks]


@dataclass(frozen=True)
class _Axes:
    """The frame of a chart in the drawing, and the numbers at its ends."""

    box: Box
    xs: tuple[float, float]
    ys: tuple[float, float]

    def put(self, x: float, y: float) -> Point:
        left, top, right, bottom = self.box
        return (
            left + (x - self.xs[0]) / (self.xs[1] - self.xs[0]) * (right - left),
            bottom - (y - self.ys[0]) / (self.ys[1] - self.ys[0]) * (bottom - top),
        )

    def scaled(self, shapes: Sequence[Shape], name: str) -> Scaled:
        """What is drawn along the axes."""
        (x0, y0), (x1, y1) = self.put(0, 0), self.put(1, 1)
        return Scaled(tuple(shapes), name, (x0, y0), (x1 - x0, y1 - y0), self.box)

    def placed(self, x: Numbers, y: Numbers) -> np.ndarray:
        """Points of a curve, shape (n, 2)."""
        left, top, right, bottom = self.box
        across = (np.asarray(x, float) - self.xs[0]) * ((right - left) / (self.xs[1] - self.xs[0])) + left
        along = bottom - (np.asarray(y, float) - self.ys[0]) * ((bottom - top) / (self.ys[1] - self.ys[0]))
        return np.column_stack([across, along])

    def drawn(self, y_ticks: Sequence[float]) -> list[Shape]:
        """Grid, numbers and the two axes."""
        left, top, right, bottom = self.box
        x_ticks = _ticks(self.xs, (right - left) / 70)
        shapes: list[Shape] = []
        for value, words in zip(x_ticks, _tick_words(x_ticks), strict=True):
            x = self.put(value, 0)[0]
            shapes.append(Line(((x, bottom), (x, top)), "zero" if value == 0 else "grid"))
            shapes.append(Text(x, bottom + 21, words, "note", "middle"))
        for value, words in zip(y_ticks, _tick_words(y_ticks), strict=True):
            y = self.put(0, value)[1]
            shapes.append(Line(((left, y), (right, y)), "zero" if value == 0 else "grid"))
            shapes.append(Text(left - 8, y + 5, words, "note", "end"))
        return [*shapes, Line(((left, top), (left, bottom), (right, bottom)), "axis", "axes")]

    def band(self, band: Band, number: int) -> Polygon:
        """The shaded part that is inside the frame."""
        low, high = self.xs if band.axis == "x" else self.ys
        ends = (min(max(band.low, low), high), min(max(band.high, low), high))
        xs, ys = (ends, self.ys) if band.axis == "x" else (self.xs, ends)
        (left, bottom), (right, top) = self.put(xs[0], ys[0]), self.put(xs[1], ys[1])
        return frame(left, top, right - left, bottom - top, f"band {number}", band.label)


def _legend(
    curves: Sequence[Curve], bands: Sequence[Band], width: float, top: float
) -> tuple[list[Shape], float]:
    """A sample and a label for each curve and band, in as many rows as they need; also the lower end."""
    shapes: list[Shape] = []
    sample = 42.0 if width >= 600 else 28.0
    x, y = MARGIN, top + 16
    entries = [(curve.label, f"curve {number}") for number, curve in enumerate(curves, 1)]
    entries += [(band.label, f"band {number}") for number, band in enumerate(bands, 1)]
    entries = [(label, role) for label, role in entries if label]
    for label, role in entries:
        text = one_line(label, width - 2 * MARGIN - sample - 8, "label")
        need = sample + 8 + role_width(text, "label")
        if x > MARGIN and x + need > width - MARGIN:
            x, y = MARGIN, y + ROW
        if role.startswith("band"):
            shapes.append(frame(x, y - 14, sample, 16, role, label))
        else:
            shapes.append(Line(((x, y - 6), (x + sample, y - 6)), role, label))
        shapes.append(Text(x + sample + 8, y, text))
        x += need + 22
    return shapes, y + 4 if entries else top


def inside(places: np.ndarray, box: Box) -> Iterator[tuple[Point, ...]]:
    """Parts of a line inside a frame, cut where they leave it or where a number is missing; shape (n, 2)."""
    points: list[Point] = list(map(tuple, places.tolist()))
    if ((places >= box[:2]) & (places <= box[2:])).all():  # nothing to cut, the usual case
        yield tuple(points)
        return
    part: list[Point] = []
    for start, end in pairwise(points):
        kept = _cut(start, end, box)
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


def _cut(start: Point, end: Point, box: Box) -> tuple[Point, Point] | None:
    """The part of a stroke in the frame; one that runs along the frame is in it."""
    (x0, y0), (x1, y1) = start, end
    if not all(map(math.isfinite, (x0, y0, x1, y1))):
        return None
    part = inside_part(start, end, (box[0] - 1e-9, box[1] - 1e-9, box[2] + 1e-9, box[3] + 1e-9))
    if part is None:
        return None
    low, high = part
    first = start if low == 0 else (x0 + low * (x1 - x0), y0 + low * (y1 - y0))
    last = end if high == 1 else (x0 + high * (x1 - x0), y0 + high * (y1 - y0))
    return first, last


def _spots(spots: Sequence[Spot], axes: _Axes, lines: Sequence[Line]) -> tuple[list[Circle], list[Shape]]:
    """Dots, and words for each at the first place where they cover nothing."""
    left, top, right, bottom = axes.box
    places = [axes.put(spot.x, spot.y) for spot in spots]
    dots = [Circle(*place, 7.0, "spot", spot.label) for place, spot in zip(places, spots, strict=True)]
    shapes: list[Shape] = []
    taken: list[Box] = [(x - 8, y - 8, x + 8, y + 8) for x, y in places]
    ends = [(*start, *end) for line in lines for start, end in pairwise(line.points)]
    strokes = np.array(ends).reshape(-1, 4)
    for spot, (x, y) in zip(spots, places, strict=True):
        for words in _places(x, y, spot.label) if spot.label else ():
            box = text_box(words)
            inside = box[0] > left and box[2] < right and box[1] > top and box[3] < bottom
            covers = any(box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3] for b in taken)
            leader = ((x, y), (min(max(x, box[0]), box[2]), box[3] + 1 if y > box[3] else box[1] - 1))
            led = float(np.hypot(words.x - x, words.y - y)) > 40
            through = led and any(crosses(*leader, other) for other in taken[len(spots) :])
            if inside and not covers and not through and not _met(strokes, box):
                break
        else:
            continue
        taken.append(box)
        if led:
            shapes.append(Line(leader, "leader"))
            strokes = np.vstack([strokes, [*leader[0], *leader[1]]])
        shapes.append(words)
    return dots, shapes


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
