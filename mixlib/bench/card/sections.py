"""The sections of the bench card, each computed from a set-up; all text is plain."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from mixlib.bench.surface.levers import nearest_lever
from mixlib.chain import Rig, Stages, commands
from mixlib.chain.mixing import leading_command
from mixlib.chain.outputs import demand_for_travel_percent
from mixlib.describe import MOTOR, READY_MADE, FreeMix, Output, Phase, Setup, Surface
from mixlib.describe.words import (
    COMMAND_ENDS,
    NEUTRAL_MM,
    command_end,
    listed,
    movement,
    number,
    sentence_start,
    signed,
)
from mixlib.units import MM_PER_INCH, throw_mm_from_angle

__all__ = [
    "TICK",
    "Section",
    "limits",
    "mixes",
    "movements",
    "outputs",
    "plain",
    "rests",
    "shaping",
    "wanted",
]

TICK = "☐"
"""An empty box to tick."""

_SEEN_MM = 0.05  # a miss that is written as 0.0 is none


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


def _table(title: str, columns: Iterable[str], rows: Iterable[Iterable[str]], without: str = "") -> Section:
    """A section with a table, or with a line in its place when it has no rows."""
    cells = tuple(map(_cells, rows))
    return Section(
        title, lines=(without,) if without and not cells else (), columns=_cells(columns), rows=cells
    )


def _both(item: Output | FreeMix) -> str:
    return f"{signed(item.gain_above_percent)} / {signed(item.gain_below_percent)} %"


def _output_words(setup: Setup, output: int) -> str:
    return f"output {output} ({setup.plugged_in(output)})"


def _used_outputs(setup: Setup) -> list[Output]:
    numbers = {*setup.wiring.values(), *(output.number for output in setup.outputs)}
    numbers |= {output for made in setup.ready_made for output in (made.first, made.second)}
    return [setup.output(output) for output in sorted(numbers | {mix.follower for mix in setup.free_mixes})]


def outputs(setup: Setup) -> Section:
    """Every output in use: what is plugged into it and how it is set."""
    kind = {"clip": "cut off", "scale": "scale"}[setup.radio.end_points]
    used = _used_outputs(setup)
    shifted = any(output.shift_percent for output in used)
    columns = ["Output", "Plug of", "Direction", "Own control, gain above / below"]
    columns += [f"End points, short / long pulse ({kind})", "Sub-trim"] + ["Shift"] * shifted
    rows = (
        [
            str(output.number),
            setup.plugged_in(output.number),
            "reversed" if output.reversed else "normal",
            _led_by(setup, output),
            f"{number(output.end_low_percent)} / {number(output.end_high_percent)} %",
            f"{signed(output.sub_trim_percent)} %",
            *[f"{signed(output.shift_percent)} %"] * shifted,
        ]
        for output in used
    )
    return _table("Wiring and outputs", columns, rows)


def _led_by(setup: Setup, output: Output) -> str:
    if output.number == setup.wiring.get(MOTOR):
        closed, full = Rig(setup).run(commands(throttle=[0, 1])).pulse[:, output.number - 1]
        return f"{output.control or 'no control'}: closed {closed:.0f} us, full {full:.0f} us"
    return "none" if output.control is None else f"{output.control}, {_both(output)}"


def mixes(setup: Setup) -> Section:
    """Ready-made functions; every free mix: leader, follower, gains, and what else is set of it."""
    extras = [_extra(mix) for mix in setup.free_mixes]
    more = any(extras)
    rows = (
        [
            _leader_words(setup, mix),
            _output_words(setup, mix.follower),
            "by its curve" if mix.curve_percent else _both(mix),
            *[extra] * more,
        ]
        for mix, extra in zip(setup.free_mixes, extras, strict=True)
    )
    table = _table("Free mixes", ["From", "Into", "Gain above / below", *["Also"] * more], rows, "None.")
    made = tuple(
        f"Ready-made {made.kind}: {alike} alike to outputs {made.first} and {made.second}, "
        f"{signed(made.alike_percent)} %; {opposite} to output {made.first} with "
        f"{signed(made.opposite_percent)} %, to output {made.second} the other way round"
        for made in setup.ready_made
        for alike, opposite in [READY_MADE[made.kind]]
    )
    return replace(table, lines=made + table.lines)


def _extra(mix: FreeMix) -> str:
    parts = [] if mix.on else ["switched off"]
    if mix.curve_percent:
        parts.append("curve " + ", ".join(map(number, mix.curve_percent)) + " %")
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
    """Rate and expo of the commands that have them, and marks beside dials and sliders."""
    lines = [
        f"{command}: rate {number(shaping.rate_percent)} %, expo {number(shaping.expo_percent)} %"
        for command, shaping in setup.shaping.items()
    ]
    lines += [
        f"{mark.command}: mark the {setup.radio.held_by(mark.command)} at {number(mark.percent)} % of its "
        f"way to {COMMAND_ENDS[mark.command][mark.side == 'above']}; turn it no further"
        for mark in setup.marks
    ]
    return Section("Rate, expo and marks", lines=tuple(lines))


def movements(setup: Setup, rig: Rig) -> Section:
    """What each surface must do at both ends of each command; a dash where it stays at rest.

    The throttle is nothing to try: what it does to a surface by a mix is told, without a box to tick.
    """
    surfaces = setup.aircraft.surfaces
    rest = rig.run(commands())
    rows, told = [], []
    if np.any(np.abs(rest.throw) >= NEUTRAL_MM):
        rows.append((TICK, "All at neutral", *_moved(surfaces, rest)))
    for command, value in setup.ends:
        stages = rig.run(commands(**{command: value}))
        stays = np.abs(stages.throw - rest.throw) < NEUTRAL_MM
        if stays.all():
            continue
        if command == "throttle":
            moved = zip(surfaces, _moved(surfaces, stages), stays, strict=True)
            goes = listed(f"{part.name} {word}" for part, word, still in moved if not still)
            told.append(plain(f"Full throttle, calculated and not to be tried here: {goes}."))
        else:
            words = ["–" if s else word for word, s in zip(_moved(surfaces, stages), stays, strict=True)]
            end, hand = sentence_start(command_end(command, value)), setup.radio.held_by(command)
            rows.append((TICK, end if hand == "stick" else f"{end} ({hand})", *words))
    columns = ("Seen", "Command", *map(sentence_start, rig.surface_names))
    nothing = "Nothing moves: no control reaches a surface."
    table = _table("What must move, seen from behind", columns, rows, nothing)
    return replace(table, lines=(*told, *table.lines))


def _moved(surfaces: Iterable[Surface], stages: Stages) -> list[str]:
    return [movement(*row) for row in zip(surfaces, stages.surface, stages.throw, strict=True)]


def rests(setup: Setup) -> Section:
    """Where every surface must rest in each flight phase, and which lever comes nearest."""
    named = {name for phase in setup.phases for name in phase.angles_deg}
    surfaces = [part for part in setup.aircraft.surfaces if part.name in named]
    rows = []
    for phase in setup.phases:
        angles = [phase.angles_deg.get(part.name, 0.0) for part in surfaces]
        cells = (
            movement(part, angle, float(throw_mm_from_angle(angle, part.chord_mm)))
            for part, angle in zip(surfaces, angles, strict=True)
        )
        rows.append((TICK, sentence_start(phase.name), *cells, _lever(setup, phase)))
    names = (sentence_start(part.name) for part in surfaces)
    columns = ("Seen", "Phase", *names, "Nearest lever, and its miss")
    return _table("Where it rests in each phase", columns, rows)


def _lever(setup: Setup, phase: Phase) -> str:
    found = nearest_lever(setup, phase)
    name, missed = found.worst
    place = "all at neutral"
    if found.command:
        end = command_end(found.command, 1 if found.value > 0 else -1)
        place = f"{100 * abs(found.value):.0f} % of the way to {end}"
    return f"{place}; {abs(missed):.1f} mm ({name})" if abs(missed) >= _SEEN_MM else f"{place}; none"


def wanted(setup: Setup, rig: Rig) -> Section:
    """The throws that the reader wants beside those that the settings give."""
    rows = []
    for want in (one for one in setup.wanted if one.weight > 0):
        value = setup.used_to(want.command, 1 if want.side == "above" else -1)
        if not value:
            continue  # throttle and brake have no other side
        stages = rig.run(commands(**{want.command: value}))
        place = rig.surface_names.index(want.surface)
        angle, throw = float(stages.surface[place]), float(stages.throw[place])
        got = {"deg": angle, "mm": throw, "inch": throw / MM_PER_INCH}[want.unit]
        digits = 2 if want.unit == "inch" else 1
        surface = setup.aircraft.surfaces[place]
        given = [_amount(surface, amount, want.unit, digits) for amount in (want.amount, got)]
        missed = f"{signed(got - want.amount, digits)} {want.unit}"
        rows.append((want.surface, command_end(want.command, value), *given, missed))
    columns = ("Surface", "Command", "Wanted", "Got", "Difference, down (rudder: left) positive")
    return _table("Wanted and got", columns, rows)


def _amount(surface: Surface, value: float, unit: str, digits: int) -> str:
    if round(value, digits) == 0:
        return "neutral"
    down, up = ("left", "right") if surface.kind == "rudder" else ("down", "up")
    return f"{down if value > 0 else up} {number(abs(value), digits)} {unit}"


def limits(setup: Setup, rig: Rig) -> Section:
    """What reaches an end with one command or with two together, told for the case in which it is worst."""
    pairs = (pair for pair in combinations(setup.ends, 2) if pair[0][0] != pair[1][0])
    cases = [*((end,) for end in setup.ends), *pairs]
    stages = rig.run(np.array([commands(**dict(case)) for case in cases]))
    told = []

    def worst(hit: np.ndarray, size: np.ndarray) -> tuple[int, str] | None:
        """Case in which something is worst; of equal ones the first, which has the fewest commands."""
        if not hit.any():
            return None
        index = int(np.argmax(np.where(hit, np.round(np.abs(size), 6), -1)))
        return index, " with ".join(command_end(*end) for end in cases[index])

    for output in _used_outputs(setup):
        if output.number == setup.wiring.get(MOTOR):  # at an end whenever the throttle is closed
            power = float(rig.run(commands(throttle=1)).power[0])
            told += [f"Motor: full throttle gives {power:.0f} % of its power."] if power < 100 else []
            continue
        column, name = output.number - 1, sentence_start(_output_words(setup, output.number))
        demand = stages.demand[:, column]
        if found := worst(stages.demand_clipped[:, column], demand):
            index, case = found
            given = demand_for_travel_percent(stages.travel[index, column], output, setup.radio)
            told.append(f"{name}: {case} asks for {abs(demand[index]):.0f} % and gets {abs(given):.0f} %.")
        if found := worst(stages.pulse_clipped[:, column], stages.pulse[:, column] - setup.radio.centre_us):
            told.append(f"{name}: {found[1]} reaches the end of the pulse that radio or servo can follow.")
    for column, surface in enumerate(setup.aircraft.surfaces):
        name, angle = sentence_start(surface.name), stages.surface[:, column]
        if found := worst(stages.at_stop[:, column], angle):
            told.append(f"{name}: {found[1]} runs into the stop at {abs(angle[found[0]]):.0f}°.")
        if found := worst(stages.binds[:, column], stages.arm[:, column]):
            told.append(f"{name}: {found[1]} takes the linkage to its dead point; use less travel.")
    nothing = "Nothing, with one command at its end or with two together."
    return Section("What runs out", lines=_cells(told or [nothing]))
