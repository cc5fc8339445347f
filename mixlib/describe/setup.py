"""One set-up: aircraft, radio and every setting between them; what the reader carries through all lessons."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from mixlib.describe.aircraft import MOTOR, Aircraft, Surface
from mixlib.describe.base import Count, Described, Number, refuse
from mixlib.describe.errors import MISSING, Word
from mixlib.describe.field import ORCHARD_FIELD, LandingField
from mixlib.describe.radio import Command, Radio
from mixlib.describe.settings import FreeMix, Mark, Output, Phase, ReadyMade, Shaping, Want
from mixlib.describe.words import listed
from mixlib.units import COMMAND_RANGES, COMMANDS, to_step

__all__ = ["Setup"]


class Setup(Described):
    """Aircraft, radio and settings."""

    name: str = Field(min_length=1, max_length=60, description="what you call it")
    note: str = Field("", max_length=1000, description="anything worth knowing about it")
    aircraft: Aircraft
    radio: Radio
    wiring: dict[str, Count] = Field(
        description="surface name, or motor, to the output that its servo or controller is plugged into"
    )
    outputs: tuple[Output, ...] = Field((), description="settings of the outputs in use")
    free_mixes: tuple[FreeMix, ...] = Field((), description="free mixes in use")
    shaping: dict[Command, Shaping] = Field(default_factory=dict, description="rate and expo by command")
    wanted: tuple[Want, ...] = Field((), description="throws that the reader wants")
    phases: tuple[Phase, ...] = Field((), description="flight phases")
    marks: tuple[Mark, ...] = Field((), description="marks beside dials and sliders")
    ready_made: tuple[ReadyMade, ...] = Field((), description="ready-made functions of the radio in use")
    trims: dict[Command, Number] = Field(
        default_factory=dict, description="where the trim levers stand, percent of the command"
    )

    field: LandingField = Field(ORCHARD_FIELD, description="where it is landed")

    def used_to(self, command: str, way: int) -> float:
        """Command, -1 to 1, to which a control is used: the mark beside it, else the end of its way.

        Parameters
        ----------
        way : int
            1 for the command's positive side, -1 for its negative one, which throttle and brake have not.
        """
        side = "above" if way > 0 else "below"
        marked = (mark.percent for mark in self.marks if (mark.command, mark.side) == (command, side))
        return COMMAND_RANGES[command][way > 0] * next(marked, 100.0) / 100

    @property
    def ends(self) -> tuple[tuple[str, float], ...]:
        """Every command of the radio with where it is used to, both ways; see `used_to`."""
        held = [command for command in COMMANDS if command in self.radio.commands]
        ends = ((command, self.used_to(command, way)) for command in held for way in (1, -1))
        return tuple((command, value) for command, value in ends if value)

    def output(self, number_: int) -> Output:
        """Settings of one output, from 1; one that is not set up has no control and neutral settings."""
        for output in self.outputs:
            if output.number == number_:
                return output
        return Output(number=number_)

    def with_output(self, number_: int, **changes: object) -> Setup:
        """Copy of the set-up with some fields of one `Output`, from 1, changed."""
        changed = self.output(number_).replace(**changes)
        others = [output for output in self.outputs if output.number != number_]
        return self.replace(outputs=tuple(sorted([*others, changed], key=lambda output: output.number)))

    def with_mix(self, mix: FreeMix) -> Setup:
        """Copy of the set-up with a free mix in place of those with the same leader and follower."""
        ends = (mix.leader, mix.follower)
        others = [other for other in self.free_mixes if (other.leader, other.follower) != ends]
        return self.replace(free_mixes=(*others, mix))

    def phase(self, name: str) -> Phase | None:
        """A flight phase by its name, such as ``"thermal"``; None when there is no such phase."""
        return next((phase for phase in self.phases if phase.name == name), None)

    def with_phase(self, phase: Phase) -> Setup:
        """Copy of the set-up with a phase in place of one of the same name."""
        others = [other for other in self.phases if other.name != phase.name]
        return self.replace(phases=(*others, phase))

    @property
    def roll_kept(self) -> tuple[str, ...]:
        """What of roll it keeps for each phase: a differential only of ailerons that share no output."""
        plugs = [self.wiring[part.name] for part in self.aircraft.of_kind("aileron")]
        apart = bool(plugs) and len(set(plugs)) == len(plugs)
        return tuple(name for name in self.radio.own_rolls if apart or name != "differential")

    def surfaces_on(self, number_: int) -> tuple[Surface, ...]:
        """Surfaces whose servos are plugged into an output, from 1; two or more mean a Y-lead."""
        return tuple(surface for surface in self.aircraft.surfaces if self.wiring[surface.name] == number_)

    @property
    def servo_outputs(self) -> tuple[int, ...]:
        """Outputs that a servo is plugged into, in order; the motor's is not among them."""
        return tuple(sorted({self.wiring[name] for name in self.aircraft.surface_names}))

    def plugs_on(self, number_: int) -> tuple[str, ...]:
        """Names of the surfaces that an output, from 1, moves, and of the motor if it is plugged in there."""
        names = (*self.aircraft.surface_names, MOTOR)
        return tuple(name for name in names if self.wiring.get(name) == number_)

    def plugged_in(self, number_: int) -> str:
        """What an output, from 1, moves, in words, with a Y-lead named; ``"nothing"`` without a plug."""
        names, servos = self.plugs_on(number_), [s for s in self.surfaces_on(number_) if s.servo_of is None]
        joined = " (Y-lead)" if len(servos) > 1 else " (one servo)" if len(names) > 1 else ""
        return listed(names) + joined if names else "nothing"

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        _check_wiring(self)
        numbers = [output.number for output in self.outputs]
        for index, output in enumerate(self.outputs, start=1):
            if numbers.count(output.number) > 1:
                raise refuse(f"outputs.{index}.number", output.number, "each output once only")
            _check_output(self.radio, output, f"outputs.{index}")
        if len(self.free_mixes) > self.radio.free_mixes:
            accepted = f"at most {self.radio.free_mixes}, the free mixes of the radio {self.radio.name!r}"
            raise refuse("free_mixes", len(self.free_mixes), accepted)
        for index, mix in enumerate(self.free_mixes, start=1):
            _check_mix(self.radio, mix, f"free_mixes.{index}")
        _check_motor(self)
        _check_ready_made(self)
        _check_at_once(self)
        _check_trims(self)
        for command, shaping in self.shaping.items():
            if shaping != Shaping() and command not in self.radio.shaped_commands:
                named = ", ".join(self.radio.shaped_commands)
                accepted = f"rate and expo on {named}" if named else "none: this radio has no rate and expo"
                raise refuse(f"shaping.{command}", Word("set"), accepted)
        names = self.aircraft.surface_names
        for index, want in enumerate(self.wanted, start=1):
            if want.surface not in names:
                raise refuse(f"wanted.{index}.surface", want.surface, "one of " + ", ".join(names))
        ends = [(mark.command, mark.side) for mark in self.marks]
        marked = self.radio.marked_commands
        for index, mark in enumerate(self.marks, start=1):
            if mark.command not in marked:
                named = ", ".join(marked) or "nothing: this radio has no dial and no slider"
                raise refuse(f"marks.{index}.command", mark.command, f"what a dial or slider holds: {named}")
            if ends.count((mark.command, mark.side)) > 1:
                raise refuse(f"marks.{index}.side", mark.side, "each end of a control once only")
        for index, phase in enumerate(self.phases, start=1):
            for name, angle in phase.angles_deg.items():
                if name not in names:
                    raise refuse(f"phases.{index}.angles_deg", name, "angles of " + listed(names))
                if not -90 <= angle <= 90:
                    raise refuse(f"phases.{index}.angles_deg.{name}", angle, "-90 to 90 deg")
            for name, percent in phase.own_roll.items():
                if name not in self.radio.own_rolls:
                    field = f"phases.{index}.{name.replace(' ', '_')}_percent"
                    raise refuse(field, percent, f"nothing: this radio has one {name} for all phases")
        return self


