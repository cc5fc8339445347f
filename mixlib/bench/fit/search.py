"""Which surface goes to which output, what leads it there, and which commands get the free mixes: best first.

Outputs that the same controls can drive are equal, so they are tried once.  Units are seated one after the
other; the least that the remaining ones can cost, each with its own best sizes, bounds every beginning from
below.  So the first whole way that comes up with its sizes settled is the best of all.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import chain, combinations, count, product
from typing import NamedTuple

import numpy as np

from mixlib.bench.fit.reach import Group, sockets
from mixlib.bench.fit.shares import SIDES, TOUCH_MM2, Seat, Trial
from mixlib.describe import Setup
from mixlib.describe.radio import ReadyMadeKind

__all__ = ["Locks", "Option", "Plan", "mixes_for_all", "plans", "settled"]

_STEERED_BY = {"elevator": "pitch", "rudder": "yaw"}  # never on a mix alone while a stick's output is free

_MADE_FOR: dict[ReadyMadeKind, str] = {"flaperons": "aileron", "V-tail": "v-tail", "elevons": "elevon"}

_Lead = tuple[tuple[str | None, ...], ReadyMadeKind | None]  # controls, and a ready-made function

Less = Mapping[tuple[Group, str, str], float]
"""Unit, command and side, and what is aimed at as a share of what is wanted."""


@dataclass(frozen=True)
class Locks:
    """Names of surfaces whose plug, direction, lead or holes stay as the reader has them."""

    plugs: frozenset[str] = frozenset()
    directions: frozenset[str] = frozenset()
    leads: frozenset[str] = frozenset()
    holes: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Option:
    """One way to seat a unit, with the commands that come to it and the least that they cost, mm^2."""

    seat: Seat
    brought: tuple[str, ...]
    bound_mm2: float

    @property
    def mixes(self) -> int:
        """Free mixes that it takes."""
        return sum(self.seat.mixes(command) for command in self.brought)


@dataclass(frozen=True)
class Plan:
    """All units seated, with sizes and pulls settled.

    Attributes
    ----------
    numbers : tuple of tuple of int
        Outputs of each unit.
    sizes : dict of (str, str) to float
        Command and side, and how far it is used, as a share of its whole way: 1.5 is a rate of 150 %.
    pulls : dict of (Group, str) to numpy.ndarray
        Gains with the direction of their outputs, percent, shape (outputs, 2): above and below.
    """

    options: tuple[Option, ...]
    numbers: tuple[tuple[int, ...], ...]
    sizes: dict[tuple[str, str], float]
    pulls: dict[tuple[Group, str], np.ndarray]
    score_mm2: float

    @property
    def mixes(self) -> int:
        """Number of free mixes."""
        return sum(option.mixes for option in self.options)

    def left_out(self, trial: Trial) -> tuple[tuple[str, Group], ...]:
        """Wanted commands that come to no surface of a unit."""
        return tuple(
            (command, option.seat.unit)
            for option in self.options
            for command in trial.wanted[option.seat.unit]
            if command not in option.brought
        )

    def unsteered(self, trial: Trial) -> int:
        """How many units a stick should steer and does not."""
        return sum(trial.steers(command, unit) for command, unit in self.left_out(trial))

    @property
    def moves(self) -> bool:
        """Whether every mix does something."""
        return all(
            self.pulls[option.seat.unit, command][row].any()
            for option in self.options
            for command in option.brought
            for row, control in enumerate(option.seat.controls)
            if control != command and not option.seat.made(command)
        )

    @property
    def joined(self) -> frozenset[Group]:
        """Pairs on a Y-lead."""
        return frozenset(o.seat.unit for o in self.options if len(o.seat.kinds) < len(o.seat.unit))


@dataclass
class _Table:
    """The classes of equal outputs, and the reader's locks on them."""

    trial: Trial
    before: Setup | None
    locks: Locks
    kinds: list[tuple[tuple[str, ...], bool, str]] = field(default_factory=list)
    numbers: list[list[int]] = field(default_factory=list)

    @property
    def free(self) -> bool:
        """Whether every control has a gain on every output, so that it is all one which of them is direct."""
        radio = self.trial.radio
        everywhere = all(len(c.drives) == radio.outputs and c.at_once for c in radio.controls)
        return radio.output_gains and everywhere

    def __post_init__(self) -> None:
        radio = self.trial.radio
        locked = {self.before.wiring[name]: name for name in self.locks.plugs} if self.before else {}
        for number, drives in self.trial.reach.drives.items():
            kind = drives, radio.stick_owns(number), locked.get(number, "")
            if kind not in self.kinds:
                self.kinds.append(kind)
                self.numbers.append([])
            self.numbers[self.kinds.index(kind)].append(number)

    def plugs(self, options: tuple[Option, ...]) -> tuple[tuple[int, ...], ...]:
        """Outputs of units that are seated; where it is all one, a plug stays where it was."""
        names, now = self.trial.reach.names, self.before.wiring if self.before else {}
        seats = (zip(o.seat.kinds, o.seat.groups, strict=True) for o in options)
        return sockets([[(k, now.get(names[group[0]])) for k, group in seat] for seat in seats], self.numbers)

    def options(self, unit: Group) -> dict[int, list[Option]]:
        """All ways to seat a unit by the mixes that they take, the cheapest first."""
        trial, wanted = self.trial, self.trial.wanted[unit]
        found: dict[tuple[object, ...], Option] = {}
        kind = trial.reach.surfaces[unit[0]].kind
        ready = [made for made in trial.radio.ready_made if _MADE_FOR[made] == kind]
        for kinds in self._places(unit):
            leads: list[_Lead] = [(controls, None) for controls in self._controls(unit, kinds)]
            leads += [((None, None), made) for made in ready if len(kinds) == 2]
            for controls, made in leads:
                need = tuple(dict.fromkeys(control for control in controls if control))
                more = [command for command in wanted if command not in need]
                sets = chain.from_iterable(combinations(more, size) for size in range(len(more) + 1))
                for extra in sets:
                    brought = (*need, *extra)
                    for seats in self._seats(unit, kinds, (controls, made), brought):
                        tried = (self._option(seat, brought) for seat in seats)
                        best = min(tried, key=lambda option: option.bound_mm2)
                        # Where every control has a gain everywhere, it is all one which is direct.
                        key = (
                            kinds,
                            best.seat.end_percent,
                            frozenset(brought),
                            best.mixes if self.free else controls,
                            made,
                        )
                        if best.mixes <= trial.radio.free_mixes:
                            found.setdefault(key, best)
        by_mixes: dict[int, list[Option]] = {}
        for option in sorted(found.values(), key=lambda option: option.bound_mm2):
            by_mixes.setdefault(option.mixes, []).append(option)
        return by_mixes

    def _places(self, unit: Group) -> Iterator[tuple[int, ...]]:
        names = [self.trial.reach.names[place] for place in unit]
        free = [
            [k for k, (_, _, lock) in enumerate(self.kinds) if lock in ("", name)]
            if name not in self.locks.plugs
            else [k for k, numbers in enumerate(self.numbers) if self._plug(name) in numbers]
            for name in names
        ]
        one_servo = any(self.trial.reach.surfaces[place].servo_of for place in unit)
        for kinds in () if one_servo else product(*free):
            if all(kinds.count(kind) <= len(self.numbers[kind]) for kind in kinds):
                yield kinds
        if len(unit) == 2:
            yield from ((kind,) for kind in free[0] if kind in free[1])

    def _plug(self, name: str) -> int:
        return self.before.wiring[name] if self.before else 0

    def _controls(self, unit: Group, kinds: tuple[int, ...]) -> Iterator[tuple[str | None, ...]]:
        trial, wanted = self.trial, self.trial.wanted[unit]
        drives: list[list[str | None]] = []
        for row, kind in enumerate(kinds):
            name = trial.reach.names[unit[row]]
            direct = [command for command in self.kinds[kind][0] if command in wanted]
            possible = [None, *(command for command in direct if (name, command) not in trial.curved)]
            if self.before and name in self.locks.leads:
                lead = self.before.output(self._plug(name)).control
                possible = [command for command in (None, *direct) if command == lead]
            drives.append(possible)
        main = _STEERED_BY.get(trial.reach.surfaces[unit[0]].kind)
        must = main in wanted and any(main in can for can, _, _ in self.kinds)
        for controls in product(*drives):
            set_alike = len({control for control in controls if control}) < 2
            if (not must or main in controls) and (set_alike or not self.free):
                yield controls

    def _seats(
        self, unit: Group, kinds: tuple[int, ...], lead: _Lead, brought: tuple[str, ...]
    ) -> Iterator[list[Seat]]:
        """Seats of all directions that are worth a try, for each end point that scales."""
        radio, (controls, made) = self.trial.radio, lead
        senses = []
        for row, control in enumerate(controls):
            name = self.trial.reach.names[unit[row]]
            one_way = self.trial.even_gains and not made and (control is None or radio.output_gains)
            possible = (1.0,) if one_way else (1.0, -1.0)
            if self.before and name in self.locks.directions:
                possible = (-1.0 if self.before.output(self._plug(name)).reversed else 1.0,)
            senses.append(possible)
        ends = {100.0}
        if radio.end_points == "scale" and brought:
            ends.add(radio.travel_max_percent)
        for end in sorted(ends):
            yield [Seat(unit, kinds, controls, sense, end, made) for sense in product(*senses)]

    def _option(self, seat: Seat, brought: tuple[str, ...]) -> Option:
        trial = self.trial
        cost = _touched_mm2(seat, brought)
        for command in trial.wanted[seat.unit]:
            if command in brought:
                shares = trial.shares(seat, command, len(brought) == 1)
                cost += sum(float(share.costs_mm2.min()) for share in shares)
            else:
                cost += trial.left_out_mm2(seat.unit, command)
        return Option(seat, brought, cost)


