"""What one surface gets out of its servo through a pair of holes: throw, steps, slop, leverage, limits."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from mixlib.bench.surface.limits import travel_for_angle_percent, travel_limits
from mixlib.chain.linkage import arm_range_deg, rod_length_mm, surface_angle_deg
from mixlib.chain.outputs import demand_for_travel_percent, pulse_us, travel_percent
from mixlib.chain.surfaces import Followed, SurfaceRow
from mixlib.describe import Linkage, Radio, Setup, Surface

__all__ = [
    "PLAY_MM",
    "SERVO_STEP_US",
    "Followed",
    "ThrowEnds",
    "demand_for_angle_percent",
    "follow",
    "follow_demand",
    "moment_arms_mm",
    "throw_ends",
    "with_holes",
]

SERVO_STEP_US = 4.0
"""Change of the pulse that a usual servo needs before it moves at all; common practice, no source."""

_HAIR = 1e-6  # percent of travel: closer to a limit than this is at it

PLAY_MM = 0.2
"""Play of a rod in its two holes together, in a tidy linkage; common practice, no source."""


@dataclass(frozen=True)
class ThrowEnds:
    """What a pair of holes gives with full travel, and how fine it is round the middle.

    Attributes
    ----------
    up_mm, down_mm, up_deg, down_deg : float
        Largest throw and angle each way (rudder: right, left) for 100 % travel to both sides, without sign.
    percent_mm : float
        Throw for 1 % of travel at the middle, mm.
    servo_step_mm : float
        Throw for the smallest movement of the servo, mm.
    slop_mm : float
        How far the trailing edge can be moved by hand with the servo held, mm.
    leverage : float
        Turning force at the hinge over that of the servo, at the middle; the arm turns as many degrees for
        one degree of the surface.
    held : str
        What holds the surface before full travel: ``"linkage binds"``, ``"at its stop"``,
        ``"travel cut off"`` or nothing.
    """

    up_mm: float
    down_mm: float
    up_deg: float
    down_deg: float
    percent_mm: float
    servo_step_mm: float
    slop_mm: float
    leverage: float
    held: str


def follow(surface: Surface, radio: Radio, travel_percent: npt.ArrayLike) -> Followed:
    """Take one surface through pulse, servo, linkage and stops, as the Rig does for all of them.

    Parameters
    ----------
    travel_percent : array_like
        Travel of its output, sub-trim included, longer pulse positive; any shape, which the result has too.

    Raises
    ------
    LinkageError
        If the linkage cannot close at neutral; the text names the surface.
    """
    pulse, cut = pulse_us(travel_percent, radio)
    moved = vars(SurfaceRow([surface]).follow(pulse[..., np.newaxis]))
    alone = Followed(**{name: part[..., 0] for name, part in moved.items()})
    return replace(alone, cut=alone.cut | cut)


def follow_demand(setup: Setup, name: str, demand_percent: npt.ArrayLike) -> Followed:
    """Take one surface through its output's direction, end points and sub-trim, and on as `follow` does.

    Parameters
    ----------
    demand_percent : array_like
        Demand of its output, shift included; any shape.  `Followed.cut` does not tell what end points take.
    """
    travel, _ = travel_percent(demand_percent, setup.output(setup.wiring[name]), setup.radio)
    return follow(setup.aircraft.surface(name), setup.radio, travel)


def demand_for_angle_percent(setup: Setup, name: str, angle_deg: npt.ArrayLike) -> np.ndarray:
    """Demand that turns one surface to an angle: the inverse of `follow_demand`.

    Parameters
    ----------
    angle_deg : array_like
        Surface angle, trailing edge down (rudder: left) positive; any shape.

    Returns
    -------
    numpy.ndarray
        Demand in percent, shift included, same shape; for an angle that cannot be reached, the smallest
        demand that comes nearest.
    """
    surface, output, radio = setup.aircraft.surface(name), setup.output(setup.wiring[name]), setup.radio
    reached = surface_angle_deg(surface.linkage, arm_range_deg(surface.linkage))
    travel = travel_for_angle_percent(surface, radio, np.clip(angle_deg, reached.min(), reached.max()))
    middle = output.sub_trim_percent
    travel = np.clip(travel, middle - output.end_low_percent, middle + output.end_high_percent)
    low, high = (limit.travel_percent for limit in travel_limits(surface, radio))
    # Past a limit many travels hold the surface at the same place: the one nearest to the middle is meant.
    travel = np.where(travel >= high - _HAIR, np.maximum(high, middle), travel)
    travel = np.where(travel <= low + _HAIR, np.minimum(low, middle), travel)
    return demand_for_travel_percent(travel, output, radio)


def moment_arms_mm(linkage: Linkage, arm_deg: float = 0.0) -> tuple[float, float]:
    """Distances in mm of the rod's line from the servo's shaft and from the hinge, at an arm angle.

    With arm and horn square to the rod they are the two hole distances.
    """
    forward = 1.0 if linkage.horn_side in ("below", "left") else -1.0
    arm = np.radians(linkage.arm_angle_deg + arm_deg)
    horn = np.radians(linkage.horn_angle_deg + forward * float(surface_angle_deg(linkage, arm_deg)))
    side = -1.0 if linkage.crossed else 1.0
    arm_hole = linkage.arm_mm * np.array([np.cos(arm), np.sin(arm)])
    horn_hole = linkage.horn_mm * np.array([np.cos(horn), side * np.sin(horn)])
    rod = np.array([linkage.distance_mm, 0.0]) + horn_hole - arm_hole
    x, y = rod / rod_length_mm(linkage)
    return abs(float(x * arm_hole[1] - y * arm_hole[0])), abs(float(x * horn_hole[1] - y * horn_hole[0]))


def throw_ends(surface: Surface, radio: Radio) -> ThrowEnds:
    """Throws at full travel, and how fine, how tight and how strong the linkage is at the middle.

    Raises
    ------
    LinkageError
        If the linkage cannot close, or stands at a dead point at the middle.
    """
    ends = follow(surface, radio, [-100.0, 100.0])
    middle = follow(surface, radio, 0.0)
    arm_lever, horn_lever = moment_arms_mm(surface.linkage, float(middle.arm_deg))
    arm_deg_per_us = surface.servo.arm_deg_per_500us / 500.0
    mm_per_us = surface.chord_mm * np.radians(arm_deg_per_us * arm_lever / horn_lever)
    held = {"linkage binds": ends.binds, "at its stop": ends.at_stop, "travel cut off": ends.cut}
    return ThrowEnds(
        up_mm=float(max(-ends.throw_mm.min(), 0.0)),
        down_mm=float(max(ends.throw_mm.max(), 0.0)),
        up_deg=float(max(-ends.angle_deg.min(), 0.0)),
        down_deg=float(max(ends.angle_deg.max(), 0.0)),
        percent_mm=float(mm_per_us * radio.us_per_100_percent / 100),
        servo_step_mm=float(mm_per_us * SERVO_STEP_US),
        slop_mm=float(surface.chord_mm * PLAY_MM / horn_lever),
        leverage=horn_lever / arm_lever,
        held=next((words for words, met in held.items() if met.any()), ""),
    )


def with_holes(surface: Surface, arm_mm: float, horn_mm: float) -> Surface:
    """Hang the rod into other holes, so far from shaft and hinge; its length is made to fit at neutral."""
    return surface.replace(linkage=surface.linkage.replace(arm_mm=arm_mm, horn_mm=horn_mm, rod_mm=None))
