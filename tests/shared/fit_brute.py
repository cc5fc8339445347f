"""Settings that a small radio can enter, tried one after the other: what a fit must not be worse than.

It knows nothing of how the fit searches, and its conditions come through the plain chain beside it.  One pair
of surfaces, two outputs, two commands; plugs, directions, controls, mixes with all their gains, a few rates
and marks.  At the end of a command a throw depends on that command's settings alone, so those of each command
are listed with what they cost, and whole set-ups put together from the lists, the cheapest first.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from functools import cache
from itertools import product
from types import SimpleNamespace

import numpy as np
from plain_chain import throws_mm

from mixlib.bench.fit.shares import TOUCH_MM2, UNSTEERED_MM2
from mixlib.describe import Aircraft, FreeMix, Mark, Output, Radio, Setup, Shaping, Surface, Want

__all__ = ["cheaper", "conditions_hold"]

_LOOKED_AT = 150  # of the cheapest
RATES, MARKS = (40.0, 60.0, 80.0, 100.0), (25.0, 50.0, 75.0, 100.0)


def cheaper(
    aircraft: Aircraft, radio: Radio, wants: tuple[Want, ...], score_mm2: float
) -> Iterator[tuple[float, Setup]]:
    """Set-ups that keep every condition and score less, with their score."""
    names = [c.command for c in radio.controls]
    sets = heapq.nsmallest(
        _LOOKED_AT, _whole(aircraft, radio, wants, names, score_mm2), key=lambda item: item[0]
    )
    for score, build in sets:
        setup = build()
        if conditions_hold(setup):
            yield score, setup


def conditions_hold(setup: Setup, keep: float = 0.5) -> bool:
    """Mirrored, alive and with half of each stick left, through the plain chain; one pair of surfaces."""
    pair = [next(s for s in setup.aircraft.surfaces if s.side == side) for side in ("right", "left")]
    right, left = (surface.name for surface in pair)
    other = next(c.command for c in setup.radio.controls if c.command != "roll")
    places = [setup.used_to(other, -1), 0.0, setup.used_to(other, 1)]
    seen = {(r, o): throws_mm(setup, roll=r, **{other: o}) for r in (-1, -0.5, 0, 0.5, 1) for o in places}
    still = seen[0, 0.0]
    for (r, o), throws in seen.items():
        mirror = seen[-r, o]
        moved = max(abs(throws[right] - still[right]), abs(mirror[left] - still[left]))
        if abs(throws[right] - mirror[left]) > max(1.0, 0.1 * moved) + 1e-6:
            return False
    rolls = {o: {n: seen[1, o][n] - seen[-1, o][n] for n in (right, left)} for o in places}
    whole = sum(map(abs, rolls[0.0].values()))
    for o in places:
        kept = sum(rolls[o][n] * np.sign(rolls[0.0][n]) for n in (right, left))
        if whole > 1 and kept < (keep - 0.01) * whole - 1e-6:
            return False
    if other == "pitch":
        pitch = {r: {n: seen[r, 1][n] - seen[r, -1][n] for n in (right, left)} for r in (-1, 0, 1)}
        whole = sum(map(abs, pitch[0].values()))
        for r in pitch:
            kept = sum(pitch[r][n] * np.sign(pitch[0][n]) for n in (right, left))
            if whole > 1 and kept < (keep - 0.01) * whole - 1e-6:
                return False
    for command in ("roll", "pitch") if other == "pitch" else ("roll",):
        for way in (1, -1):
            end, near = (throws_mm(setup, **{command: way * size}) for size in (1.0, 0.875))
            moves = max(abs(end[n] - still[n]) for n in (right, left))
            back = throws_mm(setup, **{command: -way})
            answers = max(moves, *(abs(back[n] - still[n]) for n in (right, left))) > 0.5
            if answers and max(abs(end[n] - near[n]) for n in (right, left)) < min(0.05, 0.02 * moves):
                return False
    return True


def _whole(aircraft, radio, wants, names, score_mm2):
    pair = [next(s for s in aircraft.surfaces if s.side == side) for side in ("right", "left")]
    step = radio.gain_step_percent
    gains = np.arange(radio.gain_min_percent, radio.gain_max_percent + step / 2, step)
    for plugs in product((1, 2), repeat=2):
        possible = [(None, *radio.can_drive(n)) for n in plugs]
        for controls in product(*possible):
            if plugs[0] == plugs[1] and controls[0] != controls[1]:
                continue
            for senses in product((1.0, -1.0), repeat=2):
                if plugs[0] == plugs[1] and senses[0] != senses[1]:
                    continue
                lists = []
                for command in names:
                    found = _of_command(
                        pair, radio, wants, command, plugs, controls, senses, gains, score_mm2
                    )
                    lists.append(heapq.nsmallest(_LOOKED_AT, found, key=lambda item: item[0]))
                for first, second in product(*lists):
                    score = first[0] + second[0] + TOUCH_MM2 * (plugs[0] == plugs[1])
                    mixes = [*first[2], *second[2]]
                    if score >= score_mm2:
                        continue
                    if len(mixes) <= radio.free_mixes:
                        parts = first, second
                        yield score, _builder(aircraft, radio, wants, plugs, controls, senses, parts, names)


def _of_command(pair, radio, wants, command, plugs, controls, senses, gains, most_mm2):
    """Settings of one command that cost little enough to matter: cost, sizes, mixes, own gains."""
    joined, mirrored = plugs[0] == plugs[1], command in ("roll", "yaw")
    shaped = command in radio.shaped_commands
    sizes = [(rate, rate) for rate in RATES] if shaped else list(product(MARKS, MARKS))
    every = np.array([(g, g) for g in gains] if not radio.gain_sides_differ else list(product(gains, gains)))
    flip = slice(None, None, -1 if mirrored else 1)
    mm, weight = np.moveaxis(
        np.array([[_want(wants, part.name, command, side) for side in ("above", "below")] for part in pair]),
        2,
        0,
    )
    for brought in (True, False):
        choices = []
        for control in controls:
            if control == command:
                choices.append(every if radio.output_gains else np.array([(100.0, 100.0)]))
            else:
                choices.append(every if brought else np.zeros((1, 2)))
        for size in sizes if brought else [(100.0, 100.0)]:
            ends = []
            for part, sense, choice in zip(pair, senses, choices, strict=True):
                asked = sense * choice * np.array(size) / 100 * (1, -1)
                table = {demand: _throw(part, radio, demand) for demand in np.unique(asked)}
                ends.append(np.vectorize(table.get, otypes=[float])(asked))
            right, left = ends[0][:, None, :], ends[1][None, :, :]
            cost = (weight[0] * (right - mm[0]) ** 2 + weight[1] * (left - mm[1]) ** 2).sum(axis=2)
            alike = (weight[0] + weight[1][flip]) / 2
            cost = cost + 4 * (alike * (right - left[..., flip]) ** 2).sum(axis=2)
            if joined:
                cost = np.where(np.eye(*cost.shape, dtype=bool), cost, np.inf)
            touched = (size[0] != 100) + (size[1] != 100 and not shaped)
            touched += sum(c != command for c in (controls[:1] if joined else controls)) if brought else 0
            cost = cost + TOUCH_MM2 * touched
            if not brought and command in ("roll", "pitch"):
                cost = cost + UNSTEERED_MM2
            cheap = np.argsort(cost, axis=None)[:_LOOKED_AT]
            for one, other in zip(
                *np.unravel_index(cheap[cost.ravel()[cheap] < most_mm2], cost.shape), strict=True
            ):
                picked = dict(
                    zip(plugs, zip(controls, (choices[0][one], choices[1][other]), strict=True), strict=True)
                )
                mixed = {n: tuple(g.tolist()) for n, (c, g) in picked.items() if c != command and brought}
                own = {n: tuple(g.tolist()) for n, (c, g) in picked.items() if c == command}
                if all(any(g) for g in mixed.values()):
                    yield float(cost[one, other]), size, list(mixed.items()), own


@cache
def _throw(surface: Surface, radio: Radio, demand: float) -> float:
    """Throw for a demand with open end points, through the plain chain."""
    end = radio.travel_max_percent if radio.end_points == "clip" else 100.0
    output = Output(number=1, shift_percent=0, end_low_percent=end, end_high_percent=end)
    output = output.model_copy(update={"shift_percent": float(demand)})
    setup = SimpleNamespace(
        aircraft=SimpleNamespace(surfaces=(surface,)),
        radio=radio,
        wiring={surface.name: 1},
        free_mixes=(),
        shaping={},
        output=lambda number: output,
    )
    return throws_mm(setup)[surface.name]


def _want(wants, name, command, side):
    return next(
        ((w.amount, w.weight) for w in wants if (w.surface, w.command, w.side) == (name, command, side)),
        (0.0, 0.0),
    )


def _builder(aircraft, radio, wants, plugs, controls, senses, parts, names):
    def build() -> Setup:
        shaping, marks, mixes, own = {}, [], [], {}
        sums = dict.fromkeys(plugs, 0.0)
        for command, (_, size, mixed, gains) in zip(names, parts, strict=True):
            off = [(side, s) for side, s in zip(("above", "below"), size, strict=True) if s != 100]
            if command in radio.shaped_commands and off:
                shaping[command] = Shaping(rate_percent=size[0])
            elif off:
                marks += [Mark(command=command, side=side, percent=percent) for side, percent in off]
            for n, (above, below) in mixed:
                mix = FreeMix(leader=command, follower=n, gain_above_percent=above, gain_below_percent=below)
                mixes.append(mix)
            for n, (above, below) in [*mixed, *gains.items()]:
                sums[n] += max(abs(above) * size[0], abs(below) * size[1]) / 100
            own.update(gains)
        outputs = []
        for n, control, sense in dict.fromkeys(zip(plugs, controls, senses, strict=True)):
            above, below = own.get(n, (100.0, 100.0))
            end = radio.travel_max_percent if radio.end_points == "clip" and sums[n] > 100 else 100.0
            output = Output(number=n, control=control, reversed=sense < 0, gain_above_percent=above)
            ends = {"end_low_percent": end, "end_high_percent": end}
            outputs.append(output.replace(gain_below_percent=below, **ends))
        surfaces = [next(s for s in aircraft.surfaces if s.side == side).name for side in ("right", "left")]
        wired = Setup(
            name="brute", aircraft=aircraft, radio=radio, wiring=dict(zip(surfaces, plugs, strict=True))
        )
        return wired.replace(
            outputs=tuple(outputs), free_mixes=tuple(mixes), shaping=shaping, marks=tuple(marks), wanted=wants
        )

    return build
