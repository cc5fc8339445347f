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

from mixlib.bench.fit.output import TOUCH_MM2, Bench, OutputFit
from mixlib.describe import Radio

__all__ = ["Plan", "mixes_for_all", "search"]

_KEPT_PER_OUTPUT = 4  # options of one output kept for each number of mixes
Groups = tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Plan:
    """One way to plug in and mix the whole aircraft."""

    outputs: dict[int, OutputFit]
    score_mm2: float

    @property
    def mixes(self) -> int:
        """Number of free mixes."""
        return sum(len(fit.mixed) for fit in self.outputs.values())

    def left_out(self, bench: Bench) -> tuple[tuple[str, int], ...]:
        """Wanted shares that no control and no mix brings."""
        return tuple(
            sorted(
                (command, place)
                for fit in self.outputs.values()
                for place in fit.surfaces
                for command in bench.commands_for((place,))
                if command != fit.control and command not in fit.mixed
            )
        )


def search(bench: Bench, most_plans: int = 6) -> tuple[list[Plan], int]:
    """Find the best plans.

    Parameters
    ----------
    most_plans : int
        How many plans are wanted, that differ in what they leave out or share.

    Returns
    -------
    plans : list of Plan
        Best first.
    """
    radio = bench.radio
    classes = _classes(radio)
    options: dict[tuple[tuple[int, ...], tuple[str, ...], bool], dict[int, list[OutputFit]]] = {}
    best_ways: list[tuple[float, int, tuple[tuple[tuple[int, ...], int], ...]]] = []
    tried = 0

    def options_of(group: tuple[int, ...], kind: int) -> dict[int, list[OutputFit]]:
        drives, owned, _ = classes[kind]
        useful = tuple(command for command in bench.commands_for(group) if command in drives)
        key = group, useful, owned
        if key not in options:
            options[key] = _options(bench, group, useful, owned)
        return options[key]

    for groups in _partitions(bench):
        for kinds in _assignments(groups, classes):
            tried += 1
            way = tuple(zip(groups, kinds, strict=True))
            table = {0: 0.0}
            for group, kind in way:
                table = _least_by_mixes(table, options_of(group, kind), radio.free_mixes)
            heapq.heappush(best_ways, (min(table.values()), tried, way))
    plans: dict[tuple, Plan] = {}
    for _, _, way in heapq.nsmallest(4 * most_plans, best_ways):
        for plan in _plans(bench, way, options_of, classes, most_plans):
            shared = tuple(sorted(fit.surfaces for fit in plan.outputs.values() if len(fit.surfaces) > 1))
            key = plan.left_out(bench), shared
            if key not in plans or plan.score_mm2 < plans[key].score_mm2 - 1e-9:
                plans[key] = plan
    return sorted(plans.values(), key=lambda plan: plan.score_mm2)[:most_plans], tried


def mixes_for_all(bench: Bench) -> int:
    """Fewest free mixes that bring every wanted share, with each surface on its own output.

    Every surface takes one mix for each command it answers to, less one where its output's own control
    brings a command; as many surfaces as possible get such an output.

    Parameters
    ----------
    bench : Bench
        Surfaces, radio and wants; commands that the radio cannot give do not count.
    """
    wanted = [bench.commands_for((place,)) for place in range(len(bench.reach.surfaces))]
    owner: dict[int, int] = {}

    def seat(place: int, seen: set[int]) -> bool:
        """Give a surface an output, moving others on where that helps."""
        for number in range(1, bench.radio.outputs + 1):
            if number not in seen and set(bench.radio.can_drive(number)) & set(wanted[place]):
                seen.add(number)
                if number not in owner or seat(owner[number], seen):
                    owner[number] = place
                    return True
        return False

    seated = sum(seat(place, set()) for place in range(len(wanted)))
    return sum(map(len, wanted)) - seated


def _classes(radio: Radio) -> list[tuple[tuple[str, ...], bool, list[int]]]:
    """Commands that can drive it, whether a stick owns it, and the outputs of each class."""
    found: dict[tuple[tuple[str, ...], bool], list[int]] = {}
    for number in range(1, radio.outputs + 1):
        owned = any(c.held_by == "stick" and c.drives == (number,) for c in radio.controls)
        found.setdefault((radio.can_drive(number), owned), []).append(number)
    return [(drives, owned, numbers) for (drives, owned), numbers in found.items()]


