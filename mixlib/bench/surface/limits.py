"""How far the servo and linkage of a surface follow the radio, as travel in percent, and why each end is one.

Every step from travel to surface is monotone, so each stop, dead point and pulse limit is one travel.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mixlib.chain.linkage import LinkageError, arm_for_surface_deg, arm_range_deg, surface_angle_deg
from mixlib.chain.servo import SERVO_CENTRE_US
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


def travel_limits(surface: Surface, radio: Radio) -> tuple[tuple[TravelLimit, ...], tuple[TravelLimit, ...]]:
    """Travels at which pulse range, dead point or stop end the movement of a surface.

    Returns
    -------
    low, high : tuple of TravelLimit
        Towards the shorter and the longer pulse, the one that is met first in front.

    Raises
    ------
    LinkageError
        If the linkage cannot close at neutral; the text names the surface.
    """
    try:
        arms_deg = arm_range_deg(surface.linkage)
    except LinkageError as error:
        raise LinkageError(f"{surface.name}: {error}") from None
    servo = surface.servo
    low = [("radio", _of_pulse(radio.min_us, radio)), ("servo", _of_pulse(servo.min_us, radio))]
    high = [("radio", _of_pulse(radio.max_us, radio)), ("servo", _of_pulse(servo.max_us, radio))]
    dead = sorted(_of_arm(arm_deg, surface, radio) for arm_deg in arms_deg)
    low.append(("dead point", dead[0]))
    high.append(("dead point", dead[1]))
    sense = _sense(surface)
    for angle_deg in (-surface.stop_up_deg, surface.stop_down_deg):
        travel = travel_for_angle_percent(surface, radio, angle_deg)
        if not np.isnan(travel):
            (high if angle_deg * sense > 0 else low).append(("stop", travel))
    return (
        tuple(TravelLimit(travel, reason) for reason, travel in sorted(low, key=lambda item: -item[1])),
        tuple(TravelLimit(travel, reason) for reason, travel in sorted(high, key=lambda item: item[1])),
    )


def travel_for_angle_percent(surface: Surface, radio: Radio, angle_deg: float) -> float:
    """Travel that turns a surface to an angle, whatever limits the radio, the servo or a stop may set.

    Parameters
    ----------
    angle_deg : float
        Surface angle, trailing edge down (rudder: left) positive, deg.

    Returns
    -------
    float
        Travel in percent, longer pulse positive; NaN where the linkage cannot reach the angle.
    """
    return _of_arm(float(arm_for_surface_deg(surface.linkage, angle_deg)), surface, radio)


def _sense(surface: Surface) -> float:
    """1 where a longer pulse takes the surface the positive way, else -1."""
    back, forward = surface_angle_deg(surface.linkage, arm_range_deg(surface.linkage))
    return (1.0 if forward > back else -1.0) * _arm_sense(surface)


def _arm_sense(surface: Surface) -> float:
    return 1.0 if surface.servo.longer_pulse_moves_arm == "forward" else -1.0


def _of_pulse(pulse_us: float, radio: Radio) -> float:
    return (pulse_us - radio.centre_us) * 100 / radio.us_per_100_percent


def _of_arm(arm_deg: float, surface: Surface, radio: Radio) -> float:
    servo = surface.servo
    turned = (arm_deg - servo.arm_offset_deg) * _arm_sense(surface)
    return _of_pulse(SERVO_CENTRE_US + turned * 500 / servo.arm_deg_per_500us, radio)
