"""A glide, trimmed and steady, as a set of numbers; and the air that it is flown in."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from mixlib.air.aircraft.atmosphere import viscosity_m2_s as standard_viscosity
from mixlib.units import SEA_LEVEL_DENSITY_KG_M3

__all__ = ["STANDARD_AIR", "Air", "Trimmed"]


@dataclass(frozen=True)
class Air:
    """The air that is flown in.

    Attributes
    ----------
    density_kg_m3 : float
        Density; `mixlib.air.aircraft.atmosphere.density_kg_m3` gives it for a field's height and temperature.
    """

    density_kg_m3: float = SEA_LEVEL_DENSITY_KG_M3
    viscosity_m2_s: float = float(standard_viscosity())


STANDARD_AIR = Air()
"""Sea level on a standard day."""


@dataclass(frozen=True)
class Trimmed:
    """Steady glides with the pitching moment balanced, arrays of one shape.

    Attributes
    ----------
    alpha_deg : numpy.ndarray
        Incidence of the wing's root.
    speed_m_s, sink_m_s, path_deg : numpy.ndarray
        Speed through the air, sink, and slope of the path below the horizon.
    lift, drag : numpy.ndarray
        Coefficients of the whole aircraft on the wing's area.
    drag_low, drag_high : numpy.ndarray
        Band in which the drag may be expected.
    elevator_deg : numpy.ndarray
        Angle that the trimming surfaces need on top of their setting, trailing edge down +.
    in_reach : numpy.ndarray of bool
        Whether the elevator can balance the aircraft within its stops.
    margin_deg, first_to_stall_m : numpy.ndarray
        Incidence left to the stall at the place that stalls first, and that place from the middle.
    table_share : numpy.ndarray
        Share of the wing whose section data come from the table, the rest is handbook.
    converged : numpy.ndarray of bool
        Whether the numbers are a solution; if not they are a rough guide only.
    """

    alpha_deg: np.ndarray
    speed_m_s: np.ndarray
    sink_m_s: np.ndarray
    path_deg: np.ndarray
    lift: np.ndarray
    drag: np.ndarray
    drag_low: np.ndarray
    drag_high: np.ndarray
    elevator_deg: np.ndarray
    in_reach: np.ndarray
    downwash_deg: np.ndarray
    margin_deg: np.ndarray
    first_to_stall_m: np.ndarray
    stalled: np.ndarray
    tail_stalled: np.ndarray
    table_share: np.ndarray
    converged: np.ndarray

    @property
    def glide_ratio(self) -> np.ndarray:
        """Distance flown for each metre of height in still air."""
        return self.lift / self.drag

    @property
    def glide_ratio_band(self) -> tuple[np.ndarray, np.ndarray]:
        """Lowest and highest glide ratio to expect."""
        return self.lift / self.drag_high, self.lift / self.drag_low

    @property
    def sink_band_m_s(self) -> tuple[np.ndarray, np.ndarray]:
        """Lowest and highest sink to expect at the same speed."""
        low, high = (np.arctan2(drag, self.lift) for drag in (self.drag_low, self.drag_high))
        return self.speed_m_s * np.sin(low), self.speed_m_s * np.sin(high)

    @property
    def drag_factors(self) -> tuple[np.ndarray, np.ndarray]:
        """Lowest and highest drag to expect over the computed one."""
        return self.drag_low / self.drag, self.drag_high / self.drag

    def __getitem__(self, index) -> Trimmed:
        """Take some of the glides, like an array."""
        return Trimmed(*(getattr(self, field.name)[index] for field in fields(self)))

    def between(self, place: float) -> Trimmed:
        """Glide between two neighbours of a row of glides.

        Parameters
        ----------
        place : float
            Index with a fraction, from 0 to length - 1 (dimensionless); numbers are interpolated, what is yes
            or no is that of the nearer neighbour.

        Returns
        -------
        Trimmed
            One glide, fields of shape ().
        """
        low = int(np.clip(np.floor(place), 0, len(self.alpha_deg) - 2))
        share = place - low
        near = self[low if share < 0.5 else low + 1]
        values = {}
        for field in fields(self):
            first, second = getattr(self, field.name)[low : low + 2]
            yes_or_no = isinstance(first, np.bool_)
            mixed = getattr(near, field.name) if yes_or_no else first + share * (second - first)
            values[field.name] = np.asarray(mixed)
        # Speed, sink and path follow from lift and drag, which change more evenly than they do.
        path = np.arctan2(values["drag"], values["lift"])
        growth = np.hypot(near.lift, near.drag) / np.hypot(values["lift"], values["drag"])
        speed = near.speed_m_s * np.sqrt(growth)
        values |= {"speed_m_s": speed, "path_deg": np.degrees(path), "sink_m_s": speed * np.sin(path)}
        return Trimmed(**values)
