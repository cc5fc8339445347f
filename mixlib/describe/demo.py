"""Set-ups to start from: the plainest wiring of any aircraft, and the demos of lessons and tests."""

from __future__ import annotations

from collections.abc import Mapping

from mixlib.describe.aircraft import MOTOR, Aircraft
from mixlib.describe.base import Count
from mixlib.describe.files import build, shipped
from mixlib.describe.radio import Command, Radio
from mixlib.describe.settings import FreeMix, Mark, Output, Shaping
from mixlib.describe.setup import Setup

__all__ = [
    "DEMOS",
    "elevon_setup",
    "flaperon_setup",
    "four_surface_setup",
    "hopper_as_bought",
    "hopper_flaperons",
    "hopper_ready",
    "motor_output",
    "plain_setup",
    "v_tail_setup",
]


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


def hopper_as_bought() -> Setup:
    """The foam motor glider as it comes: both aileron servos on a Y-lead, Orchard Hopper on Simple six."""
    return Setup(
        name="Hopper as bought",
        note="Invented for this workbook.",
        aircraft=shipped("aircraft", "orchard_hopper"),
        radio=shipped("radio", "simple_six"),
        wiring={"left aileron": 1, "right aileron": 1, "elevator": 2, "motor": 3, "rudder": 4},
        outputs=(
            Output(number=1, control="roll"),
            Output(number=2, control="pitch"),
            Output(number=3, control="throttle"),
            Output(number=4, control="yaw"),
        ),
    )


def hopper_flaperons() -> Setup:
    """The same with the Y-lead out: the left aileron on output 6 with the dial, and two free mixes."""
    bought = hopper_as_bought()
    return bought.replace(
        name="Hopper flaperons",
        wiring={**bought.wiring, "left aileron": 6},
        outputs=(*bought.outputs, Output(number=6, control="camber")),
        free_mixes=(FreeMix.straight("roll", 6, 100), FreeMix.straight("camber", 1, -100)),
    )


def hopper_ready() -> Setup:
    """The same with room for both on each output: a rate of 60 % for roll, marks at 40 % for the dial."""
    return hopper_flaperons().replace(
        name="Hopper ready",
        note="Invented for this workbook. Rate and marks are those of lesson 03: 60 + 40 = 100 %, alike to "
        "both sides, with the end points as they were. Lesson 08 looks for wished throws and finds others.",
        shaping={"roll": Shaping(rate_percent=60)},
        marks=(Mark(command="camber", percent=40), Mark(command="camber", side="below", percent=40)),
    )


def flaperon_setup() -> Setup:
    """Two ailerons as flaperons by two free mixes: Orchard Two on Simple six.

    Right aileron on output 1 with the roll stick, left aileron on output 6 with the dial.
    """
    return Setup(
        name="Flaperons",
        note="Invented for this workbook.",
        aircraft=shipped("aircraft", "orchard_two"),
        radio=shipped("radio", "simple_six"),
        wiring={"left aileron": 6, "right aileron": 1, "elevator": 2, "rudder": 4},
        outputs=(
            Output(number=1, control="roll"),
            Output(number=2, control="pitch"),
            Output(number=4, control="yaw"),
            Output(number=6, control="camber"),
        ),
        free_mixes=(
            FreeMix.straight("roll", 6, 100),
            FreeMix.straight("camber", 1, -100),
        ),
    )


def four_surface_setup() -> Setup:
    """Ailerons and flaps with camber and crow: Orchard Three on Rich ten.

    Roll with differential on the ailerons and a little on the flaps, camber on all four, crow on the brake
    slider.  The amounts are the usual wishes, the elevator with the brake that of the air model.
    """
    return Setup(
        name="Four surfaces with crow",
        note="Invented for this workbook.",
        aircraft=shipped("aircraft", "orchard_three"),
        radio=shipped("radio", "rich_ten"),
        wiring={
            "left aileron": 1,
            "right aileron": 2,
            "left flap": 3,
            "right flap": 4,
            "elevator": 5,
            "rudder": 6,
        },
        outputs=(
            Output(number=1, control="roll", gain_above_percent=45, gain_below_percent=70),
            Output(number=2, control="roll", gain_above_percent=70, gain_below_percent=45),
            Output(number=3, control="camber", gain_above_percent=5, gain_below_percent=3),
            Output(number=4, control="camber", gain_above_percent=-5, gain_below_percent=-3),
            Output(number=5, control="pitch", gain_above_percent=70, gain_below_percent=70),
            Output(number=6, control="yaw"),
        ),
        free_mixes=(
            _mix("camber", 1, 8, 6),
            _mix("camber", 2, -8, -6),
            FreeMix.straight("roll", 3, 10),
            FreeMix.straight("roll", 4, 10),
            _mix("brake", 1, -58, 0),
            _mix("brake", 2, 58, 0),
            _mix("brake", 3, 94, 0),
            _mix("brake", 4, -94, 0),
            FreeMix(leader="brake", follower=5, curve_percent=(0, 0, 0, 0, 0, -9, -15, -20, -20)),
        ),
    )


def v_tail_setup() -> Setup:
    """Flaperons and a V-tail, whose halves pitch together and yaw apart: Orchard Vee on Rich ten."""
    return Setup(
        name="V-tail",
        note="Invented for this workbook.",
        aircraft=shipped("aircraft", "orchard_vee"),
        radio=shipped("radio", "rich_ten"),
        wiring={"left aileron": 1, "right aileron": 2, "left V-tail": 3, "right V-tail": 4},
        outputs=(
            Output(number=1, control="roll", gain_above_percent=60, gain_below_percent=60),
            Output(number=2, control="roll", gain_above_percent=60, gain_below_percent=60),
            Output(number=3, control="pitch", gain_above_percent=-60, gain_below_percent=-60),
            Output(number=4, control="pitch", gain_above_percent=-60, gain_below_percent=-60),
        ),
        free_mixes=(
            _mix("camber", 1, 25, 12),
            _mix("camber", 2, -25, -12),
            FreeMix.straight("yaw", 3, -40),
            FreeMix.straight("yaw", 4, 40),
        ),
    )


def elevon_setup() -> Setup:
    """Elevons: Orchard Wing on Simple six."""
    return Setup(
        name="Elevons",
        note="Invented for this workbook.",
        aircraft=shipped("aircraft", "orchard_wing"),
        radio=shipped("radio", "simple_six"),
        wiring={"left elevon": 1, "right elevon": 2},
        outputs=(Output(number=1, control="roll"), Output(number=2, control="pitch")),
        free_mixes=(FreeMix.straight("pitch", 1, -100), FreeMix.straight("roll", 2, 100)),
    )


def _mix(leader: Command, follower: int, above: float, below: float) -> FreeMix:
    return FreeMix(leader=leader, follower=follower, gain_above_percent=above, gain_below_percent=below)


DEMOS = (
    hopper_as_bought,
    hopper_flaperons,
    hopper_ready,
    flaperon_setup,
    four_surface_setup,
    v_tail_setup,
    elevon_setup,
)
"""What makes each demo set-up."""
