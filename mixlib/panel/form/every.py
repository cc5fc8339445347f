"""Every field of a set-up as values to be typed into, and back; each surface carries its own output."""

from __future__ import annotations

from typing import Any

from mixlib.chain import LinkageError, MixLoopError, Rig
from mixlib.describe import MOTOR, Setup
from mixlib.describe.errors import Problem
from mixlib.panel.form.drafts import Draft

__all__ = ["OWN_OUTPUT", "STICKS", "every_field_made", "every_field_of"]

OWN_OUTPUT = "own output"
"""Key under which a surface carries the output of its plug."""

STICKS = ("roll", "pitch", "yaw")
"""Commands that always have a rate and an expo to type."""


def every_field_of(setup: Setup) -> dict[str, Any]:
    """Values of a set-up as the long form fills itself with them."""
    values = setup.model_dump(mode="json")
    for surface in values["aircraft"]["surfaces"]:
        surface[OWN_OUTPUT] = setup.wiring[surface["name"]]
    for stick in STICKS:
        values["shaping"].setdefault(stick, {"rate_percent": 100.0, "expo_percent": 0.0})
    return values


def every_field_made(values: dict[str, Any]) -> tuple[Setup | None, tuple[Problem, ...]]:
    """Make the set-up of typed values, or say why it cannot be made; the chain is tried too."""
    setup, problems = Draft.checked(Setup, _with_wiring(values), "your set-up")
    if setup is None:
        return None, problems
    try:
        Rig(setup)
    except (LinkageError, MixLoopError) as error:
        return None, (Problem("", None, "", f"With these values it cannot move: {str(error).rstrip('.')}."),)
    return setup, ()


def _with_wiring(typed: dict[str, Any]) -> dict[str, Any]:
    values = {**typed, "aircraft": {**typed["aircraft"]}}
    surfaces = values["aircraft"]["surfaces"]
    plugs = {surface["name"]: surface.get(OWN_OUTPUT) for surface in surfaces}
    moved = {surface["name"]: plugs.get(surface["servo_of"]) for surface in surfaces if surface["servo_of"]}
    motor = {MOTOR: values["wiring"].get(MOTOR)} if values["aircraft"]["motor"] is not None else {}
    values["wiring"] = plugs | moved | motor
    values["aircraft"]["surfaces"] = [
        {key: value for key, value in surface.items() if key != OWN_OUTPUT} for surface in surfaces
    ]
    return values