def _check_wiring(setup: Setup) -> None:
    aircraft = setup.aircraft
    names = (*aircraft.surface_names, MOTOR) if aircraft.motor else aircraft.surface_names
    for name, number_ in setup.wiring.items():
        if name not in names:
            raise refuse("wiring", name, "plugs of " + listed(names))
        if not 1 <= number_ <= setup.radio.outputs:
            raise refuse(f"wiring.{name}", number_, f"1 to {setup.radio.outputs}, the outputs of the radio")
    for name in names:
        if name not in setup.wiring:
            plug = "plug" if name == MOTOR else "servo"
            raise refuse(f"wiring.{name}", MISSING, f"the output of its {plug}, 1 to {setup.radio.outputs}")
    for surface in aircraft.surfaces:
        if surface.servo_of and setup.wiring[surface.name] != setup.wiring[surface.servo_of]:
            accepted = (
                f"{setup.wiring[surface.servo_of]}, like the {surface.servo_of}, whose servo moves it too"
            )
            raise refuse(f"wiring.{surface.name}", setup.wiring[surface.name], accepted)


def _check_motor(setup: Setup) -> None:
    """Nothing but the throttle may reach the motor, and no servo may share its output."""
    number_ = setup.wiring.get(MOTOR)
    if number_ is None:
        return
    for surface in setup.surfaces_on(number_):
        accepted = (
            f"another output than {number_}: the motor is plugged in there, and it shares with no servo"
        )
        raise refuse(f"wiring.{surface.name}", number_, accepted)
    for index, output in enumerate(setup.outputs, start=1):
        if output.number == number_ and output.control not in (None, "throttle"):
            accepted = "throttle, or none: the motor is plugged into this output"
            raise refuse(f"outputs.{index}.control", output.control, accepted)
    for index, mix in enumerate(setup.free_mixes, start=1):
        if mix.follower == number_ and mix.leader != "throttle":
            accepted = (
                f"another output than {number_}: the motor is plugged in there, and only throttle leads it"
            )
            raise refuse(f"free_mixes.{index}.follower", number_, accepted)
    for index, made in enumerate(setup.ready_made, start=1):
        if number_ in (made.first, made.second):
            field = "first" if made.first == number_ else "second"
            accepted = f"another output than {number_}: the motor is plugged in there"
            raise refuse(f"ready_made.{index}.{field}", number_, accepted)


