"""Levers and rest positions: which lever comes nearest to a flight phase, and what a command adds to it.

A phase is a set of wanted surface angles.  Some radios store it as such, behind a switch; on others a lever
goes there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mixlib.bench.surface.throws import demand_for_angle_percent, follow_demand
from mixlib.chain import Rig, commands
from mixlib.describe import Phase, Setup
from mixlib.units import throw_mm_from_angle

__all__ = [
    "PHASE_NAMES",
    "LeverPlace",
    "added",
    "lever_end",
    "nearest_lever",
    "phase_of_end",
]

PHASE_NAMES = ("launch", "thermal", "cruise", "speed", "landing")
"""The phases that the workbook speaks of."""

_PLACES = 41  # of a lever, from neutral to where it is used to


@dataclass(frozen=True)
class LeverPlace:
    """The lever that comes nearest to a phase.

    Attributes
    ----------
    command : str
        The lever's command, or nothing when no lever moves anything towards the phase.
    value : float
        Its place, -1 to 1; brake 0 to 1.
    missed_mm : dict of str to float
        Surface to throw given less throw wanted, mm, trailing edge down (rudder: left) positive.
    """

    command: str
    value: float
    missed_mm: dict[str, float]

    @property
    def worst(self) -> tuple[str, float]:
        """The surface that is furthest from what the phase wants, and by how many mm."""
        name = max(self.missed_mm, key=lambda name: abs(self.missed_mm[name]))
        return name, self.missed_mm[name]


def nearest_lever(setup: Setup, phase: Phase) -> LeverPlace:
    """Find the place of the camber or brake lever, as far as it is used, that comes nearest to a phase.

    Nearest is the least sum of squared misses in mm; surfaces that the phase does not name rest at 0.
    """
    chords = np.array([surface.chord_mm for surface in setup.aircraft.surfaces])
    names = setup.aircraft.surface_names
    wanted = throw_mm_from_angle(np.array([phase.angles_deg.get(name, 0.0) for name in names]), chords)
    ways = [
        (lever, np.linspace(0, setup.used_to(lever, way), _PLACES)[1:])
        for lever in ("camber", "brake")
        if lever in setup.radio.commands
        for way in (-1, 1)
    ]
    tried = [("", 0.0), *((lever, value) for lever, places in ways for value in places.tolist())]
    rows = np.concatenate([commands()[None], *(commands(**{lever: places}) for lever, places in ways)])
    missed = Rig(setup).run(rows).throw - wanted
    best = int(np.argmin(np.round(np.sum(missed**2, axis=-1), 9)))
    command, value = tried[best]
    return LeverPlace(command, round(value, 4), dict(zip(names, missed[best].tolist(), strict=True)))


def added(setup: Setup, phase: Phase, **values: float | np.ndarray) -> dict[str, np.ndarray]:
    """Angles of the surfaces when commands come on top of a phase that the outputs hold.

    Parameters
    ----------
    phase : Phase
        Surfaces that it does not name rest where the set-up leaves them.
    **values : float or numpy.ndarray
        Commands, such as ``roll=1``; any shape that goes together.

    Returns
    -------
    dict of str to numpy.ndarray
        Every surface's angle, deg, after the limits of its output, servo, linkage and stops; their shape.
    """
    rig = Rig(setup, phase)
    still, moved = rig.run(commands()).demand, rig.run(commands(**values)).demand
    result = {}
    for name, output in zip(rig.surface_names, rig.outputs_of_surfaces, strict=True):
        demand = still[output]
        if name in phase.angles_deg:
            demand = demand_for_angle_percent(setup, name, phase.angles_deg[name])
        result[name] = follow_demand(setup, name, demand + moved[..., output] - still[output]).angle_deg
    return result


def lever_end(setup: Setup, name: str) -> tuple[str, str] | None:
    """Command and side whose end a phase belongs to.

    Returns
    -------
    (str, str) or None
        Landing: the brake, or droop where no brake is held, or none that moves anything on a model without
        flaps.  Thermal: droop, unless landing has it.  Speed: reflex.  None for every other phase, and where
        the lever is missing.
    """
    held = setup.radio.commands
    landing = "brake" if "brake" in held and _brakes(setup) else "camber"
    ends = {"landing": (landing, "above"), "speed": ("camber", "below")}
    if landing == "brake" or setup.phase("landing") is None:
        ends["thermal"] = ("camber", "above")
    end = ends.get(name)
    return end if end and end[0] in held else None


def _brakes(setup: Setup) -> bool:
    """Whether a brake is there, or is to be: flaps, a wish for it, or surfaces that it moves."""
    wished = any(want.command == "brake" for want in setup.wanted)
    rest, out = (Rig(setup).run(commands(brake=brake)).surface for brake in (0, 1))
    return bool(setup.aircraft.of_kind("flap")) or wished or not np.allclose(rest, out)


def phase_of_end(setup: Setup, command: str, side: str) -> str:
    """The phase that a lever's end is for, landing first; nothing for an end without a phase."""
    names = ("landing", *PHASE_NAMES)
    return next((name for name in names if lever_end(setup, name) == (command, side)), "")
