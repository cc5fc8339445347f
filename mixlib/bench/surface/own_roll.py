"""Roll rate and differential of a phase: what is in force there, and what is usual."""

from __future__ import annotations

from mixlib.chain import Rig, commands
from mixlib.describe import Phase, Setup, Shaping
from mixlib.units import to_step

__all__ = ["roll_in_force", "with_usual_roll"]

_FAST = 0.75
"""Share of the roll rate that is left for the phase "speed"; common practice, no source."""

_CROW_PERCENT = 0.0
"""Differential where the ailerons stand up: there the one that goes down does the work, and less of it
robs roll; common practice, no source."""


def roll_in_force(setup: Setup, phase: Phase) -> dict[str, float]:
    """Each of `Setup.roll_kept` in a phase, in percent: its own, else that of all phases."""
    rate = setup.shaping.get("roll", Shaping()).rate_percent
    for_all = {"roll rate": rate, "differential": _differential_percent(setup)} | phase.own_roll
    return {name: for_all[name] for name in setup.roll_kept}


def with_usual_roll(setup: Setup, phase: Phase) -> Phase:
    """The phase with the usual roll of its own, as far as the set-up keeps it."""
    usual: dict[str, float] = {}
    ailerons = setup.aircraft.of_kind("aileron")
    if phase.name == "speed":
        usual["roll rate"] = to_step(_FAST * setup.shaping.get("roll", Shaping()).rate_percent, 1.0)
    if phase.name == "landing" and any(phase.angles_deg.get(part.name, 0.0) < 0 for part in ailerons):
        usual["differential"] = _CROW_PERCENT
    return phase.with_roll({name: usual.get(name) for name in setup.roll_kept})


def _differential_percent(setup: Setup) -> float:
    """How much less the gains move an aileron's output down than up."""
    for part in setup.aircraft.of_kind("aileron"):
        still, *ways = Rig(setup).run(commands(roll=[0, 1, -1])).demand[:, setup.wiring[part.name] - 1]
        up, down = (abs(way - still) for way in (ways if part.side != "left" else ways[::-1]))
        return to_step(100 * (1 - down / up), 1.0) if up else 0.0
    return 0.0
