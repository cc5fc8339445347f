"""A panel's readout: what the pilot asks for, where each surface went, and what ran out on the way."""

from __future__ import annotations

import numpy as np

from mixlib.chain import Stages
from mixlib.chain.outputs import demand_for_travel_percent
from mixlib.describe import MOTOR, Setup
from mixlib.describe.words import COMMAND_ENDS, listed, movement_sentence, sentence_start
from mixlib.units import COMMANDS

__all__ = ["command_words", "limit_notes", "limit_sentences", "motor_sentence", "readout"]


def command_words(command: np.ndarray, named: tuple[str, ...]) -> str:
    """Say which of some commands the pilot asks for, such as ``"roll 100 % (stick right)"``; shape (6,)."""
    parts = []
    for name in named:
        value = float(command[COMMANDS.index(name)])
        if abs(value) >= 0.005:
            parts.append(f"{name} {abs(value) * 100:.0f} % ({COMMAND_ENDS[name][value > 0]})")
    return listed(parts) or "everything at neutral"


def limit_sentences(setup: Setup, stages: Stages) -> tuple[str, ...]:
    """Say what ran out of travel, for one set of commands: a sentence for each limit that was met."""
    found = []
    for number in setup.servo_outputs:
        names = listed(surface.name for surface in setup.surfaces_on(number))
        if stages.demand_clipped[number - 1]:
            asked = abs(stages.demand[number - 1])
            output, travel = setup.output(number), stages.travel[number - 1]
            given = abs(demand_for_travel_percent(travel, output, setup.radio))
            found.append(
                f"Output {number} ({names}) is asked for {asked:.0f} % and gives {given:.0f} %: "
                "the rest is lost."
            )
        if stages.pulse_clipped[number - 1]:
            found.append(f"Output {number} ({names}) is at the end of the radio's pulse range.")
    for place, surface in enumerate(setup.aircraft.surfaces):
        if stages.binds[place]:
            found.append(f"The linkage of the {surface.name} is at its dead point: it binds.")
        if stages.at_stop[place]:
            found.append(f"The {surface.name} is against its stop: its servo strains.")
    return tuple(found)


def limit_notes(setup: Setup, stages: Stages) -> tuple[str, ...]:
    """Say in two or three words, for each surface, what ran out; nothing where nothing did."""
    notes = []
    for place, surface in enumerate(setup.aircraft.surfaces):
        output = setup.wiring[surface.name] - 1
        if stages.at_stop[place]:
            notes.append("at its stop")
        elif stages.binds[place]:
            notes.append("linkage binds")
        elif stages.demand_clipped[output] or stages.pulse_clipped[output]:
            notes.append("travel cut off")
        else:
            notes.append("")
    return tuple(notes)


def motor_sentence(setup: Setup, stages: Stages) -> str:
    """Say what the motor's output sends and what the motor does, for one set of commands."""
    number, power = setup.wiring[MOTOR], round(float(stages.power[0]))
    does = {0: "motor off", 50: "half power, 50 %", 100: "full power"}.get(power, f"{power} % of full power")
    return f"Output {number} sends {stages.pulse[number - 1]:.0f} us: {does}."


def readout(setup: Setup, stages: Stages, throttle: bool = False) -> str:
    """Say all that a picture of the surfaces shows, for those who do not see it, for one set of commands.

    Parameters
    ----------
    throttle : bool
        Whether the throttle is among what is moved, so that the motor is told when it is off too.
    """
    asked = sentence_start(command_words(stages.command, setup.radio.commands))
    moved = movement_sentence(setup.aircraft.surfaces, stages.surface, stages.throw)
    motor = [motor_sentence(setup, stages)] if stages.power.size and (throttle or stages.power.any()) else []
    return " ".join([f"{asked}. {moved}", *motor, *limit_sentences(setup, stages)])
