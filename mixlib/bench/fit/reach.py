"""Throw of every surface against the travel of its output, through servo, linkage and stops."""

from __future__ import annotations

import numpy as np

from mixlib.bench.surface.limits import travel_for_angle_percent
from mixlib.bench.surface.throws import follow
from mixlib.chain import LinkageError
from mixlib.describe import Aircraft, Radio, Surface
from mixlib.units import angle_from_throw_mm

__all__ = ["Reach"]

_GRID_PERCENT = np.linspace(-260.0, 260.0, 10401)  # steps of 0.05 %; more travel than any radio gives


class Reach:
    """What each surface of an aircraft does on any output of a radio.

    Raises
    ------
    LinkageError
        If a linkage cannot close at neutral; the text names the surface.
    """

    def __init__(self, aircraft: Aircraft, radio: Radio):
        self.names = aircraft.surface_names
        self.surfaces = aircraft.surfaces
        self._radio = radio
        self._sub_trims: dict[tuple[int, ...], float] = {}
        self._throws = [_throws_mm(surface, radio) for surface in aircraft.surfaces]

    def throw_mm(self, place: int, group: tuple[int, ...], travel_percent: np.ndarray) -> np.ndarray:
        """Throw of a surface for travel counted from its output's neutral.

        Parameters
        ----------
        travel_percent : numpy.ndarray
            Travel without sub-trim, percent, any shape.

        Returns
        -------
        numpy.ndarray
            Throw in mm, same shape.
        """
        moved = travel_percent + self.sub_trim_percent(group)
        return np.interp(moved, _GRID_PERCENT, self._throws[place])

    def sub_trim_percent(self, group: tuple[int, ...]) -> float:
        """Sub-trim that brings surfaces on one output to neutral, as near as the radio can set it."""
        if group not in self._sub_trims:
            self._sub_trims[group] = self._find_sub_trim(group)
        return self._sub_trims[group]

    def _find_sub_trim(self, group: tuple[int, ...]) -> float:
        most, step = self._radio.sub_trim_max_percent, self._radio.sub_trim_step_percent
        needs = [travel_for_angle_percent(self.surfaces[p], self._radio, 0.0) for p in group]
        mean = float(np.mean(needs))
        steps = 0 if np.isnan(mean) else round(mean / step)
        # A rod of a wrong length may keep the surface from neutral altogether: then no sub-trim helps.
        allowed = int(most / step + 1e-9)
        return float(min(max(steps, -allowed), allowed)) * step + 0.0

    def travel_percent(self, name: str, group: tuple[int, ...], throw_mm: float) -> float:
        """Travel from its output's neutral that gives a surface a throw, whatever limits there are.

        Parameters
        ----------
        throw_mm : float
            Throw in mm.

        Returns
        -------
        float
            Percent, sub-trim not counted; NaN where the linkage cannot reach the throw.
        """
        surface = self.surfaces[self.names.index(name)]
        angle = float(angle_from_throw_mm(throw_mm, surface.chord_mm))
        travel = travel_for_angle_percent(surface, self._radio, angle)
        return travel - self.sub_trim_percent(group)

    def range_mm(self, place: int) -> tuple[float, float]:
        """Throws that linkage, stops, servo and the radio's pulses can reach at all.

        Returns
        -------
        low, high : float
            Throw in mm.
        """
        return float(self._throws[place].min()), float(self._throws[place].max())


def _throws_mm(surface: Surface, radio: Radio) -> np.ndarray:
    try:
        return follow(surface, radio, _GRID_PERCENT).throw_mm
    except LinkageError as error:
        raise LinkageError(f"{surface.name}: {error}") from None
