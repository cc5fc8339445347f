"""What camber does to the speed: steady dives, and the effect of one degree of droop or reflex."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.flight import trimmed_at
from mixlib.air.aircraft.glide import STANDARD_AIR, Air, Trimmed
from mixlib.air.aircraft.trim import at_incidence, at_speed, stall_range

__all__ = ["CamberEffect", "camber_effect", "dive"]


@dataclass(frozen=True)
class CamberEffect:
    """What one degree of camber change does, trailing edge down +.

    Attributes
    ----------
    lift_per_deg : float
        Lift coefficient at the same incidence.
    speed_m_s_per_deg : float
        Speed at the same incidence and weight; negative, since droop slows.
    hands_off_m_s_per_deg : float
        Speed that the aircraft settles at with the elevator left alone; NaN if it finds none.
    elevator_deg_per_deg : float
        Elevator that keeps the speed, trailing edge down +.
    """

    lift_per_deg: float
    speed_m_s_per_deg: float
    hands_off_m_s_per_deg: float
    elevator_deg_per_deg: float


def dive(
    airframe: Airframe,
    setting: Mapping[str, float] | None = None,
    path_deg: float = 90.0,
    air: Air = STANDARD_AIR,
) -> Trimmed:
    """Speed that a steady dive ends at.

    Parameters
    ----------
    setting : mapping of str to float, optional
        Surface angles, deg, such as a reflex.
    path_deg : float
        Slope of the dive below the horizon, 20 to 90 deg; 90 is straight down.

    Returns
    -------
    Trimmed
        The dive.  An airframe may flutter or break long before this speed.

    Raises
    ------
    ValueError
        If the slope is out of its range.
    """
    if not 20 <= path_deg <= 90:
        raise ValueError(f"path_deg is {path_deg:g}; give 20 to 90 deg")
    angles = airframe.angles_deg(setting)
    nothing, _, _ = stall_range(airframe, angles)
    row = at_incidence(airframe, angles, nothing + np.linspace(-2.0, 3.0, 21), air)
    spare = row.lift - row.drag / np.tan(np.radians(path_deg))
    return row.between(np.interp(0.0, np.maximum.accumulate(spare), np.arange(21.0)))


def camber_effect(
    airframe: Airframe,
    camber: Mapping[str, float],
    speed_m_s: float,
    setting: Mapping[str, float] | None = None,
    air: Air = STANDARD_AIR,
) -> CamberEffect:
    """What one degree of droop or reflex does at constant weight.

    Parameters
    ----------
    camber : mapping of str to float
        How far each surface moves for one degree of camber, deg; such as 1 for each flap and aileron.
    setting : mapping of str to float, optional
        Surface angles before, deg.

    Returns
    -------
    CamberEffect
        Changes per degree, from half a degree each way.

    Raises
    ------
    ValueError
        If the camber surfaces are also those that trim, such as elevons.
    """
    if set(camber) & set(airframe.pitch_names):
        raise ValueError(
            "the camber surfaces are those that trim this aircraft, so the trim takes the camber away"
        )
    setting = dict(setting or {})
    before = trimmed_at(airframe, setting, speed_m_s, air)
    ends = np.array([-0.5, 0.5])
    names = set(setting) | set(camber)
    moved = {name: setting.get(name, 0.0) + ends * camber.get(name, 0.0) for name in names}
    angles = airframe.angles_deg(moved)

    near = np.linspace(-3.0, 3.0, 25)
    rows = at_incidence(airframe, angles[:, None, :], before.alpha_deg + near, air)
    middle = len(near) // 2
    lift, speed = rows.lift[:, middle], rows.speed_m_s[:, middle]
    settled = [_where_elevator_is(rows[end], float(before.elevator_deg)) for end in (0, 1)]
    kept = at_speed(airframe, angles, speed_m_s, air)
    return CamberEffect(
        lift_per_deg=float(lift[1] - lift[0]),
        speed_m_s_per_deg=float(speed[1] - speed[0]),
        hands_off_m_s_per_deg=settled[1] - settled[0],
        elevator_deg_per_deg=float(kept.elevator_deg[1] - kept.elevator_deg[0]),
    )


def _where_elevator_is(row: Trimmed, elevator_deg: float) -> float:
    """Speed at which a row of glides needs an elevator angle; NaN if it never or more than once does."""
    away = row.elevator_deg - elevator_deg
    crossings = np.flatnonzero(np.diff(np.sign(away)))
    if len(crossings) != 1:
        return float("nan")
    at = crossings[0]
    return float(row.between(at + away[at] / (away[at] - away[at + 1])).speed_m_s)
