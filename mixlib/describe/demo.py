"""Set-ups of the invented aircraft on the invented radios: the demos of the lessons and of the tests."""

from __future__ import annotations

from mixlib.describe.files import shipped
from mixlib.describe.radio import Command
from mixlib.describe.settings import FreeMix, Mark, Output, Shaping
from mixlib.describe.setup import Setup

__all__ = [
    "elevon_setup",
    "flaperon_setup",
    "four_surface_setup",
    "hopper_as_bought",
    "hopper_flaperons",
    "hopper_ready",
    "v_tail_setup",
]


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
    slider with elevator compensation.
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
            Output(number=3, control="camber", gain_above_percent=12, gain_below_percent=6),
            Output(number=4, control="camber", gain_above_percent=-12, gain_below_percent=-6),
            Output(number=5, control="pitch", gain_above_percent=70, gain_below_percent=70),
            Output(number=6, control="yaw"),
        ),
        free_mixes=(
            _mix("camber", 1, 15, 8),
            _mix("camber", 2, -15, -8),
            FreeMix.straight("roll", 3, 10),
            FreeMix.straight("roll", 4, 10),
            _mix("brake", 1, -58, 0),
            _mix("brake", 2, 58, 0),
            _mix("brake", 3, 94, 0),
            _mix("brake", 4, -94, 0),
            _mix("brake", 5, -12, 0),
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