def _partitions(bench: Bench) -> Iterator[Groups]:
    """Ways to put surfaces together on outputs: alone, or two of a kind on a Y-lead."""
    surfaces = bench.reach.surfaces
    short = len({surface.kind for surface in surfaces}) > bench.radio.outputs
    pairs = [
        (first, second)
        for first, second in combinations(range(len(surfaces)), 2)
        if short or surfaces[first].kind == surfaces[second].kind
    ]

    def build(left: tuple[int, ...], made: Groups) -> Iterator[Groups]:
        if not left:
            if len(made) <= bench.radio.outputs:
                yield made
            return
        first, rest = left[0], left[1:]
        yield from build(rest, (*made, (first,)))
        for a, b in pairs:
            if a == first and b in rest:
                yield from build(tuple(place for place in rest if place != b), (*made, (a, b)))

    yield from build(tuple(range(len(surfaces))), ())


def _assignments(groups: Groups, classes: list) -> Iterator[tuple[int, ...]]:
    room = [len(numbers) for _, _, numbers in classes]

    def build(place: int, chosen: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        if place == len(groups):
            yield chosen
            return
        for kind in range(len(classes)):
            if chosen.count(kind) < room[kind]:
                yield from build(place + 1, (*chosen, kind))

    yield from build(0, ())


def _options(
    bench: Bench, group: tuple[int, ...], useful: tuple[str, ...], owned: bool
) -> dict[int, list[OutputFit]]:
    """Best settings of one output for each number of mixes, a few of each."""
    wanted = bench.commands_for(group)
    found: dict[int, list[OutputFit]] = {}
    for control in (None, *useful):
        others = [command for command in wanted if command != control]
        for count in range(min(len(others), bench.radio.free_mixes) + 1):
            for mixed in combinations(others, count):
                fit = bench.settle(group, control, mixed)
                if any(fit.gains[command] == (0, 0) for command in mixed):
                    continue  # the same without that mix is among the options too
                if owned and control is None:  # an output that a stick owns is better left to that stick
                    fit = replace(fit, score_mm2=fit.score_mm2 + TOUCH_MM2)
                found.setdefault(count, []).append(fit)
    return {
        count: sorted(fits, key=lambda fit: fit.score_mm2)[:_KEPT_PER_OUTPUT] for count, fits in found.items()
    }


def _least_by_mixes(
    table: dict[int, float], options: dict[int, list[OutputFit]], most: int
) -> dict[int, float]:
    """Least score of the outputs so far for each number of mixes used."""
    new: dict[int, float] = {}
    for used, score in table.items():
        for count, fits in options.items():
            if used + count <= most and score + fits[0].score_mm2 < new.get(used + count, float("inf")):
                new[used + count] = score + fits[0].score_mm2
    return new


def _plans(bench: Bench, way, options_of, classes: list, most_plans: int) -> list[Plan]:
    """The best plans of one way of plugging in."""
    table: dict[int, list[tuple[float, tuple[OutputFit, ...]]]] = {0: [(0.0, ())]}
    for group, kind in way:
        new: dict[int, list[tuple[float, tuple[OutputFit, ...]]]] = {}
        for used, partial in table.items():
            for count, fits in options_of(group, kind).items():
                if used + count <= bench.radio.free_mixes:
                    rows = new.setdefault(used + count, [])
                    rows += [(score + fit.score_mm2, (*done, fit)) for score, done in partial for fit in fits]
        table = {
            used: heapq.nsmallest(most_plans, rows, key=lambda row: row[0]) for used, rows in new.items()
        }
    free = [list(numbers) for _, _, numbers in classes]
    numbers = [free[kind].pop(0) for _, kind in way]
    rows = heapq.nsmallest(most_plans, chain.from_iterable(table.values()), key=lambda row: row[0])
    return [Plan(dict(zip(numbers, done, strict=True)), score) for score, done in rows]
