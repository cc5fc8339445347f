"""Hypothesis strategies that make valid descriptions, and plain ones to start from."""

from hypothesis import strategies as st

from mixlib.describe import (
    Aircraft,
    Control,
    Fin,
    FreeMix,
    Linkage,
    Motor,
    Output,
    Phase,
    Radio,
    ReadyMade,
    Servo,
    Setup,
    Shaping,
    Station,
    Surface,
    Tail,
    Want,
    Wing,
)
from mixlib.units import COMMANDS

NAMES = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=40)
NOTES = st.text(st.characters(exclude_categories=("Cs",)), max_size=80)


def numbers(low, high):
    """Finite numbers of a closed range."""
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


def on_step(low, high, step):
    """Numbers that a radio with a step can be set to."""
    return st.integers(round(low / step), round(high / step)).map(lambda count: count * step)


@st.composite
def linkages(draw, rudder=False):
    """Linkages that close at neutral and move: the rod is the one that fits there."""
    sides = ("left", "right") if rudder else ("above", "below")
    arm, horn = draw(numbers(5, 20)), draw(numbers(6, 25))
    return Linkage(
        arm_mm=arm,
        horn_mm=horn,
        distance_mm=draw(numbers(2 * (arm + horn), 600)),
        arm_side=draw(st.sampled_from(sides)),
        horn_side=draw(st.sampled_from(sides)),
        arm_angle_deg=draw(numbers(65, 115)),
        horn_angle_deg=draw(numbers(65, 115)),
        arm_holes_mm=tuple(draw(st.lists(numbers(3, 80), max_size=3))),
    )


@st.composite
def servos(draw):
    """Servos of any usual range, built in either way round."""
    return Servo(
        arm_deg_per_500us=draw(numbers(20, 60)),
        longer_pulse_moves_arm=draw(st.sampled_from(("forward", "back"))),
        arm_offset_deg=draw(numbers(-8, 8)),
        min_us=draw(numbers(700, 1100)),
        max_us=draw(numbers(1900, 2300)),
    )


@st.composite
def surfaces(draw, name, half_span_mm):
    """Surfaces on the wing, the tail or the fin."""
    part = draw(st.sampled_from(("wing", "tail", "fin")))
    kind = {
        "wing": st.sampled_from(("aileron", "flap", "elevon")),
        "tail": st.sampled_from(("elevator", "v-tail")),
        "fin": st.just("rudder"),
    }[part]
    inner = draw(numbers(0, 0.8 * half_span_mm))
    return Surface(
        name=name,
        kind=(word := draw(kind)),
        part=part,
        side=draw(st.sampled_from(("left", "right") if part == "wing" else ("left", "right", "centre"))),
        y_inner_mm=inner,
        y_outer_mm=draw(numbers(inner + 20, half_span_mm)),
        chord_mm=draw(numbers(10, 50)),
        outer_chord_mm=draw(st.none() | numbers(10, 50)),
        stop_up_deg=draw(numbers(5, 60)),
        stop_down_deg=draw(numbers(5, 60)),
        linkage=draw(linkages(rudder=word == "rudder")),
        servo=draw(servos()),
    )


@st.composite
def aircrafts(draw):
    """Aircraft of one to five surfaces."""
    half = draw(numbers(300, 2000))
    names = draw(st.lists(NAMES, min_size=1, max_size=5, unique=True))
    return Aircraft(
        name=draw(NAMES),
        note=draw(NOTES),
        mass_kg=draw(numbers(0.05, 25)),
        cg_mm=draw(numbers(-200, 800)),
        wing=Wing(
            stations=(
                Station(y_mm=0, chord_mm=draw(numbers(100, 300)), dihedral_deg=draw(numbers(-5, 15))),
                Station(y_mm=half, chord_mm=draw(numbers(90, 300)), twist_deg=draw(numbers(-4, 2))),
            )
        ),
        tail=Tail(span_mm=500, chord_mm=100, arm_mm=650, dihedral_deg=draw(numbers(0, 45))),
        fin=Fin(height_mm=200, chord_mm=120, arm_mm=650),
        motor=draw(st.sampled_from((None, Motor(), Motor(propeller="fixed", off_us=950, full_us=2050)))),
        finish=draw(st.sampled_from(("smooth", "foam"))),
        surfaces=tuple(draw(surfaces(name, half)) for name in names),
    )


@st.composite
def radios(draw):
    """Radios from the barest to the richest; every command can drive every output."""
    outputs = draw(st.integers(1, 10))
    held = draw(st.lists(st.sampled_from(COMMANDS), min_size=1, max_size=6, unique=True))
    return Radio(
        name=draw(NAMES),
        note=draw(NOTES),
        outputs=outputs,
        controls=tuple(
            Control(
                command=command,
                held_by=draw(st.sampled_from(("stick", "dial", "slider", "switch"))),
                drives=tuple(range(1, outputs + 1)),
                at_once=draw(st.booleans()),
                at_low_percent=draw(st.sampled_from((None, -100, 0, 40))),
                at_high_percent=draw(st.sampled_from((100, 100, -60))),
            )
            for command in held
        ),
        free_mixes=draw(st.integers(0, 8)),
        gain_min_percent=-150,
        gain_max_percent=150,
        gain_step_percent=draw(st.sampled_from((1, 0.5))),
        gain_sides_differ=draw(st.booleans()),
        mix_takes=draw(st.sampled_from(("command", "output"))),
        mix_centre=draw(st.booleans()),
        curve_points=draw(st.sampled_from((0, 3, 9))),
        output_gains=draw(st.booleans()),
        shift_max_percent=draw(st.sampled_from((0, 100))),
        end_points=draw(st.sampled_from(("clip", "scale"))),
        travel_max_percent=draw(st.sampled_from((100, 120, 150))),
        sub_trim_max_percent=draw(st.sampled_from((0, 25))),
        us_per_100_percent=draw(st.sampled_from((400, 500, 512))),
        min_us=draw(numbers(700, 1000)),
        max_us=draw(numbers(2000, 2300)),
        rate_and_expo=draw(st.booleans()),
        ready_made=draw(st.sampled_from(((), ("flaperons",), ("V-tail", "elevons")))),
        phases_keep=draw(st.sampled_from(((), ("differential",), ("roll rate", "differential")))),
        mixes_carry_trim=draw(st.booleans()),
        trim_max_percent=draw(st.sampled_from((0, 25))),
    )


