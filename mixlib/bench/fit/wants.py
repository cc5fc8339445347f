"""What each kind of surface should do for each command: the throws to start from, and the way it must move.

The angles are the usual middle of what gliders of these kinds fly with (common practice, no source).  They
are a start for the bench, not the last word: the reader changes them.
"""

from __future__ import annotations

import math

from mixlib.describe import Aircraft, Surface, Want
from mixlib.describe.words import direction
from mixlib.units import COMMAND_RANGES, throw_mm_from_angle

__all__ = ["WEIGHTS", "expected_direction", "usual_wants", "wanted_angle_deg", "weight_of"]

WEIGHTS = {"roll": 1.0, "pitch": 1.0, "yaw": 1.0, "camber": 0.6, "brake": 0.6, "throttle": 1.0}
"""How much a missed millimetre matters: steering comes before camber and brake."""

_FOLLOWING = 0.4  # weight of what only helps: flaps that follow the ailerons, elevator compensation
_SHARE_OF_STOP = 0.9  # no usual throw goes nearer to the stop than this

# Angle in degrees above and below, trailing edge down positive, for the right-hand or only surface.  Left and
# right change places for roll, and change sign for yaw on a v-tail.
_WITHOUT_FLAPS = {
    ("aileron", "roll"): (-20.0, 14.0),
    ("aileron", "camber"): (12.0, -5.0),
}
_WITH_FLAPS = {
    ("aileron", "roll"): (-22.0, 14.0),
    ("aileron", "camber"): (5.0, -3.0),
    ("aileron", "brake"): (-20.0, 0.0),
    ("flap", "roll"): (-6.0, 4.0),
    ("flap", "camber"): (7.0, -3.0),
    ("flap", "brake"): (55.0, 0.0),
    ("elevator", "brake"): (3.0, 0.0),
    ("v-tail", "brake"): (3.0, 0.0),
}
_ALWAYS = {
    ("elevator", "pitch"): (-14.0, 12.0),
    ("rudder", "yaw"): (-25.0, 25.0),
    ("v-tail", "pitch"): (-12.0, 12.0),
    ("v-tail", "yaw"): (12.0, -12.0),
    ("elevon", "roll"): (-14.0, 14.0),
    ("elevon", "pitch"): (-11.0, 11.0),
}
_CAMBER_COMPENSATION = {("elevator", "camber"): (2.0, -1.0), ("v-tail", "camber"): (2.0, -1.0)}


def usual_wants(aircraft: Aircraft, compensate_camber: bool = False) -> tuple[Want, ...]:
    """Throws to start from for an aircraft, in mm.

    Ailerons and flaps get roll with less down than up, droop and reflex; with flaps also crow on the brake,
    with down elevator to hold the nose.  Elevator, rudder, v-tail and elevons get what they steer.

    Parameters
    ----------
    aircraft : Aircraft
        Whose surfaces are meant; no throw goes nearer than 90 % to a surface's stop.

    Returns
    -------
    tuple of Want
        One for each surface, command and side that moves, in the order of the surfaces.
    """
    has_flaps = bool(aircraft.of_kind("flap"))
    table = {**_ALWAYS, **(_WITH_FLAPS if has_flaps else _WITHOUT_FLAPS)}
    if compensate_camber:
        table |= _CAMBER_COMPENSATION
    wants = []
    for surface in aircraft.surfaces:
        for (kind, command), above_and_below in table.items():
            if kind == surface.kind:
                wants += _of_surface(surface, command, *_for_side(surface, command, *above_and_below))
    return tuple(wants)


def wanted_angle_deg(want: Want, aircraft: Aircraft) -> float:
    """Surface angle of a wanted throw.

    Parameters
    ----------
    want : Want
        The throw, in any unit.

    Returns
    -------
    float
        Degrees, trailing edge down (rudder: left) positive.

    Raises
    ------
    ValueError
        If the throw is longer than twice the chord, which no hinge can give.
    """
    return want.angle_deg(aircraft)


def weight_of(surface: Surface, command: str) -> float:
    """How much a missed millimetre of a throw usually matters.

    Returns
    -------
    float
        As in `WEIGHTS`; less for flaps that follow the ailerons and for elevator compensation.
    """
    helps = (surface.kind, command) == ("flap", "roll") or (
        surface.kind in ("elevator", "v-tail") and command in ("camber", "brake")
    )
    return _FOLLOWING if helps else WEIGHTS[command]


def expected_direction(want: Want, aircraft: Aircraft) -> str:
    """Which way the trailing edge must go for a want.

    Returns
    -------
    str
        ``"up"``, ``"down"`` or ``"neutral"``; for a rudder ``"right"``, ``"left"`` or ``"neutral"``.
    """
    surface = aircraft.surface(want.surface)
    return direction(surface, float(throw_mm_from_angle(wanted_angle_deg(want, aircraft), surface.chord_mm)))


def _for_side(surface: Surface, command: str, above: float, below: float) -> tuple[float, float]:
    if surface.side != "left":
        return above, below
    if command == "roll":
        return below, above
    if command == "yaw" and surface.kind == "v-tail":
        return -above, -below
    return above, below


def _of_surface(surface: Surface, command: str, above_deg: float, below_deg: float) -> list[Want]:
    wants = []
    for side, angle_deg in (("above", above_deg), ("below", below_deg)):
        if side == "below" and COMMAND_RANGES[command][0] == 0:
            continue
        limit = _SHARE_OF_STOP * (surface.stop_down_deg if angle_deg > 0 else surface.stop_up_deg)
        angle = math.copysign(min(abs(angle_deg), limit), angle_deg)
        amount = round(float(throw_mm_from_angle(angle, surface.chord_mm)) * 2) / 2  # half millimetres
        weight = weight_of(surface, command)
        wants.append(
            Want(surface=surface.name, command=command, side=side, amount=amount, unit="mm", weight=weight)
        )
    return wants
