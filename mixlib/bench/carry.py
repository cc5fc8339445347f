"""What a newly fitted set-up takes over from the one before: its phases, and the shape of its mix curves."""

from __future__ import annotations

import numpy as np

from mixlib.bench.phases import phases_of_wants
from mixlib.describe import FreeMix, Setup

__all__ = ["carried"]


def carried(before: Setup, fitted: Setup) -> Setup:
    """Take phases and curves over into a fitted set-up.

    Parameters
    ----------
    before : Setup
        The set-up that the wanted throws came from.
    fitted : Setup
        What the fit made of them; its mixes are straight, and its wanted throws are those of the reader.

    Returns
    -------
    Setup
        The fitted set-up with the phases of the one before, brought to the wanted throws, and with every mix
        bent as its forerunner was, if the radio has curves: ends stay, points between keep their share.
    """
    mixes = tuple(_bent(before, fitted, mix) for mix in fitted.free_mixes)
    return fitted.replace(free_mixes=mixes, phases=phases_of_wants(before, fitted.wanted))


def _bent(before: Setup, fitted: Setup, mix: FreeMix) -> FreeMix:
    served = {part.name for part in fitted.surfaces_on(mix.follower)}
    for old in before.free_mixes:
        same = old.leader == mix.leader and {part.name for part in before.surfaces_on(old.follower)} == served
        if same and old.curve_percent and fitted.radio.curve_points >= len(old.curve_percent):
            points = _scaled(old.curve_percent, mix)
            step, low, high = (
                fitted.radio.gain_step_percent,
                fitted.radio.gain_min_percent,
                fitted.radio.gain_max_percent,
            )
            rounded = np.clip(np.round(points / step) * step, low, high) + 0.0
            return mix.replace(
                curve_percent=tuple(rounded.tolist()), gain_above_percent=0.0, gain_below_percent=0.0
            )
    return mix


def _scaled(curve_percent: tuple[float, ...], mix: FreeMix) -> np.ndarray:
    """The curve with its ends where the straight mix has them; a side without a curve becomes straight."""
    points = np.array(curve_percent)
    places = np.linspace(-1.0, 1.0, len(points))
    straight = np.where(places > 0, mix.gain_above_percent, mix.gain_below_percent) * places
    for side, end in ((places > 0, -1), (places < 0, 0)):
        straight[side] = straight[end] * points[side] / points[end] if points[end] else straight[side]
    return straight
