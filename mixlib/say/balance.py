"""What the balance point does, in words: elevator, speed with the stick left alone, dive test."""

from __future__ import annotations

import math

from mixlib.air.aircraft.balance import Moved
from mixlib.describe.words import number, signed
from mixlib.say.doubt import marked
from mixlib.say.speeds import in_speed_unit, speed_unit, speed_words

__all__ = ["DIVE_CAUTIONS", "moved_rows", "moved_words"]

DIVE_CAUTIONS = (
    "The dive test, if you make it: at height, over a clear field, nobody below. First only a little "
    "faster than trimmed, then in small steps; let go for a second at most. Stop, and level out gently, "
    "when the nose stays down or drops further, when anything buzzes, or when it gets faster than you "
    "have flown it before: this model does not know when a wing flutters or breaks. Move the balance "
    "point by a few mm at a time. Your club's rules come first."
)
"""What belongs to every dive test."""


def moved_rows(*places: Moved) -> list[list[str]]:
    """Write what balance points do, one row a quantity, one column a place.

    Returns
    -------
    list of list of str
        Rows for a table, each with its unit first.
    """
    speed, fast = map(speed_words, (places[0].dive.trimmed_m_s, places[0].dive.dive_m_s))
    return [
        [
            "ahead of the neutral point, mm (minus: behind)",
            *(_span(item.balance.margin_mm) for item in places),
        ],
        ["margin, % of the mean chord", *(_span(item.balance.margin_percent) for item in places)],
        [f"elevator at {speed}, deg (down is plus)", *(_elevator(item, 0) for item in places)],
        [f"elevator at {fast}, deg (down is plus)", *(_elevator(item, 1) for item in places)],
        [f"speed with the stick left alone, {speed_unit()}", *map(_hands_off, places)],
        [f"trimmed anew, let go at {fast}: carries its weight, times", *map(_carries, places)],
    ]


def moved_words(then: Moved) -> str:
    """Say what the aircraft does by itself with the balance point there."""
    dive = then.dive
    if not then.balance.stable:
        return "Make no dive test: with the stick let go the nose may stay down, or tuck under."
    speed = then.hands_off_m_s
    if speed == 0:
        flies = "it gets slower until it stalls"
    elif math.isinf(speed):
        flies = "the nose drops and it gets faster than anything looked at here"
    else:
        flies = f"it settles at {marked(speed_words(speed), then.doubts)}"
    comes_up = {-1: "hard", 0: "gently", 1: "slowly, if at all"}[then.balance.heavy]
    return (
        f"With the trim and the stick left alone {flies}. Trimmed anew for {speed_words(dive.trimmed_m_s)} "
        f"and let go in a dive at {speed_words(dive.dive_m_s)}, it comes up {comes_up}: the wing then "
        f"carries {_carries(then)} times the weight."
    )


def _span(ends: tuple[float, float]) -> str:
    return " to ".join(number(end, 0) for end in ends)


def _elevator(item: Moved, place: int) -> str:
    low, high = (signed(float(end[place]), 1) for end in item.elevator_deg)
    return marked(low if low == high else f"{low} to {high}", item.doubts)


def _hands_off(item: Moved) -> str:
    if math.isnan(item.hands_off_m_s):
        return "not told"
    if item.hands_off_m_s == 0:
        return "stalls"
    shown = number(in_speed_unit(item.hands_off_m_s), 1)
    return "dives" if math.isinf(item.hands_off_m_s) else marked(shown, item.doubts)


def _carries(item: Moved) -> str:
    if not item.balance.stable:
        return "not told"
    low, high = (number(1 + pull, 1) for pull in item.dive.pull_g)
    return marked(low if low == high else f"{low} to {high}", item.doubts)
