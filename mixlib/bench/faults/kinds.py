"""What can be wrong on the bench: every kind of fault of a set-up, with the words for it.

Only faults are made whose result is a set-up that the radio and the linkages allow.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import combinations

from mixlib.bench.faults.edits import Edit, Fault, apply_faults
from mixlib.bench.faults.observe import intended_reach_deg
from mixlib.chain import Rig
from mixlib.chain.mixing import leading_command
from mixlib.describe import MOTOR, FreeMix, Setup
from mixlib.describe.errors import DescriptionError

__all__ = ["BOUND_SHARE", "END_POINT_PERCENT", "KINDS", "faults_of", "motor_faults"]

END_POINT_PERCENT = 30.0
"""End point that counts as much too small.  common practice, no source."""

BOUND_SHARE = 0.3
"""Share of its intended angle at which a binding surface stops.  common practice, no source."""


def faults_of(setup: Setup) -> tuple[Fault, ...]:
    """Every single fault that is possible in a set-up.

    Returns
    -------
    tuple of Fault
        In the order of `KINDS`; a fault whose result is not a valid set-up is left out.
    """
    return tuple(fault for _, make in KINDS.values() for fault in make(setup) if _possible(setup, fault))


def motor_faults(setup: Setup) -> tuple[Fault, ...]:
    """What can be wrong with the motor's output: found by looking before power is connected, never by a test.

    They have no edits, so that nothing can be tried with them.
    """
    number = setup.wiring.get(MOTOR)
    if number is None:
        return ()
    way = "reversed" if setup.output(number).reversed else "normal"
    turned = _fault(
        "motor's output reversed",
        f"output {number} (motor) runs the wrong way round: full power with the throttle closed",
        f"set the direction of output {number} to {way} before the battery is connected",
        1,
        [f"the direction of output {number}"],
        [],
    )
    swapped = [
        _fault(
            "motor plug swapped with a servo",
            f"the plugs of the motor and {name} are swapped: the motor runs with that servo's control",
            f"plug the motor into output {number} and {name} into output {setup.wiring[name]} before the "
            "battery is connected",
            2,
            ["the plug of the motor", f"the plug of {name}"],
            [],
        )
        for name in setup.aircraft.surface_names
    ]
    return (turned, *swapped)


def _possible(setup: Setup, fault: Fault) -> bool:
    try:
        Rig(apply_faults(setup, [fault]))
    except (DescriptionError, ValueError):
        return False
    return True


def _fault(kind: str, words: str, change: str, cost: int, places: Iterable[str], edits: list[Edit]) -> Fault:
    return Fault(kind, words, change, cost, frozenset(places), tuple(edits))


def _tried_mixes(setup: Setup) -> list[tuple[int, FreeMix]]:
    """Mixes that are on, with their places; those of the throttle are left out, since no test moves it."""
    mixes = enumerate(setup.free_mixes)
    return [(place, mix) for place, mix in mixes if mix.on and leading_command(setup, mix) != "throttle"]


def _on(setup: Setup, number: int) -> str:
    return f"output {number} ({' and '.join(surface.name for surface in setup.surfaces_on(number))})"


def _reversed(setup: Setup) -> Iterator[Fault]:
    for number in setup.servo_outputs:
        now = setup.output(number).reversed
        yield _fault(
            "output reversed",
            f"{_on(setup, number)} runs the wrong way round",
            f"set the direction of output {number} to {'reversed' if now else 'normal'}",
            1,
            [f"the direction of output {number}"],
            [(("output", number, "reversed"), not now)],
        )


def _not_assigned(setup: Setup) -> Iterator[Fault]:
    for number in setup.servo_outputs:
        control = setup.output(number).control
        if control is not None:
            yield _fault(
                "control not assigned",
                f"nothing is assigned to {_on(setup, number)}, which the {control} control should move",
                f"assign the {control} control to output {number}",
                1,
                [f"the control of output {number}"],
                [(("output", number, "control"), None)],
            )


def _wrong_control(setup: Setup) -> Iterator[Fault]:
    for number in setup.servo_outputs:
        control = setup.output(number).control
        for other in setup.radio.can_drive(number):
            if control is not None and other not in (control, "throttle"):
                yield _fault(
                    "wrong control assigned",
                    f"{_on(setup, number)} has the {other} control instead of {control}",
                    f"assign the {control} control to output {number} instead of {other}",
                    1,
                    [f"the control of output {number}"],
                    [(("output", number, "control"), other)],
                )


def _gain_edits(kind: str, item) -> list[tuple[str, tuple[float, float]]]:
    """Wrong pairs of gains of a mix or an output, each with what is wrong about them."""
    above, below = item.gain_above_percent, item.gain_below_percent
    if kind == "gain sign":
        wrong = [("has its gain with the wrong sign", (-above, -below))]
    elif kind == "gain sides exchanged":
        wrong = [("has its gains above and below exchanged", (below, above))]
    else:
        wrong = [("has no gain above", (0.0, below)), ("has no gain below", (above, 0.0))]
    return [(words, gains) for words, gains in wrong if gains != (above, below)]


def _gains(kind: str) -> Callable[[Setup], Iterator[Fault]]:
    def make(setup: Setup) -> Iterator[Fault]:
        items = [
            (f"the mix {mix.label}", f"the mix {mix.label}", ("mix", place), mix)
            for place, mix in _tried_mixes(setup)
            if not mix.curve_percent
        ]
        if setup.radio.output_gains:
            for number in setup.servo_outputs:
                output = setup.output(number)
                if output.control is not None:
                    name = f"the {output.control} control of {_on(setup, number)}"
                    items.append((name, f"the control of output {number}", ("output", number), output))
        for name, place, path, item in items:
            for words, (above, below) in _gain_edits(kind, item):
                yield _fault(
                    kind,
                    f"{name} {words}",
                    f"set {name} to {item.gain_above_percent:g} % above and "
                    f"{item.gain_below_percent:g} % below",
                    1,
                    [_mix_place(path[1]) if path[0] == "mix" else place],
                    [((*path, "gain_above_percent"), above), ((*path, "gain_below_percent"), below)],
                )

    return make


def _mix_place(place: int) -> str:
    return f"free mix {place + 1}"


def _mix_off(setup: Setup) -> Iterator[Fault]:
    for place, mix in _tried_mixes(setup):
        yield _fault(
            "mix off",
            f"the mix {mix.label} is off",
            f"switch the mix {mix.label} on",
            1,
            [_mix_place(place)],
            [(("mix", place, "on"), False)],
        )


def _swapped_mix(setup: Setup) -> Iterator[Fault]:
    for place, mix in _tried_mixes(setup):
        for leader, follower in _turned_round(setup, mix):
            wrong = mix.model_copy(update={"leader": leader, "follower": follower})
            yield _fault(
                "leader and follower swapped",
                f"the mix {mix.label} has its leader and follower swapped: it is {wrong.label}",
                f"set the mix to {mix.label}",
                1,
                [_mix_place(place)],
                [(("mix", place, "leader"), leader), (("mix", place, "follower"), follower)],
            )


def _turned_round(setup: Setup, mix: FreeMix) -> list[tuple[str | int, int]]:
    """Leader and follower of a mix set the other way round; none where a command owns no output."""
    if isinstance(mix.leader, int):
        return [(mix.follower, mix.leader)]
    control = setup.output(mix.follower).control
    if control is None or control == mix.leader:
        return []
    return [(control, output.number) for output in setup.outputs if output.control == mix.leader]


def _swapped_plugs(setup: Setup) -> Iterator[Fault]:
    for one, other in combinations(setup.aircraft.surface_names, 2):
        if setup.wiring[one] != setup.wiring[other]:
            yield _fault(
                "plugs swapped",
                f"the plugs of {one} and {other} are swapped",
                f"plug {one} into output {setup.wiring[one]} and {other} into output {setup.wiring[other]}",
                2,
                [f"the plug of {one}", f"the plug of {other}"],
                [(("wiring", one), setup.wiring[other]), (("wiring", other), setup.wiring[one])],
            )


def _y_lead(setup: Setup) -> Iterator[Fault]:
    for surface in setup.aircraft.surfaces:
        for partner in setup.aircraft.of_kind(surface.kind):
            if setup.wiring[partner.name] != setup.wiring[surface.name]:
                yield _fault(
                    "Y-lead still in",
                    f"a Y-lead is still in: {surface.name} is on output {setup.wiring[partner.name]} "
                    f"together with {partner.name}",
                    f"take the Y-lead out and plug {surface.name} into output {setup.wiring[surface.name]}",
                    2,
                    [f"the plug of {surface.name}"],
                    [(("wiring", surface.name), setup.wiring[partner.name])],
                )


def _unplugged(setup: Setup) -> Iterator[Fault]:
    # A socket that nothing moves stands for "no signal": one more on the receiver than it has.
    number, motor = setup.radio.outputs + 1, setup.wiring.get(MOTOR)
    look = f"see, with the battery off, that it is not in the motor's output {motor}; " if motor else ""
    for name in setup.aircraft.surface_names:
        yield _fault(
            "servo dead or unplugged",
            f"the servo of {name} gets no signal or is dead",
            f"{look}plug {name} firmly into output {setup.wiring[name]}; if it stays still, change the servo",
            2,
            [f"the plug of {name}"],
            [(("radio", "outputs"), number), (("wiring", name), number)],
        )


def _end_points(setup: Setup) -> Iterator[Fault]:
    ends = {"low": "towards the shorter pulse", "high": "towards the longer pulse"}
    for number in setup.servo_outputs:
        output = setup.output(number)
        for names in (("low",), ("high",), ("low", "high")):
            fields = [f"end_{name}_percent" for name in names]
            if all(getattr(output, field) > END_POINT_PERCENT for field in fields):
                where = "on both sides" if len(names) == 2 else ends[names[0]]
                right = " and ".join(f"{getattr(output, field):g} %" for field in dict.fromkeys(fields))
                yield _fault(
                    "end point too small",
                    f"the end point of {_on(setup, number)} is much too small {where}",
                    f"set the end point of output {number} {where} to {right}",
                    1,
                    [f"the end points of output {number}"],
                    [(("output", number, field), END_POINT_PERCENT) for field in fields],
                )


def _other_way(setup: Setup) -> Iterator[Fault]:
    for surface in setup.aircraft.surfaces:
        way = {"forward": "back", "back": "forward"}[surface.servo.longer_pulse_moves_arm]
        yield _fault(
            "servo the other way round",
            f"the servo of {surface.name} is built in the other way round (same way taken as mirrored)",
            f"turn the servo of {surface.name} round, or, if no other servo hangs on it, turn the direction "
            f"of output {setup.wiring[surface.name]} round",
            3,
            [f"the servo of {surface.name}"],
            [(("servo", surface.name, "longer_pulse_moves_arm"), way)],
        )


def _horn(setup: Setup) -> Iterator[Fault]:
    opposite = {"above": "below", "below": "above", "left": "right", "right": "left"}
    for surface in setup.aircraft.surfaces:
        side = surface.linkage.horn_side
        yield _fault(
            "horn on the wrong side",
            f"the horn of {surface.name} stands on the wrong side ({opposite[side]})",
            f"put the horn of {surface.name} on the side {side}",
            3,
            [f"the horn of {surface.name}"],
            [(("linkage", surface.name, "horn_side"), opposite[side])],
        )


def _binding(setup: Setup) -> Iterator[Fault]:
    reach = intended_reach_deg(setup)
    for surface in setup.aircraft.surfaces:
        up, down = reach[surface.name]
        ways = ("right", "left") if surface.kind == "rudder" else ("up", "down")
        for way, field, most in zip(ways, ("stop_up_deg", "stop_down_deg"), (up, down), strict=True):
            stop = max(1.0, round(BOUND_SHARE * most, 1))
            if stop < most:
                yield _fault(
                    "linkage binds early",
                    f"the linkage of {surface.name} binds early going {way}",
                    f"free the linkage of {surface.name} so that it goes {most:.0f} deg {way}",
                    3,
                    [f"the way of {surface.name} going {way}"],
                    [(("surface", surface.name, field), stop)],
                )


KINDS: dict[str, tuple[str, Callable[[Setup], Iterator[Fault]]]] = {
    "output reversed": ("The direction of an output is turned round.", _reversed),
    "control not assigned": ("No stick, dial or slider is assigned to an output.", _not_assigned),
    "wrong control assigned": ("Another control is assigned to an output.", _wrong_control),
    "gain sign": ("The gain of a mix has the wrong sign.", _gains("gain sign")),
    "gain sides exchanged": (
        "The gains above and below neutral are exchanged.",
        _gains("gain sides exchanged"),
    ),
    "gain side missing": ("The gain on one side of neutral is nothing.", _gains("gain side missing")),
    "mix off": ("A mix is switched off.", _mix_off),
    "leader and follower swapped": ("A mix runs from its follower to its leader.", _swapped_mix),
    "end point too small": ("An end point cuts most of the movement off.", _end_points),
    "plugs swapped": ("Two servos are in each other's sockets.", _swapped_plugs),
    "Y-lead still in": ("A surface shares its partner's output.", _y_lead),
    "servo dead or unplugged": ("A servo does nothing.", _unplugged),
    "servo the other way round": ("A servo turns the opposite way to what was planned.", _other_way),
    "horn on the wrong side": ("The rod crosses, or should cross, the surface.", _horn),
    "linkage binds early": ("Something stops the surface well before its end.", _binding),
}
"""Kinds of faults: what each is, in a sentence, and what makes those of a set-up; settings before tools."""
