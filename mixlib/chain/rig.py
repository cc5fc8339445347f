"""The whole chain of one set-up, from the pilot's commands to the trailing edge, each stage by name."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mixlib.chain import controls
from mixlib.chain.linkage import LinkageError, arm_range_deg, surface_angle_deg
from mixlib.chain.mixing import demand_percent
from mixlib.chain.servo import arm_angle_deg, pulse_us, travel_percent
from mixlib.describe import Setup
from mixlib.units import COMMANDS, throw_mm_from_angle

__all__ = ["STAGES", "Rig", "Stages"]

STAGES = {
    "command": "",
    "demand": "%",
    "travel": "%",
    "pulse": "us",
    "arm": "deg",
    "surface": "deg",
    "throw": "mm",
}
"""Stages in the order of the chain, with the unit of each."""


@dataclass(frozen=True)
class Stages:
    """Every stage of the chain for an array of commands of leading shape (...).

    Attributes
    ----------
    command : numpy.ndarray
        Shape (..., 6): commands after rate and expo.
    demand, travel : numpy.ndarray
        Shape (..., outputs), percent; travel positive is a longer pulse.
    pulse : numpy.ndarray
        Shape (..., outputs), us.
    arm, surface : numpy.ndarray
        Shape (..., surfaces), deg; arm tip forward positive, trailing edge down (rudder: left) positive.
    throw : numpy.ndarray
        Shape (..., surfaces), mm, sign of the surface.
    demand_clipped, pulse_clipped : numpy.ndarray of bool
        Shape (..., outputs): cut off by an end point; by the radio's or servo's pulse range.
    binds, at_stop : numpy.ndarray of bool
        Shape (..., surfaces): the linkage is held at its dead point; the surface is held at its stop.
    """

    command: np.ndarray
    demand: np.ndarray
    travel: np.ndarray
    pulse: np.ndarray
    arm: np.ndarray
    surface: np.ndarray
    throw: np.ndarray
    demand_clipped: np.ndarray
    pulse_clipped: np.ndarray
    binds: np.ndarray
    at_stop: np.ndarray


class Rig:
    """An aircraft wired to a radio with all settings, ready to be asked.

    Parameters
    ----------
    setup : Setup
        What is wired and set.

    Raises
    ------
    LinkageError
        If a linkage cannot close at neutral; the text names the surface.
    MixLoopError
        If free mixes lead round in a circle.
    """

    def __init__(self, setup: Setup):
        self.setup = setup
        self.surface_names = setup.aircraft.surface_names
        self.outputs_of_surfaces = np.array([setup.wiring[name] - 1 for name in self.surface_names])
        self._arm_ranges = {}
        for surface in setup.aircraft.surfaces:
            try:
                self._arm_ranges[surface.name] = arm_range_deg(surface.linkage)
            except LinkageError as error:
                raise LinkageError(f"{surface.name}: {error}") from None
        demand_percent(setup, np.zeros(len(COMMANDS)))  # a loop of mixes shows here, not at the first command

    def run(self, commands) -> Stages:
        """Send commands through the whole chain.

        Parameters
        ----------
        commands : array_like
            Shape (..., 6) in the order of `mixlib.units.COMMANDS`; `mixlib.chain.commands` makes it.

        Returns
        -------
        Stages
            Every stage, with the leading shape of the commands.
        """
        radio = self.setup.radio
        shaped = controls.shape(commands, self.setup.shaping)
        demand = demand_percent(self.setup, shaped)
        travel = np.empty_like(demand)
        demand_clipped = np.empty(demand.shape, dtype=bool)
        for index in range(radio.outputs):
            output = self.setup.output(index + 1)
            travel[..., index], demand_clipped[..., index] = travel_percent(demand[..., index], output, radio)
        pulse, pulse_clipped = pulse_us(travel, radio)
        leading = demand.shape[:-1]
        arm, surface, throw = (np.empty((*leading, len(self.surface_names))) for _ in range(3))
        binds, at_stop = (np.empty(arm.shape, dtype=bool) for _ in range(2))
        for index, part in enumerate(self.setup.aircraft.surfaces):
            own_pulse = pulse[..., self.outputs_of_surfaces[index]]
            asked = arm_angle_deg(own_pulse, part.servo)
            arm[..., index] = np.clip(asked, *self._arm_ranges[part.name])
            binds[..., index] = arm[..., index] != asked
            free = surface_angle_deg(part.linkage, arm[..., index])
            surface[..., index] = np.clip(free, -part.stop_up_deg, part.stop_down_deg)
            at_stop[..., index] = surface[..., index] != free
            throw[..., index] = throw_mm_from_angle(surface[..., index], part.chord_mm)
        return Stages(
            shaped, demand, travel, pulse, arm, surface, throw, demand_clipped, pulse_clipped, binds, at_stop
        )

    def stage(self, name: str, commands) -> np.ndarray:
        """Ask for one stage by its name.

        Parameters
        ----------
        name : str
            A key of `STAGES`.
        commands : array_like
            Shape (..., 6).

        Returns
        -------
        numpy.ndarray
            That stage, in the unit of `STAGES`.

        Raises
        ------
        ValueError
            If the name is unknown.
        """
        if name not in STAGES:
            raise ValueError(f"no stage is called {name!r}; use one of {', '.join(STAGES)}")
        return getattr(self.run(commands), name)

    def moves(self, **values) -> dict[str, float]:
        """Surface angles for one set of commands, by surface name.

        Parameters
        ----------
        **values : float
            Commands by name; what is left out is 0.

        Returns
        -------
        dict of str to float
            Surface angle in degrees, trailing edge down (rudder: left) positive.
        """
        angles = self.run(controls.commands(**values)).surface
        return dict(zip(self.surface_names, angles.tolist(), strict=True))
