"""The sections of the bench card, each computed from a set-up; all text is plain."""

from __future__ import annotations

import itertools
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from mixlib.chain import Rig, Stages, commands
from mixlib.chain.mixing import leading_command
from mixlib.describe import MOTOR, READY_MADE, FreeMix, Output, Setup, Surface
from mixlib.describe.words import COMMAND_ENDS as DIAL_ENDS
from mixlib.describe.words import NEUTRAL_MM, listed, movement, sentence_start
from mixlib.units import COMMAND_RANGES, MM_PER_INCH

__all__ = [
    "COMMAND_ENDS",
    "TICK",
    "Section",
    "ends_of",
    "limits",
    "mixes",
    "movements",
    "outputs",
    "plain",
    "shaping",
    "wanted",
]

TICK = "☐"
"""An empty box to tick."""

COMMAND_ENDS = {
    ("roll", 1): "roll right",
    ("roll", -1): "roll left",
    ("pitch", 1): "nose up",
    ("pitch", -1): "nose down",
    ("yaw", 1): "nose right",
    ("yaw", -1): "nose left",
    ("camber", 1): "full droop",
    ("camber", -1): "full reflex",
    ("throttle", 1): "full throttle",
    ("brake", 1): "full brake",
}
"""The ends of every command, in words that hold for any stick mode."""


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


def ends_of(setup: Setup) -> list[tuple[str, int]]:
    """Command ends that the radio's controls can reach.

    Returns
    -------
    list of (str, int)
        Keys of `COMMAND_ENDS`, in its order.
    """
    held = setup.radio.commands
    return [end for end in COMMAND_ENDS if end[0] in held and COMMAND_RANGES[end[0]][end[1] > 0] == end[1]]


def _end_words(setup: Setup, command: str, way: int) -> str:
    words, end = COMMAND_ENDS[command, way], abs(setup.used_to(command, way))
    return words if end == 1 else f"{words.removeprefix('full ')} to the mark at {_number(100 * end)} %"


def plain(text: str) -> str:
    """Make one line: line breaks and control letters, also those that turn writing round, are spaces."""
    kept = (" " if unicodedata.category(letter) in ("Cc", "Cf", "Zl", "Zp") else letter for letter in text)
    return " ".join("".join(kept).split())


def _number(value: float) -> str:
    return f"{value:g}".replace("-", "−")


def _signed(value: float) -> str:
    return f"{value:+g}".replace("-", "−") if value else "0"


def _both(above: float, below: float) -> str:
    return f"{_signed(above)} / {_signed(below)} %"


def _served(setup: Setup, number: int) -> str:
    """What an output moves, with the Y-lead named."""
    names, servos = setup.plugs_on(number), [s for s in setup.surfaces_on(number) if s.servo_of is None]
    joined = " (Y-lead)" if len(servos) > 1 else " (one servo)" if len(names) > 1 else ""
    return listed(names) + joined if names else "nothing"


def _output_words(setup: Setup, number: int) -> str:
    return f"output {number} ({_served(setup, number)})"


def _used_outputs(setup: Setup) -> list[Output]:
    numbers = {*setup.wiring.values(), *(output.number for output in setup.outputs)}
    numbers |= {number for made in setup.ready_made for number in (made.first, made.second)}
    return [setup.output(number) for number in sorted(numbers | {mix.follower for mix in setup.free_mixes})]


def _held_by(setup: Setup, command: str) -> str:
    held = (control.held_by for control in setup.radio.controls if control.command == command)
    return next(held, "no control")


def _cells(rows: Iterable[Iterable[str]]) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(map(plain, row)) for row in rows)


def outputs(setup: Setup) -> Section:
    """Every output in use: what is plugged into it and how it is set."""
    kind = {"clip": "cut off", "scale": "scale"}[setup.radio.end_points]
    used = _used_outputs(setup)
    shifted = any(output.shift_percent for output in used)
    columns = ["Output", "Plug of", "Direction", "Own control, gain above / below"]
    columns += [f"End points, short / long pulse ({kind})", "Sub-trim"] + ["Shift"] * shifted
    rows = []
    for output in used:
        gains = _both(output.gain_above_percent, output.gain_below_percent)
        ends = f"{_number(output.end_low_percent)} / {_number(output.end_high_percent)} %"
        row = [str(output.number), _served(setup, output.number)]
        row.append("reversed" if output.reversed else "normal")
        if output.number == setup.wiring.get(MOTOR):
            row.append(_throttle_words(setup, output))
        else:
            row.append("none" if output.control is None else f"{output.control}, {gains}")
        row += [ends, f"{_signed(output.sub_trim_percent)} %"]
        rows.append(row + [f"{_signed(output.shift_percent)} %"] * shifted)
    return Section("Wiring and outputs", columns=tuple(columns), rows=_cells(rows))


