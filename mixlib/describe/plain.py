"""The plainest way to wire an aircraft to a radio, to start from."""

from __future__ import annotations

from mixlib.describe.aircraft import Aircraft
from mixlib.describe.base import Count
from mixlib.describe.radio import Radio
from mixlib.describe.setup import Output, Setup

__all__ = ["plain_setup"]

MAIN_COMMAND = {  # what a flyer expects each kind of surface to answer first
    "aileron": "roll",
    "flap": "camber",
    "elevator": "pitch",
    "rudder": "yaw",
    "elevon": "roll",
    "v-tail": "pitch",
}


def plain_setup(aircraft: Aircraft, radio: Radio, name: str = "plain") -> Setup:
    """Wire an aircraft to a radio in the plainest way, with no mix set.

    Each surface goes to a free output that its main command can drive; where none is left, to a free
    output that no stick owns; where there is none of those, it shares an output with a surface of its
    kind (a Y-lead).

    Parameters
    ----------
    aircraft : Aircraft
        Whose surfaces are wired in their order.
    """
    wiring: dict[str, Count] = {}
    outputs: dict[int, Output] = {}
    numbers = range(1, radio.outputs + 1)
    for surface in aircraft.surfaces:
        main = MAIN_COMMAND[surface.kind]
        taken = set(wiring.values())
        direct = [n for n in numbers if n not in taken and main in radio.can_drive(n)]
        kin = [wiring[s.name] for s in aircraft.of_kind(surface.kind) if s.name in wiring]
        spare = [n for n in reversed(numbers) if n not in taken and not radio.stick_owns(n)]
        chosen = (direct + spare + kin + list(numbers))[0]
        wiring[surface.name] = chosen
        if chosen not in outputs or outputs[chosen].control is None:
            outputs[chosen] = Output(number=chosen, control=main if main in radio.can_drive(chosen) else None)
    settings = tuple(outputs[n] for n in sorted(outputs))
    return Setup(name=name, aircraft=aircraft, radio=radio, wiring=wiring, outputs=settings)