def plans(trial: Trial, before: Setup | None = None, locks: Locks | None = None) -> Iterator[Plan]:
    """Ways to plug in and mix the whole aircraft, the best first, each with the sizes that suit it."""
    table = _Table(trial, before, locks or Locks())
    choices = [table.options(unit) for unit in trial.units]
    least = _least(choices, trial.radio.free_mixes)
    single = trial.reach.lonely | set(trial.radio.ready_made)  # these move one output, or two, once
    tie = count()
    heap: list[tuple[float, int, _Node | Plan]] = []

    def fits(found: tuple[Option, ...]) -> bool:
        kinds = [kind for option in found for kind in option.seat.kinds]
        led = [c for option in found for c in (*option.seat.controls, option.seat.ready) if c in single]
        roomy = all(kinds.count(kind) <= len(table.numbers[kind]) for kind in found[-1].seat.kinds)
        return roomy and len(set(led)) == len(led)

    def push(found: tuple[Option, ...], sure: float, left: int, mixes: int, start: int) -> None:
        """Seat the next unit with that many mixes, by the cheapest option from a place on that fits."""
        same = choices[len(found)].get(mixes, [])
        for place in range(start, len(same)):
            longer = (*found, same[place])
            if fits(longer):
                done = sure + same[place].bound_mm2
                ahead = done + least[len(longer)][left - mixes]
                if np.isfinite(ahead):
                    heapq.heappush(heap, (ahead, next(tie), _Node(longer, sure, left, mixes, place)))
                return

    for mixes in choices[0] if choices else ():
        push((), 0.0, trial.radio.free_mixes, mixes, 0)
    while heap:
        _, _, node = heapq.heappop(heap)
        if isinstance(node, Plan):
            yield node
            continue
        push(node.found[:-1], node.sure, node.left, node.mixes, node.place + 1)
        if len(node.found) == len(choices):
            plan = settled(trial, node.found, table.plugs(node.found))
            if plan.moves:
                heapq.heappush(heap, (plan.score_mm2, next(tie), plan))
            continue
        left, sure = node.left - node.mixes, node.sure + node.found[-1].bound_mm2
        for mixes in choices[len(node.found)]:
            if mixes <= left:
                push(node.found, sure, left, mixes, 0)


