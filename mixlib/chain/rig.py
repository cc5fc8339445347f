"""The whole chain of one set-up, from the pilot's commands to the trailing edge, each stage by name."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mixlib.chain import controls
from mixlib.chain.mixing import Mixer
from mixlib.chain.outputs import power_percent, pulse_us, travels_percent
from mixlib.chain.surfaces import SurfaceRow
from mixlib.describe import MOTOR, Phase, Setup, Shaping
from mixlib.units import COMMANDS

__all__ = ["STAGES", "Rig", "Stages"]

_BLOCK = 2048  # commands that go through the chain together, so that each step still finds them in the cache

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
        Shape (..., 6): commands after rate and expo, without trims.
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
    power : numpy.ndarray
        Shape (..., motors), percent of full power, for the one motor or none.
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
    power: np.ndarray


class Rig:
    """An aircraft wired to a radio with all settings, ready to be asked.

    Parameters
    ----------
    phase : Phase, optional
        Whose roll rate and differential are in force, where it has its own; where it rests is up to the
        levers.

    Raises
    ------
    LinkageError
        If a linkage cannot close at neutral; the text names the surface.
    MixLoopError
        If free mixes lead round in a circle.
    """

    def __init__(self, setup: Setup, phase: Phase | None = None):
        self.setup = setup
        self._shaping = dict(setup.shaping)
        if phase is not None and phase.roll_rate_percent is not None:
            own = setup.shaping.get("roll", Shaping()).replace(rate_percent=phase.roll_rate_percent)
            self._shaping["roll"] = own
        self.surface_names = setup.aircraft.surface_names
        self.outputs_of_surfaces = np.array([setup.wiring[name] - 1 for name in self.surface_names])
        self._mixer = Mixer(setup, phase)
        self._outputs = [setup.output(number) for number in range(1, setup.radio.outputs + 1)]
        self._surfaces = SurfaceRow(setup.aircraft.surfaces)
        self._motors = (
            [] if setup.aircraft.motor is None else [(setup.aircraft.motor, setup.wiring[MOTOR] - 1)]
        )

    def run(self, commands: npt.ArrayLike) -> Stages:
        """Send commands through the whole chain.

        Parameters
        ----------
        commands : array_like
            Shape (..., 6), as `mixlib.chain.commands` makes it.

        Raises
        ------
        ValueError
            If the last axis does not hold the six commands.
        """
        asked = np.asarray(commands, dtype=float)
        if asked.ndim == 0 or asked.shape[-1] != len(COMMANDS):
            raise ValueError(
                f"commands have the shape {asked.shape}; accepted: {len(COMMANDS)} numbers on the last "
                f"axis, {', '.join(COMMANDS)}"
            )
        rows = asked.reshape(-1, len(COMMANDS))
        if len(rows) <= _BLOCK:
            return self._run(asked)
        widths = vars(self._run(rows[:1]))
        whole = {name: np.empty((len(rows), part.shape[1]), part.dtype) for name, part in widths.items()}
        for start in range(0, len(rows), _BLOCK):
            block = slice(start, start + _BLOCK)
            for name, part in vars(self._run(rows[block])).items():
                whole[name][block] = part
        return Stages(**{name: part.reshape(*asked.shape[:-1], -1) for name, part in whole.items()})

    def _run(self, commands: np.ndarray) -> Stages:
        shaped = controls.shape(commands, self._shaping)
        demand = self._mixer.demand_percent(shaped)
        travel, demand_clipped = travels_percent(demand, self._outputs, self.setup.radio)
        pulse, pulse_clipped = pulse_us(travel, self.setup.radio)
        moved = self._surfaces.follow(pulse[..., self.outputs_of_surfaces])
        for place, output in enumerate(self.outputs_of_surfaces):
            pulse_clipped[..., output] |= moved.cut[..., place]
        return Stages(
            command=shaped,
            demand=demand,
            travel=travel,
            pulse=pulse,
            arm=moved.arm_deg,
            surface=moved.angle_deg,
            throw=moved.throw_mm,
            demand_clipped=demand_clipped,
            pulse_clipped=pulse_clipped,
            binds=moved.binds,
            at_stop=moved.at_stop,
            power=self._power(pulse),
        )

    def _power(self, pulse: np.ndarray) -> np.ndarray:
        if not self._motors:
            return np.empty((*pulse.shape[:-1], 0))
        return np.stack([power_percent(motor, pulse[..., place]) for motor, place in self._motors], axis=-1)

    def stage(self, name: str, commands: npt.ArrayLike) -> np.ndarray:
        """Ask for one stage by its name.

        Parameters
        ----------
        name : str
            A key of `STAGES`, which has its unit.
        commands : array_like
            Shape (..., 6), commands.

        Raises
        ------
        ValueError
            If the name is unknown.
        """
        if name not in STAGES:
            raise ValueError(f"no stage is called {name!r}; use one of {', '.join(STAGES)}")
        return vars(self.run(commands))[name]

    def moves(self, **values: float) -> dict[str, float]:
        """Surface angles in degrees by surface name, for commands by name; what is left out is 0."""
        angles = self.run(controls.commands(**values)).surface
        return dict(zip(self.surface_names, angles.tolist(), strict=True))
