"""Mixes with a curve: where half or a quarter of a way is wanted, and where the mix before was bent.

A straight line misses one of the two; without curves it is laid so that it misses both by the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from mixlib.bench.surface.throws import demand_for_angle_percent
from mixlib.describe import Aircraft, FreeMix, Radio, Setup, Want
from mixlib.units import HALF_MM, angle_from_throw_mm, to_step

__all__ = ["aimed_mm", "bent", "can_bend", "to_bend"]


def can_bend(radio: Radio) -> bool:
    """Whether the curves of a radio have a point between neutral and the end."""
    return radio.curve_points >= 5


def aimed_mm(want: Want, aircraft: Aircraft, radio: Radio) -> float:
    """Throw at the end that is to be aimed at, mm: that of the best straight line where no curve follows."""
    whole, half = want.throw_mm(aircraft), want.throw_mm(aircraft, 0.5)
    if not want.bends or (can_bend(radio) and abs(whole) >= HALF_MM):
        return whole
    return (whole + half) * 2 / 3  # g - whole = half - g / 2


def bent(fitted: Setup, before: Setup | None) -> Setup:
    """The fitted set-up, whose mixes are straight, with its curves; the ends stay.

    A mix that was bent before, from the same leader to the same surfaces, keeps its shape on the sides where
    nothing is wanted on the way.
    """
    for number in fitted.servo_outputs if can_bend(fitted.radio) else ():
        names = {part.name for part in fitted.surfaces_on(number)}
        wants = [w for w in fitted.wanted if w.surface in names and w.bends and w.weight > 0]
        old = _old_curves(before, names)
        for mix in (mix for mix in fitted.free_mixes if mix.follower == number):
            ours = [want for want in wants if want.command == mix.leader]
            if ours or mix.leader in old:
                points = _points(fitted, mix, ours, old.get(mix.leader, ()))
                curve = FreeMix(leader=mix.leader, follower=number, curve_percent=tuple(points.tolist()))
                fitted = fitted.with_mix(curve)
    return fitted


def to_bend(wants: Iterable[Want], radio: Radio, before: Setup | None) -> frozenset[tuple[str, str]]:
    """Surfaces and commands that are to come by a mix, since their direct share could have no curve."""
    if not (can_bend(radio) and radio.output_gains):
        return frozenset()
    names = before.aircraft.surface_names if before else ()
    old = {(name, str(leader)) for name in names for leader in _old_curves(before, {name})}
    return frozenset(old | {(want.surface, want.command) for want in wants if want.bends})


def _old_curves(before: Setup | None, names: set[str]) -> dict[str | int, tuple[float, ...]]:
    """Curves by the leader of the mixes into an output that moved some surfaces, and no others."""
    if before is None:
        return {}
    return {
        mix.leader: mix.curve_percent
        for mix in before.free_mixes
        if mix.curve_percent and {part.name for part in before.surfaces_on(mix.follower)} == names
    }


def _points(fitted: Setup, mix: FreeMix, wants: Sequence[Want], old: Sequence[float]) -> np.ndarray:
    """Points of a curve that ends where the straight mix does."""
    radio, usual = fitted.radio, fitted.radio.curve_points - (fitted.radio.curve_points + 1) % 2
    before = np.array(old if 0 < len(old) <= radio.curve_points else np.linspace(-1, 1, usual))
    places = np.linspace(-1.0, 1.0, len(before))
    points = np.where(places > 0, mix.gain_above_percent, mix.gain_below_percent) * places
    for side, beyond, end in (("above", places > 0, -1), ("below", places < 0, 0)):
        if before[end]:
            points[beyond] = points[end] * before[beyond] / before[end]
        for want in (want for want in wants if want.side == side):
            mark = fitted.used_to(want.command, int(places[end])) / places[end]
            shares = np.minimum(abs(places[beyond]) / mark, 1.0)
            asked = [_demand_percent(fitted, want, want.throw_mm(fitted.aircraft, s)) for s in shares]
            aim = _demand_percent(fitted, want, aimed_mm(want, fitted.aircraft, radio))
            points[beyond] = (points[end] * mark * np.array(asked) / aim) if aim else 0.0
    points = to_step(points, radio.gain_step_percent)
    return np.clip(points, radio.gain_min_percent, radio.gain_max_percent)


def _demand_percent(setup: Setup, want: Want, throw_mm: float) -> float:
    angle = angle_from_throw_mm(throw_mm, setup.aircraft.surface(want.surface).chord_mm)
    still = setup.output(setup.wiring[want.surface]).shift_percent
    return float(demand_for_angle_percent(setup, want.surface, angle)) - still
