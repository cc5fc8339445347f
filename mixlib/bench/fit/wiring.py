"""Which surface goes to which output, what leads it there, and which shares get one of the free mixes.

Outputs that the same controls can drive are equal, so they are tried once.  All ways to plug the surfaces
in are gone through; for each, the free mixes are dealt out by adding up the best options output by output,
which finds the least total without trying every combination.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain, combinations
from typing import NamedTuple

from mixlib.bench.fit.output import TOUCH_MM2, OutputFit, Trial
from mixlib.bench.fit.reach import Group

__all__ = ["Plan", "mixes_for_all", "search"]

_KEPT_PER_OUTPUT = 4  # options of one output kept for each number of mixes
_PLANS = 6  # plans found, that differ in what they leave out or share

Partial = tuple[float, tuple[OutputFit, ...]]  # the outputs settled so far, and their score in mm^2


@dataclass(frozen=True)
class Plan:
    """One way to plug in and mix the whole aircraft, with the settings of each output in use."""

    outputs: dict[int, OutputFit]
    score_mm2: float

    def left_out(self, trial: Trial) -> tuple[tuple[str, int], ...]:
        """Wanted shares that no control and no mix brings: command and place of the surface."""
        return tuple(
            sorted(
                (command, place)
                for fit in self.outputs.values()
                for place in fit.group
                for command in trial.commands_for((place,))
                if command not in fit.gains
            )
        )


class _Kind(NamedTuple):
    """Outputs that are alike: commands that can drive them, and whether a stick owns them."""

    drives: tuple[str, ...]
    owned: bool


Way = tuple[tuple[Group, _Kind], ...]


def search(trial: Trial) -> list[Plan]:
    """The best plans that differ in what they leave out or share, the best first."""
    kinds: dict[_Kind, list[int]] = {}
    for number in range(1, trial.radio.outputs + 1):
        kind = _Kind(trial.radio.can_drive(number), trial.radio.stick_owns(number))
        kinds.setdefault(kind, []).append(number)
    finder = _Search(trial, kinds)
    ways = ((finder.plans(way, 1)[0].score_mm2, place, way) for place, way in enumerate(_ways(trial, kinds)))
    plans: dict[object, Plan] = {}
    for _, _, way in heapq.nsmallest(4 * _PLANS, ways):
        for plan in finder.plans(way, _PLANS):
            shared = sorted(fit.group for fit in plan.outputs.values() if len(fit.group) > 1)
            key = plan.left_out(trial), tuple(shared)
            if key not in plans or plan.score_mm2 < plans[key].score_mm2 - 1e-9:
                plans[key] = plan
    return sorted(plans.values(), key=lambda plan: plan.score_mm2)[:_PLANS]


def mixes_for_all(trial: Trial) -> int:
    """Fewest free mixes that bring every share that the radio's controls can ask for, without a Y-lead.

    Every surface takes one mix for each command it answers to, less one where its output's own control
    brings a command; as many surfaces as possible get such an output.
    """
    radio = trial.radio
    wanted = [trial.commands_for((place,)) for place in range(len(trial.reach.surfaces))]
    owner: dict[int, int] = {}

    def seat(place: int, seen: set[int]) -> bool:
        """Give a surface an output, moving others on where that helps."""
        for number in range(1, radio.outputs + 1):
            if number not in seen and set(radio.can_drive(number)) & set(wanted[place]):
                seen.add(number)
                if number not in owner or seat(owner[number], seen):
                    owner[number] = place
                    return True
        return False

    return sum(map(len, wanted)) - sum(seat(place, set()) for place in range(len(wanted)))


class _Search:
    """Puts plans together from the best settings of surfaces on a kind of output, which are found once."""

    def __init__(self, trial: Trial, kinds: dict[_Kind, list[int]]) -> None:
        self._trial, self._kinds = trial, kinds
        self._found: dict[tuple[Group, _Kind], dict[int, list[OutputFit]]] = {}

    def plans(self, way: Way, most: int) -> list[Plan]:
        """The best plans of one way of plugging in, the best first."""
        by_mixes: dict[int, list[Partial]] = {0: [(0.0, ())]}
        for group, kind in way:
            longer: dict[int, list[Partial]] = {}
            for used, partial in by_mixes.items():
                for count, fits in self._options(group, kind).items():
                    if used + count <= self._trial.radio.free_mixes:
                        longer.setdefault(used + count, []).extend(
                            (score + fit.score_mm2, (*done, fit))
                            for score, done in partial
                            for fit in fits[:most]
                        )
            by_mixes = {used: heapq.nsmallest(most, rows, key=_score) for used, rows in longer.items()}
        free = {kind: iter(numbers) for kind, numbers in self._kinds.items()}
        numbers = [next(free[kind]) for _, kind in way]
        best = heapq.nsmallest(most, chain.from_iterable(by_mixes.values()), key=_score)
        return [Plan(dict(zip(numbers, done, strict=True)), score) for score, done in best]

    def _options(self, group: Group, kind: _Kind) -> dict[int, list[OutputFit]]:
        """Best settings of one output for each number of mixes, a few of each."""
        wanted = self._trial.commands_for(group)
        useful = _Kind(tuple(command for command in wanted if command in kind.drives), kind.owned)
        if (group, useful) not in self._found:
            found: dict[int, list[OutputFit]] = {}
            for control in (None, *useful.drives):
                others = [command for command in wanted if command != control]
                for count in range(min(len(others), self._trial.radio.free_mixes) + 1):
                    for mixed in combinations(others, count):
                        fit = self._trial.settle(group, control, mixed)
                        if (0, 0) in fit.gains.values():
                            continue  # the same without that share is among the options too
                        if kind.owned and control is None:  # what a stick owns is better left to that stick
                            fit = replace(fit, score_mm2=fit.score_mm2 + TOUCH_MM2)
                        found.setdefault(count, []).append(fit)
            self._found[group, useful] = {
                count: heapq.nsmallest(_KEPT_PER_OUTPUT, fits, key=lambda fit: fit.score_mm2)
                for count, fits in found.items()
            }
        return self._found[group, useful]


def _score(partial: Partial) -> float:
    return partial[0]


def _ways(trial: Trial, kinds: dict[_Kind, list[int]]) -> Iterator[Way]:
    """Ways to plug in: surfaces alone or two on a Y-lead, each group on one kind of output."""

    def build(left: tuple[Group, ...], way: Way) -> Iterator[Way]:
        if not left:
            yield way
            return
        for kind, numbers in kinds.items():
            if sum(taken == kind for _, taken in way) < len(numbers):
                yield from build(left[1:], (*way, (left[0], kind)))

    for groups in _partitions(trial):
        yield from build(groups, ())


def _partitions(trial: Trial) -> Iterator[tuple[Group, ...]]:
    """Surfaces put together on outputs: alone, or two of a kind on a Y-lead."""
    kinds = [surface.kind for surface in trial.reach.surfaces]
    short = len(set(kinds)) > trial.radio.outputs  # then two of different kinds may have to share

    def build(left: Group, made: tuple[Group, ...]) -> Iterator[tuple[Group, ...]]:
        if not left:
            if len(made) <= trial.radio.outputs:
                yield made
            return
        first, rest = left[0], left[1:]
        yield from build(rest, (*made, (first,)))
        for other in rest:
            if short or kinds[first] == kinds[other]:
                yield from build(tuple(place for place in rest if place != other), (*made, (first, other)))

    yield from build(tuple(range(len(kinds))), ())
