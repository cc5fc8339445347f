"""Why a number of the air model may be wrong: what it knows about itself, kept with each number."""

from __future__ import annotations

from enum import IntFlag, auto

import numpy as np

from mixlib.air.wing.strips import Strips

__all__ = ["Doubt", "doubts_of_wing", "every"]

_SHORTEST_ASPECT_RATIO = 6.0
_MOST_SWEEP_DEG = 15.0


class Doubt(IntFlag):
    """Reasons for doubt; several at once are added. `mixlib.say.doubt` puts them into words."""

    NOT_CONVERGED = auto()
    """The equations were not brought into agreement: a rough guide only."""
    ELEVATOR_STOP = auto()
    """The elevator meets its stop before the nose is balanced."""
    ELEVATOR_FIRST = auto()
    """Slow flight ends where the elevator meets its stop, before the wing lets go."""
    CUT_OFF = auto()
    """The speed lies outside what the model looks at."""
    PART_STALLED = auto()
    """A part of the wing has let go; other answers are possible for the same speed."""
    HANDBOOK = auto()
    """More than half of the wing is outside the section table."""
    NOT_LANDED = auto()
    """The path does not come down, or starts below the obstacle."""
    SHORT_WING = auto()
    """An aspect ratio below 6, down to which the wing was checked."""
    SWEPT = auto()
    """More than 15 deg of sweep, which the wing's model leaves out."""


def doubts_of_wing(strips: Strips) -> int:
    """What the shape of a wing casts doubt on, as flags of `Doubt` (no unit)."""
    sweep = np.polyfit(np.abs(strips.y_m), strips.quarter_chord_m, 1)[0]
    found = Doubt(0)
    if strips.aspect_ratio < _SHORTEST_ASPECT_RATIO:
        found |= Doubt.SHORT_WING
    if abs(np.degrees(np.arctan(sweep))) > _MOST_SWEEP_DEG:
        found |= Doubt.SWEPT
    return int(found)


def every(*doubts: int | np.ndarray) -> int:
    """All the doubts of several results in one, as flags of `Doubt` (no unit)."""
    return int(np.bitwise_or.reduce([np.bitwise_or.reduce(np.ravel(each)) for each in doubts]))
