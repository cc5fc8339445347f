"""The words of a fit: what can't be had and why, what the settings take away, how two plans differ."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from mixlib.bench.fit.output import Bench
from mixlib.bench.fit.wiring import Plan
from mixlib.describe import Want
from mixlib.describe.words import COMMAND_ENDS, listed, sentence_start

__all__ = ["cannot_words", "count_of_mixes", "difference_words", "note_words"]

READABLE_MM = 0.5
"""A miss below this gets no sentence: the step of a ruler held at the trailing edge, mm."""

_RATE_MAX = 1.5
_HAND_PERCENT = 5.0  # how well a hand stops a dial at a mark (judgement, no source)
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def cannot_words(
    bench: Bench, plan: Plan, misses: Sequence[tuple[Want, float, float]], needed: int
) -> tuple[str, ...]:
    """What can't be had, and why.

    Parameters
    ----------
    misses : sequence of (Want, float, float)
        Each want, its throw in mm and the throw in mm that comes of it.
    needed : int
        How many free mixes would bring everything that this radio's controls can ask for.

    Returns
    -------
    tuple of str
        One sentence each; empty when all is had within half a millimetre.
    """
    radio, sentences = bench.radio, []
    without = dict.fromkeys(want.command for want, _ in bench.wants if want.command not in radio.commands)
    for command in without:
        names = dict.fromkeys(want.surface for want, _ in bench.wants if want.command == command)
        sentences.append(
            f"{radio.name} has no control for {command}: {listed(names)} cannot answer to it, with any mix."
        )
    left_out = plan.left_out(bench)
    told = {(command, bench.reach.names[place]) for command, place in left_out}
    if left_out and needed > radio.free_mixes:
        sentences.append(
            f"This needs {count_of_mixes(needed)}, the radio has {_count(radio.free_mixes)}: "
            f"left out {_shares(bench, left_out)}."
        )
    elif left_out:
        sentences.append(f"Left out {_shares(bench, left_out)}: what it adds is not worth another mix.")
    for want, mm, got in misses:
        if abs(got - mm) < READABLE_MM or want.command in without or (want.command, want.surface) in told:
            continue
        sentences.append(
            f"{sentence_start(want.surface)}, {want.command} {want.side}: wanted {mm:.1f} mm, "
            f"gets {got:.1f} mm, since {_why(bench, plan, want, mm)}."
        )
    return tuple(sentences)


def note_words(bench: Bench, plan: Plan, misses: Sequence[tuple[Want, float, float]]) -> tuple[str, ...]:
    """What the settings take away elsewhere, and where a dial must be stopped.

    Parameters
    ----------
    misses : sequence of (Want, float, float)
        Each want, its throw in mm and the throw in mm that comes of it.
    """
    notes = list(_mark_words(bench, misses))
    for number, fit in sorted(plan.outputs.items()):
        names = listed(bench.reach.names[place] for place in fit.surfaces)
        if len(fit.surfaces) > 1:
            notes.append(f"{sentence_start(names)} share output {number} by a Y-lead.")
        if bench.radio.end_points == "clip" and min(fit.ends) < 100 and fit.gains:
            also = f" What {listed(fit.gains)} add up to beyond it is lost." if len(fit.gains) > 1 else ""
            notes.append(
                f"The end points of output {number} ({names}) cut off at {fit.ends[0]:g} % and "
                f"{fit.ends[1]:g} %: the rest of the stick's way moves nothing.{also}"
            )
    for command, rate in bench.rates.items():
        if rate != 100:
            notes.append(f"The rate of {command} is {rate:g} %: all surfaces that answer to it move less.")
    return tuple(notes)


def _mark_words(bench: Bench, misses: Sequence[tuple[Want, float, float]]) -> Iterator[str]:
    """Where to stop a dial or slider, and what a hand that stops it a little off makes of it."""
    for (command, side), mark in bench.marks.items():
        if mark == 100:
            continue
        holder = next(c.held_by for c in bench.radio.controls if c.command == command)
        most = max(abs(got) for want, _, got in misses if (want.command, want.side) == (command, side))
        yield (
            f"Turn the {holder} of {command} no further than {mark:g} % of its way to "
            f"{COMMAND_ENDS[command][side == 'above']}, and put a mark there. Stopped {_HAND_PERCENT:g} % of "
            f"its way too far it moves a surface {most * _HAND_PERCENT / mark:.1f} mm more."
        )


def difference_words(bench: Bench, plan: Plan, other: Plan) -> str:
    """How another plan differs from the chosen one.

    Returns
    -------
    str
        Such as ``"leave out camber into elevator, have roll into left aileron"``.
    """
    mine, its = set(plan.left_out(bench)), set(other.left_out(bench))
    parts = [f"leave out {_shares(bench, its - mine)}"] if its - mine else []
    parts += [f"have {_shares(bench, mine - its)}"] if mine - its else []
    joined, apart = _joined(other) - _joined(plan), _joined(plan) - _joined(other)
    parts += [f"{listed(bench.reach.names[p] for p in group)} on a Y-lead" for group in sorted(joined)]
    parts += [
        f"{listed(bench.reach.names[p] for p in group)} each on its own output" for group in sorted(apart)
    ]
    return ", ".join(parts) or "other plugs"


def count_of_mixes(count: int) -> str:
    """Number of free mixes in words.

    Returns
    -------
    str
        Such as ``"one mix"`` or ``"three mixes"``.
    """
    return f"{_count(count)} {'mix' if count == 1 else 'mixes'}"


def _count(count: int) -> str:
    return _COUNTS[count] if count < len(_COUNTS) else str(count)


def _joined(plan: Plan) -> set[tuple[int, ...]]:
    return {fit.surfaces for fit in plan.outputs.values() if len(fit.surfaces) > 1}


def _shares(bench: Bench, items: Iterable[tuple[str, int]]) -> str:
    """Shares by command, such as "camber into left aileron and right aileron"."""
    by_command: dict[str, list[str]] = {}
    for command, place in sorted(items):
        by_command.setdefault(command, []).append(bench.reach.names[place])
    return ", and ".join(f"{command} into {listed(names)}" for command, names in by_command.items())


def _why(bench: Bench, plan: Plan, want: Want, mm: float) -> str:
    """Why a wanted throw is missed, the most binding cause first."""
    place = bench.reach.names.index(want.surface)
    number, fit = next((n, f) for n, f in plan.outputs.items() if place in f.surfaces)
    low, high = bench.reach.range_mm(place)
    if not low - 0.01 <= mm <= high + 0.01:
        return f"servo, linkage and stops reach {low:.1f} to {high:.1f} mm only"
    if len(fit.surfaces) > 1:
        return f"output {number} moves {listed(bench.reach.names[p] for p in fit.surfaces)} alike"
    need = abs(bench.reach.travel_percent(want.surface, fit.surfaces, mm))
    radio = bench.radio
    direct, has_rate = want.command == fit.control, want.command in radio.shaped_commands
    fixed = direct and not radio.output_gains
    gain = 100.0 if fixed else max(-radio.gain_min_percent, radio.gain_max_percent)
    asked = gain * (_RATE_MAX if has_rate and fixed else 1.0)
    scales = radio.end_points == "scale"
    most = (
        min(asked, 100.0) * radio.travel_max_percent / 100 if scales else min(asked, radio.travel_max_percent)
    )
    if need > most:
        return f"it takes {need:.0f} % and the radio gives {most:.0f} %"
    if fixed:
        ways = "end points and rate" if has_rate else "end points"
        return (
            f"the {want.command} control moves output {number} by 100 %, this throw takes {need:.0f} %, and "
            f"this radio can change that only by {ways}, or you by another hole"
        )
    if not radio.gain_sides_differ:
        return "this radio has one gain for both sides"
    return "an end point that another throw needs on the same output cuts it off"
