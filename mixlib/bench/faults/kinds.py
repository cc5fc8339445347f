"""What can be wrong on the bench: every kind of fault of a set-up, with the words for it.

Only faults are made whose result is a set-up that the radio and the linkages allow.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations
from typing import Literal

import numpy as np

from mixlib.bench.faults.edits import Edit, Fault, apply_faults
from mixlib.bench.faults.observe import bench_tests, starts_and_ends
from mixlib.chain import Rig
from mixlib.chain.mixing import leading_command
from mixlib.describe import MOTOR, FreeMix, Output, Setup
from mixlib.describe.words import listed

__all__ = ["BOUND_SHARE", "END_POINT_PERCENT", "KINDS", "faults_of", "motor_faults"]

END_POINT_PERCENT = 30.0
"""End point that counts as much too small.  common practice, no source."""

BOUND_SHARE = 0.3
"""Share of its intended angle at which a binding surface stops.  common practice, no source."""

Found = tuple[str, str, tuple[Edit, ...]]
"""What is wrong, what to change, and the values that are there by mistake."""


def faults_of(setup: Setup) -> tuple[Fault, ...]:
    """Every single fault that is possible in a set-up, in the order of `KINDS`."""
    faults = (Fault(kind, w, c, cost, e) for kind, (cost, make) in KINDS.items() for w, c, e in make(setup))
    return tuple(fault for fault in faults if _possible(setup, fault))


def _possible(setup: Setup, fault: Fault) -> bool:
    try:
        Rig(Setup.model_validate(apply_faults(setup, [fault]).model_dump()))
    except ValueError:  # a value that the radio or a part does not allow, or a linkage that cannot close
        return False
    return True


def motor_faults(setup: Setup) -> tuple[Fault, ...]:
    """What can be wrong with the motor's output: looked for before power is connected, never tried.

    They have no edits, so that no test can be made of them.
    """
    number = setup.wiring.get(MOTOR)
    if number is None:
        return ()
    way, first = "reversed" if setup.output(number).reversed else "normal", "before the battery is connected"
    swapped = (
        Fault(
            "motor plug swapped with a servo",
            f"the plugs of the motor and {name} are swapped: the motor runs with that servo's control",
            f"plug the motor into output {number} and {name} into output {setup.wiring[name]} {first}",
            2,
            (),
        )
        for name in setup.aircraft.surface_names
    )
    turned = Fault(
        "motor's output reversed",
        f"output {number} (motor) runs the wrong way round: full power with the throttle closed",
        f"set the direction of output {number} to {way} {first}",
        1,
        (),
    )
    return (turned, *swapped)


def _used_outputs(setup: Setup) -> list[Output]:
    return [setup.output(number) for number in setup.servo_outputs]


def _tried_mixes(setup: Setup) -> list[tuple[int, FreeMix]]:
    """Mixes that are on, with their places; those of the throttle are left out, since no test moves it."""
    mixes = enumerate(setup.free_mixes)
    return [(place, mix) for place, mix in mixes if mix.on and leading_command(setup, mix) != "throttle"]


def _on(setup: Setup, output: Output) -> str:
    return f"output {output.number} ({listed(surface.name for surface in setup.surfaces_on(output.number))})"


def _reversed(setup: Setup) -> Iterator[Found]:
    for output in _used_outputs(setup):
        yield (
            f"{_on(setup, output)} runs the wrong way round",
            f"set the direction of output {output.number} to {'reversed' if output.reversed else 'normal'}",
            (Edit("output", output.number, "reversed", not output.reversed),),
        )


def _not_assigned(setup: Setup) -> Iterator[Found]:
    for output in _used_outputs(setup):
        if output.control is not None:
            yield (
                f"nothing is assigned to {_on(setup, output)}, which the {output.control} control should "
                "move",
                f"assign the {output.control} control to output {output.number}",
                (Edit("output", output.number, "control", None),),
            )


def _wrong_control(setup: Setup) -> Iterator[Found]:
    for output in _used_outputs(setup):
        for other in setup.radio.can_drive(output.number):
            if output.control is not None and other not in (output.control, "throttle"):
                yield (
                    f"{_on(setup, output)} has the {other} control instead of {output.control}",
                    f"assign the {output.control} control to output {output.number} instead of {other}",
                    (Edit("output", output.number, "control", other),),
                )


def _gains(setup: Setup) -> Iterator[tuple[str, FreeMix | Output, Literal["mix", "output"], int]]:
    """Everything with gains above and below: its name, its settings, and what an edit of it is of."""
    for place, mix in _tried_mixes(setup):
        if not mix.curve_percent:
            yield f"the mix {mix.label}", mix, "mix", place
    for output in _used_outputs(setup) if setup.radio.output_gains else ():
        if output.control is not None:
            yield f"the {output.control} control of {_on(setup, output)}", output, "output", output.number


def _wrong_gains(
    wrong: Callable[[float, float], dict[str, tuple[float, float]]],
) -> Callable[[Setup], Iterator[Found]]:
    """Faults whose gains are what is made of the right ones, by what is then wrong."""

    def make(setup: Setup) -> Iterator[Found]:
        for name, item, part, which in _gains(setup):
            right = item.gain_above_percent, item.gain_below_percent
            for words, gains in wrong(*right).items():
                if gains != right:
                    fields = zip(("gain_above_percent", "gain_below_percent"), gains, strict=True)
                    yield (
                        f"{name} has {words}",
                        f"set {name} to {right[0]:g} % above and {right[1]:g} % below",
                        tuple(Edit(part, which, field, gain) for field, gain in fields),
                    )

    return make


def _mix_off(setup: Setup) -> Iterator[Found]:
    for place, mix in _tried_mixes(setup):
        edit = Edit("mix", place, "on", False)
        yield f"the mix {mix.label} is off", f"switch the mix {mix.label} on", (edit,)


def _swapped_mix(setup: Setup) -> Iterator[Found]:
    for place, mix in _tried_mixes(setup):
        for leader, follower in _turned_round(setup, mix):
            wrong = mix.model_copy(update={"leader": leader, "follower": follower})
            yield (
                f"the mix {mix.label} has its leader and follower swapped: it is {wrong.label}",
                f"set the mix to {mix.label}",
                (Edit("mix", place, "leader", leader), Edit("mix", place, "follower", follower)),
            )


def _turned_round(setup: Setup, mix: FreeMix) -> list[tuple[str | int, int]]:
    """Leader and follower of a mix set the other way round; none where a command owns no output."""
    if isinstance(mix.leader, int):
        return [(mix.follower, mix.leader)]
    control = setup.output(mix.follower).control
    if control is None or control == mix.leader:
        return []
    return [(control, output.number) for output in setup.outputs if output.control == mix.leader]


def _end_points(setup: Setup) -> Iterator[Found]:
    for output in _used_outputs(setup):
        ends = {"end_low_percent": output.end_low_percent, "end_high_percent": output.end_high_percent}
        for where, fields in (
            ("towards the shorter pulse", ["end_low_percent"]),
            ("towards the longer pulse", ["end_high_percent"]),
            ("on both sides", list(ends)),
        ):
            if all(ends[field] > END_POINT_PERCENT for field in fields):
                right = listed(f"{ends[field]:g} %" for field in fields)
                yield (
                    f"the end point of {_on(setup, output)} is much too small {where}",
                    f"set the end point of output {output.number} {where} to {right}",
                    tuple(Edit("output", output.number, field, END_POINT_PERCENT) for field in fields),
                )


def _swapped_plugs(setup: Setup) -> Iterator[Found]:
    for one, other in combinations(setup.aircraft.surface_names, 2):
        first, second = setup.wiring[one], setup.wiring[other]
        if first != second:
            yield (
                f"the plugs of {one} and {other} are swapped",
                f"plug {one} into output {first} and {other} into output {second}",
                (Edit("wiring", one, "plug", second), Edit("wiring", other, "plug", first)),
            )


def _y_lead(setup: Setup) -> Iterator[Found]:
    for surface in setup.aircraft.surfaces:
        name, own = surface.name, setup.wiring[surface.name]
        for partner in setup.aircraft.of_kind(surface.kind):
            number = setup.wiring[partner.name]
            if number != own:
                yield (
                    f"a Y-lead is still in: {name} is on output {number} together with {partner.name}",
                    f"take the Y-lead out and plug {name} into output {own}",
                    (Edit("wiring", name, "plug", number),),
                )


def _unplugged(setup: Setup) -> Iterator[Found]:
    # A socket that nothing moves stands for "no signal": one more on the receiver than it has.
    number, motor = setup.radio.outputs + 1, setup.wiring.get(MOTOR)
    look = f"see, with the battery off, that it is not in the motor's output {motor}; " if motor else ""
    for name in setup.aircraft.surface_names:
        yield (
            f"the servo of {name} gets no signal or is dead",
            f"{look}plug {name} firmly into output {setup.wiring[name]}; if it stays still, change the servo",
            (Edit("radio", "", "outputs", number), Edit("wiring", name, "plug", number)),
        )


def _other_way(setup: Setup) -> Iterator[Found]:
    for surface in setup.aircraft.surfaces:
        name, way = surface.name, surface.servo.longer_pulse_moves_arm
        yield (
            f"the servo of {name} is built in the other way round (same way taken as mirrored)",
            f"turn the servo of {name} round, or, if no other servo hangs on it, turn the direction "
            f"of output {setup.wiring[name]} round",
            (Edit("servo", name, "longer_pulse_moves_arm", "back" if way == "forward" else "forward"),),
        )


def _horn(setup: Setup) -> Iterator[Found]:
    opposite = {"above": "below", "below": "above", "left": "right", "right": "left"}
    for surface in setup.aircraft.surfaces:
        name, side = surface.name, surface.linkage.horn_side
        yield (
            f"the horn of {name} stands on the wrong side ({opposite[side]})",
            f"put the horn of {name} on the side {side}",
            (Edit("linkage", name, "horn_side", opposite[side]),),
        )


def _binding(setup: Setup) -> Iterator[Found]:
    rows = starts_and_ends(bench_tests(setup)).reshape(-1, 6)
    angles = Rig(setup).run(np.vstack([rows, np.zeros(6)])).surface
    for surface, up, down in zip(setup.aircraft.surfaces, -angles.min(0), angles.max(0), strict=True):
        ways = ("right", "left") if surface.kind == "rudder" else ("up", "down")
        for way, field, most in zip(ways, ("stop_up_deg", "stop_down_deg"), (up, down), strict=True):
            stop = max(1.0, round(BOUND_SHARE * float(most), 1))
            if stop < most:
                yield (
                    f"the linkage of {surface.name} binds early going {way}",
                    f"free the linkage of {surface.name} so that it goes {most:.0f} deg {way}",
                    (Edit("surface", surface.name, field, stop),),
                )


KINDS: dict[str, tuple[int, Callable[[Setup], Iterator[Found]]]] = {
    "output reversed": (1, _reversed),
    "control not assigned": (1, _not_assigned),
    "wrong control assigned": (1, _wrong_control),
    "gain sign": (1, _wrong_gains(lambda a, b: {"its gain with the wrong sign": (-a, -b)})),
    "gain sides exchanged": (1, _wrong_gains(lambda a, b: {"its gains above and below exchanged": (b, a)})),
    "gain side missing": (1, _wrong_gains(lambda a, b: {"no gain above": (0, b), "no gain below": (a, 0)})),
    "mix off": (1, _mix_off),
    "leader and follower swapped": (1, _swapped_mix),
    "end point too small": (1, _end_points),
    "plugs swapped": (2, _swapped_plugs),
    "Y-lead still in": (2, _y_lead),
    "servo dead or unplugged": (2, _unplugged),
    "servo the other way round": (3, _other_way),
    "horn on the wrong side": (3, _horn),
    "linkage binds early": (3, _binding),
}
"""Kinds of faults, settings before tools: the cost of putting one right (`mixlib.bench.faults.edits.COSTS`),
and what makes those of a set-up."""
