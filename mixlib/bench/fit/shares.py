"""What one command can do to one unit of surfaces, a left/right pair or one alone, for every size of it.

At the end of one command a throw depends on the gains of that command only, and on its size: the rate of a
stick, the mark of a dial.  So the cost of a whole set-up is a sum over units and commands, and for each size
the best gains are found by trying every value that the radio can enter.

A cost is the weighted squared miss, mm^2; for a pair also that of the difference of its sides, four times.
Each setting that departs from the radio's own counts as a miss of 0.25 mm besides, so that nothing is
touched for less than a ruler can show.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from mixlib.bench.fit.reach import Group, Reach
from mixlib.bench.surface.rests import STEERED
from mixlib.describe import READY_MADE, Radio, Want
from mixlib.describe.radio import ReadyMadeKind
from mixlib.units import COMMAND_RANGES

__all__ = [
    "MARK_MIN",
    "SIDES",
    "TOUCH_MM2",
    "UNSTEERED_MM2",
    "Part",
    "Seat",
    "Share",
    "Trial",
    "Wish",
    "mirrored",
]

TOUCH_MM2 = 0.25**2
"""What touching one more setting counts, mm^2: as much as a miss of 0.25 mm."""

UNSTEERED_MM2 = 1e5
"""What a stick without what it steers counts in the search, mm^2: more than any miss."""

SIDES = ("above", "below")

MARK_MIN = 0.2
"""Lowest mark, as a share of the dial's way: below it a hand is too coarse (judgement, no source)."""

_RATES = np.arange(20.0, 151.0)  # percent; a stick with less has no feel left (judgement, no source)
_MARKS = np.arange(100 * MARK_MIN, 101.0)  # percent
_FINE = 2.0  # percent: a step of the gains that a throw does not show
_COARSE = 5.0  # percent: marks where one gain serves both sides, and both ends of a dial are tried together
_LIKE = 4.0  # a millimetre between the sides counts as much as two from the wish on one
_UNLIKE_MM2 = 1e6  # sides of a pair that part: never
_DEAD_MM2 = 1e4  # a stick with a dead end
_ALIKE_MM, _ALIKE_SHARE, _DEAD_SHARE = 1.0, 0.1, 0.1  # as the judge has them


class Wish(NamedTuple):
    """A wanted throw, with the place of its surface in the aircraft's list and the throw in mm."""

    want: Want
    place: int
    mm: float


@dataclass(frozen=True)
class Seat:
    """Where a unit plugs in and how its outputs are led.

    Attributes
    ----------
    kinds : tuple of int
        Class of the output of each surface of the unit, or of the one that they share by a Y-lead.
    controls : tuple of str or None
        What moves each of these outputs without a mix.
    senses : tuple of float
        1 or, reversed, -1, for each output; no unit.
    end_percent : float
        End points where they scale, percent.
    ready : str or None
        Ready-made function that brings two commands to both outputs.
    """

    unit: Group
    kinds: tuple[int, ...]
    controls: tuple[str | None, ...]
    senses: tuple[float, ...]
    end_percent: float = 100.0
    ready: ReadyMadeKind | None = None

    @property
    def groups(self) -> tuple[Group, ...]:
        """Surfaces on each of the outputs."""
        return (self.unit,) if len(self.kinds) == 1 else tuple((place,) for place in self.unit)

    def mixes(self, command: str) -> int:
        """Free mixes that bring a command to the whole unit."""
        return 0 if self.made(command) else sum(control != command for control in self.controls)

    def made(self, command: str) -> float:
        """Whether the ready-made function brings a command: 1 alike, -1 opposite, else 0."""
        alike, opposite = READY_MADE[self.ready] if self.ready else ("", "")
        return 1.0 if command == alike else -1.0 if command == opposite else 0.0


class Part(NamedTuple):
    """Sizes of a command that are tried, shape (sizes, sides), and what touching each costs, mm^2."""

    sides: tuple[str, ...]
    sizes: np.ndarray
    touch_mm2: np.ndarray


