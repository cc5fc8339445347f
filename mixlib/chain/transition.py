"""From one rest position to another in time: how long each servo takes, and where its surface is meanwhile.

Every arm turns evenly from start to end, at the rate of its servo or, when the radio slows the change, in the
time that the radio gives.  The rate is the maker's figure without load; with load a servo is slower.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mixlib.chain.linkage import arm_for_surface_deg, arm_range_deg, surface_angle_deg
from mixlib.describe import Aircraft, Surface

__all__ = ["SLOWEST_S", "Transition", "transition"]

SLOWEST_S = 10.0
"""Longest time that a change may be slowed down to, s."""

_SETTLED = 1.1  # how much longer than the last surface's movement is looked at
_LEAST_S = 0.2  # that is looked at, if nothing moves or little does


@dataclass(frozen=True)
class Transition:
    """A change of rest positions.

    Attributes
    ----------
    names : tuple of str
        Surfaces, in the aircraft's order.
    surface_deg : numpy.ndarray
        Shape (moments, surfaces): angles, trailing edge down (rudder: left) positive.
    arrives_s : numpy.ndarray
        Shape (surfaces,): when each surface has arrived.
    """

    names: tuple[str, ...]
    time_s: np.ndarray
    surface_deg: np.ndarray
    arrives_s: np.ndarray


def transition(
    aircraft: Aircraft,
    start_deg: Mapping[str, float],
    end_deg: Mapping[str, float],
    over_s: float = 0.0,
    points: int = 25,
) -> Transition:
    """Follow every surface from one rest position to another.

    Parameters
    ----------
    start_deg, end_deg : mapping of str to float
        Surface name to angle, deg; surfaces not named rest at 0.
    over_s : float
        Time that the radio takes for the change, 0 to `SLOWEST_S` s; 0 is at once.  A servo that needs
        longer arrives later.
    points : int
        Number of evenly spaced moments while something moves, at least 2; arrivals and end come on top.

    Raises
    ------
    ValueError
        If the time is out of its range, or a linkage cannot reach an angle; the text names the surface.
    """
    if not 0 <= over_s <= SLOWEST_S:
        raise ValueError(f"over_s is {over_s:g}; give 0 to {SLOWEST_S:g} s")
    surfaces = aircraft.surfaces
    arms = np.array(
        [[_arm_deg(part, ends.get(part.name, 0.0)) for part in surfaces] for ends in (start_deg, end_deg)]
    )
    way = arms[1] - arms[0]
    rate = 60 / np.array([part.servo.seconds_per_60deg for part in surfaces])
    takes = np.where(np.abs(way) > 1e-9, np.maximum(np.abs(way) / rate, over_s), 0.0)
    longest = float(takes.max())
    even = np.linspace(0.0, longest, points)
    end = max(_SETTLED * longest, _LEAST_S)
    time = np.unique([*even, *takes, end])  # a line bends where its surface arrives
    done = np.clip(time[:, None] / np.maximum(takes, 1e-9), 0.0, 1.0)
    moved = arms[0] + done * way
    angles = [surface_angle_deg(part.linkage, moved[:, place]) for place, part in enumerate(surfaces)]
    return Transition(aircraft.surface_names, time, np.stack(angles, axis=-1), takes)


def _arm_deg(surface: Surface, angle_deg: float) -> float:
    arm = float(arm_for_surface_deg(surface.linkage, angle_deg))
    if np.isnan(arm):
        ends = sorted(
            float(end) for end in surface_angle_deg(surface.linkage, arm_range_deg(surface.linkage))
        )
        raise ValueError(
            f"the linkage of the {surface.name} cannot reach {angle_deg:.1f} deg; it reaches "
            f"{ends[0]:.1f} to {ends[1]:.1f} deg"
        )
    return arm