@st.composite
def free_mixes(draw, radio, number):
    """Mixes into one output; an output leads only if its number is smaller, so that no loop comes up."""
    leaders = [st.sampled_from(radio.commands)] + ([st.integers(1, number - 1)] if number > 1 else [])
    above = draw(on_step(-100, 100, radio.gain_step_percent))
    points = radio.curve_points and draw(st.sampled_from((0, 3, radio.curve_points)))
    return FreeMix(
        leader=draw(st.one_of(leaders)),
        follower=number,
        gain_above_percent=above,
        gain_below_percent=draw(on_step(-100, 100, radio.gain_step_percent))
        if radio.gain_sides_differ
        else above,
        centre_percent=draw(numbers(-60, 60)) if radio.mix_centre else 0,
        curve_percent=tuple(draw(numbers(-100, 100)) for _ in range(points)),
        on=draw(st.booleans()),
    )


@st.composite
def outputs(draw, radio, number):
    """Settings of one output that the radio accepts."""
    above = draw(on_step(-100, 100, radio.gain_step_percent)) if radio.output_gains else 100
    below = above
    if radio.output_gains and radio.gain_sides_differ:
        below = draw(on_step(-100, 100, radio.gain_step_percent))
    return Output(
        number=number,
        control=draw(st.sampled_from((None, *radio.commands))),
        gain_above_percent=above,
        gain_below_percent=below,
        reversed=draw(st.booleans()),
        shift_percent=draw(on_step(-radio.shift_max_percent, radio.shift_max_percent, 1)),
        sub_trim_percent=draw(on_step(-radio.sub_trim_max_percent, radio.sub_trim_max_percent, 1)),
        end_low_percent=draw(on_step(0, radio.travel_max_percent, 1)),
        end_high_percent=draw(on_step(0, radio.travel_max_percent, 1)),
    )


@st.composite
def setups(draw):
    """Whole set-ups: any aircraft on any radio with any settings that the radio takes."""
    aircraft, radio = draw(aircrafts()), draw(radios())
    if radio.outputs == 1:  # no room beside the motor
        aircraft = aircraft.replace(motor=None)
    sockets = range(1, radio.outputs + 1 - (aircraft.motor is not None))
    motor = {"motor": radio.outputs} if aircraft.motor else {}
    set_outputs = [draw(outputs(radio, number)) for number in sockets if draw(st.booleans())]
    made = ()
    if radio.ready_made and len(sockets) > 1:
        first, second = draw(st.permutations(sockets))[:2]
        kind = draw(st.sampled_from(radio.ready_made))
        made = (
            ReadyMade(
                kind=kind,
                first=first,
                second=second,
                alike_percent=draw(on_step(-100, 100, 1)),
                opposite_percent=60,
            ),
        )
        set_outputs = [part for part in set_outputs if part.number not in (first, second)]
    if motor and "throttle" in radio.commands:
        set_outputs.append(Output(number=radio.outputs, control="throttle"))
    lonely = {c.command for c in radio.controls if not c.at_once}
    for place, part in enumerate(set_outputs):
        if part.control in lonely and part.control in [other.control for other in set_outputs[place + 1 :]]:
            set_outputs[place] = part.replace(control=None)
    mixes = draw(st.lists(st.sampled_from(sockets), max_size=radio.free_mixes))
    named = aircraft.surface_names
    return Setup(
        name=draw(NAMES),
        note=draw(NOTES),
        aircraft=aircraft,
        radio=radio,
        wiring={name: draw(st.sampled_from(sockets)) for name in named} | motor,
        outputs=tuple(set_outputs),
        ready_made=made,
        trims={
            command: draw(numbers(-radio.trim_max_percent, radio.trim_max_percent))
            for command in radio.trimmed_commands
            if draw(st.booleans())
        },
        free_mixes=tuple(draw(free_mixes(radio, number)) for number in mixes),
        shaping={
            command: Shaping(rate_percent=draw(numbers(0, 150)), expo_percent=draw(numbers(-100, 100)))
            for command in radio.shaped_commands
            if draw(st.booleans())
        },
        wanted=tuple(
            Want(
                surface=draw(st.sampled_from(named)),
                command=draw(st.sampled_from(COMMANDS)),
                side=draw(st.sampled_from(("above", "below"))),
                amount=draw(numbers(-30, 30)),
                unit=draw(st.sampled_from(("mm", "deg"))),
                half=draw(st.none() | numbers(-30, 30)),
                quarter=draw(st.none() | numbers(-30, 30)),
            )
            for _ in range(draw(st.integers(0, 2)))
        ),
        phases=(
            Phase(
                name="slow",
                angles_deg={named[0]: draw(numbers(-20, 20))},
                differential_percent=draw(st.none() | numbers(-100, 100)) if radio.phases_keep else None,
            ),
        ),
    )