class Share(NamedTuple):
    """What a command costs on a unit for each size, mm^2, and the pulls that do it.

    A pull is a gain with the direction of its output, percent, shape (sizes, outputs, sides).  The true cost
    is against what is wanted, even where less is aimed at.
    """

    costs_mm2: np.ndarray
    true_mm2: np.ndarray
    pulls: np.ndarray


def mirrored(command: str, unit: Group) -> bool:
    """Whether left does for one side of a command what right does for the other."""
    return len(unit) == 2 and command in ("roll", "yaw")


@dataclass
class Trial:
    """What shares can be tried on: reach of the surfaces, radio and wishes; what was worked out is kept.

    Attributes
    ----------
    units : tuple of Group
        (right, left) of each pair, and single surfaces.
    rates : mapping of str to float
        Rates that the reader has set, percent.
    directions : frozenset of str
        Surfaces whose direction stays.
    curved : frozenset of (str, str)
        Surfaces and commands that come by a mix, with a curve.
    """

    reach: Reach
    radio: Radio
    wishes: tuple[Wish, ...]
    units: tuple[Group, ...]
    rates: Mapping[str, float]
    marks: bool = True
    directions: frozenset[str] = frozenset()
    curved: frozenset[tuple[str, str]] = frozenset()

    def __post_init__(self) -> None:
        radio = self.radio
        self.mix_gains = _steps(radio.gain_min_percent, radio.gain_max_percent, radio.gain_step_percent)
        self.ends = _steps(10, radio.travel_max_percent, radio.travel_step_percent)
        self.even_gains = radio.gain_min_percent == -radio.gain_max_percent
        self._shares: dict[tuple[object, ...], tuple[Share, ...]] = {}

    @cached_property
    def wanted(self) -> dict[Group, tuple[str, ...]]:
        """Commands of the radio that are wanted on each unit, in the order of the wishes."""
        found: dict[Group, tuple[str, ...]] = {}
        for unit in self.units:
            commands = dict.fromkeys(wish.want.command for wish in self.wishes if wish.place in unit)
            found[unit] = tuple(command for command in commands if command in self.radio.commands)
        return found

    @cached_property
    def parts(self) -> dict[str, tuple[Part, ...]]:
        """What is tried of each command: a stick's rate for both sides, a dial's mark for each."""
        return {command: self._parts(command) for command in self.radio.commands}

    def _parts(self, command: str) -> tuple[Part, ...]:
        radio = self.radio
        fine = radio.output_gains and radio.gain_step_percent <= _FINE  # gains do it all
        sides = SIDES if COMMAND_RANGES[command][0] < 0 else SIDES[:1]
        if command in radio.shaped_commands:
            own = self.rates.get(command, 100.0)
            rates = np.array([own]) if fine else np.append(own, _RATES)
            return (Part(sides, np.repeat(rates[:, None], len(sides), 1) / 100, TOUCH_MM2 * (rates != own)),)
        if command not in radio.marked_commands or fine or not self.marks:
            return (Part(sides, np.ones((1, len(sides))), np.zeros(1)),)
        if radio.gain_sides_differ or len(sides) == 1:
            return tuple(Part((side,), _MARKS[:, None] / 100, TOUCH_MM2 * (_MARKS != 100)) for side in sides)
        marks = np.stack(np.meshgrid(*[_MARKS[_MARKS % _COARSE == 0]] * 2), axis=-1).reshape(-1, 2)
        return (Part(sides, marks / 100, TOUCH_MM2 * (marks != 100).sum(axis=1)),)

    def targets(self, unit: Group, command: str) -> tuple[np.ndarray, np.ndarray]:
        """Wanted throws in mm and their weights, shape (surfaces, 2): a side not wanted follows its mirror.

        The weights of what nobody asked for are next to nothing.
        """
        mm, weight = np.full((len(unit), 2), np.nan), np.zeros((len(unit), 2))
        for wish in self.wishes:
            if wish.place in unit and wish.want.command == command:
                at = unit.index(wish.place), SIDES.index(wish.want.side)
                mm[at], weight[at] = wish.mm, wish.want.weight
        other = mm[::-1, ::-1] if mirrored(command, unit) else mm[::-1]
        mm = np.where(np.isnan(mm), other, mm)
        mm = np.where(np.isnan(mm), -mm[:, ::-1], mm)  # the other side of the command: as far the other way
        return np.nan_to_num(mm), np.maximum(weight, 1e-3)

    def left_out_mm2(self, unit: Group, command: str) -> float:
        """Cost of a command that does not come to a unit."""
        wanted = [wish for wish in self.wishes if wish.place in unit and wish.want.command == command]
        cost = float(sum(wish.want.weight * wish.mm**2 for wish in wanted))
        return cost + UNSTEERED_MM2 * self.steers(command, unit)

    def steers(self, command: str, unit: Group) -> bool:
        """Whether a stick of the radio should steer a unit."""
        kind = self.reach.surfaces[unit[0]].kind
        return command in self.radio.commands and kind in STEERED.get(command, ())

    def shares(
        self,
        seat: Seat,
        command: str,
        alone: bool,
        less: tuple[float, float] = (1.0, 1.0),
        apart: float = 1.0,
    ) -> tuple[Share, ...]:
        """The best share of a command on a unit, for each part of the command.

        Parameters
        ----------
        alone : bool
            Whether the outputs carry no other command, so that end points that scale may set its size.
        less : tuple of float
            What is aimed at above and below, as a share of what is wanted, 0 to 1.
        apart : float
            How far left and right may part, as a share of what the judge allows, 0 to 1.
        """
        ways = tuple(
            ("mix" if control != command or self.radio.output_gains else "ends" if alone else "fixed")
            for control in seat.controls
        )
        if self.radio.end_points == "clip":
            ways = tuple("fixed" if way == "ends" else way for way in ways)
        senses = tuple(
            sense if way != "mix" or not self.even_gains or seat.made(command) else 1.0
            for way, sense in zip(ways, seat.senses, strict=True)
        )
        key = (seat.groups, command, ways, senses, seat.end_percent, seat.made(command), less, apart)
        if key not in self._shares:
            self._shares[key] = tuple(
                self._settle(seat, command, ways, senses, part, less, apart) for part in self.parts[command]
            )
        return self._shares[key]

    def _settle(
        self,
        seat: Seat,
        command: str,
        ways: tuple[str, ...],
        senses: tuple[float, ...],
        part: Part,
        less: tuple[float, float],
        apart: float,
    ) -> Share:
        mm, weight = self.targets(seat.unit, command)
        flip = mirrored(command, seat.unit) and len(part.sides) == 2
        columns = [SIDES.index(side) for side in part.sides]
        pulls = [self._pulls(way, sense) for way, sense in zip(ways, senses, strict=True)]
        made = seat.made(command)
        if made:
            pulls[1] = pulls[1] * made
        joined = bool(made) or len(seat.kinds) == 1
        throws, costs, truths = [], [], []
        for row, place in enumerate(seat.unit):
            order = columns[::-1] if flip and row else columns
            sizes = part.sizes[:, ::-1] if flip and row else part.sizes
            own = 0 if len(seat.kinds) == 1 else row
            signed = sizes[:, None, :] * np.where(np.array(order) == 0, 1.0, -1.0)
            thrown, dead = self._throws(seat, place, own, ways[own], pulls[own], signed, command)
            half = [signed / 2] if command == "roll" else []  # the mirror holds at half stick too
            aimed = np.array(less)[order] * mm[row, order]
            dead = dead + 1e-9 * abs(pulls[own])[:, None]
            halves = [self._throws(seat, place, own, ways[own], pulls[own], h, command)[0] for h in half]
            throws.append(np.stack([thrown, *halves], axis=-1))
            costs.append(weight[row, order] * (thrown - aimed) ** 2 + dead)
            truths.append(weight[row, order] * (thrown - mm[row, order]) ** 2 + dead)
        likeness = weight[:, columns].mean(axis=0)
        # Where one gain moves both, the mirror of one side is the other side of that gain: sides are alike.
        together = len(part.sides) == 2 and not self.radio.gain_sides_differ and "mix" in ways
        together = together or bool(made) or (flip and joined)
        return _best(throws, costs, truths, pulls, likeness, apart, together, flip, joined)

    def _pulls(self, way: str, sense: float) -> np.ndarray:
        if way == "mix":
            return self.mix_gains * sense
        return np.array([100.0 * sense]) if way == "fixed" else self.ends * sense

    def _throws(
        self, seat: Seat, place: int, own: int, way: str, pulls: np.ndarray, signed: np.ndarray, command: str
    ) -> tuple[np.ndarray, np.ndarray]:
        """Throws in mm, shape (sizes, pulls, sides), and what a stick's dead end costs."""
        asked, most = pulls[:, None] * signed, np.array(seat.end_percent)
        if self.radio.end_points == "clip":
            travel, most = asked, np.array(self.radio.travel_max_percent)
        elif way == "ends":
            travel, most = asked, abs(pulls[:, None])
        else:
            travel = asked * seat.end_percent / 100
        group = seat.groups[own]
        travel, wanted = np.clip(travel, -most, most), abs(travel)
        dead = np.zeros(1)
        if self.radio.held_by(command) == "stick":
            low, high = self.reach.limits_percent(place, group)
            moving = np.minimum(np.where(asked > 0, high, -low), most)
            share = 1 - moving / np.maximum(wanted, 1e-9)
            dead = np.where(share > _DEAD_SHARE, _DEAD_MM2 * (1 + share), 0.0)
        return self.reach.throw_mm(place, group, travel), dead


