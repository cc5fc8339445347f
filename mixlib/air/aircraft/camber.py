"""What camber does to the speed: steady dives, and the effect of one degree of droop or reflex."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.flight import trimmed_at
from mixlib.air.aircraft.glide import Trimmed
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
    elevator_deg_per_deg : float
        Elevator that keeps the speed, trailing edge down +.
    """

    lift_per_deg: float
    speed_m_s_per_deg: float
    elevator_deg_per_deg: float


def dive(airframe: Airframe, angles: Mapping[str, float] | None = None, path_deg: float = 90.0) -> Trimmed:
    """Speed that a steady dive ends at; an airframe may flutter or break long before it.

    Parameters
    ----------
    angles : mapping of str to float, optional
        Surface angles, deg, such as a reflex.
    path_deg : float
        Slope of the dive below the horizon, 20 to 90 deg; 90 is straight down.

    Raises
    ------
    ValueError
        If the slope is out of its range.
    """
    if not 20 <= path_deg <= 90:
        raise ValueError(f"path_deg is {path_deg:g}; give 20 to 90 deg")
    set_deg = airframe.angles_deg(angles)
    nothing, _ = stall_range(airframe, set_deg)
    row = at_incidence(airframe, set_deg, nothing + np.linspace(-2.0, 3.0, 21))
    spare = row.lift - row.drag / np.tan(np.radians(path_deg))
    return row.between(np.interp(0.0, np.maximum.accumulate(spare), np.arange(21.0)))


def camber_effect(airframe: Airframe, camber: Mapping[str, float], speed_m_s: float) -> CamberEffect:
    """What one degree of droop or reflex does at constant weight, from half a degree each way.

    Parameters
    ----------
    camber : mapping of str to float
        How far each surface moves for one degree of camber, deg; such as 1 for each flap and aileron.

    Raises
    ------
    ValueError
        If the camber surfaces are also those that trim, such as elevons.
    """
    if set(camber) & set(airframe.pitch_names):
        raise ValueError(
            "the camber surfaces are those that trim this aircraft, so the trim takes the camber away"
        )
    before = trimmed_at(airframe, None, speed_m_s)
    ends = np.array([[-0.5], [0.5]])
    moved = ends * airframe.angles_deg(camber)
    alike = at_incidence(airframe, moved, before.alpha_deg)
    kept = at_speed(airframe, moved, speed_m_s)
    return CamberEffect(
        lift_per_deg=float(alike.lift[1] - alike.lift[0]),
        speed_m_s_per_deg=float(alike.speed_m_s[1] - alike.speed_m_s[0]),
        elevator_deg_per_deg=float(kept.elevator_deg[1] - kept.elevator_deg[0]),
    )
