"""The cautions that stand before every bench step and first flight, in one place."""

from __future__ import annotations

from collections.abc import Iterable

from mixlib.chain import Rig, commands
from mixlib.describe import MOTOR, Setup

__all__ = [
    "BENCH_CAUTIONS",
    "CAUTIONS",
    "FLIGHT_CAUTIONS",
    "as_text",
    "bench_cautions",
    "cautions",
    "motor_dangers",
]

BENCH_CAUTIONS = (
    "Motor disarmed, or propeller off, before any work on mixes.",
    "Fingers, sleeves and tools clear of every surface that can move.",
    "Check all directions and throws again after every change, not only the one you changed.",
    "Set the fail-safe, switch the transmitter off on the bench, and see that the model does as set.",
)
"""Before and during work at the bench."""

FLIGHT_CAUTIONS = (
    "Range check before the first flight of the day, as the maker of your radio says.",
    "Try a new setting high up, upwind and over a clear field, in small steps, with a switch or dial "
    "back to neutral under your thumb.",
    "Your club's rules and the law where you fly come first; have an experienced club mate beside you.",
    "The numbers are estimates from a model. They are not a flight test.",
)
"""Before and during a flight with a new setting."""

CAUTIONS = BENCH_CAUTIONS + FLIGHT_CAUTIONS
"""All of them, in the order in which they are needed."""

_WITH_MOTOR = (
    "Motor on with droop in (going round): power is not in this workbook's air model. Expect the nose to "
    "rise; try it high up, with little power first."
)


def bench_cautions(setup: Setup) -> tuple[str, ...]:
    """Cautions at the bench; what the motor needs stands first, and before that what makes it dangerous now.

    The motor is looked at before power is connected, and never tried: no test moves the throttle.
    """
    if setup.aircraft.motor is None:
        return BENCH_CAUTIONS
    number = setup.wiring[MOTOR]
    look = (
        f"Before the battery is connected, look: the motor's plug sits in output {number}, no servo's does, "
        f"the direction of output {number} is {_direction(setup, number)}, the throttle is closed. Nobody "
        "stands in front of the propeller or beside it."
    )
    return (*motor_dangers(setup), look, *BENCH_CAUTIONS)


def cautions(setup: Setup) -> tuple[str, ...]:
    """All cautions for a set-up, in the order in which they are needed."""
    return (*bench_cautions(setup), *FLIGHT_CAUTIONS, *([_WITH_MOTOR] if setup.aircraft.motor else []))


def _direction(setup: Setup, number: int) -> str:
    return "reversed" if setup.output(number).reversed else "normal"


def motor_dangers(setup: Setup) -> tuple[str, ...]:
    """What lets the motor run with the throttle closed, and what to set before the battery is connected."""
    closed = Rig(setup).run(commands())
    if setup.aircraft.motor is None or not closed.power[0]:
        return ()
    number = setup.wiring[MOTOR]
    power, pulse = float(closed.power[0]), float(closed.pulse[number - 1])
    turned = setup.with_output(number, reversed=not setup.output(number).reversed)
    if setup.output(number).control is None:
        cure = f"assign the throttle to output {number}"
    elif not Rig(turned).run(commands()).power[0]:
        cure = f"set the direction of output {number} to {_direction(turned, number)}"
    else:
        cure = f"let output {number} send {setup.aircraft.motor.off_us:g} us or less then"
    return (
        f"Danger: with the throttle closed output {number} sends {pulse:.0f} us, {power:.0f} % of full "
        f"power. Connect no battery; {cure} first.",
    )


def as_text(lines: Iterable[str] = CAUTIONS) -> str:
    """Cautions or checks as text ready to show: one a line, with a dot before it."""
    return "\n".join(f"• {line}" for line in lines)
