"""How one setting differs from another, in words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from mixlib.air.aircraft.flight import Performance
from mixlib.air.aircraft.handling import Roll
from mixlib.air.aircraft.phases import FlownPhase
from mixlib.air.landing import Flown
from mixlib.describe import Surface
from mixlib.describe.words import direction, listed, sentence_start
from mixlib.say.doubt import Doubtful, doubt, marked

__all__ = [
    "Measure",
    "differences",
    "glide_measures",
    "landing_measures",
    "phase_measures",
    "roll_measures",
    "throw_measures",
]


@dataclass(frozen=True)
class Measure:
    """A number that two settings are compared by.

    Parameters
    ----------
    name : str
        What is measured; tells it apart from the others.
    unit : str
        Stands behind the number; ``""`` for none.
    more, less : str
        Said where it is larger and where it is smaller: ``"faster"`` and ``"slower"`` ...
    digits : int
        To how many it is told; a smaller difference is none.
    of : tuple of Doubtful or int
        What it was taken from; see `marked`.
    """

    name: str
    value: float
    unit: str = "mm"
    more: str = "more"
    less: str = "less"
    digits: int = 1
    of: tuple[Doubtful | int, ...] = ()


def differences(before: Sequence[Measure], now: Sequence[Measure], said: str = "") -> str:
    """Say by how much each number of a setting differs from that of another.

    Parameters
    ----------
    said : str
        What the reader sees already: reasons that stand in it are not said again.

    Returns
    -------
    str
        Such as ``"Both ailerons 2.1 mm lower; touchdown 9 m further."``, with stars and their reasons at
        numbers in doubt; nothing where no difference can be told.
    """
    known = {measure.name: measure for measure in before}
    pairs = [(known[measure.name], measure) for measure in now if measure.name in known]
    alike: dict[str, list[str]] = {}
    doubts: list[Doubtful | int] = []
    for old, new in pairs:
        if words := _difference(old, new):
            alike.setdefault(words, []).append(new.name)
            doubts += (*old.of, *new.of)
    told = "; ".join(f"{listed(names)} {words}" for words, names in alike.items())
    reasons = doubt(*doubts)
    parts = [f"{sentence_start(told)}." if told else "", f"* {reasons}" if reasons not in said else ""]
    return " ".join(filter(None, parts))


def throw_measures(surfaces: Iterable[Surface], throws_mm: Iterable[float]) -> tuple[Measure, ...]:
    """Where each surface stands; its throw in mm, trailing edge down (rudder: left) positive."""
    return tuple(
        Measure(part.name, float(throw), "mm", _FURTHER[direction(part, 9)], _FURTHER[direction(part, -9)])
        for part, throw in zip(surfaces, throws_mm, strict=True)
    )


def glide_measures(found: Performance) -> tuple[Measure, ...]:
    """How a setting glides: best glide, least sink, and the speed at which the wing lets go."""
    best, least, stall = found.best_glide, found.least_sink, found.stall
    return (
        Measure("best glide", float(best.glide_ratio), "m for 1 m", "better", "worse", of=(best,)),
        Measure("least sink", float(least.sink_m_s), "m/s", digits=2, of=(least,)),
        Measure("lets go", float(stall.speed_m_s), "m/s", "faster", "slower", of=(stall,)),
    )


def roll_measures(turned: Roll, *doubts: Doubtful | int) -> tuple[Measure, ...]:
    """How a setting rolls: helix angle and swing of the nose, of the last of several."""
    of, ways = (turned, *doubts), ("further into the turn", "further out of the turn")
    return (
        Measure("helix angle", float(np.ravel(turned.helix)[-1]), "rad", digits=3, of=of),
        Measure("nose swing", float(np.ravel(turned.nose_swing_deg)[-1]), "deg", *ways, of=of),
    )


def landing_measures(flown: Flown) -> tuple[Measure, ...]:
    """Where a landing touches down and stops, and how fast it comes in."""
    path, approach = flown.path, flown.performance.approach
    ways, speeds = ("further", "shorter"), ("faster", "slower")
    return (
        Measure("lands", float(path.touchdown_m), "m", *ways, digits=0, of=(flown,)),
        Measure("stops", float(path.stop_m), "m", *ways, digits=0, of=(flown,)),
        Measure("approach", float(approach.speed_m_s), "m/s", *speeds, of=(approach,)),
    )


def phase_measures(flown: FlownPhase) -> tuple[Measure, ...]:
    """How a phase flies: its speed, its sink, and the elevator that goes with it."""
    name, glide, elevator = flown.phase.name, flown.glide, flown.elevator
    degrees = float(elevator.change_deg[-1])
    return (
        Measure(f"{name}, speed", float(glide.speed_m_s), "m/s", "faster", "slower", of=(glide,)),
        Measure(f"{name}, sink", float(glide.sink_m_s), "m/s", digits=2, of=(glide,)),
        Measure(f"{name}, elevator", degrees, "deg", *_FURTHER_DEG, of=(elevator,)),
    )


_FURTHER_DEG = "further down", "further up"
_FURTHER = {"down": "lower", "up": "higher", "left": "further left", "right": "further right"}


def _difference(old: Measure, new: Measure) -> str:
    if math.isnan(old.value) or math.isnan(new.value):
        one = math.isnan(old.value) != math.isnan(new.value)
        return "has an answer in one of both only" if one else ""
    by = round(new.value, new.digits) - round(old.value, new.digits)
    if not round(by, new.digits):
        return ""
    size = " ".join(filter(None, [f"{abs(by):.{new.digits}f}", new.unit]))
    return marked(f"{size} {new.more if by > 0 else new.less}", *old.of, *new.of)
