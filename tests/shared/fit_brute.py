"""Every setting that a small radio can enter, tried one after the other: what a fit must never be worse than.

It knows nothing of how the fit searches.  Throws come from the functions of the chain; all gains of an
output are combined with each other, with all end points and both directions.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations, product

import numpy as np

from mixlib.bench.fit.shares import TOUCH_MM2
from mixlib.bench.surface.throws import follow
from mixlib.chain.outputs import travel_percent
from mixlib.describe import Aircraft, Output, Radio, Surface, Want

__all__ = ["least_score"]


def least_score(aircraft: Aircraft, radio: Radio, wants: tuple[Want, ...]) -> tuple[float, int]:
    """Least score over all settings, and how many settings were tried.  Wants are in mm, for both sides."""
    surfaces = aircraft.surfaces
    best, tried = np.inf, 0
    by_place: dict[tuple[tuple[str, ...], int], tuple[list[float], int]] = {}
    for wiring in product(range(1, radio.outputs + 1), repeat=len(surfaces)):
        totals = {0: 0.0}
        for number in sorted(set(wiring)):
            group = tuple(s for s, n in zip(surfaces, wiring, strict=True) if n == number)
            key = tuple(s.name for s in group), number
            if key not in by_place:
                by_place[key] = _least_of_output(group, number, radio, wants)
                tried += by_place[key][1]
            by_mixes = by_place[key][0]
            totals = {
                used: min(totals[u] + by_mixes[used - u] for u in totals if 0 <= used - u < len(by_mixes))
                for used in range(radio.free_mixes + 1)
                if any(0 <= used - u < len(by_mixes) for u in totals)
            }
        best = min(best, *totals.values())
    return best, tried


def _least_of_output(
    group: tuple[Surface, ...], number: int, radio: Radio, wants: tuple[Want, ...]
) -> tuple[list[float], int]:
    commands = tuple(dict.fromkeys(want.command for want in wants))
    ends = np.arange(0, radio.travel_max_percent + 1, radio.travel_step_percent)
    owned = any(c.held_by == "stick" and c.drives == (number,) for c in radio.controls)
    by_mixes, tried = [np.inf] * (radio.free_mixes + 1), 0
    for turned, low, high in product((False, True), ends, ends):
        output = Output(
            number=number, reversed=turned, end_low_percent=float(low), end_high_percent=float(high)
        )
        ends_touched = sum(end != 100 for end in (low, high))

        @cache
        def cost(command: str, direct: bool, mixed: bool, output: Output = output) -> np.ndarray:
            return _cost(group, command, _pairs(radio, direct, mixed), output, radio, wants)

        for control in (None, *(c for c in radio.can_drive(number) if c in commands)):
            others = [command for command in commands if command != control and command in radio.commands]
            for count in range(min(len(others), radio.free_mixes) + 1):
                for mixed in combinations(others, count):
                    total = np.zeros(1)
                    for command in commands:
                        share = cost(command, command == control, command in mixed)
                        total = (total[:, np.newaxis] + share).ravel()
                    tried += len(total)
                    touched = count + len(group) - 1 + (owned and control is None) + ends_touched
                    by_mixes[count] = min(by_mixes[count], float(total.min()) + TOUCH_MM2 * touched)
    return by_mixes, tried


def _pairs(radio: Radio, direct: bool, mixed: bool) -> np.ndarray:
    """All gains above and below that can be set, shape (settings, 2)."""
    if direct and not radio.output_gains:
        return np.array([[100.0, 100.0]])
    if not direct and not mixed:
        return np.zeros((1, 2))
    step = radio.gain_step_percent
    gains = np.arange(radio.gain_min_percent, radio.gain_max_percent + step / 2, step)
    if not radio.gain_sides_differ:
        return np.stack([gains, gains], axis=1)
    return np.array(list(product(gains, gains)))


def _cost(group, command: str, gains: np.ndarray, output: Output, radio: Radio, wants) -> np.ndarray:
    cost = np.zeros(len(gains))
    for column, (side, full) in enumerate((("above", 1.0), ("below", -1.0))):
        travel, _ = travel_percent(full * gains[:, column], output, radio)
        for surface in group:
            for want in wants:
                if (want.surface, want.command, want.side) == (surface.name, command, side):
                    cost += want.weight * (follow(surface, radio, travel).throw_mm - want.amount) ** 2
    return cost
