"""The best gains, end points and direction of one output, once it is known what plugs in and what leads it.

Every setting is taken from the values that the radio can enter, and all of them are tried, so the answer
is the best there is.  The cost of an output is the weighted sum of squared misses in mm^2.  Each setting
that departs from the radio's own (a mix, an end point, a Y-lead) counts as a miss of 0.25 mm besides, so
that nothing is touched for less than a ruler can show.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from mixlib.bench.fit.reach import Group, Reach
from mixlib.describe import Output, Radio, Want
from mixlib.units import COMMAND_RANGES

__all__ = ["SIDES", "TOUCH_MM2", "OutputFit", "Trial", "Wish"]

TOUCH_MM2 = 0.25**2
"""What touching one more setting counts, mm^2: as much as a miss of 0.25 mm."""

SIDES = ("above", "below")

_LARGER_END_MM2 = 1e-7  # among end points that fit equally well the larger one, which cuts off less


class Wish(NamedTuple):
    """A wanted throw, with the place of its surface in the aircraft's list and the throw in mm."""

    want: Want
    place: int
    mm: float


@dataclass(frozen=True)
class OutputFit:
    """Settings of one output and what they cost.

    Attributes
    ----------
    gains : dict of str to (float, float)
        Gain above and below in percent, for each mixed command and the control.
    ends : tuple of float
        End point towards the shorter and the longer pulse, percent.
    score_mm2 : float
        Weighted squared misses, with what touching settings counts.
    """

    group: Group
    control: str | None
    mixed: tuple[str, ...]
    reversed: bool
    gains: dict[str, tuple[float, float]]
    ends: tuple[float, float]
    score_mm2: float


@dataclass
class Trial:
    """What plugs into what can be tried on: reach of the surfaces, wishes and radio, with all costs kept.

    Attributes
    ----------
    used_to : mapping of (str, str) to float
        Command and side, and how far the command goes there, percent: by the rate of a stick, to the mark of
        a dial or slider; what is left out is 100.
    """

    reach: Reach
    radio: Radio
    wishes: tuple[Wish, ...]
    used_to: Mapping[tuple[str, str], float] = field(default_factory=dict)
    _shares: dict[tuple[object, ...], _Share] = field(
        default_factory=dict
    )  # of all trials made from this one

    def __post_init__(self) -> None:
        radio = self.radio
        self.ends = _steps(0, radio.travel_max_percent, radio.travel_step_percent)
        self.mix_gains = _steps(radio.gain_min_percent, radio.gain_max_percent, radio.gain_step_percent)
        untouched = np.abs(self.ends - 100) < 1e-9
        touch = np.where(untouched, 0.0, TOUCH_MM2) + _LARGER_END_MM2 * (self.ends.max() - self.ends)
        self._touch = touch[:, np.newaxis] + touch

    def commands_for(self, group: Group) -> tuple[str, ...]:
        """Commands of the radio that are wanted on some surfaces, in the order of the wishes."""
        found = dict.fromkeys(wish.want.command for wish in self.wishes if wish.place in group)
        return tuple(command for command in found if command in self.radio.commands)

    def settle(self, group: Group, control: str | None, mixed: tuple[str, ...]) -> OutputFit:
        """Best settings of one output."""
        led = (*mixed, control) if control else mixed
        shares = {command: self._share(group, command, command == control) for command in led}
        found = []
        for sense in (1.0, -1.0):
            total = self._touch.copy()
            for share in shares.values():
                total += share.table_mm2(sense)
            low, high = np.unravel_index(int(np.argmin(total)), total.shape)
            found.append((float(total[low, high]), sense, (float(self.ends[low]), float(self.ends[high]))))
        score, sense, ends = found[0] if found[0][0] <= found[1][0] + 1e-9 else found[1]
        gains = {command: share.best_gains(sense, ends) for command, share in shares.items()}
        if control and gains[control][0] < 0 and self._can_turn(gains):
            sense, gains = -sense, {command: (0.0 - a, 0.0 - b) for command, (a, b) in gains.items()}
        score += self._unmoved_mm2(group, led) + TOUCH_MM2 * (len(mixed) + len(group) - 1)
        return OutputFit(group, control, mixed, sense < 0, gains, ends, score)

    def _share(self, group: Group, command: str, direct: bool) -> _Share:
        fixed = direct and not self.radio.output_gains
        key = group, command, fixed, *(self.used_to.get((command, side)) for side in SIDES)
        if key not in self._shares:
            self._shares[key] = _Share(self, group, command, fixed)
        return self._shares[key]

    def _can_turn(self, gains: dict[str, tuple[float, float]]) -> bool:
        """Whether all gains may change sign together, which with the direction turned round is the same."""
        low, high = self.radio.gain_min_percent, self.radio.gain_max_percent
        return all(low <= -gain <= high for pair in gains.values() for gain in pair)

    def _unmoved_mm2(self, group: Group, led: tuple[str, ...]) -> float:
        """Cost of the wishes whose command does not come to this output."""
        missed = (wish for wish in self.wishes if wish.place in group and wish.want.command not in led)
        return sum(
            w.want.weight * float(self.reach.throw_mm(w.place, group, 0.0) - w.mm) ** 2 for w in missed
        )

    def output(self, fit: OutputFit, number: int) -> Output:
        """Settings of an output as the radio takes them."""
        above, below = fit.gains[fit.control] if fit.control else (100.0, 100.0)
        return Output(
            number=number,
            control=fit.control,
            gain_above_percent=above,
            gain_below_percent=below,
            reversed=fit.reversed,
            sub_trim_percent=self.reach.sub_trim_percent(fit.group),
            end_low_percent=fit.ends[0],
            end_high_percent=fit.ends[1],
        )


