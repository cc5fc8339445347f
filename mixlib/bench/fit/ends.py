"""How far a command goes: the rate of a stick and the mark beside a dial that suit a plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from mixlib.bench.fit.output import SIDES, TOUCH_MM2, Trial
from mixlib.bench.fit.wiring import Plan

__all__ = ["RATE_MAX_PERCENT", "with_ends"]

RATE_MAX_PERCENT = 150
"""Largest rate of a stick; beside a dial a mark is at most at its end, 100 %."""


def with_ends(trial: Trial, plan: Plan, marks: bool) -> tuple[Trial, Plan]:
    """The plan with the rates and marks that suit the outputs whose own control has no gain.

    One command after the other, the sticks first; a rate holds for both sides of a command, a mark for one.

    Parameters
    ----------
    marks : bool
        Whether dials and sliders may be stopped at a mark.
    """
    if trial.radio.output_gains:
        return trial, plan
    for command in trial.radio.shaped_commands:
        trial, plan = _best_end(trial, plan, command, SIDES, RATE_MAX_PERCENT)
    for command in trial.radio.marked_commands if marks else ():
        for side in SIDES * 2:  # the second time with the other end at its mark
            trial, plan = _best_end(trial, plan, command, (side,), 100)
    return trial, plan


def _best_end(
    trial: Trial, plan: Plan, command: str, sides: Sequence[str], most_percent: int
) -> tuple[Trial, Plan]:
    """The trial and the plan with the end of a command's way that lowers the score most, if any does."""
    for percent in _ends_to_try(trial, plan, command, sides, most_percent):
        other = replace(trial, used_to={**trial.used_to, **{(command, side): percent for side in sides}})
        touch = TOUCH_MM2 * ((percent != 100) - (trial.used_to.get((command, sides[0]), 100.0) != 100))
        outputs, change = dict(plan.outputs), touch
        for number, fit in plan.outputs.items():
            if command in fit.gains:
                outputs[number] = other.settle(fit.group, fit.control, fit.mixed)
                change += outputs[number].score_mm2
                change -= trial.settle(fit.group, fit.control, fit.mixed).score_mm2
        if change < -1e-9:
            trial, plan = other, Plan(outputs, plan.score_mm2 + change)
    return trial, plan


def _ends_to_try(
    trial: Trial, plan: Plan, command: str, sides: Sequence[str], most_percent: int
) -> list[float]:
    """Whole percents that meet a wanted throw on an output of that control, or the mean of them; and 100."""
    needs = [
        abs(trial.reach.travel_percent(wish.place, fit.group, wish.mm))
        for fit in plan.outputs.values()
        for wish in trial.wishes
        if fit.control == command == wish.want.command and wish.want.side in sides and wish.place in fit.group
    ]
    needs = [need for need in needs if np.isfinite(need)]
    if not needs:
        return []
    whole = {int(need) + up for need in [*needs, float(np.mean(needs))] for up in (0, 1)} | {100}
    return [float(percent) for percent in sorted(whole) if 1 <= percent <= most_percent]
