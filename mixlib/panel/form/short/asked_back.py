"""What a flyer's eye would stumble over: it is asked back, and taken when the reader says that it is so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from mixlib.bench.cautions import motor_dangers
from mixlib.chain import Rig, commands
from mixlib.describe import MOTOR, Setup
from mixlib.describe.words import listed, number

__all__ = ["Doubt", "doubts"]

_LOADING_G_DM2 = (
    15.0,
    150.0,
)  # 1.5 to 15 kg/m2: from a slow indoor glider to a fast jet; common practice, no source
_DEAD_MM = 0.5


@dataclass(frozen=True)
class Doubt:
    """A question, with a key that changes when what is asked about changes."""

    key: str
    words: str


def doubts(setup: Setup, one_lead: tuple[str, ...] = ()) -> tuple[Doubt, ...]:
    """What to ask back about a set-up that is accepted.

    Parameters
    ----------
    one_lead : tuple of str
        Surfaces that the reader has said to be on one Y-lead.
    """
    return tuple(Doubt(words, words) for words in _asked(setup, one_lead))


def _asked(setup: Setup, one_lead: tuple[str, ...]) -> Iterator[str]:
    aircraft = setup.aircraft
    root = aircraft.wing.stations[0].chord_mm
    rear = max(s.leading_edge_mm + s.chord_mm for s in aircraft.wing.stations)
    if not 0 <= aircraft.cg_mm <= max(rear if not aircraft.tail else root, root):
        yield (
            f"The balance point lies {number(aircraft.cg_mm)} mm behind the root's nose: that is off the "
            f"wing, whose root is {number(root)} mm deep."
        )
    loading = 1000 * aircraft.mass_kg / aircraft.wing.area_dm2
    low, high = _LOADING_G_DM2
    if not low <= loading <= high:
        yield (
            f"{number(aircraft.mass_kg, 2)} kg on {number(aircraft.wing.area_dm2, 1)} dm² of wing is "
            f"{number(loading, 0)} g/dm². Models of this kind have {number(low)} to {number(high)}."
        )
    for number_ in setup.servo_outputs:
        names = [surface.name for surface in setup.surfaces_on(number_) if surface.servo_of is None]
        if len(names) > 1 and not set(names) <= set(one_lead):
            yield f"{listed(names).capitalize()} are both on output {number_}: they always move together."
    yield from _unmoved(setup)
    for surfaces in zip(aircraft.of_kind("flap"), aircraft.of_kind("aileron"), strict=False):
        if surfaces[0].y_outer_mm > surfaces[1].y_inner_mm:
            yield f"The {surfaces[0].name} ends further out than the {surfaces[1].name} begins: they overlap."
    yield from motor_dangers(setup)


def _unmoved(setup: Setup) -> Iterator[str]:
    """Outputs and surfaces that no command of this radio moves."""
    asked = np.array([commands()] + [commands(**{name: value}) for name, value in setup.ends])
    throws = Rig(setup).run(asked).throw
    still = np.max(np.abs(throws - throws[0]), axis=0) < _DEAD_MM
    dead = [name for name, rests in zip(setup.aircraft.surface_names, still, strict=True) if rests]
    if dead:
        numbers = sorted({setup.wiring[name] for name in dead})
        outputs = f"output{'s' if len(numbers) > 1 else ''} {listed(map(str, numbers))}"
        yield f"Nothing moves {listed(dead)} yet: no stick, dial or mix reaches {outputs}."
    if MOTOR in setup.wiring and setup.output(setup.wiring[MOTOR]).control is None:
        yield f"The throttle does not reach the motor on output {setup.wiring[MOTOR]}."