class _Share:
    """What one command brings to one output: the throws wanted of it, and the gains that can be set."""

    def __init__(self, trial: Trial, group: Group, command: str, fixed: bool) -> None:
        self._reach, self._radio, self._ends, self._group = trial.reach, trial.radio, trial.ends, group
        self._one_sided = COMMAND_RANGES[command][0] == 0
        self._gains = np.array([100.0]) if fixed else trial.mix_gains
        self._wanted: dict[str, list[tuple[int, float, float]]] = {side: [] for side in SIDES}
        for place in group:
            asked = [w for w in trial.wishes if (w.place, w.want.command) == (place, command)]
            for side in SIDES:
                self._wanted[side] += [(place, w.mm, w.want.weight) for w in asked if w.want.side == side]
                if not asked and not (side == "below" and self._one_sided):
                    self._wanted[side].append((place, 0.0, 1.0))  # what comes along unasked is to stay still
        self._full = {side: trial.used_to.get((command, side), 100.0) / 100 for side in SIDES}
        self._full["below"] *= -1
        self._alike = fixed or not trial.radio.gain_sides_differ
        self._tables: dict[float, np.ndarray] = {}

    def table_mm2(self, sense: float) -> np.ndarray:
        """Least cost for each pair of end points (towards shorter, towards longer pulse)."""
        if sense not in self._tables:
            self._tables[sense] = self._table_mm2(sense)
        return self._tables[sense]

    def best_gains(self, sense: float, ends: tuple[float, float]) -> tuple[float, float]:
        """Gain above and below that cost least with given end points, percent."""
        costs = [self._cost_mm2(side, sense * self._gains, *ends) for side in SIDES]
        if self._alike:
            costs = [costs[0] + costs[1]] * 2
        above, below = (float(self._gains[_least_place(cost, self._gains)]) for cost in costs)
        if not self._wanted["above"]:
            above = below
        if not self._wanted["below"]:
            below = 0.0 if self._one_sided and not self._alike else above
        return above, below

    def _table_mm2(self, sense: float) -> np.ndarray:
        pull, ends = sense * self._gains, self._ends
        above, below = (self._cost_mm2(side, pull[:, np.newaxis], ends, ends) for side in SIDES)
        # Above, a gain of the direction's sign works towards the longer pulse; below it is the other way.
        longer = pull >= 0
        if not (self._alike and all(self._wanted.values())):
            return _least(above, longer) + _least(below, ~longer | (pull == 0))
        best = np.full((len(ends), len(ends)), np.inf)
        for index, far in enumerate(longer):
            low, high = (below, above) if far else (above, below)
            np.minimum(best, low[index][:, np.newaxis] + high[index], out=best)
        return best

    def _cost_mm2(
        self, side: str, pull: np.ndarray, low: float | np.ndarray, high: float | np.ndarray
    ) -> np.ndarray:
        """Cost of one side for gains with the sign of the direction, and end points; all are broadcast."""
        asked = self._full[side] * pull
        if self._radio.end_points == "clip":
            travel = np.clip(asked, -low, high)
        else:
            travel = np.clip(asked, -100, 100) * np.where(asked > 0, high, low) / 100
        cost = np.zeros(travel.shape)
        for place, mm, weight in self._wanted[side]:
            cost += weight * (self._reach.throw_mm(place, self._group, travel) - mm) ** 2
        return cost


def _steps(low: float, high: float, step: float) -> np.ndarray:
    """Multiples of a step between two values, ends included."""
    return np.arange(np.ceil(low / step - 1e-9), np.floor(high / step + 1e-9) + 1) * step + 0.0


def _least(cost: np.ndarray, towards_longer: np.ndarray) -> np.ndarray:
    """Least cost over the gains, by (end towards shorter, end towards longer pulse)."""
    longer, shorter = (
        cost[rows].min(axis=0) if rows.any() else np.full(cost.shape[1], np.inf)
        for rows in (towards_longer, ~towards_longer)
    )
    return np.minimum(shorter[:, np.newaxis], longer)


def _least_place(cost: np.ndarray, gains: np.ndarray) -> int:
    """Place of the least cost; of several, that of the smallest gain."""
    good = np.flatnonzero(cost <= cost.min() + 1e-12)
    return int(good[np.argmin(np.abs(gains[good]))])
