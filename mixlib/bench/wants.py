"""Usual wanted throws for an aircraft: a sensible place to start from, by kind of surface."""

from __future__ import annotations

from mixlib.describe import Aircraft, Surface, Want
from mixlib.units import throw_mm_from_angle

__all__ = ["usual_wants"]

# Angles in degrees, trailing edge down (rudder: left) positive; common practice for sports gliders, no source.
_ROLL_UP = {"aileron": 20.0, "flap": 6.0, "elevon": 15.0}
_ROLL_DOWN = {"aileron": 10.0, "flap": 6.0, "elevon": 15.0}
_PITCH = {"elevator": 12.0, "elevon": 12.0, "v-tail": 10.0}
_YAW = {"rudder": 25.0, "v-tail": 12.0}
_DROOP = {"aileron": 5.0, "flap": 5.0}
_REFLEX = {"aileron": -2.5, "flap": -2.5}
_BRAKE = {"aileron": -20.0, "flap": 55.0, "elevator": 3.0, "v-tail": 3.0}
_CAMBER_INTO_PITCH = 1.5
_ROOM = 0.9  # a usual want stays this far within the stops


def usual_wants(aircraft: Aircraft, camber_into_pitch: bool = False) -> tuple[Want, ...]:
    """Throws that a flyer usually begins with.

    Ailerons go up twice as far as down; all that hangs on the wing droops and reflexes a little; with
    flaps on board the brake is crow (flaps down, ailerons up) with a little down on the tail.

    Parameters
    ----------
    aircraft : Aircraft
        Whose surfaces are wanted to move.
    camber_into_pitch : bool
        Whether the elevator (or V-tail) is to follow droop and reflex a little.

    Returns
    -------
    tuple of Want
        In mm, rounded to half a millimetre, in the aircraft's order of surfaces.
    """
    with_crow = bool(aircraft.of_kind("flap"))
    wants: list[Want] = []
    for surface in aircraft.surfaces:
        kind, right = surface.kind, surface.side == "right"
        if kind in _ROLL_UP:
            up, down = -_ROLL_UP[kind], _ROLL_DOWN[kind]
            wants += _both(surface, "roll", up if right else down, down if right else up)
        if kind in _PITCH:
            wants += _both(surface, "pitch", -_PITCH[kind], _PITCH[kind])
        if kind in _YAW:
            # Nose right: rudder right; on a V-tail the right surface down and the left one up.
            above = _YAW[kind] if kind == "v-tail" and right else -_YAW[kind]
            wants += _both(surface, "yaw", above, -above)
        if kind in _DROOP:
            wants += _both(surface, "camber", _DROOP[kind], _REFLEX[kind])
        if camber_into_pitch and kind in ("elevator", "v-tail"):
            wants += _both(surface, "camber", _CAMBER_INTO_PITCH, -_CAMBER_INTO_PITCH / 2)
        if with_crow and kind in _BRAKE:
            wants.append(_want(surface, "brake", "above", _BRAKE[kind]))
    return tuple(wants)


def _both(surface: Surface, command: str, above_deg: float, below_deg: float) -> list[Want]:
    return [_want(surface, command, "above", above_deg), _want(surface, command, "below", below_deg)]


def _want(surface: Surface, command: str, side: str, angle_deg: float) -> Want:
    within = min(max(angle_deg, -_ROOM * surface.stop_up_deg), _ROOM * surface.stop_down_deg)
    amount = round(2 * float(throw_mm_from_angle(within, surface.chord_mm))) / 2
    return Want(surface=surface.name, command=command, side=side, amount=amount)
