"""A glide, trimmed and steady, as a set of numbers; and the air that it is flown in."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from mixlib.units import SEA_LEVEL_DENSITY_KG_M3, SEA_LEVEL_VISCOSITY_M2_S

__all__ = ["STANDARD_AIR", "Air", "Trimmed"]


@dataclass(frozen=True)
class Air:
    """The air that is flown in; sea level on a standard day unless told otherwise (kg/m3, m2/s)."""

    density_kg_m3: float = SEA_LEVEL_DENSITY_KG_M3
    viscosity_m2_s: float = SEA_LEVEL_VISCOSITY_M2_S


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
    lift, drag, drag_low, drag_high : numpy.ndarray
        Coefficients of the whole aircraft on the wing's area, and the band in which the drag may be expected.
    elevator_deg : numpy.ndarray
        Angle that the trimming surfaces need on top of what is set, trailing edge down +.
    first_to_stall_m, margin_deg : numpy.ndarray
        Place of the wing that stalls first, from the middle, and the incidence that it has left.
    table_share : numpy.ndarray
        Share of the wing whose section data come from the table, the rest is handbook.
    converged : numpy.ndarray of bool
        Whether the numbers are a glide, with an elevator that its stops allow; if not, a rough guide only.
    doubts : numpy.ndarray of int
        Flags of `mixlib.air.aircraft.doubt.Doubt` (no unit).
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
    downwash_deg: np.ndarray
    first_to_stall_m: np.ndarray
    margin_deg: np.ndarray
    table_share: np.ndarray
    converged: np.ndarray
    doubts: np.ndarray

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
        """Lowest and highest drag to expect over the computed one, as a ratio."""
        return self.drag_low / self.drag, self.drag_high / self.drag

    def reach_m(self, height_m: float, head_wind_m_s: float) -> np.ndarray:
        """How far over the ground the glide gets from a height; negative if the wind carries it back."""
        return self._reach_m(self.sink_m_s, height_m, head_wind_m_s)

    def reach_band_m(self, height_m: float, head_wind_m_s: float) -> tuple[np.ndarray, np.ndarray]:
        """Lowest and highest reach to expect at the same speed."""
        low, high = self.sink_band_m_s
        low_m, high_m = (self._reach_m(sink, height_m, head_wind_m_s) for sink in (high, low))
        return low_m, high_m

    def _reach_m(self, sink_m_s: np.ndarray, height_m: float, head_wind_m_s: float) -> np.ndarray:
        return height_m / sink_m_s * (np.sqrt(self.speed_m_s**2 - sink_m_s**2) - head_wind_m_s)

    def __getitem__(self, index: int | slice | np.ndarray) -> Trimmed:
        """Take some of the glides, like an array."""
        return Trimmed(*(getattr(self, field.name)[index] for field in fields(self)))

    def doubted(self, flags: int) -> Trimmed:
        """The same with more flags of `mixlib.air.aircraft.doubt.Doubt` (no unit)."""
        return replace(self, doubts=self.doubts | flags) if flags else self

    @classmethod
    def row(cls, *glides: Trimmed) -> Trimmed:
        """Put glides of shape () into one of shape (glides,)."""
        return cls(*(np.stack([getattr(one, field.name) for one in glides]) for field in fields(cls)))

    def between(self, place: float | np.ndarray) -> Trimmed:
        """Glides between two neighbours of a row of glides.

        Parameters
        ----------
        place : float or ndarray
            Index with a fraction, from 0 to length - 1 (dimensionless); numbers are interpolated, what is yes
            or no is that of the nearer neighbour.
        """
        low = np.clip(np.floor(place), 0, len(self.alpha_deg) - 2).astype(int)
        share = place - low
        near = self[np.where(share < 0.5, low, low + 1)]
        values = {}
        for field in fields(self):
            row = getattr(self, field.name)
            mixed = row[low] + share * (row[low + 1] - row[low]) if row.dtype.kind == "f" else None
            values[field.name] = getattr(near, field.name) if mixed is None else np.asarray(mixed)
        # Speed, sink and path follow from lift and drag, which change more evenly than they do.
        path = np.arctan2(values["drag"], values["lift"])
        growth = np.hypot(near.lift, near.drag) / np.hypot(values["lift"], values["drag"])
        speed = near.speed_m_s * np.sqrt(growth)
        values |= {"speed_m_s": speed, "path_deg": np.degrees(path), "sink_m_s": speed * np.sin(path)}
        return Trimmed(**values)
