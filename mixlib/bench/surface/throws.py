"""What one surface gets out of its servo through a pair of holes: throw, steps, slop, leverage, limits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mixlib.chain.linkage import arm_range_deg, rod_length_mm, surface_angle_deg
from mixlib.chain.servo import arm_angle_deg, pulse_us, travel_percent
from mixlib.describe import Linkage, Radio, Setup, Surface
from mixlib.units import throw_mm_from_angle

__all__ = [
    "PLAY_MM",
    "SERVO_STEP_US",
    "Followed",
    "ThrowEnds",
    "demand_for_angle_percent",
    "follow",
    "follow_demand",
    "levers_mm",
    "throw_ends",
    "with_holes",
]

SERVO_STEP_US = 4.0
"""Change of the pulse that a usual servo needs before it moves at all; common practice, no source."""

_DEMANDS = np.array(sorted(np.linspace(-300.0, 300.0, 1201), key=abs))  # the smallest first

PLAY_MM = 0.2
"""Play of a rod in its two holes together, in a tidy linkage; common practice, no source."""


@dataclass(frozen=True)
class Followed:
    """Where servo and linkage take one surface, for an array of travels of any shape.

    Attributes
    ----------
    arm_deg, angle_deg : numpy.ndarray
        Arm (tip forward positive) and surface (trailing edge down, rudder left, positive), deg.
    throw_mm : numpy.ndarray
        Throw with the sign of the angle, mm.
    binds, at_stop, cut : numpy.ndarray of bool
        Held at a dead point of the linkage; at a stop of the surface; by the pulse range of radio or servo.
    """

    arm_deg: np.ndarray
    angle_deg: np.ndarray
    throw_mm: np.ndarray
    binds: np.ndarray
    at_stop: np.ndarray
    cut: np.ndarray


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


def follow(surface: Surface, radio: Radio, travel_percent) -> Followed:
    """Take one surface through pulse, servo, linkage and stops, as the Rig does for all of them.

    Parameters
    ----------
    travel_percent : array_like
        Travel of its output, sub-trim included, percent, longer pulse positive; any shape.

    Returns
    -------
    Followed
        Arm, angle, throw and limits, each of the shape of the travels.

    Raises
    ------
    LinkageError
        If the linkage cannot close at neutral.
    """
    pulse, cut = pulse_us(travel_percent, radio)
    cut = cut | (pulse < surface.servo.min_us) | (pulse > surface.servo.max_us)
    asked = arm_angle_deg(pulse, surface.servo)
    arm = np.clip(asked, *arm_range_deg(surface.linkage))
    free = surface_angle_deg(surface.linkage, arm)
    angle = np.clip(free, -surface.stop_up_deg, surface.stop_down_deg)
    throw = throw_mm_from_angle(angle, surface.chord_mm)
    return Followed(arm, angle, throw, arm != asked, angle != free, cut)


def follow_demand(setup: Setup, name: str, demand_percent) -> Followed:
    """Take one surface through its output's direction, end points and sub-trim, and on as `follow` does.

    Parameters
    ----------
    demand_percent : array_like
        Demand of its output, shift included, percent; any shape.

    Returns
    -------
    Followed
        Arm, angle, throw and limits; `Followed.cut` does not tell what the end points take.

    Raises
    ------
    KeyError
        If there is no such surface.
    LinkageError
        If the linkage cannot close at neutral.
    """
    surface = setup.aircraft.surface(name)
    travel, _ = travel_percent(demand_percent, setup.output(setup.wiring[name]), setup.radio)
    return follow(surface, setup.radio, travel)


def demand_for_angle_percent(setup: Setup, name: str, angle_deg) -> np.ndarray:
    """Demand that turns one surface to an angle: the inverse of `follow_demand`.

    Parameters
    ----------
    angle_deg : array_like
        Surface angle, trailing edge down (rudder: left) positive, deg; any shape.

    Returns
    -------
    numpy.ndarray
        Demand in percent, shift included, same shape; for an angle that cannot be reached, the smallest
        demand that comes nearest.
    """
    angles = follow_demand(setup, name, _DEMANDS).angle_deg
    # Where a limit holds the surface many demands give one angle; the first one found is the smallest.
    reached, first = np.unique(np.round(angles, 9), return_index=True)
    return np.interp(np.asarray(angle_deg, dtype=float), reached, _DEMANDS[first])


def levers_mm(linkage: Linkage, arm_deg: float = 0.0) -> tuple[float, float]:
    """Distance of the rod's line from the servo's shaft and from the hinge: the true levers.

    Parameters
    ----------
    arm_deg : float
        Arm angle from its drawn place, tip forward positive, inside the working range.

    Returns
    -------
    arm, horn : float
        Levers in mm.  With arm and horn square to the rod they are the two hole distances.

    Raises
    ------
    LinkageError
        If the linkage cannot stand there.
    """
    forward = 1.0 if linkage.horn_side in ("below", "left") else -1.0
    arm = np.radians(linkage.arm_angle_deg + arm_deg)
    horn = np.radians(linkage.horn_angle_deg + forward * float(surface_angle_deg(linkage, arm_deg)))
    side = -1.0 if linkage.crossed else 1.0
    arm_hole = linkage.arm_mm * np.array([np.cos(arm), np.sin(arm)])
    horn_hole = linkage.horn_mm * np.array([np.cos(horn), side * np.sin(horn)])
    rod = np.array([linkage.distance_mm, 0.0]) + horn_hole - arm_hole
    along = rod / rod_length_mm(linkage)
    return tuple(float(abs(along[0] * hole[1] - along[1] * hole[0])) for hole in (arm_hole, horn_hole))


def throw_ends(
    surface: Surface, radio: Radio, servo_step_us: float = SERVO_STEP_US, play_mm: float = PLAY_MM
) -> ThrowEnds:
    """Throws at full travel, and how fine, how tight and how strong the linkage is at the middle.

    Parameters
    ----------
    servo_step_us : float
        Smallest change of the pulse that moves the servo, us, 0 or more.
    play_mm : float
        Play along the rod, mm, 0 or more.

    Raises
    ------
    LinkageError
        If the linkage cannot close, or stands at a dead point at the middle.
    """
    ends = follow(surface, radio, [-100.0, 100.0])
    middle = follow(surface, radio, 0.0)
    arm_lever, horn_lever = levers_mm(surface.linkage, float(middle.arm_deg))
    arm_deg_per_us = surface.servo.arm_deg_per_500us / 500.0
    mm_per_us = surface.chord_mm * np.radians(arm_deg_per_us * arm_lever / horn_lever)
    held = {"linkage binds": ends.binds, "at its stop": ends.at_stop, "travel cut off": ends.cut}
    return ThrowEnds(
        up_mm=float(max(-ends.throw_mm.min(), 0.0)),
        down_mm=float(max(ends.throw_mm.max(), 0.0)),
        up_deg=float(max(-ends.angle_deg.min(), 0.0)),
        down_deg=float(max(ends.angle_deg.max(), 0.0)),
        percent_mm=float(mm_per_us * radio.us_per_100_percent / 100),
        servo_step_mm=float(mm_per_us * servo_step_us),
        slop_mm=float(surface.chord_mm * play_mm / horn_lever),
        leverage=horn_lever / arm_lever,
        held=next((words for words, met in held.items() if met.any()), ""),
    )


def with_holes(surface: Surface, arm_mm: float, horn_mm: float) -> Surface:
    """Hang the rod into other holes; its length is made to fit at neutral.

    Parameters
    ----------
    arm_mm, horn_mm : float
        Holes: from the servo's shaft and from the hinge, mm.

    Raises
    ------
    DescriptionError
        If a hole is out of range.
    """
    return surface.replace(linkage=surface.linkage.replace(arm_mm=arm_mm, horn_mm=horn_mm, rod_mm=None))
