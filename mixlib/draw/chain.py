"""Geometry of two pictures of the chain: the way from command to throw, and mixing as arrows that add up."""

from __future__ import annotations

import numpy as np

from mixlib.chain import STAGES, Stages
from mixlib.chain.controls import shape
from mixlib.chain.mixing import demand_shares
from mixlib.chain.outputs import travel_percent
from mixlib.describe import Output, Radio, Setup
from mixlib.describe.words import direction, listed, movement, sentence_start
from mixlib.draw.shapes import ROOM, Arrow, Drawing, Line, Polygon, Room, Shape, Text
from mixlib.draw.theme import wrapped
from mixlib.units import COMMANDS

__all__ = ["addition", "chain_strip", "output_words"]

ROWS = {
    "in the radio": ("command", "demand", "travel", "pulse"),
    "on the model": ("arm", "surface", "throw"),
}
STAGE_PLACES = {
    "command": "in your hand",
    "demand": "after mixing",
    "travel": "after limits",
    "pulse": "to the servo",
    "arm": "servo arm",
    "surface": "hinge",
    "throw": "trailing edge",
}


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
    words = {
        "arm": "forward" if values["arm"] > 0.05 else "back" if values["arm"] < -0.05 else "middle",
        "surface": direction(surface, values["throw"]),
        "throw": direction(surface, values["throw"]),
    }
    box, gap, height, left = 140.0, 24.0, 112.0, 148.0
    shapes: list[Shape] = [Text(14, 28, f"{sentence_start(surface_name)}, output {output + 1}", "title")]
    said = []
    for row, (where, names) in enumerate(ROWS.items()):
        top = 46.0 + row * (height + 22)
        shapes.append(Text(14, top + height / 2 + 5, where, "strong"))
        if row:  # the wire from the pulse, upper right, down to the arm, lower left
            middle, end = top - 11, left + len(ROWS["in the radio"]) * (box + gap) - gap - box / 2
            shapes.append(Line(((end, top - 22), (end, middle), (left + box / 2, middle)), "movement"))
            shapes.append(Arrow((left + box / 2, middle), (left + box / 2, top - 1), "movement"))
        for place_in_row, name in enumerate(names):
            x = left + place_in_row * (box + gap)
            fault = lost.get(name, "")
            shown = _number(name, abs(values[name]) if name in words else values[name], STAGES[name])
            shapes.append(_frame(x, top, box, height, "fault" if fault else "ground"))
            shapes.append(Text(x + box / 2, top + 24, name, "strong", "middle"))
            shapes.append(Text(x + box / 2, top + 54, shown, "title", "middle"))
            shapes.append(Text(x + box / 2, top + 77, words.get(name, ""), "label", "middle"))
            note = fault or STAGE_PLACES[name]
            shapes.append(Text(x + box / 2, top + 101, note, "warning" if fault else "note", "middle"))
            if place_in_row:
                shapes.append(Arrow((x - gap + 1, top + height / 2), (x - 2, top + height / 2), "movement"))
            said.append(" ".join(filter(None, [name, shown, words.get(name, ""), fault])))
    width = left + 4 * (box + gap) - gap + 14
    moved = movement(surface, values["surface"], values["throw"])
    title = f"From {command} to the {surface_name}: {moved}"
    return Drawing(width, top + height + 14, tuple(shapes), title, "; ".join(said) + ".")


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
    heading = sentence_start(output_words(setup, number))
    shaped = shape(asked, setup.shaping)
    shares = [(name, float(share)) for name, share in demand_shares(setup, shaped, number)]
    total = sum(share for _, share in shares)
    sense = -1.0 if output.reversed else 1.0
    low, high = _demand_limits(output, setup.radio)
    kept = sense * (float(travel_percent(total, output, setup.radio)[0]) - output.sub_trim_percent)
    span = 200.0
    left, width, top, row = 290.0, 470.0, 74.0, 36.0

    def x(percent: float) -> float:
        return left + (min(max(percent, -span), span) + span) / (2 * span) * width

    bottom = top + row * (len(shares) + 2)
    shapes: list[Shape] = [
        Text(14, 28, heading, "title"),
        Polygon(((x(low), top - 8), (x(high), top - 8), (x(high), bottom), (x(low), bottom)), "ground"),
    ]
    ticks = [step * span / 4 for step in range(-4, 5)]
    shapes += [Line(((x(tick), top - 8), (x(tick), bottom)), "grid") for tick in ticks]
    shapes += [Text(x(tick), top - 16, _percent(tick), "note", "middle") for tick in ticks[::2]]
    start = 0.0
    rows = [*shares, ("together: demand", total), ("given: travel", kept)]
    for index, (name, share) in enumerate(rows):
        y = top + row * (index + 0.5)
        part = index < len(shares)
        begin, end = (start, start + share) if part else (0.0, share)
        label = wrapped(f"{name}  {_percent(share)}", left - 30, "label", 1)[0]
        shapes.append(Text(14, y + 6, label, "label" if part else "strong"))
        role = "curve 1" if part else "curve 2" if index == len(shares) else "movement"
        if abs(x(end) - x(begin)) > 1:
            shapes.append(Arrow((x(begin), y), (x(end), y), role))
        else:
            shapes.append(Line(((x(end), y - 8), (x(end), y + 8)), role))
        start = end if part else start
    added = " and ".join(f"{name} {_percent(share)}" for name, share in shares) or "nothing"
    said = f"{heading}: {added} make {_percent(total)}."
    beyond = total - min(max(total, low), high)
    if beyond:
        limits = f"{_percent(low)} to {_percent(high)}"
        said += f" The end points let {limits} through, so {abs(beyond):.0f} % is lost."
    return Drawing(left + width + 30, bottom + 14, tuple(shapes), heading, said)


def output_words(setup: Setup, number: int) -> str:
    """Name an output by what is plugged in, such as ``"output 1 (right aileron)"``."""
    names = listed(surface.name for surface in setup.surfaces_on(number)) or "nothing plugged in"
    return f"output {number} ({names})"


def _demand_limits(output: Output, radio: Radio) -> tuple[float, float]:
    """Lowest and highest demand of which nothing is lost, percent."""
    if radio.end_points == "scale":
        return -100.0, 100.0
    ends = (output.end_low_percent, output.end_high_percent)
    low, high = reversed(ends) if output.reversed else ends
    return -low, high


def _frame(left: float, top: float, width: float, height: float, role: str) -> Polygon:
    corners = ((left, top), (left + width, top), (left + width, top + height), (left, top + height))
    return Polygon(corners, role)


def _number(name: str, value: float, unit: str) -> str:
    places = {"command": 2, "demand": 0, "travel": 0, "pulse": 0}.get(name, 1)
    text = f"{value:+.{places}f}" if name in ("command", "demand", "travel") else f"{value:.{places}f}"
    if float(text) == 0:
        text = text.lstrip("+-")
    unit = {"deg": "°", "": "", "us": " µs"}.get(unit, f" {unit}")
    return text + unit


def _percent(value: float) -> str:
    rounded = round(value)
    return "0 %" if rounded == 0 else f"{rounded:+d} %".replace("-", "−")
