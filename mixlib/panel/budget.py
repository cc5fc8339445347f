"""The panel of the budget: how much roll is left beside camber and brake."""

from __future__ import annotations

from functools import partial
from typing import Any

from mixlib.bench.surface.budget import budget
from mixlib.chain import Rig, commands
from mixlib.describe import Setup
from mixlib.describe.words import listed, signed
from mixlib.draw.aircraft import with_aircraft
from mixlib.draw.budget import budget_square
from mixlib.panel.base.aircraft import Hand
from mixlib.panel.base.controls import command_slider
from mixlib.panel.base.panel import Panel, Seen
from mixlib.say.differences import Measure
from mixlib.say.readout import limit_sentences
from mixlib.say.tables import html_table
from mixlib.units import COMMANDS

__all__ = ["budget_panel"]


def budget_panel(setup: Setup) -> Panel:
    """Change the size of the camber movement and see how much roll is left."""
    rig, hand = Rig(setup), Hand()
    brakes = "brake" in setup.radio.commands
    controls = [command_slider(name, 1.0, radio=setup.radio) for name in ("roll", "camber")]
    if brakes:
        controls.append(command_slider("brake", radio=setup.radio))

    def update(values: dict[str, Any]) -> Seen:
        found = budget(setup, values.get("brake", 0.0))
        stages = rig.run(commands(**values))
        roll, camber = (float(stages.command[COMMANDS.index(name)]) for name in ("roll", "camber"))
        told = limit_sentences(setup, stages) or ("Here every surface follows.",)
        rows = [
            [
                f"output {part.limit.output} ({setup.plugged_in(part.limit.output)})",
                f"{part.limit.words}, beyond {signed(part.limit.demand_percent, 0)} %",
                f"{100 * part.share:.0f} %",
            ]
            for part in found.lost[:6]
        ]
        extra = html_table(["what runs out", "at", "share of the square"], rows) if rows else ""
        left = listed(f"{100 * share:.0f} % at {place}" for place, share in found.roll_left.items())
        said = " ".join([*told, found.words[0], f"Roll left: {left}."])
        numbers = [
            Measure(f"roll left at {place}", 100 * share, "%", digits=0)
            for place, share in found.roll_left.items()
        ]
        square = partial(budget_square, found, (roll, camber))
        picture = partial(with_aircraft, title, square, hand.aircraft(rig, values, stages))
        return Seen(picture, said, extra, numbers=numbers)

    title = "How much roll is left?"
    return Panel(title, controls, update)