class _Node(NamedTuple):
    """Units seated; what is sure and the mixes left before the last one; mixes and place of that."""

    found: tuple[Option, ...]
    sure: float
    left: int
    mixes: int
    place: int


def settled(
    trial: Trial,
    options: tuple[Option, ...],
    numbers: tuple[tuple[int, ...], ...],
    less: Less | None = None,
    apart: float = 1.0,
) -> Plan:
    """Sizes and pulls of least cost for units that are seated.

    Parameters
    ----------
    numbers : tuple of tuple of int
        Outputs of each unit.
    apart : float
        How far left and right may part, as a share of what the judge allows, 0 to 1.
    """
    wanted_less = less or {}
    score = 0.0
    sizes: dict[tuple[str, str], float] = {}
    pulls: dict[tuple[Group, str], np.ndarray] = {}
    for option in options:
        left = [c for c in trial.wanted[option.seat.unit] if c not in option.brought]
        score += sum(trial.left_out_mm2(option.seat.unit, command) for command in left)
        score += _touched_mm2(option.seat, option.brought)
    for command, parts in trial.parts.items():
        here = [option for option in options if command in option.brought]
        shares = []
        for option in here:
            unit = option.seat.unit
            aim = tuple(wanted_less.get((unit, command, side), 1.0) for side in SIDES)
            shares.append(
                trial.shares(option.seat, command, len(option.brought) == 1, (aim[0], aim[1]), apart)
            )
        for place, part in enumerate(parts if here else ()):
            total = part.touch_mm2 + sum(share[place].costs_mm2 for share in shares)
            best = int(np.argmin(total))
            score += float(part.touch_mm2[best] + sum(share[place].true_mm2[best] for share in shares))
            sizes |= {(command, side): float(part.sizes[best, k]) for k, side in enumerate(part.sides)}
            for option, share in zip(here, shares, strict=True):
                kept = pulls.setdefault((option.seat.unit, command), np.zeros((len(option.seat.kinds), 2)))
                kept[:, [SIDES.index(side) for side in part.sides]] = share[place].pulls[best]
                if len(parts) == 1 and len(part.sides) == 1 and not trial.radio.gain_sides_differ:
                    kept[:, 1] = kept[:, 0]
    return Plan(options, numbers, sizes, pulls, score)


