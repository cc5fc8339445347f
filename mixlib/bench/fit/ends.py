"""How far a command goes: the rate of a stick and the mark beside a dial that suit a plan."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from mixlib.bench.fit.output import TOUCH_MM2, Bench
from mixlib.bench.fit.wiring import Plan

__all__ = ["with_marks", "with_rates"]


def with_rates(bench: Bench, plan: Plan) -> tuple[Bench, Plan]:
    """The plan with the rates that suit the outputs whose own control has no gain, one command at a time.

    Parameters
    ----------
    plan : Plan
        What is plugged and mixed; its cost is in mm^2.

    Returns
    -------
    bench : Bench
        With rates and marks in percent that lower the cost.
    """
    for command in () if bench.radio.output_gains else bench.radio.shaped_commands:
        for rate in _shares_to_try(bench, plan, command, ("above", "below"), 150):
            touch = TOUCH_MM2 * ((rate != 100) - (bench.rates.get(command, 100.0) != 100))
            trial = replace(bench, rates={**bench.rates, command: rate})
            bench, plan = _better(bench, plan, trial, command, touch)
    return bench, plan


def with_marks(bench: Bench, plan: Plan) -> tuple[Bench, Plan]:
    """The plan with marks beside dials and sliders whose direct share cannot be set, one end at a time.

    Parameters
    ----------
    plan : Plan
        What is plugged and mixed; its cost is in mm^2.

    Returns
    -------
    bench : Bench
        With rates and marks in percent that lower the cost.
    """
    turned = [c.command for c in bench.radio.controls if c.held_by in ("dial", "slider")]
    for command in () if bench.radio.output_gains else turned:
        for side in ("above", "below") * 2:  # the second time with the other end at its mark
            for mark in _shares_to_try(bench, plan, command, (side,), 100):
                touch = TOUCH_MM2 * ((mark != 100) - (bench.marks.get((command, side), 100.0) != 100))
                trial = replace(bench, marks={**bench.marks, (command, side): mark})
                bench, plan = _better(bench, plan, trial, command, touch)
    return bench, plan


def _better(bench: Bench, plan: Plan, trial: Bench, command: str, touch_mm2: float) -> tuple[Bench, Plan]:
    """The trial with its outputs settled anew, if that is better, else what there was."""
    outputs, change = dict(plan.outputs), touch_mm2
    for number, fitted in plan.outputs.items():
        if command in (fitted.control, *fitted.mixed):
            outputs[number] = trial.settle(fitted.surfaces, fitted.control, fitted.mixed)
            before = bench.settle(fitted.surfaces, fitted.control, fitted.mixed)
            change += outputs[number].score_mm2 - before.score_mm2
    return (trial, Plan(outputs, plan.score_mm2 + change)) if change < -1e-9 else (bench, plan)


def _shares_to_try(bench: Bench, plan: Plan, command: str, sides: tuple[str, ...], most: int) -> list[float]:
    """Whole percents that meet a wanted throw on an output of that control, or the mean of them; and 100."""
    needs = []
    for output in (fitted for fitted in plan.outputs.values() if fitted.control == command):
        names = {bench.reach.names[place] for place in output.surfaces}
        for want, mm in bench.wants:
            if want.command == command and want.side in sides and want.surface in names:
                needs.append(abs(bench.reach.travel_percent(want.surface, output.surfaces, mm)))
    needs = [need for need in needs if np.isfinite(need)]
    if not needs:
        return []
    whole = {int(need) + up for need in [*needs, np.mean(needs)] for up in (0, 1)} | {100}
    return [float(share) for share in sorted(whole) if 1 <= share <= most]
