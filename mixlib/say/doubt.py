"""What the air model does not know, said at the number; what the description does not, said at the model."""

from __future__ import annotations

from collections.abc import Collection
from typing import Protocol

import numpy as np

from mixlib.air.aircraft.balance import USUAL_MARGIN_PERCENT, Balance
from mixlib.air.aircraft.doubt import Doubt, every
from mixlib.air.aircraft.from_setup import known_balance, known_performance
from mixlib.air.aircraft.matters import AirMatter, air_matters
from mixlib.bench.surface.matters import matters
from mixlib.describe import Aircraft, Setup
from mixlib.describe.words import listed
from mixlib.say.speeds import in_speed_unit, speed_words

__all__ = ["Doubtful", "assumed_words", "balance_words", "doubt", "marked", "own_words"]

_SENTENCES = {
    Doubt.NOT_CONVERGED: "No steady answer was found for some of it, so no number is shown there",
    Doubt.ELEVATOR_STOP: "The elevator meets its stop first: this cannot be flown",
    Doubt.ELEVATOR_FIRST: "The elevator meets its stop before the wing lets go: slower it cannot be held",
    Doubt.CUT_OFF: "The speed is beyond what is looked at here",
    Doubt.NOT_LANDED: "Not every path clears what stands in front and comes down: no touchdown is told for "
    "those",
    Doubt.PART_STALLED: "A part of the wing has let go: another answer is possible",
    Doubt.HANDBOOK: "More than half of the wing is by handbook values, which differ by 20 to 40 % among "
    "themselves",
    Doubt.SHORT_WING: "The wing is shorter, for its chord, than any that was checked: a rough guide",
    Doubt.SWEPT: "The wing is swept by more than 15°, which is left out: pitch and stall are rough guides",
}
_NO_ANSWER = Doubt.NOT_CONVERGED | Doubt.CUT_OFF


class Doubtful(Protocol):
    """A result of the air model that knows what casts doubt on it."""

    @property
    def doubts(self) -> int | np.ndarray:
        """Flags of `mixlib.air.aircraft.doubt.Doubt` (no unit)."""


def doubt(*results: Doubtful | int) -> str:
    """Say why the numbers of some results may be wrong, the worst first.

    Parameters
    ----------
    *results : Doubtful or int
        Results, or flags of `mixlib.air.aircraft.doubt.Doubt` (no unit).

    Returns
    -------
    str
        Sentences, or nothing where there is no doubt.
    """
    found = _flags(results)
    return " ".join(f"{said}." for flag, said in _SENTENCES.items() if flag in found)


def marked(text: str, *results: Doubtful | int) -> str:
    """A number as it may be shown: plain, with a star that `doubt` explains, or none where there is none.

    Parameters
    ----------
    text : str
        The number in words.
    *results : Doubtful or int
        What it was taken from, as in `doubt`.
    """
    found = _flags(results)
    if found & _NO_ANSWER:
        return "no answer*"
    if Doubt.ELEVATOR_STOP in found:
        return "cannot be flown*"
    return f"{text}*" if found else text


def balance_words(found: Balance) -> str:
    """Say first what is wrong with the balance point, in mm; nothing where the margin is a usual one.

    Returns
    -------
    str
        Sentences, or nothing.
    """
    if not found.heavy:
        return ""
    forward, back = found.usual_cg_mm
    least, most = found.margin_mm
    where = (
        f"Usual is {forward:.0f} to {back:.0f} mm behind the leading edge, a margin of "
        "{:g} to {:g} % of the mean chord (common practice, no source).".format(*USUAL_MARGIN_PERCENT)
    )
    if least <= 0:
        behind = (
            f"is {-most:.0f} to {-least:.0f} mm behind the neutral point; the nose runs away by itself"
            if most <= 0
            else f"may be behind the neutral point, by up to {-least:.0f} mm; the nose may run away by itself"
        )
        withheld = "What it does with the stick left alone is not told."
        return f"Do not fly it like this: the balance point {behind}. {withheld} {where}"
    low, high = found.margin_percent
    side = "nose-heavy" if found.heavy < 0 else "tail-heavy"
    return (
        f"The balance point is {least:.0f} to {most:.0f} mm ahead of the neutral point, {low:.0f} to "
        f"{high:.0f} % of the mean chord: {side}. {where}"
    )


def own_words(aircraft: Aircraft) -> str:
    """Say of the reader's aircraft, before any number, whether balance point and air model suit it.

    Returns
    -------
    str
        Sentences.
    """
    balanced = balance_words(known_balance(aircraft)) or "Its balance point is a usual one."
    reasons = doubt(known_performance(aircraft))
    return f"{balanced} {reasons}".rstrip()


def assumed_words(setup: Setup, fields: Collection[str], flown: bool = True) -> str:
    """Say which of the numbers that nobody has measured matters most.

    Parameters
    ----------
    fields : collection of str
        Their paths, as `mixlib.describe.shelf.assumed_in` gives them.
    flown : bool
        Whether it is said for the air too, which takes a second or two.

    Returns
    -------
    str
        Sentences; nothing where none of them tells.
    """
    if not fields:
        return ""
    throws = [each for each in matters(setup) if f"surfaces.{each.surface}.{each.field}" in fields]
    told = [f"for the throws, {throws[0]}"] if throws and throws[0].change_mm >= _LEAST else []
    in_air = air_matters(setup.aircraft, fields) if flown else ()
    told += [f"in the air, {words}" for words in map(_in_air, in_air[:1]) if words]
    return f"What matters most of what is assumed: {'; '.join(told)}. Measure that first." if told else ""


_LEAST = 0.05  # a change that is written as 0.0 is none


def _in_air(matter: AirMatter) -> str:
    does = [
        f"{speed_words(matter.stall_m_s)} in the stall" if in_speed_unit(matter.stall_m_s) >= _LEAST else "",
        f"{matter.glide:.1f} in the best glide" if matter.glide >= _LEAST else "",
        f"{matter.neutral_mm:.1f} mm in the neutral point" if matter.neutral_mm >= _LEAST else "",
    ]
    return f"{matter.words} is {listed(filter(None, does))}" if any(does) else ""


def _flags(results: tuple[Doubtful | int, ...]) -> Doubt:
    found = (result if isinstance(result, int) else result.doubts for result in results)
    return Doubt(every(0, *found))
