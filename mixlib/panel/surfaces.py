"""The panels of the first lessons: surfaces that follow the commands, the chain step by step, gains to edit.

Each is a function that takes a set-up and returns a panel, which shows itself as the last line of a cell.
"""

from __future__ import annotations

from functools import partial
from typing import Any

import numpy as np

from mixlib.chain import Rig, commands
from mixlib.describe import FreeMix, Output, Setup
from mixlib.draw.chain import addition, chain_strip, output_words
from mixlib.draw.linkage import linkage_side
from mixlib.draw.plan import plan_view
from mixlib.draw.shapes import together
from mixlib.draw.wing import surfaces_drawing, wing_from_behind
from mixlib.panel.base.controls import NumberGrid, Pick, command_slider
from mixlib.panel.base.panel import Panel, Seen
from mixlib.say.readout import limit_notes, readout
from mixlib.units import COMMAND_RANGES, COMMANDS

__all__ = ["adding", "chain", "gains", "moving_commands", "surfaces", "wiring"]


def surfaces(setup: Setup, named: tuple[str, ...] = (), note: str = "") -> Panel:
    """Show the whole aircraft's surfaces following the commands.

    Parameters
    ----------
    named : tuple of str
        Commands that get a slider; all that the radio's controls give, without the throttle, when empty.
    """
    named = named or moving_commands(setup)
    rig = Rig(setup)

    title = f"{setup.aircraft.name} from behind"
    return Panel(title, [command_slider(name) for name in named], lambda values: _seen(rig, values), note)


def chain(setup: Setup, surface: str, named: tuple[str, ...] = ("roll",)) -> Panel:
    """Follow one command through all seven stages to one surface, with the linkage to scale.

    Parameters
    ----------
    surface : str
        Name of the surface that is shown first.
    named : tuple of str
        Commands that get a slider; the first is the one followed.

    Returns
    -------
    Panel
        Sliders, a choice of the surface, the strip of stages and a sentence.
    """
    rig = Rig(setup)
    pick = Pick("surface", setup.aircraft.surface_names, surface)

    def update(values: dict[str, Any]) -> Seen:
        shown = values.pop("surface")
        stages = rig.run(commands(**values))
        place = setup.aircraft.surface_names.index(shown)
        strip = partial(chain_strip, setup, stages, shown, named[0])
        at = float(stages.arm[place]), float(stages.surface[place])
        side = partial(linkage_side, setup.aircraft.surfaces[place], *at)
        return Seen(partial(together, title, (strip, side)))

    title = "From command to trailing edge"

    return Panel(title, [pick, *(command_slider(name) for name in named)], update)


def adding(setup: Setup, number: int = 0, named: tuple[str, ...] = (), note: str = "") -> Panel:
    """Show the shares of an output as arrows that add up, with its limits.

    Parameters
    ----------
    number : int
        The output, from 1; 0 lets the reader choose among those in use.
    named : tuple of str
        Commands that get a slider; all that move a surface when empty.
    """
    named = named or moving_commands(setup)
    in_use = {output_words(setup, used): used for used in sorted(set(setup.wiring.values()))}
    pick = [] if number else [Pick("output", in_use)]

    def update(values: dict[str, Any]) -> Seen:
        shown = values.pop("output", number)
        return Seen(partial(addition, setup, commands(**values), shown))

    title = output_words(setup, number) if number else "Shares of an output"
    return Panel(title, [*pick, *(command_slider(name) for name in named)], update, note)


def gains(setup: Setup, named: tuple[str, ...] = ()) -> Panel:
    """Edit the gains in place and watch the surfaces follow.

    Parameters
    ----------
    named : tuple of str
        Commands that get a slider; all that move a surface when empty.
    """
    radio = setup.radio
    direct = [output for output in setup.outputs if output.control and radio.output_gains]
    rows = [f"{output.control} direct, {output_words(setup, output.number)}" for output in direct]
    rows += [f"{mix.leader_words} into {output_words(setup, mix.follower)}" for mix in setup.free_mixes]
    shares: tuple[Output | FreeMix, ...] = (*direct, *setup.free_mixes)
    start = [(share.gain_above_percent, share.gain_below_percent) for share in shares]
    grid = NumberGrid(
        "gains",
        rows,
        ("above", "below"),
        start,
        radio.gain_min_percent,
        radio.gain_max_percent,
        radio.gain_step_percent,
        "%",
        corner="share of",
    )

    def update(values: dict[str, Any]) -> Seen:
        pairs = [{"gain_above_percent": a, "gain_below_percent": b} for a, b in values.pop("gains")]
        outputs = {output.number: output.replace(**pair) for output, pair in zip(direct, pairs, strict=False)}
        mixes = [
            mix.replace(**pair) for mix, pair in zip(setup.free_mixes, pairs[len(direct) :], strict=True)
        ]
        changed = setup.replace(
            outputs=tuple(outputs.get(output.number, output) for output in setup.outputs),
            free_mixes=tuple(mixes),
        )
        return _seen(Rig(changed), values)

    named = named or moving_commands(setup)
    return Panel("Gains, and what they do", [grid, *(command_slider(name) for name in named)], update)


def wiring(setup: Setup, note: str = "") -> Panel:
    """Show from above which servo is on which output.

    Returns
    -------
    Panel
        Picture and sentence, without controls.
    """
    picture = partial(plan_view, setup.aircraft, setup.wiring)
    return Panel(f"{setup.aircraft.name}: the plugs", [], lambda _: Seen(picture), note)


def moving_commands(setup: Setup) -> tuple[str, ...]:
    """Commands that move at least one surface.

    Returns
    -------
    tuple of str
        In the order of `mixlib.units.COMMANDS`.
    """
    rig = Rig(setup)
    rest = rig.run(commands()).surface
    found = []
    for name in COMMANDS:
        if name not in setup.radio.commands:
            continue
        ends = (COMMAND_RANGES[name][0], 1.0)
        if any(abs(rig.run(commands(**{name: end})).surface - rest).max() > 0.05 for end in ends):
            found.append(name)
    return tuple(found)


def _seen(rig: Rig, values: dict[str, float]) -> Seen:
    stages = rig.run(commands(**values))
    notes = limit_notes(rig.setup, stages)
    draw = surfaces_drawing if _moves_tail(rig, tuple(values)) else wing_from_behind
    picture = partial(draw, rig.setup.aircraft, stages.surface, stages.throw, notes)
    return Seen(picture, readout(rig.setup, stages))


def _moves_tail(rig: Rig, named: tuple[str, ...]) -> bool:
    """Whether any of these commands moves anything on tail or fin, so that the tail is worth its place."""
    tail = [surface.part != "wing" for surface in rig.setup.aircraft.surfaces]
    ends = [commands(**{name: end}) for name in named for end in (COMMAND_RANGES[name][0], 1.0)]
    angles = rig.run([commands(), *ends]).surface
    return bool(np.ptp(angles[:, tail], axis=0).max(initial=0.0) > 0.05)
