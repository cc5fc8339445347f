"""How far the servo and linkage of a surface follow the radio, as travel in percent, and why each end is one.

Every step from travel to surface is monotone, so each stop, dead point and pulse limit is one travel.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mixlib.chain.linkage import arm_for_surface_deg, surface_angle_deg
from mixlib.chain.outputs import travel_for_pulse_percent
from mixlib.chain.surfaces import arm_range_of, pulse_for_arm_us
from mixlib.describe import Radio, Surface

__all__ = ["REASONS", "TravelLimit", "travel_for_angle_percent", "travel_limits"]

REASONS = {
    "end point": "the end point",
    "demand": "the most that the radio passes on",
    "radio": "the pulse range of the radio",
    "servo": "the pulse range of the servo",
    "dead point": "the dead point of the linkage",
    "stop": "the stop of the surface",
}
"""What can end a movement, in words."""


@dataclass(frozen=True)
class TravelLimit:
    """Where a movement ends.

    Attributes
    ----------
    travel_percent : float
        Travel, longer pulse positive.
    reason : str
        A key of `REASONS`.
    """

    travel_percent: float
    reason: str


def travel_limits(surface: Surface, radio: Radio) -> tuple[TravelLimit, TravelLimit]:
    """Travels at which a pulse range, dead point or stop ends the movement of a surface first.

    Returns
    -------
    low, high : TravelLimit
        Towards the shorter and the longer pulse.

    Raises
    ------
    LinkageError
        If the linkage cannot close at neutral; the text names the surface.
    """
    servo, link, arms_deg = surface.servo, surface.linkage, arm_range_of(surface)
    dead = pulse_for_arm_us(servo, arms_deg)
    stops = pulse_for_arm_us(servo, arm_for_surface_deg(link, [-surface.stop_up_deg, surface.stop_down_deg]))
    back, forward = surface_angle_deg(link, arms_deg)
    if (forward > back) != (dead[1] > dead[0]):  # a longer pulse takes the surface up
        stops = stops[::-1]
    stops = np.where(np.isnan(stops), (-np.inf, np.inf), stops)  # beyond what the linkage reaches
    pulses: dict[str, Sequence[float]] = {
        "radio": (radio.min_us, radio.max_us),
        "servo": (servo.min_us, servo.max_us),
        "dead point": sorted(dead.tolist()),
        "stop": stops.tolist(),
    }
    low = max(pulses, key=lambda reason: pulses[reason][0])
    high = min(pulses, key=lambda reason: pulses[reason][1])
    travels = travel_for_pulse_percent([pulses[low][0], pulses[high][1]], radio)
    return TravelLimit(float(travels[0]), low), TravelLimit(float(travels[1]), high)


def travel_for_angle_percent(surface: Surface, radio: Radio, angle_deg: npt.ArrayLike) -> np.ndarray:
    """Travel that turns a surface to an angle, whatever limits the radio, the servo or a stop may set.

    Parameters
    ----------
    angle_deg : array_like
        Surface angle, trailing edge down (rudder: left) positive, any shape.

    Returns
    -------
    numpy.ndarray
        Travel in percent, longer pulse positive, same shape; NaN where the linkage cannot reach the angle.
    """
    arm = arm_for_surface_deg(surface.linkage, angle_deg)
    return travel_for_pulse_percent(pulse_for_arm_us(surface.servo, arm), radio)
