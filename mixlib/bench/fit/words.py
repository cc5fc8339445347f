"""The words of a fit: what can't be had and why, what the settings take away, how two plans differ."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from mixlib.bench.fit.ends import RATE_MAX_PERCENT
from mixlib.bench.fit.output import Trial, Wish
from mixlib.bench.fit.reach import Group
from mixlib.bench.fit.wiring import Plan
from mixlib.describe import Want
from mixlib.describe.words import COMMAND_ENDS, command_end, listed, sentence_start
from mixlib.units import HALF_MM

__all__ = ["FitRow", "cannot_words", "count_of_mixes", "difference_words", "note_words"]

_HAND_PERCENT = 5.0  # how well a hand stops a dial at a mark (judgement, no source)
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@dataclass(frozen=True)
class FitRow:
    """One wanted throw and what comes of it, in mm, trailing edge down (rudder: left) positive."""

    want: Want
    wanted_mm: float
    got_mm: float

    @property
    def miss_mm(self) -> float:
        """Got less wanted, mm."""
        return self.got_mm - self.wanted_mm


def cannot_words(trial: Trial, plan: Plan, rows: Sequence[FitRow], needed: int) -> tuple[str, ...]:
    """What can't be had, and why: one sentence each; none when all is had within half a millimetre.

    Parameters
    ----------
    rows : sequence of FitRow
        In the order of the trial's wishes.
    needed : int
        How many free mixes would bring everything that this radio's controls can ask for.
    """
    radio, sentences = trial.radio, []
    without = dict.fromkeys(w.want.command for w in trial.wishes if w.want.command not in radio.commands)
    for command in without:
        names = dict.fromkeys(w.want.surface for w in trial.wishes if w.want.command == command)
        sentences.append(
            f"{radio.name} has no control for {command}: {listed(names)} cannot answer to it, with any mix."
        )
    left_out = plan.left_out(trial)
    if left_out and needed > radio.free_mixes:
        sentences.append(
            f"This needs {count_of_mixes(needed)}, the radio has {_count(radio.free_mixes)}: "
            f"left out {_shares(trial, left_out)}."
        )
    elif left_out:
        sentences.append(f"Left out {_shares(trial, left_out)}: what it adds is not worth another mix.")
    for wish, row in zip(trial.wishes, rows, strict=True):
        want = wish.want
        told = want.command in without or (want.command, wish.place) in left_out
        if abs(row.miss_mm) >= HALF_MM and not told:
            sentences.append(
                f"{sentence_start(want.surface)}, {command_end(want.command, _way(want.side))}: wanted "
                f"{row.wanted_mm:.1f} mm, gets {row.got_mm:.1f} mm, since {_why(trial, plan, wish)}."
            )
    return tuple(sentences)


def note_words(trial: Trial, plan: Plan, rows: Sequence[FitRow]) -> tuple[str, ...]:
    """What the settings take away elsewhere, and where a dial must be stopped."""
    notes = list(_mark_words(trial, rows))
    for number, fit in sorted(plan.outputs.items()):
        names = _named(trial, fit.group)
        if len(fit.group) > 1:
            notes.append(f"{sentence_start(names)} share output {number} by a Y-lead.")
        if trial.radio.end_points == "clip" and min(fit.ends) < 100 and fit.gains:
            also = f" What {listed(fit.gains)} add up to beyond it is lost." if len(fit.gains) > 1 else ""
            notes.append(
                f"The end points of output {number} ({names}) cut off at {fit.ends[0]:g} % and "
                f"{fit.ends[1]:g} %: the rest of the stick's way moves nothing.{also}"
            )
    for command in trial.radio.shaped_commands:
        rate = trial.used_to.get((command, "above"), 100.0)
        if rate != 100:
            notes.append(f"The rate of {command} is {rate:g} %: all surfaces that answer to it move less.")
    return tuple(notes)


def _mark_words(trial: Trial, rows: Sequence[FitRow]) -> Iterator[str]:
    """Where to stop a dial or slider, and what a hand that stops it a little off makes of it."""
    for (command, side), mark in trial.used_to.items():
        if command in trial.radio.marked_commands and mark != 100:
            most = max(abs(r.got_mm) for r in rows if (r.want.command, r.want.side) == (command, side))
            yield (
                f"Turn the {trial.radio.held_by(command)} of {command} no further than {mark:g} % of its way "
                f"to {COMMAND_ENDS[command][side == 'above']}, and put a mark there. Stopped "
                f"{_HAND_PERCENT:g} % of its way too far it moves a surface "
                f"{most * _HAND_PERCENT / mark:.1f} mm more."
            )


def difference_words(trial: Trial, plan: Plan, other: Plan) -> str:
    """How another plan differs: ``"leave out camber into elevator, have roll into left aileron"``."""
    mine, its = set(plan.left_out(trial)), set(other.left_out(trial))
    joined, apart = _joined(other) - _joined(plan), _joined(plan) - _joined(other)
    parts = [f"leave out {_shares(trial, its - mine)}"] if its - mine else []
    parts += [f"have {_shares(trial, mine - its)}"] if mine - its else []
    parts += [f"{_named(trial, group)} on a Y-lead" for group in sorted(joined)]
    parts += [f"{_named(trial, group)} each on its own output" for group in sorted(apart)]
    return ", ".join(parts) or "other plugs"


def count_of_mixes(count: int) -> str:
    """Number of free mixes in words, such as ``"one mix"`` or ``"three mixes"``."""
    return f"{_count(count)} {'mix' if count == 1 else 'mixes'}"


def _count(count: int) -> str:
    return _COUNTS[count] if count < len(_COUNTS) else str(count)


def _way(side: str) -> int:
    return 1 if side == "above" else -1


def _named(trial: Trial, group: Group) -> str:
    return listed(trial.reach.names[place] for place in group)


def _joined(plan: Plan) -> set[Group]:
    return {fit.group for fit in plan.outputs.values() if len(fit.group) > 1}


def _shares(trial: Trial, items: Iterable[tuple[str, int]]) -> str:
    """Shares by command, such as "camber into left aileron and right aileron"."""
    by_command: dict[str, list[int]] = {}
    for command, place in sorted(items):
        by_command.setdefault(command, []).append(place)
    shares = (f"{command} into {_named(trial, tuple(places))}" for command, places in by_command.items())
    return ", and ".join(shares)


def _why(trial: Trial, plan: Plan, wish: Wish) -> str:
    """Why a wanted throw is missed, the most binding cause first."""
    radio, reach, command = trial.radio, trial.reach, wish.want.command
    number, fit = next((n, f) for n, f in plan.outputs.items() if wish.place in f.group)
    fixed = command == fit.control and not radio.output_gains
    has_rate = command in radio.shaped_commands
    asked = max(-radio.gain_min_percent, radio.gain_max_percent)
    if fixed:
        asked = float(RATE_MAX_PERCENT) if has_rate else 100.0
    if radio.end_points == "scale":
        most = min(asked, 100.0) * radio.travel_max_percent / 100
    else:
        most = min(asked, radio.travel_max_percent)
    need = abs(reach.travel_percent(wish.place, fit.group, wish.mm))
    low, high = reach.range_mm(wish.place)
    if not low - 0.01 <= wish.mm <= high + 0.01:
        given = reach.throw_mm(wish.place, fit.group, [-most, most])
        if np.isnan(need) or np.abs(given - (high if wish.mm > high else low)).min() < 0.01:
            return f"pulses, servo, linkage and stops reach {low:.1f} to {high:.1f} mm only"
    if len(fit.group) > 1:
        return f"output {number} moves {_named(trial, fit.group)} alike"
    if need > most:
        return f"it takes {need:.0f} % and the radio gives {most:.0f} %"
    if fixed:
        ways = "end points and rate" if has_rate else "end points"
        return (
            f"the {command} control moves output {number} by 100 %, this throw takes {need:.0f} %, and "
            f"this radio can change that only by {ways}, or you by another hole"
        )
    if not radio.gain_sides_differ:
        return "this radio has one gain for both sides"
    return "an end point that another throw needs on the same output cuts it off"