def _check_at_once(setup: Setup) -> None:
    """A control that moves one output only is on no second one."""
    for control in setup.radio.controls:
        mine = [index for index, output in enumerate(setup.outputs, 1) if output.control == control.command]
        if len(mine) > 1 and not control.at_once:
            taken = setup.outputs[mine[0] - 1].number
            accepted = (
                f"none here, since output {taken} has it: the {control.held_by} of this radio moves one "
                f"output, not several at once"
            )
            raise refuse(f"outputs.{mine[1]}.control", control.command, accepted)


def _check_ready_made(setup: Setup) -> None:
    radio, taken = setup.radio, set()
    for index, made in enumerate(setup.ready_made, start=1):
        here = f"ready_made.{index}"
        if made.kind not in radio.ready_made:
            named = ", ".join(radio.ready_made)
            accepted = f"what this radio brings along: {named}" if named else "none: this radio has none"
            raise refuse(f"{here}.kind", made.kind, accepted)
        for field in ("first", "second"):
            number_ = getattr(made, field)
            if number_ > radio.outputs:
                raise refuse(f"{here}.{field}", number_, f"1 to {radio.outputs}")
            if number_ in taken:
                raise refuse(f"{here}.{field}", number_, "an output that no ready-made function has yet")
            taken.add(number_)
            own = setup.output(number_).control
            if own is not None:
                accepted = f"an output without a control of its own, and output {number_} has {own}"
                raise refuse(f"{here}.{field}", number_, accepted)
        for field in ("alike_percent", "opposite_percent"):
            _check_gain(radio, getattr(made, field), f"{here}.{field}")


def _check_trims(setup: Setup) -> None:
    radio = setup.radio
    for command, percent in setup.trims.items():
        if command not in radio.trimmed_commands:
            named = ", ".join(radio.trimmed_commands)
            accepted = f"trims of {named}" if named else "none: this radio has no trim lever"
            raise refuse(f"trims.{command}", percent, accepted)
        if abs(percent) > radio.trim_max_percent:
            accepted = f"{-radio.trim_max_percent:g} to {radio.trim_max_percent:g} %"
            raise refuse(f"trims.{command}", percent, accepted)