def _best(
    throws: list[np.ndarray],
    costs: list[np.ndarray],
    truths: list[np.ndarray],
    pulls: list[np.ndarray],
    likeness: np.ndarray,
    apart: float,
    together: bool,
    flip: bool,
    joined: bool,
) -> Share:
    """Pulls of least cost for each size; for two outputs one after the other, until neither gains."""

    def pick(cost: np.ndarray) -> np.ndarray:
        if together:
            return np.repeat(cost.sum(axis=2).argmin(axis=1)[:, None], cost.shape[2], axis=1)
        return cost.argmin(axis=1)

    def at(values: np.ndarray, index: np.ndarray) -> np.ndarray:
        return np.take_along_axis(values, np.expand_dims(index, (1, *range(3, values.ndim))), axis=1)

    def unlike(right: np.ndarray, left: np.ndarray) -> np.ndarray:
        off, moved = abs(right - left), np.maximum(abs(right), abs(left))
        never = (off > apart * np.maximum(_ALIKE_MM, _ALIKE_SHARE * moved)).any(axis=-1)
        return _LIKE * likeness * off[..., 0] ** 2 + _UNLIKE_MM2 * never

    if joined:
        both = unlike(throws[0], throws[1]) if len(throws) == 2 else np.zeros(1)
        cost, true = sum(costs) + both, sum(truths) + both
        index = pick(cost)
        chosen = np.stack([pull[index] for pull in pulls], axis=1)
        return Share(at(cost, index).sum((1, 2)), at(true, index).sum((1, 2)), chosen)
    found = []
    for first, second in ((0, 1), (1, 0)):
        one = pick(costs[first])
        for _ in range(3):
            other = pick(costs[second] + unlike(throws[second], at(throws[first], one)))
            one = pick(costs[first] + unlike(throws[first], at(throws[second], other)))
        parted = unlike(at(throws[first], one), at(throws[second], other))
        cost, true = (
            (at(each[first], one) + at(each[second], other) + parted).sum(axis=(1, 2))
            for each in (costs, truths)
        )
        picked = (one, other) if first == 0 else (other, one)
        right, left = (pulls[row][index] for row, index in enumerate(picked))
        found.append(Share(cost, true, np.stack([right, left[:, ::-1] if flip else left], axis=1)))
    better = found[1].costs_mm2 < found[0].costs_mm2 - 1e-9
    return Share(
        np.where(better, found[1].costs_mm2, found[0].costs_mm2),
        np.where(better, found[1].true_mm2, found[0].true_mm2),
        np.where(better[:, None, None], found[1].pulls, found[0].pulls),
    )


def _steps(low: float, high: float, step: float) -> np.ndarray:
    """Whole steps between two values, percent."""
    return np.arange(np.ceil(low / step - 1e-9), np.floor(high / step + 1e-9) + 1) * step + 0.0
