"""The panels of the first lessons: surfaces that follow the commands, the chain step by step, gains to edit.

Each is a function that takes a set-up and returns a panel, which shows itself as the last line of a cell.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np

from mixlib.bench.card import manners
from mixlib.bench.surface.dial import Dial
from mixlib.chain import Rig, commands
from mixlib.describe import FreeMix, Output, Setup
from mixlib.describe.words import (
    COMMAND_ENDS,
    NEUTRAL_MM,
    listed,
    movement,
    movement_sentence,
    number,
)
from mixlib.draw.aircraft import with_aircraft
from mixlib.draw.chain import addition, chain_strip, output_words
from mixlib.draw.charts import Band, Curve, Spot, line_chart
from mixlib.draw.linkage import linkage_side
from mixlib.draw.plan import plan_view
from mixlib.draw.shapes import ROOM, Drawing, Room, together
from mixlib.panel.base.aircraft import Hand, posed, whole_aircraft
from mixlib.panel.base.controls import NumberGrid, Pick, Slider, command_slider
from mixlib.panel.base.panel import Panel, Seen
from mixlib.say.differences import Measure, throw_measures
from mixlib.say.phases import no_droop_words
from mixlib.say.readout import command_words, readout
from mixlib.say.tables import html_table
from mixlib.units import COMMAND_RANGES, COMMANDS

__all__ = [
    "adding",
    "chain",
    "dial",
    "gains",
    "moving_commands",
    "surfaces",
    "trims",
    "wiring",
]

_SEEN_DEG = 0.05  # a surface that moves less than this stays where it is
_CARRY = {"carry the trim": True, "leave it behind": False}
_AT_HAND = 60.0  # where the last hand left the dial, percent: not at neutral, as no spring takes it there


def surfaces(setup: Setup, named: tuple[str, ...] = (), note: str = "") -> Panel:
    """Show the whole aircraft's surfaces following the commands.

    Parameters
    ----------
    named : tuple of str
        Commands that get a slider; all that move a surface when empty, with the reason if none droops.  With
        ``"throttle"`` among them the pulse and the power of the motor are said too.
    """
    note = note or ("" if named else no_droop_words(setup))
    named = named or moving_commands(setup)
    rig, hand = Rig(setup), Hand()
    controls = [command_slider(name, radio=setup.radio) for name in named]
    return Panel(
        f"{setup.aircraft.name} from behind", controls, lambda values: _seen(rig, values, hand), note
    )


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

    return Panel(title, [pick, *(command_slider(name, radio=setup.radio) for name in named)], update)


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
    rig, hand = Rig(setup), Hand()
    in_use = {output_words(setup, used): used for used in setup.servo_outputs}
    pick = [] if number else [Pick("output", in_use)]

    def update(values: dict[str, Any]) -> Seen:
        shown = values.pop("output", number)
        asked = commands(**values)
        stages = rig.run(asked)
        numbers = [Measure(f"output {shown}: travel", float(stages.travel[shown - 1]), "%", digits=0)]
        arrows = partial(addition, setup, asked, shown)
        picture = partial(with_aircraft, title, arrows, hand.aircraft(rig, values, stages))
        return Seen(picture, arrows().description, numbers=numbers)

    title = f"{setup.aircraft.name}: {output_words(setup, number) if number else 'shares of an output'}"
    controls = [*pick, *(command_slider(name, radio=setup.radio) for name in named)]
    return Panel(title, controls, update, note)


def gains(setup: Setup, named: tuple[str, ...] = ()) -> Panel:
    """Edit the gains in place and watch the surfaces follow; what the radio cannot change is shown as fixed.

    Parameters
    ----------
    named : tuple of str
        Commands that get a slider, and whose direct shares are shown; all that move a surface when empty.
    """
    named, radio, hand = named or moving_commands(setup), setup.radio, Hand()
    direct = [output for output in setup.outputs if output.control in named]
    rows = [f"{output.control} direct, {output_words(setup, output.number)}" for output in direct]
    if not radio.output_gains:
        rows = [f"{row}: fixed" for row in rows]
    fixed = () if radio.output_gains else tuple(rows)
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
        fixed=fixed,
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
        return _seen(Rig(changed), values, hand)

    return Panel(
        "Gains, and what they do",
        [grid, *(command_slider(name, radio=setup.radio) for name in named)],
        update,
    )


def wiring(setup: Setup, note: str = "") -> Panel:
    """Show from above what is plugged into which output.

    Returns
    -------
    Panel
        Picture and sentence, without controls.
    """
    picture = partial(plan_view, setup)
    return Panel(f"{setup.aircraft.name}: the plugs", [], lambda _: Seen(picture), note)


def trims(setup: Setup, note: str = "") -> Panel:
    """Move the trim levers of roll and pitch, with mixes that carry the trim or leave it behind.

    Returns
    -------
    Panel
        Sliders, a choice of what mixes do, the surfaces, what to do instead, and both ways in a table.
    """
    radio = setup.radio
    levers = [name for name in ("roll", "pitch") if name in radio.trimmed_commands and radio.trim_max_percent]
    most = radio.trim_max_percent
    still = setup.replace(trims={})

    def trimmed(carry: bool, percent: dict[str, float]) -> Rig:
        return Rig(still.replace(radio=radio.replace(mixes_carry_trim=carry), trims=percent))

    def update(values: dict[str, Any]) -> Seen:
        carry = values.pop("mixes")
        if not levers:
            raise ValueError("this radio has no trim lever: move the rods, or sub-trim where it has that")
        rigs = {words: trimmed(way, values) for words, way in _CARRY.items()}
        moved = {words: rig.run(commands()) for words, rig in rigs.items()}
        shown = next(words for words, way in _CARRY.items() if way == carry)
        rig, stages = rigs[shown], moved[shown]
        asked = command_words(commands(**{name: by / 100 for name, by in values.items()}), tuple(values))
        said = movement_sentence(setup.aircraft.surfaces, stages.surface, stages.throw)
        instead = manners.trims(rig.setup.replace(trims={})).lines
        rows = [
            [f"mixes {words}", *map(movement, setup.aircraft.surfaces, run.surface, run.throw)]
            for words, run in moved.items()
        ]
        table = html_table(["", *setup.aircraft.surface_names], rows, "The same trim, both ways")
        picture = whole_aircraft(setup, stages)
        return Seen(picture, " ".join([f"Trim levers: {asked}. {said}", *instead]), table)

    sliders = [
        Slider(name, -most, most, 1, 0, "%", label=f"trim of {name}", ends=COMMAND_ENDS[name])
        for name in levers
    ]
    pick = Pick("mixes", _CARRY, radio.mixes_carry_trim)
    return Panel("Trim afterwards", [*sliders, pick], update, note)


def dial(setup: Setup, command: str = "camber", note: str = "") -> Panel:
    """Turn a dial: to its mark, past it to its end, and with its neutral in the middle or at its low end.

    Parameters
    ----------
    command : str
        One that goes both ways.

    Returns
    -------
    Panel
        Where it stands, its mark, a choice of its neutral, the throws over its way, and what each neutral
        costs.
    """
    on_dial = command in setup.radio.marked_commands
    held = setup.radio.lever(command) if on_dial else "dial"
    low_end, high_end = COMMAND_ENDS[command]
    neutrals = {"in the middle": 0.0, f"at the end of {low_end}": -1.0}

    def update(values: dict[str, Any]) -> Seen:
        if not on_dial:
            raise ValueError(f"this radio has no dial and no slider for {command}")
        turned = Dial(setup, command, values["neutral"])
        if not turned.moved:
            raise ValueError(f"the {held} moves nothing yet: give {command} an output or a mix")
        place, mark = values["place"], min(values["neutral"] + values["mark"], 1.0)
        here, marked, end = (turned.words(at) for at in (place, mark, 1.0))
        to_mark = f"At its mark, {number(100 * mark)} %: {marked}. " if mark < 1 else ""
        past = "past its mark, " if place > mark + 1e-9 else ""
        felt = (
            "at the end, where a finger feels it: put the servo arms on again, and see what is left of roll"
            if values["neutral"]
            else "in the middle, where no finger feels it"
        )
        said = (
            f"The {held} stands at {number(100 * place)} %, {past}{here}. {to_mark}At its end: {end}. "
            f"Neutral is {felt}. Where it stands at switch-on is not known, and the surfaces go there at "
            "once: look before every launch."
        )
        moved = " / ".join(setup.aircraft.surface_names[place] for place in turned.moved)
        rows = [(words, *Dial(setup, command, at).costs(values["mark"])) for words, at in neutrals.items()]
        head = (
            "neutral",
            f"{high_end} at the mark",
            f"{low_end} at its end",
            "a tenth of its way",
            f"full roll at neutral: {moved}",
        )
        chart = partial(_dial_chart, turned, f"Throw over the {held}", place, mark, said)
        table = html_table(head, rows, "What each neutral costs")
        throws = turned.follow(np.array([place])).throw_mm[0]
        numbers = throw_measures(setup.aircraft.surfaces, throws)
        picture = partial(_dial_picture, turned, chart, place)
        return Seen(picture, said, table, numbers=numbers)

    controls = [
        Slider(
            "place", -100, 100, 1, _AT_HAND, "%", f"the {held} stands at", COMMAND_ENDS[command], scale=0.01
        ),
        Slider("mark", 5, 100, 1, 100 * setup.used_to(command, 1), "%", "mark, from neutral", scale=0.01),
        Pick("neutral", neutrals),
    ]
    return Panel(f"The {held}'s manners", controls, update, note)


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
        if any(abs(rig.run(commands(**{name: end})).surface - rest).max() > _SEEN_DEG for end in ends):
            found.append(name)
    return tuple(found)


def _seen(rig: Rig, values: dict[str, float], hand: Hand) -> Seen:
    stages = rig.run(commands(**values))
    said = readout(rig.setup, stages, "throttle" in values)
    numbers = throw_measures(rig.setup.aircraft.surfaces, stages.throw)
    return Seen(hand.aircraft(rig, values, stages), said, numbers=numbers)


def _dial_picture(turned: Dial, chart: Callable[..., Drawing], place: float, room: Room) -> Drawing:
    """The chart and the aircraft with the dial at this place, so low that the table can be seen with them."""
    aircraft = turned.setup.aircraft
    angles = turned.follow(np.array([place])).angle_deg[0].tolist()
    here = dict(zip(aircraft.surface_names, angles, strict=True))
    title = f"The {turned.setup.radio.lever(turned.command)} and what it moves"
    low = Room(room.width, min(room.height, 0.6 * room.width))
    return with_aircraft(title, chart, posed(aircraft, here), room=low)


def _dial_chart(turned: Dial, title: str, place: float, mark: float, said: str, room: Room = ROOM) -> Drawing:
    """Throw of each surface over the dial's way; surfaces that go alike share a line."""
    at = np.linspace(-1, 1, 81)
    throws, here = turned.throws(at), turned.throws(np.array([place]))[0]
    lines: list[tuple[list[str], int]] = []
    for surface in turned.moved:
        name = turned.setup.aircraft.surface_names[surface]
        apart = [np.abs(throws[:, other] - throws[:, surface]).max() for _, other in lines]
        like = [names for (names, _), mm in zip(lines, apart, strict=True) if mm < NEUTRAL_MM]
        if like:
            like[0].append(name)
        else:
            lines.append(([name], surface))
    low = COMMAND_ENDS[turned.command][0]
    return line_chart(
        title,
        [Curve(listed(names), 100 * at, throws[:, surface]) for names, surface in lines],
        f"{turned.setup.radio.lever(turned.command)}, %: minus is {low}",
        "throw, mm: plus is down",
        description=said,
        x_range=(-100, 100),
        spots=[Spot(100 * place, here[surface], "now") for _, surface in lines],
        bands=[Band(100 * mark, 100, "past the mark")] if mark < 1 else (),
        room=room,
    )
