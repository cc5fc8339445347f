"""The plainest way to wire an aircraft to a radio, to start from."""

from __future__ import annotations

from collections.abc import Mapping

from mixlib.describe.aircraft import MOTOR, Aircraft
from mixlib.describe.base import Count
from mixlib.describe.files import build
from mixlib.describe.radio import Radio
from mixlib.describe.settings import Output
from mixlib.describe.setup import Setup

__all__ = ["motor_output", "plain_setup"]

MAIN_COMMAND = {  # what a flyer expects each kind of surface to answer first
    "aileron": "roll",
    "flap": "camber",
    "elevator": "pitch",
    "rudder": "yaw",
    "elevon": "roll",
    "v-tail": "pitch",
}


def motor_output(aircraft: Aircraft, radio: Radio) -> Output | None:
    """Output that is kept for the motor, with the throttle: one that nothing else drives, where there is one.

    Of equal ones it is the last, out of the way of the servos; None without a motor.
    """
    if aircraft.motor is None:
        return None
    numbers = range(1, radio.outputs + 1)
    driven = [number_ for number_ in numbers if "throttle" in radio.can_drive(number_)]
    chosen = min(driven or numbers, key=lambda number_: (len(radio.can_drive(number_)), -number_))
    return Output(number=chosen, control="throttle" if driven else None)


def plain_setup(
    aircraft: Aircraft, radio: Radio, name: str = "plain", plugged: Mapping[str, int] | None = None
) -> Setup:
    """Wire an aircraft to a radio in the plainest way, with no mix set.

    Each surface goes to a free output that its main command can drive; where none is left, to a free
    output that no stick owns; where there is none of those, it shares an output with a surface of its
    kind (a Y-lead).  The motor has an output to itself, with the throttle.

    Parameters
    ----------
    plugged : mapping of str to int, optional
        Plugs, by surface name or `MOTOR`, whose outputs are known; the others are put beside them.

    Raises
    ------
    DescriptionError
        If there is no output left beside the motor's.
    """
    wiring: dict[str, Count] = {}
    outputs: dict[int, Output] = {}
    used_up: set[str] = set()  # commands whose control moves one output only, and has it
    plugged = plugged or {}
    motor = motor_output(aircraft, radio)
    numbers = [number_ for number_ in range(1, radio.outputs + 1) if number_ not in plugged.values()]
    if motor is not None:
        if MOTOR in plugged:
            driven = "throttle" in radio.can_drive(plugged[MOTOR])
            motor = Output(number=plugged[MOTOR], control="throttle" if driven else None)
        wiring[MOTOR], outputs[motor.number] = motor.number, motor
        numbers = [number_ for number_ in numbers if number_ != motor.number]
    for surface in sorted(aircraft.surfaces, key=lambda surface: surface.servo_of is not None):
        if surface.servo_of is not None:
            wiring[surface.name] = wiring[surface.servo_of]
            continue
        main = MAIN_COMMAND[surface.kind]
        taken = set(wiring.values())
        direct = [n for n in numbers if n not in taken and main in radio.can_drive(n)]
        kin = [wiring[s.name] for s in aircraft.of_kind(surface.kind) if s.name in wiring]
        spare = [n for n in reversed(numbers) if n not in taken and not radio.stick_owns(n)]
        free = direct + spare + kin + numbers + [1]  # with no output left, the set-up tells
        chosen = plugged.get(surface.name, free[0])
        wiring[surface.name] = chosen
        if chosen not in outputs or outputs[chosen].control is None:
            control = main if main in radio.can_drive(chosen) and main not in used_up else None
            outputs[chosen] = Output(number=chosen, control=control)
            used_up |= {c.command for c in radio.controls if c.command == control and not c.at_once}
    settings = tuple(outputs[n] for n in sorted(outputs))
    values = {"name": name, "aircraft": aircraft, "radio": radio, "wiring": wiring, "outputs": settings}
    return build(Setup, values, "the plain set-up")
