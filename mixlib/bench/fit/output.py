"""The best gains, end points and direction of one output, once it is known what plugs in and what leads it.

Every setting is taken from the values that the radio can enter, and all of them are tried, so the answer
is the best there is.  The cost of an output is the weighted sum of squared misses in mm^2.  Each setting
that departs from the radio's own (a mix, an end point, a Y-lead) counts as a miss of 0.25 mm besides, so
that nothing is touched for less than a ruler can show.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from mixlib.bench.fit.reach import Reach
from mixlib.describe import Output, Radio, Want
from mixlib.units import COMMAND_RANGES

__all__ = ["TOUCH_MM2", "Bench", "OutputFit", "stepped"]

TOUCH_MM2 = 0.25**2
"""What touching one more setting counts, mm^2: as much as a miss of 0.25 mm."""

_LARGER_END_MM2 = 1e-7  # among end points that fit equally well the larger one, which cuts off less


@dataclass(frozen=True)
class OutputFit:
    """Settings of one output and what they cost.

    Attributes
    ----------
    gains : dict of str to (float, float)
        Gain above and below in percent, for the control and each mixed command.
    ends : tuple of float
        End point towards the shorter and the longer pulse, percent.
    cost_mm2, score_mm2 : float
        Weighted squared misses, without and with what touching settings counts.
    """

    surfaces: tuple[int, ...]
    control: str | None
    mixed: tuple[str, ...]
    reversed: bool
    gains: dict[str, tuple[float, float]]
    ends: tuple[float, float]
    cost_mm2: float
    score_mm2: float


def stepped(low: float, high: float, step: float) -> np.ndarray:
    """Whole steps between two values.

    Parameters
    ----------
    low, high, step : float
        Range and step in percent.

    Returns
    -------
    numpy.ndarray
        The multiples of the step in the range, percent.
    """
    return np.arange(np.ceil(low / step - 1e-9), np.floor(high / step + 1e-9) + 1) * step + 0.0


@dataclass
class Bench:
    """What plugs into what can be tried on: reach of the surfaces, wants and radio, with all costs kept.

    Attributes
    ----------
    wants : sequence of (Want, float)
        Each want with its throw in mm.
    rates : mapping of str to float
        Rate of a shaped command in percent; what is left out is 100.
    marks : mapping of (str, str) to float
        Command and side of a dial or slider, and how far it is turned, percent; what is left out is 100.
    """

    reach: Reach
    radio: Radio
    wants: tuple[tuple[Want, float], ...]
    rates: Mapping[str, float] = field(default_factory=dict)
    marks: Mapping[tuple[str, str], float] = field(default_factory=dict)

    def __post_init__(self):
        radio = self.radio
        self.ends = stepped(0, radio.travel_max_percent, radio.travel_step_percent)
        self.mix_gains = stepped(radio.gain_min_percent, radio.gain_max_percent, radio.gain_step_percent)
        untouched = np.abs(self.ends - 100) < 1e-9
        touch = np.where(untouched, 0.0, TOUCH_MM2) + _LARGER_END_MM2 * (self.ends.max() - self.ends)
        self._touch = touch[:, np.newaxis] + touch
        self._tables: dict[tuple, np.ndarray] = {}

    def commands_for(self, group: tuple[int, ...]) -> tuple[str, ...]:
        """Commands of the radio that are wanted on some surfaces.

        Returns
        -------
        tuple of str
            In the order of the wants.
        """
        names = {self.reach.names[place] for place in group}
        found = dict.fromkeys(want.command for want, _ in self.wants if want.surface in names)
        return tuple(command for command in found if command in self.radio.commands)

    def settle(self, group: tuple[int, ...], control: str | None, mixed: tuple[str, ...]) -> OutputFit:
        """Best settings of one output."""
        still = self._unmoved(group, control, mixed)
        touched = TOUCH_MM2 * (len(mixed) + len(group) - 1)
        best = None
        for sense in (1.0, -1.0):
            total = self._touch.copy()
            for command in (*mixed, control) if control else mixed:
                total += self._table(group, command, command == control, sense)
            low, high = np.unravel_index(int(np.argmin(total)), total.shape)
            score = float(total[low, high])
            if best is None or score < best[0] - 1e-9:
                best = score, sense, float(self.ends[low]), float(self.ends[high])
        score, sense, *ends = best
        gains = {}
        for command in (*mixed, control) if control else mixed:
            gains[command] = self._best_gains(group, command, command == control, sense, ends)
        if control and gains[control][0] < 0 and self._can_turn(gains):
            sense, gains = -sense, {name: (0.0 - a, 0.0 - b) for name, (a, b) in gains.items()}
        cost = still + sum(
            self._cost_of_gains(group, command, pair, sense, ends) for command, pair in gains.items()
        )
        return OutputFit(group, control, mixed, sense < 0, gains, tuple(ends), cost, score + still + touched)

    def _can_turn(self, gains: dict[str, tuple[float, float]]) -> bool:
        """Whether all gains may change sign together, which with the direction turned round is the same."""
        low, high = self.radio.gain_min_percent, self.radio.gain_max_percent
        return all(low <= -gain <= high for pair in gains.values() for gain in pair)

    def _targets(self, group: tuple[int, ...], command: str, side: str) -> list[tuple[int, float, float]]:
        """Place, throw in mm and weight of each want; a surface that comes along unasked is to stay still."""
        found = []
        for place in group:
            own = [(w, mm) for w, mm in self.wants if w.surface == self.reach.names[place]]
            asked = [(w, mm) for w, mm in own if w.command == command]
            found += [(place, mm, w.weight) for w, mm in asked if w.side == side]
            if not asked and not (side == "below" and COMMAND_RANGES[command][0] == 0):
                found.append((place, 0.0, 1.0))
        return found

    def _unmoved(self, group: tuple[int, ...], control: str | None, mixed: tuple[str, ...]) -> float:
        """Cost of the wants whose command does not come to this output."""
        cost = 0.0
        for command in dict.fromkeys(want.command for want, _ in self.wants):
            if command != control and command not in mixed:
                names = {self.reach.names[place]: place for place in group}
                for want, mm in self.wants:
                    if want.command == command and want.surface in names:
                        rest = self.reach.throw_mm(names[want.surface], group, np.zeros(1))[0]
                        cost += want.weight * float(rest - mm) ** 2
        return cost

    def _travel(self, command: str, side: str, gains, sense: float, low, high) -> np.ndarray:
        """Travel from neutral in percent for gains and end points, which are broadcast."""
        rate = self.rates.get(command, 100.0) / 100 * self.marks.get((command, side), 100.0) / 100
        asked = sense * (rate if side == "above" else -rate) * np.asarray(gains, dtype=float)
        if self.radio.end_points == "clip":
            return np.clip(asked, -np.asarray(low), high)
        return np.clip(asked, -100, 100) * np.where(asked > 0, high, low) / 100

    def _cost(self, group: tuple[int, ...], command: str, side: str, travel: np.ndarray) -> np.ndarray:
        cost = np.zeros(travel.shape)
        for place, mm, weight in self._targets(group, command, side):
            cost += weight * (self.reach.throw_mm(place, group, travel) - mm) ** 2
        return cost

    def _gains(self, direct: bool) -> np.ndarray:
        return np.array([100.0]) if direct and not self.radio.output_gains else self.mix_gains

    def _table(self, group: tuple[int, ...], command: str, direct: bool, sense: float) -> np.ndarray:
        """Least cost of one command for each pair of end points (towards shorter, towards longer pulse)."""
        fixed = direct and not self.radio.output_gains
        marks = (self.marks.get((command, side), 100.0) for side in ("above", "below"))
        key = (group, command, fixed, sense, self.rates.get(command, 100.0), *marks)
        if key not in self._tables:
            self._tables[key] = self._make_table(group, command, self._gains(direct), sense)
        return self._tables[key]

    def _make_table(
        self, group: tuple[int, ...], command: str, gains: np.ndarray, sense: float
    ) -> np.ndarray:
        column, ends = gains[:, np.newaxis], self.ends
        above, below = (
            self._cost(group, command, side, self._travel(command, side, column, sense, ends, ends))
            for side in ("above", "below")
        )
        # Above, a gain of the direction's sign works towards the longer pulse; below it is the other way.
        longer = sense * gains >= 0
        wants_above, wants_below = (bool(self._targets(group, command, s)) for s in ("above", "below"))
        if len(gains) > 1 and not self.radio.gain_sides_differ and wants_above and wants_below:
            best = np.full((len(ends), len(ends)), np.inf)
            for index, far in enumerate(longer):
                low, high = (below, above) if far else (above, below)
                np.minimum(best, low[index][:, np.newaxis] + high[index], out=best)
            return best
        if len(gains) == 1:
            low, high = (below[0], above[0]) if longer[0] else (above[0], below[0])
            return low[:, np.newaxis] + high
        return _least(above, longer) + _least(below, ~longer | (gains == 0))

    def _best_gains(
        self, group: tuple[int, ...], command: str, direct: bool, sense: float, ends
    ) -> tuple[float, float]:
        gains = self._gains(direct)
        above, below = (
            self._cost(group, command, side, self._travel(command, side, gains, sense, *ends))
            for side in ("above", "below")
        )
        if len(gains) == 1:
            return (100.0, 100.0)
        if not self.radio.gain_sides_differ:
            gain = float(gains[_least_place(above + below, gains)])
            return gain, gain
        first, second = float(gains[_least_place(above, gains)]), float(gains[_least_place(below, gains)])
        if not self._targets(group, command, "above"):
            first = second
        if not self._targets(group, command, "below"):
            second = first if COMMAND_RANGES[command][0] < 0 else 0.0
        return first, second

    def _cost_of_gains(self, group, command: str, pair: tuple[float, float], sense: float, ends) -> float:
        cost = 0.0
        for side, gain in zip(("above", "below"), pair, strict=True):
            travel = self._travel(command, side, np.array([gain]), sense, *ends)
            cost += float(self._cost(group, command, side, travel)[0])
        return cost

    def output(self, fit: OutputFit, number: int) -> Output:
        """Settings of an output as the radio takes them.

        Parameters
        ----------
        number : int
            Which output, from 1.
        """
        above, below = fit.gains[fit.control] if fit.control else (100.0, 100.0)
        return Output(
            number=number,
            control=fit.control,
            gain_above_percent=above,
            gain_below_percent=below,
            reversed=fit.reversed,
            sub_trim_percent=self.reach.sub_trim_percent(fit.surfaces),
            end_low_percent=fit.ends[0],
            end_high_percent=fit.ends[1],
        )


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