def _throttle_words(setup: Setup, output: Output) -> str:
    closed, full = Rig(setup).run(commands(throttle=[0, 1])).pulse[:, output.number - 1]
    led = "throttle" if output.control else "no control"
    return f"{led}: closed {closed:.0f} us, full {full:.0f} us"


def mixes(setup: Setup) -> Section:
    """Ready-made functions; every free mix: leader, follower, gains, and what else is set of it."""
    extras = [_extra(mix) for mix in setup.free_mixes]
    columns = ("From", "Into", "Gain above / below", *(("Also",) if any(extras) else ()))
    rows = []
    for mix, extra in zip(setup.free_mixes, extras, strict=True):
        gains = "by its curve" if mix.curve_percent else _both(mix.gain_above_percent, mix.gain_below_percent)
        row = (_leader_words(setup, mix), _output_words(setup, mix.follower), gains)
        rows.append(row + ((extra,) if any(extras) else ()))
    lines = [
        f"Ready-made {made.kind}: {alike} alike to outputs {made.first} and {made.second}, "
        f"{_signed(made.alike_percent)} %; {opposite} to output {made.first} with "
        f"{_signed(made.opposite_percent)} %, to output {made.second} the other way round"
        for made in setup.ready_made
        for alike, opposite in [READY_MADE[made.kind]]
    ]
    lines += [] if rows else ["None."]
    return Section("Free mixes", lines=tuple(lines), columns=columns, rows=_cells(rows))


def _extra(mix: FreeMix) -> str:
    parts = [] if mix.on else ["switched off"]
    if mix.curve_percent:
        parts.append("curve " + ", ".join(map(_number, mix.curve_percent)) + " %")
    if mix.centre_percent and not mix.curve_percent:
        parts.append(f"centre at {_signed(mix.centre_percent)} %")
    return "; ".join(parts)


def _leader_words(setup: Setup, mix: FreeMix) -> str:
    if isinstance(mix.leader, str):
        return f"{mix.leader} ({_held_by(setup, mix.leader)})"
    taken = "what it ends up with"
    if setup.radio.mix_takes == "command":
        taken = f"its {leading_command(setup, mix) or 'command, which it has not'}"
    return f"output {mix.leader}, {taken}"


def shaping(setup: Setup) -> Section:
    """Rate and expo of the commands that have them, and marks beside dials and sliders."""
    lines = [
        f"{command}: rate {_number(shaping.rate_percent)} %, expo {_number(shaping.expo_percent)} %"
        for command, shaping in setup.shaping.items()
    ]
    lines += [
        f"{mark.command}: mark the {_held_by(setup, mark.command)} at {_number(mark.percent)} % of its way "
        f"to {DIAL_ENDS[mark.command][mark.side == 'above']}; turn it no further"
        for mark in setup.marks
    ]
    return Section("Rate, expo and marks", lines=tuple(lines))


def movements(setup: Setup, rig: Rig) -> Section:
    """What each surface must do at both ends of each command; a dash where it stays at rest.

    The throttle is no movement to try: what it does to a surface by a mix is told, not ticked.
    """
    surfaces = setup.aircraft.surfaces
    rest = rig.run(commands())
    rows = []
    if np.any(np.abs(rest.throw) >= NEUTRAL_MM):
        rows.append((TICK, "All at neutral", *_moved(surfaces, rest)))
    lines = []
    for command, way in ends_of(setup):
        stages = rig.run(commands(**{command: setup.used_to(command, way)}))
        stays = np.abs(stages.throw - rest.throw) < NEUTRAL_MM
        if stays.all():
            continue
        if command == "throttle":
            told = listed(
                f"{part.name} {word}"
                for part, word, still in zip(surfaces, _moved(surfaces, stages), stays, strict=True)
                if not still
            )
            lines.append(f"Full throttle, calculated and not to be tried here: {told}.")
            continue
        words = ["–" if still else word for word, still in zip(_moved(surfaces, stages), stays, strict=True)]
        label = f"{sentence_start(_end_words(setup, command, way))} ({_held_by(setup, command)})"
        rows.append((TICK, label, *words))
    names = (sentence_start(name) for name in rig.surface_names)
    columns = tuple(map(plain, ("Seen", "Full command", *names)))
    lines += [] if rows else ["Nothing moves: no control reaches a surface."]
    return Section(
        "What must move, seen from behind", lines=tuple(map(plain, lines)), columns=columns, rows=_cells(rows)
    )