def mixes_for_all(trial: Trial) -> int:
    """Fewest free mixes that bring every wanted share that the controls can ask for, whatever the radio has.

    Every surface takes one mix for each command it answers to, less one where its output's own control
    brings a command; as many surfaces as possible get such an output.
    """
    wanted = [trial.wanted[unit] for unit in trial.units for _ in unit]
    # A seat is an output, or the one output that a control has which moves no more than one.
    seats = dict.fromkeys(
        (command if command in trial.reach.lonely else number, command)
        for number, drives in trial.reach.drives.items()
        for command in drives
    )
    owner: dict[int | str, int] = {}

    def seat(row: int, seen: set[int | str]) -> bool:
        """Give a surface an output, moving others on where that helps."""
        for here, command in seats:
            if here not in seen and command in wanted[row]:
                seen.add(here)
                if here not in owner or seat(owner[here], seen):
                    owner[here] = row
                    return True
        return False

    return sum(map(len, wanted)) - sum(seat(row, set()) for row in range(len(wanted)))


def _least(choices: list[dict[int, list[Option]]], mixes: int) -> list[list[float]]:
    """Least bound of the units from each place on, by the mixes that are left."""
    table = [[0.0] * (mixes + 1)]
    for options in reversed(choices):
        best = {taken: same[0].bound_mm2 for taken, same in options.items()}
        later = table[0]
        row = [
            min((b + later[m - k] for k, b in best.items() if k <= m), default=np.inf)
            for m in range(mixes + 1)
        ]
        table.insert(0, row)
    return table


def _touched_mm2(seat: Seat, brought: tuple[str, ...]) -> float:
    """What touching its settings counts: mixes, a Y-lead, end points that scale more."""
    touched = sum(seat.mixes(command) for command in brought) + len(seat.unit) - len(seat.kinds)
    return TOUCH_MM2 * (touched + 2 * len(seat.kinds) * (seat.end_percent != 100))
