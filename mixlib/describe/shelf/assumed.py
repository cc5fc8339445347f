"""Which numbers of a kept model are assumed and not measured: noted in the reader's place, with their values.

A number that is no longer the one noted has been measured since, or comes from somewhere else.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from mixlib.describe.aircraft import Aircraft
from mixlib.describe.setup import Setup
from mixlib.describe.shelf import place

__all__ = ["assumed_in", "note_assumed"]


def note_assumed(setup: Setup, fields: Iterable[str]) -> None:
    """Note which numbers of a set-up's aircraft are assumed.

    Parameters
    ----------
    fields : iterable of str
        Paths inside the aircraft, a surface by its name and a rib by its place:
        ``"surfaces.rudder.linkage.arm_mm"``, ``"wing.stations.-1.twist_deg"``.
    """
    place.remember("assumed", setup.name, {field: _value(setup.aircraft, field) for field in fields} or None)


def assumed_in(setup: Setup) -> frozenset[str]:
    """Paths of the numbers that were noted for a set-up of this name and are still what they were."""
    noted = place.recall("assumed", setup.name) or {}
    return frozenset(field for field, value in noted.items() if _value(setup.aircraft, field) == value)


def _value(aircraft: Aircraft, field: str) -> Any:
    found: Any = aircraft
    for step in field.split("."):
        if isinstance(found, tuple):
            by_name = (part for part in found if getattr(part, "name", None) == step)
            found = found[int(step)] if step.lstrip("-").isdigit() else next(by_name, None)
        else:
            found = getattr(found, step, None)
    return found
