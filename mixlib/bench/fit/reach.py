"""Throw of every surface against the travel of its output, through servo, linkage and stops."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from mixlib.bench.surface.limits import travel_for_angle_percent, travel_limits
from mixlib.chain.outputs import pulse_us
from mixlib.chain.surfaces import SurfaceRow
from mixlib.describe import Aircraft, Radio
from mixlib.units import angle_from_throw_mm, to_step

__all__ = ["Group", "Reach", "sockets"]

Group = tuple[int, ...]
"""Surfaces that share an output, as places in the aircraft's list."""

_GRID_PERCENT = np.linspace(-260.0, 260.0, 10401)  # steps of 0.05 %; more travel than any radio gives


class Reach:
    """What each surface of an aircraft does on any output of a radio.

    Parameters
    ----------
    sub_trims_percent : mapping of str to float
        Surface to the sub-trim that the reader has set, kept as it is; for the others it is found.
    motor : int, optional
        Output of the motor, from 1, which no servo gets.

    Raises
    ------
    LinkageError
        If a linkage cannot close at neutral; the text names the surface.
    """

    def __init__(
        self,
        aircraft: Aircraft,
        radio: Radio,
        sub_trims_percent: Mapping[str, float] | None = None,
        motor: int | None = None,
    ) -> None:
        self._kept = sub_trims_percent or {}
        self.names = aircraft.surface_names
        self.surfaces = aircraft.surfaces
        plain = [control for control in radio.controls if control.plain]
        self.drives = {  # outputs that a servo may have, and what can drive a surface from there
            number: tuple(control.command for control in plain if number in control.drives)
            for number in range(1, radio.outputs + 1)
            if number != motor
        }
        self.lonely = {control.command for control in plain if not control.at_once}
        self._radio = radio
        self._sub_trims: dict[Group, float] = {}
        self._limits: dict[int, tuple[float, float]] = {}
        pulse, _ = pulse_us(_GRID_PERCENT[:, np.newaxis], radio)
        self._throws = np.ascontiguousarray(SurfaceRow(aircraft.surfaces).follow(pulse).throw_mm.T)

    def throw_mm(self, place: int, group: Group, travel_percent: npt.ArrayLike) -> np.ndarray:
        """Throw of a surface for travel counted from its output's neutral, any shape."""
        moved = np.asarray(travel_percent) + self.sub_trim_percent(group)
        return np.interp(moved, _GRID_PERCENT, self._throws[place])

    def sub_trim_percent(self, group: Group) -> float:
        """Sub-trim that brings surfaces on one output to neutral, as near as the radio can set it."""
        if group not in self._sub_trims:
            needs = [travel_for_angle_percent(self.surfaces[place], self._radio, 0.0) for place in group]
            # A rod of a wrong length may keep a surface from neutral altogether: then no sub-trim helps.
            step = self._radio.sub_trim_step_percent
            most = step * int(self._radio.sub_trim_max_percent / step + 1e-9)
            found = to_step(float(np.clip(np.nan_to_num(np.mean(needs)), -most, most)), step)
            self._sub_trims[group] = self._kept.get(self.names[group[0]], found)
        return self._sub_trims[group]

    def limits_percent(self, place: int, group: Group) -> tuple[float, float]:
        """Travels from neutral at which a stop, a dead point or a pulse range ends the movement, percent."""
        if place not in self._limits:
            low, high = travel_limits(self.surfaces[place], self._radio)
            self._limits[place] = low.travel_percent, high.travel_percent
        low_percent, high_percent = self._limits[place]
        middle = self.sub_trim_percent(group)
        return min(low_percent - middle, 0.0), max(high_percent - middle, 0.0)

    def travel_percent(self, place: int, group: Group, throw_mm: float) -> float:
        """Travel from its output's neutral that gives a surface a throw, whatever limits there are.

        Returns
        -------
        float
            Percent, sub-trim not counted; NaN where the linkage cannot reach the throw.
        """
        surface = self.surfaces[place]
        angle = float(angle_from_throw_mm(throw_mm, surface.chord_mm))
        return float(travel_for_angle_percent(surface, self._radio, angle)) - self.sub_trim_percent(group)

    def range_mm(self, place: int) -> tuple[float, float]:
        """Least and greatest throw that linkage, stops, servo and the radio's pulses can reach at all."""
        return float(self._throws[place].min()), float(self._throws[place].max())


def sockets(
    seats: Sequence[Sequence[tuple[int, int | None]]], numbers: Sequence[Sequence[int]]
) -> tuple[tuple[int, ...], ...]:
    """Outputs for plugs: each where it is now if that is as good as others, else in the first free one.

    Parameters
    ----------
    seats : sequence of sequence of (int, int or None)
        For each plug of each unit the class of equal outputs that it goes to, and its output until now.
    numbers : sequence of sequence of int
        Outputs of each class.
    """
    stays = {(kind, now) for seat in seats for kind, now in seat if now in numbers[kind]}
    free = [[number for number in equal if (kind, number) not in stays] for kind, equal in enumerate(numbers)]
    found = []
    for seat in seats:
        row = []
        for kind, now in seat:
            if now is not None and (kind, now) in stays:
                stays.remove((kind, now))  # a second plug of a Y-lead that is taken out finds another
                row.append(now)
            else:
                row.append(free[kind].pop(0))
        found.append(tuple(row))
    return tuple(found)
