"""Geometry of two pictures of the chain: the way from command to throw, and mixing as arrows that add up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mixlib.chain import STAGES, Stages
from mixlib.chain.controls import shape
from mixlib.chain.mixing import demand_shares
from mixlib.chain.outputs import travel_percent
from mixlib.describe import Output, Radio, Setup
from mixlib.describe.words import direction, listed, movement, sentence_start, signed
from mixlib.draw.shapes import (
    MARGIN,
    ROOM,
    Arrow,
    Circle,
    Drawing,
    Line,
    Room,
    Scaled,
    Shape,
    Text,
    fitted,
    frame,
    heading,
    text_box,
)
from mixlib.draw.theme import first_fitting, one_line, role_width
from mixlib.units import COMMANDS

__all__ = ["addition", "chain_strip", "output_words"]

WHERE = ("in the radio", "on the model")
IN_THE_RADIO = 4  # of the seven stages
STAGE_PLACES = {
    "command": "in your hand",
    "demand": "after mixing",
    "travel": "after limits",
    "pulse": "to the servo",
    "arm": "servo arm",
    "surface": "hinge",
    "throw": "trailing edge",
}
SPAN = 200.0  # the line of an addition runs from minus to plus this, percent


@dataclass(frozen=True)
class _Station:
    """One stage: its name, its number with the unit, a word for its direction, and what it lost."""

    name: str
    number: str
    word: str
    fault: str

    @property
    def role(self) -> str:
        return "fault" if self.fault else "ground"


@fitted
def chain_strip(
    setup: Setup, stages: Stages, surface_name: str, command: str, *, room: Room = ROOM
) -> Drawing:
    """Draw the seven stages of one surface, from command to throw, as stations of one line.

    Parameters
    ----------
    stages : Stages
        Result of the Rig for commands of shape (6,).
    command : str
        The command whose number stands at the first stage.
    """
    stations, moved = _stations(setup, stages, surface_name, command)
    name = sentence_start(surface_name)
    titles = (f"{name}, output {setup.wiring[surface_name]}", name)
    heads, top = heading(first_fitting(titles, room.width - 2 * MARGIN, "title"), room)
    across = 7 if room.width >= 860 else IN_THE_RADIO if room.width >= 470 else 0
    shapes, height = _boxes(stations, across, top, room) if across else _list(stations, top, room)
    said = [
        " ".join(filter(None, [station.name, station.number, station.word, station.fault]))
        for station in stations
    ]
    title = f"From {command} to the {surface_name}: {moved}"
    words = f"From {command} to the {surface_name}: {'; '.join(said)}."
    return Drawing(room.width, height, (*heads, *shapes), title, words)


def _stations(setup: Setup, stages: Stages, surface_name: str, command: str) -> tuple[list[_Station], str]:
    """The stages in order, and the movement at the end in words."""
    place = setup.aircraft.surface_names.index(surface_name)
    surface = setup.aircraft.surfaces[place]
    output = setup.wiring[surface_name] - 1
    at = {"command": COMMANDS.index(command), "demand": output, "travel": output, "pulse": output}
    values = {name: float(getattr(stages, name)[at.get(name, place)]) for name in STAGES}
    lost = {
        "travel": "cut off" if stages.demand_clipped[output] else "",
        "pulse": "cut off" if stages.pulse_clipped[output] else "",
        "arm": "binds" if stages.binds[place] else "",
        "surface": "at its stop" if stages.at_stop[place] else "",
    }
    way = direction(surface, values["throw"])
    words = {
        "arm": "forward" if values["arm"] > 0.05 else "back" if values["arm"] < -0.05 else "middle",
        "surface": way,
        "throw": way,
    }
    stations = []
    for name, unit in STAGES.items():
        number = _number(name, abs(values[name]) if name in words else values[name], unit)
        stations.append(_Station(name, number, words.get(name, ""), lost.get(name, "")))
    return stations, movement(surface, values["surface"], values["throw"])


def _boxes(stations: Sequence[_Station], across: int, top: float, room: Room) -> tuple[list[Shape], float]:
    """A box for each station, in one row or in two; also the lower end."""
    rows = [stations[start : start + across] for start in range(0, len(stations), across)]
    left = 148.0 if len(rows) == 2 and room.width >= 760 else MARGIN
    gap = 20.0 if room.width >= 600 else 14.0
    box = min((room.width - left - MARGIN - gap * (across - 1)) / across, 170.0)
    full = room.height - top - 8 >= len(rows) * 96 + 20 * (len(rows) - 1)  # room for where each stage is
    height = 96.0 if full else 72.0
    shapes: list[Shape] = []
    for row, (where, members) in enumerate(zip(WHERE, rows, strict=False)):
        y = top + row * (height + 20)
        if left > MARGIN:
            shapes.append(Text(MARGIN, y + height / 2 + 5, where, "strong"))
        if row:  # the wire from the pulse, upper right, down to the arm, lower left
            start, end, middle = left + (across - 1) * (box + gap) + box / 2, left + box / 2, y - 10
            shapes.append(Line(((start, y - 20), (start, middle), (end, middle)), "movement"))
            shapes.append(Arrow((end, middle), (end, y - 1), "movement"))
        for index, station in enumerate(members):
            x = left + index * (box + gap)
            shapes.append(frame(x, y, box, height, station.role))
            note = station.fault or STAGE_PLACES[station.name] if full else station.fault
            lines = [
                (22, station.name, "strong"),
                (45, station.number, "title"),
                (64, "" if note and not full else station.word, "label"),
                (87 if full else 64, note, "warning" if station.fault else "note"),
            ]
            shapes += [Text(x + box / 2, y + dy, text, role, "middle") for dy, text, role in lines if text]
            if index:
                shapes.append(Arrow((x - gap + 1, y + height / 2), (x - 2, y + height / 2), "movement"))
    return shapes, y + height + 8


def _list(stations: Sequence[_Station], top: float, room: Room) -> tuple[list[Shape], float]:
    """A line for each station, one below the other; also the lower end."""
    step = min(max((room.height - top - 8) / len(stations), 20.0), 34.0)
    x, right = MARGIN + 5, room.width - MARGIN
    ends = [top + step * (place + 0.5) for place in (0, len(stations) - 1)]
    shapes: list[Shape] = [
        frame(x + 9, top + step * place + 1, right + 4 - x - 9, step - 2, station.role)
        for place, station in enumerate(stations)
    ]
    shapes.append(Line(((x, ends[0]), (x, ends[1])), "movement"))
    for place, station in enumerate(stations):
        y = top + step * (place + 0.5)
        role = "warning" if station.fault else "strong"
        ways = [" ".join(filter(None, [station.fault or station.word, station.number])), station.number]
        said = first_fitting(ways, right - x - 24 - role_width(station.name, "label"), role)
        texts = [Text(x + 16, y + 6, station.name, "label"), Text(right, y + 6, said, role, "end")]
        where = Text(x + 112, y + 6, STAGE_PLACES[station.name], "note")
        texts += [where] if text_box(where)[2] + 8 <= text_box(texts[1])[0] else []
        shapes += [Circle(x, y, 4.0, "hinge", station.name), *texts]
    return shapes, top + step * len(stations) + 8


@fitted
def addition(setup: Setup, asked: np.ndarray, number: int, *, room: Room = ROOM) -> Drawing:
    """Draw mixing as it is: arrows along a line of percent, each starting where the last one ended.

    Parameters
    ----------
    asked : numpy.ndarray
        Shape (6,): the commands.
    number : int
        The output, from 1, whose demand is added up.

    Returns
    -------
    Drawing
        The shares, the demand, and what the end points let through, all in the sense of the demand.
    """
    output = setup.output(number)
    title = sentence_start(output_words(setup, number))
    shaped = shape(asked, setup.shaping)
    shares = [(name, float(share)) for name, share in demand_shares(setup, shaped, number)]
    total = sum(share for _, share in shares)
    sense = -1.0 if output.reversed else 1.0
    low, high = _demand_limits(output, setup.radio)
    kept = sense * (float(travel_percent(total, output, setup.radio)[0]) - output.sub_trim_percent)
    rows = [*shares, ("together: demand", total), ("given: travel", kept)]
    begins = [sum(share for _, share in shares[:place]) for place in range(len(shares))] + [0.0, 0.0]
    heads, top = heading(title, room, "Shaded: what the end points let through.")
    top += 28
    labels = [f"{name}  {_percent(share)}" for name, share in rows]
    widest = max(role_width(label, "strong") for label in labels)
    beside = room.width - widest - 3 * MARGIN >= 330  # else each label stands over its arrow
    left = MARGIN + widest + 20 if beside else MARGIN + 30
    width = room.width - left - 36
    step = min(max((room.height - top - 12) / len(rows), 22.0 if beside else 36.0), 44.0)
    bottom = top + step * len(rows)

    def x(percent: float) -> float:
        return left + (min(max(percent, -SPAN), SPAN) + SPAN) / (2 * SPAN) * width

    ticks = [tick * SPAN / 4 for tick in range(-4, 5)]
    shapes: list[Shape] = [
        *heads,
        frame(x(low), top - 6, x(high) - x(low), bottom - top + 6, "ground"),
        *(Line(((x(tick), top - 6), (x(tick), bottom)), "grid") for tick in ticks),
        *(Text(x(tick), top - 12, _percent(tick), "note", "middle") for tick in ticks[::2]),
    ]
    for index, (label, begin, (_, share)) in enumerate(zip(labels, begins, rows, strict=True)):
        y = top + step * (index + (0.5 if beside else 0.75))
        end = begin + share
        part = index < len(shares)
        place = (MARGIN, y + 6) if beside else (MARGIN, y - 11)
        words = one_line(label, room.width - 2 * MARGIN, "strong")
        shapes.append(Text(*place, words, "label" if part else "strong"))
        shapes += [Line(((x(limit), y - 7), (x(limit), y + 7)), "zero", "end point") for limit in (low, high)]
        role = "curve 1" if part else "curve 2" if index == len(shares) else "movement"
        moves: Arrow | Line = Line(((x(end), y - 6), (x(end), y + 6)), role)
        if abs(x(end) - x(begin)) > 1:
            moves = Arrow((x(begin), y), (x(end), y), role)
        shapes.append(Scaled((moves,), rows[index][0], (x(0), y), (x(1) - x(0), 1)))
    added = " and ".join(f"{name} {_percent(share)}" for name, share in shares) or "nothing"
    said = f"{title}: {added} make {_percent(total)}."
    beyond = total - min(max(total, low), high)
    if beyond:
        limits = f"{_percent(low)} to {_percent(high)}"
        said += f" The end points let {limits} through, so {abs(beyond):.0f} % is lost."
    return Drawing(room.width, bottom + 10, tuple(shapes), title, said)


def output_words(setup: Setup, number: int) -> str:
    """Name an output by what is plugged in, such as ``"output 1 (right aileron)"``."""
    names = listed(setup.plugs_on(number)) or "nothing plugged in"
    return f"output {number} ({names})"


def _demand_limits(output: Output, radio: Radio) -> tuple[float, float]:
    """Lowest and highest demand of which nothing is lost, percent."""
    if radio.end_points == "scale":
        return -100.0, 100.0
    ends = (output.end_low_percent, output.end_high_percent)
    low, high = reversed(ends) if output.reversed else ends
    return -low, high


def _number(name: str, value: float, unit: str) -> str:
    digits = {"command": 2, "demand": 0, "travel": 0, "pulse": 0}.get(name, 1)
    text = signed(value, digits) if name in ("command", "demand", "travel") else f"{value:.{digits}f}"
    return text + {"deg": "°", "": "", "us": " µs"}.get(unit, f" {unit}")


def _percent(value: float) -> str:
    return f"{signed(value, 0)} %"
