"""How one setting differs from another, in words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from mixlib.describe import Surface
from mixlib.describe.words import direction
from mixlib.say.doubt import Doubtful, doubt, marked

__all__ = ["Measure", "differences", "throw_measures"]


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


def differences(before: Sequence[Measure], now: Sequence[Measure]) -> str:
    """Say by how much each number of a setting differs from that of another.

    Returns
    -------
    str
        Such as ``"right aileron 2.1 mm lower; touchdown 9 m further"``, with stars and their reasons at
        numbers in doubt; nothing where no difference can be told.
    """
    known = {measure.name: measure for measure in before}
    pairs = [(known[measure.name], measure) for measure in now if measure.name in known]
    told = [words for old, new in pairs if (words := _difference(old, new))]
    doubts = [result for old, new in pairs if _difference(old, new) for result in (*old.of, *new.of)]
    reasons = doubt(*doubts)
    return "; ".join(told) + (f". * {reasons}" if reasons else "." if told else "")


def throw_measures(surfaces: Iterable[Surface], throws_mm: Iterable[float]) -> tuple[Measure, ...]:
    """Where each surface stands; its throw in mm, trailing edge down (rudder: left) positive."""
    return tuple(
        Measure(part.name, float(throw), "mm", _FURTHER[direction(part, 9)], _FURTHER[direction(part, -9)])
        for part, throw in zip(surfaces, throws_mm, strict=True)
    )


_FURTHER = {"down": "lower", "up": "higher", "left": "further left", "right": "further right"}


def _difference(old: Measure, new: Measure) -> str:
    if math.isnan(old.value) or math.isnan(new.value):
        one = math.isnan(old.value) != math.isnan(new.value)
        return f"{new.name}: only one of both has an answer" if one else ""
    by = round(new.value, new.digits) - round(old.value, new.digits)
    if not round(by, new.digits):
        return ""
    size = " ".join(filter(None, [f"{abs(by):.{new.digits}f}", new.unit]))
    return f"{new.name} {marked(f'{size} {new.more if by > 0 else new.less}', *old.of, *new.of)}"
