"""Sections of the card on what is set in the radio, each computed from a set-up; all text is plain."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from mixlib.chain import Rig, commands
from mixlib.chain.mixing import leading_command
from mixlib.describe import MOTOR, READY_MADE, FreeMix, Output, Setup
from mixlib.describe.words import COMMAND_ENDS, listed, number, sentence_start, signed

__all__ = [
    "TICK",
    "Section",
    "both",
    "mixes",
    "outputs",
    "plain",
    "shaping",
    "table",
]

TICK = "☐"
"""An empty box to tick."""


@dataclass(frozen=True)
class Section:
    """One part of the card: lines, a table, boxes to tick, or several of these; all text is plain."""

    title: str
    lines: tuple[str, ...] = ()
    columns: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    boxes: tuple[str, ...] = ()

    @property
    def empty(self) -> bool:
        """Whether there is nothing to show."""
        return not (self.lines or self.rows or self.boxes)


def plain(text: str) -> str:
    """Text as one line: line breaks and control letters, also those that turn writing round, are spaces."""
    kept = (" " if unicodedata.category(letter) in ("Cc", "Cf", "Zl", "Zp") else letter for letter in text)
    return " ".join("".join(kept).split())


def _cells(row: Iterable[str]) -> tuple[str, ...]:
    return tuple(map(plain, row))


def table(title: str, columns: Iterable[str], rows: Iterable[Iterable[str]], without: str = "") -> Section:
    """A section with a table, or with a line in its place when it has no rows."""
    filled = tuple(map(_cells, rows))
    lines = (without,) if without and not filled else ()
    return Section(title, lines=lines, columns=_cells(columns), rows=filled)


def both(names: Sequence[str]) -> str:
    """Surfaces that do the same: a pair such as ``"both flaps"``, else their names."""
    first, *others = names
    kin = first.removeprefix("left ")
    return f"both {kin}s" if others == [f"right {kin}"] else listed(names)


def _gains(item: Output | FreeMix) -> str:
    return f"{signed(item.gain_above_percent)} / {signed(item.gain_below_percent)} %"


def _used_outputs(setup: Setup) -> list[Output]:
    numbers = {*setup.wiring.values(), *(output.number for output in setup.outputs)}
    numbers |= {output for made in setup.ready_made for output in (made.first, made.second)}
    return [setup.output(output) for output in sorted(numbers | {mix.follower for mix in setup.free_mixes})]


def outputs(setup: Setup) -> Section:
    """Every output in use: its plug, how it is set, and a place for where it goes without a signal."""
    kind = {"clip": "cut off", "scale": "scale"}[setup.radio.end_points]
    used = _used_outputs(setup)
    shifted = any(output.shift_percent for output in used)
    columns = ["Output", "Plug of", "Direction", "Own control, gain above / below"]
    columns += [f"End points, short / long pulse ({kind})", "Sub-trim"] + ["Shift"] * shifted + ["Fail-safe"]
    rows = (
        [
            str(output.number),
            setup.plugged_in(output.number),
            "reversed" if output.reversed else "normal",
            _led_by(setup, output),
            f"{number(output.end_low_percent)} / {number(output.end_high_percent)} %",
            f"{signed(output.sub_trim_percent)} %",
            *[f"{signed(output.shift_percent)} %"] * shifted,
            "motor off" if output.number == setup.wiring.get(MOTOR) else "",
        ]
        for output in used
    )
    return table("Wiring and outputs", columns, rows)


def _led_by(setup: Setup, output: Output) -> str:
    if output.number == setup.wiring.get(MOTOR):
        closed, full = Rig(setup).run(commands(throttle=[0, 1])).pulse[:, output.number - 1]
        return f"{output.control or 'no control'}: closed {closed:.0f} us, full {full:.0f} us"
    return "none" if output.control is None else f"{output.control}, {_gains(output)}"


def mixes(setup: Setup) -> Section:
    """Ready-made functions; every free mix: leader, follower, gains; in lines what else is set of it."""
    rows = (
        [
            _leader_words(setup, mix),
            f"{mix.follower} ({setup.plugged_in(mix.follower)})",
            "by its curve" if mix.curve_percent else _gains(mix),
        ]
        for mix in setup.free_mixes
    )
    made = table("Free mixes", ["From", "Into output", "Gain above / below"], rows, "None.")
    ready = tuple(
        f"Ready-made {one.kind}: {alike} alike to outputs {one.first} and {one.second}, "
        f"{signed(one.alike_percent)} %; {opposite} to output {one.first} with "
        f"{signed(one.opposite_percent)} %, to output {one.second} the other way round"
        for one in setup.ready_made
        for alike, opposite in [READY_MADE[one.kind]]
    )
    extras = ((mix, _extra(mix)) for mix in setup.free_mixes)
    told = tuple(sentence_start(f"{mix.label}: {extra}.") for mix, extra in extras if extra)
    return replace(made, lines=ready + told + made.lines)


def _extra(mix: FreeMix) -> str:
    parts = [] if mix.on else ["switched off"]
    if mix.curve_percent:
        at = [-100 + 200 * place / (len(mix.curve_percent) - 1) for place in range(len(mix.curve_percent))]
        points = zip(at, mix.curve_percent, strict=True)
        parts.append("curve " + ", ".join(f"{signed(x)}: {signed(y)}" for x, y in points) + " %")
    elif mix.centre_percent:
        parts.append(f"centre at {signed(mix.centre_percent)} %")
    return "; ".join(parts)


def _leader_words(setup: Setup, mix: FreeMix) -> str:
    if isinstance(mix.leader, str):
        return f"{mix.leader} ({setup.radio.held_by(mix.leader)})"
    taken = "what it ends up with"
    if setup.radio.mix_takes == "command":
        taken = f"its {leading_command(setup, mix) or 'command, which it has not'}"
    return f"output {mix.leader}, {taken}"


def shaping(setup: Setup) -> Section:
    """Rate and expo of commands, marks beside dials and sliders, and phases with a roll of their own."""
    lines = [
        f"{command}: rate {number(shaping.rate_percent)} %, expo {number(shaping.expo_percent)} %"
        for command, shaping in setup.shaping.items()
    ]
    lines += [
        f"{mark.command}: mark the {setup.radio.lever(mark.command)} at {number(mark.percent)} % of its "
        f"way to {COMMAND_ENDS[mark.command][mark.side == 'above']}; turn it no further"
        for mark in setup.marks
    ]
    lines += [f"In the phase {phase.name}: {phase.roll_words}" for phase in setup.phases if phase.own_roll]
    return Section("Rate, expo and marks", lines=tuple(lines))
