"""A plan as a set-up, and a set-up as all that must be typed into the radio, in the order of typing."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np

from mixlib.bench.fit.search import Option, Plan
from mixlib.bench.fit.shares import SIDES, Trial
from mixlib.describe import READY_MADE, FreeMix, Mark, Output, ReadyMade, Setup, Shaping
from mixlib.describe.words import COMMAND_ENDS, number, signed
from mixlib.units import to_step

__all__ = ["Change", "Entry", "changes", "entries", "set_up"]


@dataclass(frozen=True)
class Entry:
    """One thing to plug or to type.

    Attributes
    ----------
    where : str
        Plug, output, command or mix that it belongs to.
    """

    where: str
    what: str
    value: str


@dataclass(frozen=True)
class Change:
    """An entry before and after; nothing where it was not there, or is no more."""

    where: str
    what: str
    old: str
    new: str


def set_up(trial: Trial, plan: Plan, base: Setup) -> Setup:
    """The settings of a plan; what the plan does not set stays as it is in a base set-up."""
    radio, names = trial.radio, trial.reach.names
    wiring = {name: socket for name, socket in base.wiring.items() if name not in names}
    outputs: list[Output] = []
    mixes: list[FreeMix] = []
    ready: list[ReadyMade] = []
    for option, numbers in zip(plan.options, plan.numbers, strict=True):
        for row, (group, socket) in enumerate(zip(option.seat.groups, numbers, strict=True)):
            control = option.seat.controls[row]
            sense, gains, (low, high) = _settings(trial, plan, option, row)
            wiring |= {names[place]: socket for place in group}
            made = {c: gains.pop(c)[0] for c in option.brought if option.seat.made(c)}
            if option.seat.ready and row == 0:
                percents = [made.get(c, 0.0) for c in READY_MADE[option.seat.ready]]
                ready.append(
                    ReadyMade(
                        kind=option.seat.ready,
                        first=numbers[0],
                        second=numbers[1],
                        alike_percent=percents[0],
                        opposite_percent=percents[1],
                    )
                )
            above, below = gains.pop(control) if control in gains else (100.0, 100.0)
            outputs.append(
                base.output(socket).replace(
                    control=control,
                    gain_above_percent=above,
                    gain_below_percent=below,
                    reversed=sense < 0,
                    sub_trim_percent=trial.reach.sub_trim_percent(group),
                    end_low_percent=low,
                    end_high_percent=high,
                )
            )
            mixes += [
                FreeMix(leader=c, follower=socket, gain_above_percent=gain[0], gain_below_percent=gain[1])
                for c, gain in gains.items()
            ]
    new = {output.number for output in outputs}
    outputs += [o for o in base.outputs if o.number not in new and o.number in wiring.values()]
    shaping = dict(base.shaping)
    led = {output.control for output in outputs} | {mix.leader for mix in mixes}
    led |= {command for made in ready for command in READY_MADE[made.kind]}
    marks = [m for m in base.marks if m.command in led and (m.command, m.side) not in plan.sizes]
    for command, side in product((control.command for control in radio.controls), SIDES):
        percent = round(100 * plan.sizes.get((command, side), 1.0), 6)
        if command in radio.shaped_commands and (command, side) in plan.sizes:
            shaping[command] = shaping.get(command, Shaping()).replace(rate_percent=percent)
        elif percent != 100:
            marks.append(Mark(command=command, side=side, percent=percent))
    return base.replace(
        wiring=wiring,
        outputs=tuple(sorted(outputs, key=lambda output: output.number)),
        free_mixes=tuple(mixes),
        ready_made=tuple(ready),
        shaping={command: shaped for command, shaped in shaping.items() if shaped != Shaping()},
        marks=tuple(marks),
    )


def _settings(
    trial: Trial, plan: Plan, option: Option, row: int
) -> tuple[float, dict[str, tuple[float, float]], tuple[float, float]]:
    """Direction, gains by command, and end points of one output."""
    radio, seat = trial.radio, option.seat
    control, sense = seat.controls[row], seat.senses[row]
    pulls = {command: plan.pulls[seat.unit, command][row] for command in option.brought}
    free = (
        radio.output_gains and trial.even_gains and trial.reach.names[seat.unit[row]] not in trial.directions
    )
    if control in pulls and free and pulls[control][0] * sense < 0:
        sense = -sense  # the same movement, with a plus before the gain of the control
    gains = {c: (float(sense * a) + 0.0, float(sense * b) + 0.0) for c, (a, b) in pulls.items()}
    low = high = seat.end_percent
    if control in gains and not radio.output_gains:
        if radio.end_points == "scale" and len(gains) == 1:
            above, below = gains[control]
            low, high = (below, above) if sense > 0 else (above, below)
        gains[control] = (100.0, 100.0)
    if radio.end_points == "clip" and _most_percent(plan, gains) > 100 + 1e-9:
        step = radio.travel_step_percent
        low = high = to_step(int(radio.travel_max_percent / step + 1e-9) * step, step)
    return sense, gains, (low, high)


def _most_percent(plan: Plan, gains: dict[str, tuple[float, float]]) -> float:
    """The largest demand that the commands of an output can add up to, either way, percent."""
    ways = np.array(
        [
            [0.0, gain[0] * plan.sizes[c, "above"], -gain[1] * plan.sizes.get((c, "below"), 0.0)]
            for c, gain in gains.items()
        ]
    ).reshape(-1, 3)
    return float(max(ways.max(axis=1).sum(), -ways.min(axis=1).sum()))


def entries(setup: Setup) -> tuple[Entry, ...]:
    """Everything to plug and to type, in that order: plugs, outputs, sticks, mixes, marks, phases."""
    found = [Entry(name, "plug", f"output {number_}") for name, number_ in setup.wiring.items()]
    for output in (setup.output(number_) for number_ in sorted(set(setup.wiring.values()))):
        where = f"output {output.number}"
        found.append(Entry(where, "direction", "reversed" if output.reversed else "normal"))
        found.append(Entry(where, "moved by", output.control or "mixes only"))
        if setup.radio.output_gains and output.control:
            found.append(Entry(where, "gain of its control", _both(output, output.control)))
        if setup.radio.sub_trim_max_percent or output.sub_trim_percent:
            found.append(Entry(where, "sub-trim", f"{signed(output.sub_trim_percent)} %"))
        if output.shift_percent:
            found.append(Entry(where, "shift", f"{signed(output.shift_percent)} %"))
        ends = f"{number(output.end_low_percent)} % shorter, {number(output.end_high_percent)} % longer pulse"
        found.append(Entry(where, "end points", ends))
    led = {output.control for output in setup.outputs} | {mix.leader for mix in setup.free_mixes}
    led |= {command for made in setup.ready_made for command in READY_MADE[made.kind]}
    for command in (control.command for control in setup.radio.controls if control.command in led):
        if command not in setup.radio.shaped_commands:
            continue
        shaped = setup.shaping.get(command, Shaping())
        found.append(Entry(command, "rate", f"{number(shaped.rate_percent)} %"))
        found.append(Entry(command, "expo", f"{signed(shaped.expo_percent)} %"))
    for made in setup.ready_made:
        alike, opposite = READY_MADE[made.kind]
        gains = f"{alike} {signed(made.alike_percent)} %, {opposite} {signed(made.opposite_percent)} %"
        found.append(Entry(f"{made.kind} on outputs {made.first} and {made.second}", "gains", gains))
    for mix in setup.free_mixes:
        leader = str(mix.leader) if isinstance(mix.leader, str) else ""
        gains = _both(mix, leader)
        if mix.curve_percent:
            gains = "curve " + ", ".join(number(point) for point in mix.curve_percent) + " %"
        centre = f", centre {signed(mix.centre_percent)} %" if mix.centre_percent else ""
        found.append(Entry(f"mix {mix.label}", "gain", gains + centre + ("" if mix.on else ", off")))
    for mark in setup.marks:
        end = COMMAND_ENDS[mark.command][mark.side == "above"]
        held = setup.radio.lever(mark.command)
        found.append(Entry(held, f"mark, {end}", f"{number(mark.percent)} % of its way"))
    for phase in setup.phases:
        found += [
            Entry(f"phase {phase.name}", name, f"{number(by)} %") for name, by in phase.own_roll.items()
        ]
    return tuple(found)


def changes(before: Setup, after: Setup) -> tuple[Change, ...]:
    """Entries that differ between two set-ups, in the order of typing; what is no more comes last."""
    old = {(entry.where, entry.what): entry.value for entry in entries(before)}
    new = {(entry.where, entry.what): entry.value for entry in entries(after)}
    return tuple(
        Change(*key, old.get(key, ""), new.get(key, ""))
        for key in dict.fromkeys([*new, *old])
        if old.get(key) != new.get(key)
    )


def _both(gains: Output | FreeMix, command: str) -> str:
    if gains.gain_above_percent == gains.gain_below_percent:
        return f"{signed(gains.gain_above_percent)} % both sides"
    below, above = COMMAND_ENDS.get(command, ("below", "above"))
    if command in ("throttle", "brake"):
        return f"{signed(gains.gain_above_percent)} %"
    return f"{signed(gains.gain_above_percent)} % {above}, {signed(gains.gain_below_percent)} % {below}"
