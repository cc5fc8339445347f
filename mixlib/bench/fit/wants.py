"""What each kind of surface should do for each command: the throws to start from.

The angles are the usual middle of what gliders of these kinds fly with (common practice, no source).  They
are a start for the bench, not the last word: the reader changes them.
"""

from __future__ import annotations

import math

from mixlib.describe import Aircraft, Surface, Want
from mixlib.units import COMMAND_RANGES, HALF_MM, throw_mm_from_angle, to_step

__all__ = ["DROOP_DEG", "helping_wants", "throw_of", "usual_wants", "weight_of"]

DROOP_DEG = {"launch": 2.0, "thermal": 3.0, "speed": -2.0, "landing": 12.0}
"""Usual droop of ailerons and flaps in a phase, deg, reflex negative; landing where there are no flaps.

On surfaces of 35 to 55 mm that is 2 to 3 mm for thermal and 1 to 2 mm for speed; common practice, no
source."""

# How much a missed millimetre matters: steering comes before camber and brake, and least counts what only
# helps, flaps that follow the ailerons and elevator compensation.
_WEIGHTS = {"roll": 1.0, "pitch": 1.0, "yaw": 1.0, "camber": 0.6, "brake": 0.6, "throttle": 1.0}
_HELPS = 0.4

_SHARE_OF_STOP = 0.9  # no usual throw goes nearer to the stop than this

# Angle in degrees above and below, trailing edge down positive, for the right-hand or only surface.  Left and
# right change places for roll, and change sign for yaw on a v-tail.
_FLAPS_WITH_ROLL = (-6.0, 4.0)
_SMALL_CAMBER = (DROOP_DEG["thermal"], DROOP_DEG["speed"])
_WITHOUT_FLAPS = {
    ("aileron", "roll"): (-20.0, 14.0),
    ("aileron", "camber"): (DROOP_DEG["landing"], DROOP_DEG["speed"]),
}
_WITH_FLAPS = {
    ("aileron", "roll"): (-22.0, 14.0),
    ("aileron", "camber"): _SMALL_CAMBER,
    ("aileron", "brake"): (-20.0, 0.0),
    ("flap", "roll"): _FLAPS_WITH_ROLL,
    ("flap", "camber"): _SMALL_CAMBER,
    ("flap", "brake"): (60.0, 0.0),
}
_ALWAYS = {
    ("elevator", "pitch"): (-14.0, 12.0),
    ("rudder", "yaw"): (-25.0, 25.0),
    ("v-tail", "pitch"): (-12.0, 12.0),
    ("v-tail", "yaw"): (12.0, -12.0),
    ("elevon", "roll"): (-14.0, 14.0),
    ("elevon", "pitch"): (-11.0, 11.0),
}
# What not everybody wants.  Pitch with a lever is only for an aircraft that the air model cannot fly.
_HELPING = {
    ("flap", "roll"): _FLAPS_WITH_ROLL,
    ("rudder", "roll"): (-10.0, 10.0),
    ("v-tail", "roll"): (5.0, -5.0),
    ("aileron", "pitch"): (2.0, -1.0),
    ("flap", "pitch"): (2.0, -1.0),
    ("elevator", "camber"): (1.5, -0.5),
    ("v-tail", "camber"): (1.5, -0.5),
    ("elevator", "brake"): (3.0, 0.0),
    ("v-tail", "brake"): (3.0, 0.0),
    ("elevon", "camber"): (0.0, 0.0),  # beside flaps; which way depends on the wing
    ("elevon", "brake"): (0.0, 0.0),
}


def usual_wants(aircraft: Aircraft) -> tuple[Want, ...]:
    """Throws to start from for an aircraft, in mm, in the order of its surfaces; none too near to a stop.

    Ailerons and flaps get roll with less down than up, droop and reflex; with flaps also crow on the brake.
    Elevator, rudder, v-tail and elevons get what they steer.  What helps besides is in `addable`.
    """
    table = _ALWAYS | (_WITH_FLAPS if aircraft.of_kind("flap") else _WITHOUT_FLAPS)
    return tuple(
        want
        for surface in aircraft.surfaces
        for (kind, command), angles_deg in table.items()
        if kind == surface.kind
        for want in _of_surface(surface, command, *angles_deg)
    )


def helping_wants(surface: Surface, command: str) -> tuple[Want, ...]:
    """Usual throws, in mm, with which a surface helps a command that is not its own; none for most."""
    angles_deg = _HELPING.get((surface.kind, command))
    return tuple(_of_surface(surface, command, *angles_deg)) if angles_deg else ()


def weight_of(surface: Surface, command: str) -> float:
    """How much a missed millimetre of a throw usually matters, no unit."""
    return _HELPS if (surface.kind, command) in _HELPING else _WEIGHTS[command]


def throw_of(surface: Surface, angle_deg: float) -> float:
    """Throw for an angle (trailing edge down positive), to half a millimetre, not too near to a stop, mm."""
    limit = _SHARE_OF_STOP * (surface.stop_down_deg if angle_deg > 0 else surface.stop_up_deg)
    angle = math.copysign(min(abs(angle_deg), limit), angle_deg)
    return to_step(float(throw_mm_from_angle(angle, surface.chord_mm)), HALF_MM)


def _of_surface(surface: Surface, command: str, above_deg: float, below_deg: float) -> list[Want]:
    if surface.side == "left" and command == "roll":
        above_deg, below_deg = below_deg, above_deg
    elif surface.side == "left" and (surface.kind, command) == ("v-tail", "yaw"):
        above_deg, below_deg = -above_deg, -below_deg
    wants = []
    for side, angle_deg in (("above", above_deg), ("below", below_deg)):
        if side == "below" and COMMAND_RANGES[command][0] == 0:
            continue
        amount, weight = throw_of(surface, angle_deg), weight_of(surface, command)
        wants.append(Want(surface=surface.name, command=command, side=side, amount=amount, weight=weight))
    return wants