def _moved(surfaces: tuple[Surface, ...], stages: Stages) -> list[str]:
    return [movement(*row) for row in zip(surfaces, stages.surface, stages.throw, strict=True)]


def wanted(setup: Setup, rig: Rig) -> Section:
    """The throws that the reader wants beside those that the settings give."""
    rows = []
    for want in setup.wanted:
        way = 1 if want.side == "above" else -1
        if COMMAND_RANGES[want.command][way > 0] != way:
            continue  # throttle and brake have no other side
        stages = rig.run(commands(**{want.command: setup.used_to(want.command, way)}))
        place = rig.surface_names.index(want.surface)
        in_unit = {
            "deg": stages.surface[place],
            "mm": stages.throw[place],
            "inch": stages.throw[place] / MM_PER_INCH,
        }
        got, digits = float(in_unit[want.unit]), 2 if want.unit == "inch" else 1
        missed = f"{round(got - want.amount, digits) + 0.0:+.{digits}f}".replace("-", "−")
        surface = setup.aircraft.surfaces[place]
        given = [_amount(surface, value, want.unit, digits) for value in (want.amount, got)]
        rows.append((want.surface, _end_words(setup, want.command, way), *given, f"{missed} {want.unit}"))
    columns = ("Surface", "Command", "Wanted", "Got", "Difference, down (rudder: left) positive")
    return Section("Wanted and got", columns=columns, rows=_cells(rows))


def _amount(surface: Surface, value: float, unit: str, digits: int) -> str:
    if round(value, digits) == 0:
        return "neutral"
    down, up = ("left", "right") if surface.kind == "rudder" else ("down", "up")
    return f"{down if value > 0 else up} {abs(value):.{digits}f} {unit}"


def limits(setup: Setup, rig: Rig) -> Section:
    """What reaches an end with one command or with two together."""
    lines = _told(setup, rig) or ["Nothing, with one command at its end or with two together."]
    return Section("What runs out", lines=tuple(map(plain, lines)))


def _told(setup: Setup, rig: Rig) -> list[str]:
    """One sentence for whatever reaches an end, told for the case in which it is worst."""
    ends = ends_of(setup)
    pairs = [pair for pair in itertools.combinations(ends, 2) if pair[0][0] != pair[1][0]]
    cases = [*((end,) for end in ends), *pairs]
    if not cases:
        return ["Nothing runs out: there is no control."]
    asked_for = [{command: setup.used_to(command, way) for command, way in case} for case in cases]
    stages = rig.run(np.array([commands(**values) for values in asked_for]))
    told = []

    def worst(hit: np.ndarray, size: np.ndarray) -> tuple[int, str] | None:
        """Case in which something is worst; of equal ones the first, which has the fewest commands."""
        if not hit.any():
            return None
        index = int(np.argmax(np.where(hit, np.round(np.abs(size), 6), -1)))
        return index, " with ".join(_end_words(setup, *end) for end in cases[index])

    for output in _used_outputs(setup):
        column = output.number - 1
        if output.number == setup.wiring.get(MOTOR):  # at an end whenever the throttle is closed
            power = float(rig.run(commands(throttle=1)).power[0])
            told += [f"Motor: full throttle gives {power:.0f} % of its power."] if power < 100 else []
            continue
        name = sentence_start(_output_words(setup, output.number))
        found = worst(stages.demand_clipped[:, column], stages.demand[:, column])
        if found:
            index, case = found
            asked, given = (
                stages.demand[index, column],
                stages.travel[index, column] - output.sub_trim_percent,
            )
            told.append(f"{name}: {case} asks for {abs(asked):.0f} % and gets {abs(given):.0f} %.")
        found = worst(stages.pulse_clipped[:, column], stages.pulse[:, column] - setup.radio.centre_us)
        if found:
            told.append(f"{name}: {found[1]} reaches the end of the pulse that radio or servo can follow.")
    for column, surface in enumerate(setup.aircraft.surfaces):
        name, angle = sentence_start(surface.name), stages.surface[:, column]
        found = worst(stages.at_stop[:, column], angle)
        if found:
            told.append(f"{name}: {found[1]} runs into the stop at {abs(angle[found[0]]):.0f}°.")
        found = worst(stages.binds[:, column], stages.arm[:, column])
        if found:
            told.append(f"{name}: {found[1]} takes the linkage to its dead point; use less travel.")
    return told
