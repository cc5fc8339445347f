"""How one setting differs from another, in words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from mixlib.air.aircraft.flight import Performance
from mixlib.air.aircraft.handling import Roll
from mixlib.air.aircraft.phases import FlownPhase
from mixlib.air.landing import Flown
from mixlib.describe import Surface
from mixlib.describe.words import direction, listed, number, sentence_start
from mixlib.say.doubt import Doubtful, doubt, marked
from mixlib.say.flight import banded, range_words, speed_range, stall_range
from mixlib.say.speeds import in_speed_unit, speed_unit
from mixlib.say.tables import html_table

__all__ = [
    "Measure",
    "differences",
    "glide_measures",
    "landing_measures",
    "phase_measures",
    "roll_measures",
    "side_by_side",
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
    told: str = ""
    """How it is told, such as with its band; left out, the number with its unit."""

    @property
    def words(self) -> str:
        """The number as it may be shown."""
        plain = " ".join(filter(None, [number(self.value, self.digits), self.unit]))
        return marked(self.told or plain, *self.of)

    def of_what(self, setting: str) -> Measure:
        """The same number of one setting among several."""
        return replace(self, name=f"{setting}: {self.name}")


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


def side_by_side(before: Sequence[Measure], now: Sequence[Measure]) -> str:
    """Numbers of one setting, or of two beside each other with their difference, as an HTML table."""
    if not before:
        return html_table(["", "now"], [[measure.name, measure.words] for measure in now])
    known = {measure.name: measure for measure in before}
    rows = [
        [new.name, old.words, new.words, _difference(old, new) or "as A"]
        if (old := known.get(new.name))
        else [new.name, "", new.words, ""]
        for new in now
    ]
    return html_table(["", "A", "B", "B against A"], rows)


def throw_measures(surfaces: Iterable[Surface], throws_mm: Iterable[float]) -> tuple[Measure, ...]:
    """Where each surface stands; its throw in mm, trailing edge down (rudder: left) positive."""
    return tuple(
        Measure(
            part.name,
            float(throw),
            "mm",
            _FURTHER[direction(part, 9)],
            _FURTHER[direction(part, -9)],
            told=f"{abs(throw):.1f} mm {direction(part, float(throw))}",
        )
        for part, throw in zip(surfaces, throws_mm, strict=True)
    )


def glide_measures(found: Performance) -> tuple[Measure, ...]:
    """How a setting glides: best glide, least sink, and the speed at which the wing lets go."""
    best, least, stall, unit = found.best_glide, found.least_sink, found.stall, speed_unit()
    return (
        Measure(
            "best glide",
            float(best.glide_ratio),
            "m for 1 m",
            "better",
            "worse",
            of=(best,),
            told=range_words(best.glide_ratio, *best.glide_ratio_band),
        ),
        Measure(
            "least sink",
            in_speed_unit(float(least.sink_m_s)),
            unit,
            digits=2,
            of=(least,),
            told=f"{speed_range(least.sink_m_s, *least.sink_band_m_s, 2)} {unit}",
        ),
        Measure(
            "lets go",
            in_speed_unit(float(stall.speed_m_s)),
            unit,
            *_SPEEDS,
            of=(stall,),
            told=f"{stall_range(float(stall.speed_m_s))} {unit}",
        ),
    )


def roll_measures(turned: Roll, *doubts: Doubtful | int) -> tuple[Measure, ...]:
    """How a setting rolls: helix angle and swing of the nose, of the last of several."""
    of, ways = (turned, *doubts), ("further into the turn", "further out of the turn")
    helix, swing = (float(np.ravel(part)[-1]) for part in (turned.helix, turned.nose_swing_deg))
    said = "not worked out without a fin" if np.isnan(swing) else f"{banded('nose swing', swing)} deg"
    return (
        Measure("helix angle", helix, "rad", digits=3, of=of, told=f"{banded('helix', helix, 3)} rad"),
        Measure("nose swing", swing, "deg", *ways, of=of, told=said),
    )


def landing_measures(flown: Flown) -> tuple[Measure, ...]:
    """Where a landing touches down and stops, and how fast it comes in."""
    path, approach = flown.path, flown.performance.approach
    ways = "further", "shorter"
    near, far = (number(place, 0) for place in flown.spread_m)
    lands = f"{number(path.touchdown_m, 0)} m ({near} to {far})"
    return (
        Measure("lands", float(path.touchdown_m), "m", *ways, digits=0, of=(flown,), told=lands),
        Measure("stops", float(path.stop_m), "m", *ways, digits=0, of=(flown,)),
        Measure("approach", in_speed_unit(float(approach.speed_m_s)), speed_unit(), *_SPEEDS, of=(approach,)),
    )


def phase_measures(flown: FlownPhase) -> tuple[Measure, ...]:
    """How a phase flies: its speed, its sink, its roll, and the elevator that goes with it."""
    name, glide, elevator, roll = flown.phase.name, flown.glide, flown.elevator, flown.roll
    degrees, unit = float(elevator.change_deg[-1]), speed_unit()
    speed, sink = (in_speed_unit(float(each)) for each in (glide.speed_m_s, glide.sink_m_s))
    return (
        Measure(f"{name}, speed", speed, unit, *_SPEEDS, of=(glide,)),
        Measure(f"{name}, sink", sink, unit, digits=2, of=(glide,)),
        Measure(f"{name}, full roll", float(roll.helix), "rad", digits=2, of=(roll,)),
        Measure(f"{name}, elevator", degrees, "deg", *_FURTHER_DEG, of=(elevator,)),
    )


_SPEEDS = "faster", "slower"
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
