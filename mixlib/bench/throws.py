"""What a hole, an offset or an unequal gain does to the throw of one surface."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mixlib.chain.linkage import arm_range_deg, surface_angle_deg
from mixlib.chain.servo import arm_angle_deg
from mixlib.describe import Radio, Surface
from mixlib.units import throw_mm_from_angle

__all__ = ["ThrowEnds", "differential_percent", "throw_ends", "travel_to_throw_mm", "with_holes"]


@dataclass(frozen=True)
class ThrowEnds:
    """Where full travel takes one surface.

    Attributes
    ----------
    longer_mm, shorter_mm : float
        Throw at the longest and the shortest pulse of 100 % travel, mm, down (rudder: left) positive.
    step_mm : float
        Throw for 1 % of travel at neutral, mm, without sign.
    leverage : float
        How much further the servo's arm turns than the surface at neutral; its torque grows by it.
    """

    longer_mm: float
    shorter_mm: float
    step_mm: float
    leverage: float

    @property
    def up_mm(self) -> float:
        """Throw up (rudder: right), mm, without sign."""
        return max(-self.longer_mm, -self.shorter_mm, 0.0)

    @property
    def down_mm(self) -> float:
        """Throw down (rudder: left), mm."""
        return max(self.longer_mm, self.shorter_mm, 0.0)


def travel_to_throw_mm(surface: Surface, radio: Radio, travel_percent) -> np.ndarray:
    """Throw of a surface for a travel of its output.

    Parameters
    ----------
    surface : Surface
        With its servo and linkage.
    radio : Radio
        Its pulse for 100 %.
    travel_percent : array_like
        Travel, percent, positive is a longer pulse; any shape.

    Returns
    -------
    numpy.ndarray
        Throw in mm, same shape; held where the linkage reaches its dead point or the surface its stop.
    """
    pulse = radio.centre_us + np.asarray(travel_percent, float) * radio.us_per_100_percent / 100
    arm = arm_angle_deg(pulse, surface.servo)
    angle = surface_angle_deg(surface.linkage, np.clip(arm, *arm_range_deg(surface.linkage)))
    held = np.clip(angle, -surface.stop_up_deg, surface.stop_down_deg)
    return throw_mm_from_angle(held, surface.chord_mm)


def throw_ends(surface: Surface, radio: Radio) -> ThrowEnds:
    """Throws at full travel, and what one percent and one degree are worth at neutral.

    Parameters
    ----------
    surface : Surface
        With its servo and linkage.
    radio : Radio
        Its pulse for 100 %.

    Returns
    -------
    ThrowEnds
        The throws in mm.
    """
    shorter, lower, upper, longer = travel_to_throw_mm(surface, radio, [-100, -1, 1, 100]).tolist()
    arm = np.array([-0.5, 0.5]) + surface.servo.arm_offset_deg
    turned = np.ptp(surface_angle_deg(surface.linkage, arm))
    return ThrowEnds(longer, shorter, abs(upper - lower) / 2, float(1 / turned))


def differential_percent(up_mm: float, down_mm: float) -> float:
    """Differential: by how much less a surface goes down than up.

    Parameters
    ----------
    up_mm, down_mm : float
        Throws without sign, mm; up more than 0.

    Returns
    -------
    float
        0 % when both are alike, 100 % when it does not go down at all; negative when it goes down more.

    Raises
    ------
    ValueError
        If there is no throw up to compare with.
    """
    if up_mm <= 0:
        raise ValueError(f"the throw up is {up_mm:g} mm; differential needs more than 0 mm")
    return 100 * (1 - down_mm / up_mm)


def with_holes(surface: Surface, arm_mm: float, horn_mm: float) -> Surface:
    """Hang the rod into other holes; its length is made to fit at neutral.

    Parameters
    ----------
    surface : Surface
        The surface as it is.
    arm_mm, horn_mm : float
        Holes: from the servo's shaft and from the hinge, mm.

    Returns
    -------
    Surface
        The changed copy.
    """
    return surface.replace(linkage=surface.linkage.replace(arm_mm=arm_mm, horn_mm=horn_mm, rod_mm=None))
