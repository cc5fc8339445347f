"""The square of roll and camber: where every surface follows, and where an output or a linkage runs out."""

from __future__ import annotations

from typing import Any

import numpy as np

from mixlib.bench.surface.budget import Budget, budget
from mixlib.chain import Rig, commands
from mixlib.describe import Setup
from mixlib.draw.shapes import Circle, Drawing, Line, Polygon, Shape, Text
from mixlib.panel.base.controls import Slider, command_slider
from mixlib.panel.base.panel import Panel, Seen, table
from mixlib.say.readout import limit_sentences
from mixlib.units import COMMANDS

__all__ = ["budget_panel", "budget_square"]

_SIDE, _LEFT, _TOP = 380.0, 150.0, 74.0


def budget_square(found: Budget, here: tuple[float, float] | None = None) -> Drawing:
    """Draw the safe region of a budget in the square of the two commands.

    Returns
    -------
    Drawing
        Roll to the right, droop upwards; the budget's own words as description.
    """
    half_x, half_y = found.square

    def put(point) -> tuple[float, float]:
        x, y = np.asarray(point, float) / (2 * half_x, 2 * half_y) + 0.5
        return _LEFT + _SIDE * float(x), _TOP + _SIDE * (1 - float(y))

    right, bottom = _LEFT + _SIDE, _TOP + _SIDE
    frame = ((_LEFT, _TOP), (right, _TOP), (right, bottom), (_LEFT, bottom), (_LEFT, _TOP))
    middle_x, middle_y = _LEFT + _SIDE / 2, _TOP + _SIDE / 2
    shapes: list[Shape] = [
        Text(14, 28, "What fits together", "title"),
        Text(14, 52, "White: every surface follows. Coloured: something is lost.", "note"),
        Polygon(frame[:-1], "fault", "something is lost here"),
        *(
            Polygon(tuple(put(corner) for corner in part), "safe", "every surface follows")
            for part in found.safe
        ),
        Line(((middle_x, _TOP), (middle_x, bottom)), "grid"),
        Line(((_LEFT, middle_y), (right, middle_y)), "grid"),
        Line(frame, "axis"),
        Text(_LEFT - 10, _TOP + 16, "full droop", "label", "end"),
        Text(_LEFT - 10, middle_y + 5, "neutral", "note", "end"),
        Text(_LEFT - 10, bottom - 4, "full reflex", "label", "end"),
        Text(_LEFT, bottom + 24, "stick left", "label"),
        Text(right, bottom + 24, "stick right", "label", "end"),
        Text(right + 16, _TOP + 16, "roll left:", "strong"),
    ]
    for row, (name, share) in enumerate(found.roll_left.items()):
        shapes.append(Text(right + 16, _TOP + 44 + 24 * row, f"{name} {100 * share:.0f} %", "label"))
    if here is not None:
        shapes.append(Circle(*put(here), 9.0, "spot", "where the sliders are"))
    return Drawing(right + 190, bottom + 40, tuple(shapes), "What fits together", " ".join(found.words))


def budget_panel(setup: Setup) -> Panel:
    """Change the size of the camber movement and see how much roll is left."""
    rig = Rig(setup)
    brakes = "brake" in setup.radio.commands
    controls = [command_slider("roll", 1.0), command_slider("camber", 1.0)]
    if brakes:
        controls.append(Slider("brake", 0, 100, 10, 0, "%", ends=("in", "out"), scale=0.01))

    def update(values: dict[str, Any]) -> Seen:
        found = budget(setup, values.get("brake", 0.0))
        stages = rig.run(commands(**values))
        here = tuple(float(stages.command[COMMANDS.index(name)]) for name in ("roll", "camber"))
        told = limit_sentences(setup, stages) or ("Here every surface follows.",)
        rows = [[part.limit.words, f"{100 * part.share:.0f} %"] for part in found.lost[:6]]
        extra = table(["what runs out", "share of the square"], rows) if rows else ""
        return Seen(budget_square(found, here), " ".join([*told, *found.words]), extra)

    return Panel("How much roll is left?", controls, update)