def _check_output(radio: Radio, output: Output, here: str) -> None:
    if output.number > radio.outputs:
        raise refuse(f"{here}.number", output.number, f"1 to {radio.outputs}")
    possible = radio.can_drive(output.number)
    if output.control is not None and output.control not in possible:
        accepted = "one of " + ", ".join(possible) if possible else "none: only a mix can move this output"
        raise refuse(f"{here}.control", output.control, accepted)
    for field in ("gain_above_percent", "gain_below_percent"):
        if not radio.output_gains and getattr(output, field) != 100:
            raise refuse(f"{here}.{field}", getattr(output, field), "100: this radio cannot set it")
    _check_gains(radio, output, here)
    _check_stepped(
        output.sub_trim_percent,
        radio.sub_trim_max_percent,
        radio.sub_trim_step_percent,
        here,
        "sub_trim_percent",
    )
    for field in ("end_low_percent", "end_high_percent"):
        _check_stepped(
            getattr(output, field), radio.travel_max_percent, radio.travel_step_percent, here, field
        )
    _check_stepped(
        output.shift_percent, radio.shift_max_percent, radio.gain_step_percent, here, "shift_percent"
    )


def _check_mix(radio: Radio, mix: FreeMix, here: str) -> None:
    if isinstance(mix.leader, int):
        if not 1 <= mix.leader <= radio.outputs:
            raise refuse(f"{here}.leader", mix.leader, f"a command, or an output from 1 to {radio.outputs}")
    elif mix.leader not in radio.commands:
        raise refuse(f"{here}.leader", mix.leader, "one of " + ", ".join(radio.commands) + ", or an output")
    if mix.follower > radio.outputs:
        raise refuse(f"{here}.follower", mix.follower, f"1 to {radio.outputs}")
    if mix.centre_percent and not radio.mix_centre:
        raise refuse(f"{here}.centre_percent", mix.centre_percent, "0: this radio's mixes have no centre")
    if mix.curve_percent and not 3 <= len(mix.curve_percent) <= radio.curve_points:
        accepted = (
            f"3 to {radio.curve_points} points" if radio.curve_points else "none: this radio has no curves"
        )
        raise refuse(f"{here}.curve_percent", Word(f"{len(mix.curve_percent)} points"), accepted)
    for point in mix.curve_percent:
        if not radio.gain_min_percent <= point <= radio.gain_max_percent:
            accepted = f"{radio.gain_min_percent:g} to {radio.gain_max_percent:g} %"
            raise refuse(f"{here}.curve_percent", point, accepted)
    _check_gains(radio, mix, here)


def _check_gains(radio: Radio, item: Output | FreeMix, here: str) -> None:
    for field in ("gain_above_percent", "gain_below_percent"):
        _check_gain(radio, getattr(item, field), f"{here}.{field}")
    if not radio.gain_sides_differ and item.gain_above_percent != item.gain_below_percent:
        accepted = f"{item.gain_above_percent:g}, the same as above: this radio has one gain for both sides"
        raise refuse(f"{here}.gain_below_percent", item.gain_below_percent, accepted)


def _check_gain(radio: Radio, gain: float, here: str) -> None:
    if not radio.gain_min_percent <= gain <= radio.gain_max_percent:
        accepted = f"{radio.gain_min_percent:g} to {radio.gain_max_percent:g} %"
        raise refuse(here, gain, accepted)
    if _off_step(gain, radio.gain_step_percent):
        raise refuse(here, gain, f"steps of {radio.gain_step_percent:g} %")


def _check_stepped(value: float, most: float, step: float, here: str, field: str) -> None:
    if abs(value) > most:
        lowest = 0 if field.startswith("end_") else -most
        accepted = f"{lowest:g} to {most:g} %" if most else "0: this radio does not have it"
        raise refuse(f"{here}.{field}", value, accepted)
    if _off_step(value, step):
        raise refuse(f"{here}.{field}", value, f"steps of {step:g} %")


def _off_step(value: float, step: float) -> bool:
    return abs(value - to_step(value, step)) > 1e-6 * step
