"""One set-up: aircraft, radio and every setting between them; what the reader carries through all lessons."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from mixlib.describe.aircraft import Aircraft, Surface
from mixlib.describe.base import Count, Described, Number, measure, refuse, whole
from mixlib.describe.radio import Radio
from mixlib.units import (
    COMMAND_RANGES,
    MM_PER_INCH,
    angle_from_throw_mm,
    throw_mm_from_angle,
    to_step,
)

__all__ = ["Command", "FreeMix", "Mark", "Output", "Phase", "Setup", "Shaping", "Want"]

Command = Literal["roll", "pitch", "yaw", "camber", "throttle", "brake"]


class Shaping(Described):
    """How a command is shaped before any mix."""

    rate_percent: float = measure(0, 150, "%", "how much of the command is passed on at full stick", 100.0)
    expo_percent: float = measure(
        -100, 100, "%", "softness round the middle; the ends stay; negative is livelier", 0.0
    )


class Output(Described):
    """One numbered servo socket on the receiver and all its settings.

    The order is: control and mixes add up to the demand, reversing turns it round, the end points limit
    it, sub-trim moves the middle.  ``end_low`` is the end towards the shorter pulse, ``end_high`` the one
    towards the longer.
    """

    number: int = whole(1, 32, "which socket")
    control: Command | None = Field(None, description="command that moves it without a mix")
    gain_above_percent: float = measure(-500, 500, "%", "share of the control on its positive side", 100.0)
    gain_below_percent: float = measure(-500, 500, "%", "share of the control on its negative side", 100.0)
    reversed: bool = Field(False, description="whether its direction is turned round")
    shift_percent: float = measure(-150, 150, "%", "constant added to its demand", 0.0)
    sub_trim_percent: float = measure(-100, 100, "%", "how far its middle is moved", 0.0)
    end_low_percent: float = measure(0, 200, "%", "end point towards the shorter pulse", 100.0)
    end_high_percent: float = measure(0, 200, "%", "end point towards the longer pulse", 100.0)


class FreeMix(Described):
    """The follower adds the leader's share: ``gain x (leader - centre)``, with a gain for each side.

    A leader is a command by its name, or an output by its number.  With a curve, the share is read from its
    evenly spaced points from -100 % to +100 % of the leader, and the gains are not used.
    """

    leader: Command | Count = Field(description="command, or number of the output, that leads")
    follower: int = whole(1, 32, "number of the output that adds the share")
    gain_above_percent: float = measure(-500, 500, "%", "share on the leader's positive side", 0.0)
    gain_below_percent: float = measure(-500, 500, "%", "share on the leader's negative side", 0.0)
    centre_percent: float = measure(-100, 100, "%", "leader value at which the share is nothing", 0.0)
    curve_percent: tuple[Number, ...] = Field(
        (), description="share in percent at evenly spaced leader values"
    )
    on: bool = Field(True, description="whether it is switched on")

    @classmethod
    def straight(cls, leader: Command | int, follower: int, gain_percent: float) -> Self:
        """A mix with the same gain on both sides."""
        return cls(
            leader=leader, follower=follower, gain_above_percent=gain_percent, gain_below_percent=gain_percent
        )

    @property
    def leader_words(self) -> str:
        """What leads, in words."""
        return self.leader if isinstance(self.leader, str) else f"output {self.leader}"

    @property
    def label(self) -> str:
        """The mix in words."""
        return f"{self.leader_words} into output {self.follower}"


class Want(Described):
    """One throw that the reader wants: at the full command on one side, how far one surface goes."""

    surface: str = Field(description="name of the surface")
    command: Command = Field(description="command that moves it")
    side: Literal["above", "below"] = Field("above", description="the command's positive or negative side")
    amount: float = measure(-500, 500, "mm, inch or deg", "throw, trailing edge down (rudder: left) positive")
    unit: Literal["mm", "inch", "deg"] = Field("mm", description="unit of the amount")
    weight: float = measure(0, 100, "", "how much a miss matters against the others", 1.0)

    def throw_mm(self, aircraft: Aircraft) -> float:
        """The throw in mm, trailing edge down (rudder: left) positive.

        Raises
        ------
        ValueError
            If no hinge can give it; the text names the surface and what can be had.
        """
        chord = aircraft.surface(self.surface).chord_mm
        most = {"mm": 2 * chord, "inch": 2 * chord / MM_PER_INCH, "deg": 90.0}[self.unit]
        if abs(self.amount) > most:
            accepted = f"-{most:.4g} to {most:.4g} {self.unit}, for a surface of {chord:g} mm chord"
            raise ValueError(
                f"the throw wanted of the {self.surface} is {self.amount:g}. Accepted: {accepted}."
            )
        if self.unit == "deg":
            return float(throw_mm_from_angle(self.amount, chord))
        return self.amount * (MM_PER_INCH if self.unit == "inch" else 1.0)

    def angle_deg(self, aircraft: Aircraft) -> float:
        """The surface's angle in deg, with the sign and the error of `throw_mm`."""
        return float(angle_from_throw_mm(self.throw_mm(aircraft), aircraft.surface(self.surface).chord_mm))


class Mark(Described):
    """A mark beside a dial or slider: it is turned no further."""

    command: Command = Field(description="command of the dial or slider")
    side: Literal["above", "below"] = Field("above", description="the command's positive or negative side")
    percent: float = measure(1, 100, "%", "how far it is turned, of its full way")


class Phase(Described):
    """A flight phase: the angle at which each named surface rests."""

    name: str = Field(min_length=1, max_length=40, description="what you call it")
    angles_deg: dict[str, Number] = Field(description="surface name to angle, trailing edge down positive")


class Setup(Described):
    """Aircraft, radio and settings."""

    name: str = Field(min_length=1, max_length=60, description="what you call it")
    note: str = Field("", max_length=1000, description="anything worth knowing about it")
    aircraft: Aircraft
    radio: Radio
    wiring: dict[str, Count] = Field(description="surface name to the output that its servo is plugged into")
    outputs: tuple[Output, ...] = Field((), description="settings of the outputs in use")
    free_mixes: tuple[FreeMix, ...] = Field((), description="free mixes in use")
    shaping: dict[Command, Shaping] = Field(default_factory=dict, description="rate and expo by command")
    wanted: tuple[Want, ...] = Field((), description="throws that the reader wants")
    phases: tuple[Phase, ...] = Field((), description="flight phases")
    marks: tuple[Mark, ...] = Field((), description="marks beside dials and sliders")

    def used_to(self, command: str, way: int) -> float:
        """Where a command is used to: the mark beside its control, else the end of its way.

        Parameters
        ----------
        way : int
            1 for the command's positive side, -1 for its negative one, which throttle and brake have not.

        Returns
        -------
        float
            The command, -1 to 1.
        """
        side = "above" if way > 0 else "below"
        marked = (mark.percent for mark in self.marks if (mark.command, mark.side) == (command, side))
        return COMMAND_RANGES[command][way > 0] * next(marked, 100.0) / 100

    def output(self, number_: int) -> Output:
        """Settings of one output; an output that is not set up has no control and neutral settings.

        Parameters
        ----------
        number_ : int
            Which socket, from 1.
        """
        for output in self.outputs:
            if output.number == number_:
                return output
        return Output(number=number_)

    def with_output(self, number_: int, **changes: object) -> Setup:
        """Copy of the set-up with some settings of one output changed.

        Parameters
        ----------
        number_ : int
            Which socket, from 1.
        **changes
            Fields of `Output` and their new values.
        """
        changed = self.output(number_).replace(**changes)
        others = [output for output in self.outputs if output.number != number_]
        return self.replace(outputs=tuple(sorted([*others, changed], key=lambda output: output.number)))

    def with_mix(self, mix: FreeMix) -> Setup:
        """Copy of the set-up with a free mix in place of those with the same leader and follower."""
        ends = (mix.leader, mix.follower)
        others = [other for other in self.free_mixes if (other.leader, other.follower) != ends]
        return self.replace(free_mixes=(*others, mix))

    def phase(self, name: str) -> Phase | None:
        """A flight phase by its name.

        Parameters
        ----------
        name : str
            Such as ``"thermal"``.

        Returns
        -------
        Phase or None
            None when there is no such phase.
        """
        return next((phase for phase in self.phases if phase.name == name), None)

    def with_phase(self, phase: Phase) -> Setup:
        """Copy of the set-up with a phase in place of one of the same name."""
        others = [other for other in self.phases if other.name != phase.name]
        return self.replace(phases=(*others, phase))

    def surfaces_on(self, number_: int) -> tuple[Surface, ...]:
        """Surfaces whose servos are plugged into an output; two or more mean a Y-lead.

        Parameters
        ----------
        number_ : int
            Which socket, from 1.

        Returns
        -------
        tuple of Surface
            In the aircraft's order.
        """
        return tuple(surface for surface in self.aircraft.surfaces if self.wiring[surface.name] == number_)

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
        for command, shaping in self.shaping.items():
            if shaping != Shaping() and command not in self.radio.shaped_commands:
                named = ", ".join(self.radio.shaped_commands)
                accepted = f"rate and expo on {named}" if named else "none: this radio has no rate and expo"
                raise refuse(f"shaping.{command}", "set", accepted)
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
                    raise refuse(f"phases.{index}.angles_deg", name, "names among " + ", ".join(names))
                if not -90 <= angle <= 90:
                    raise refuse(f"phases.{index}.angles_deg.{name}", angle, "-90 to 90 deg")
        return self


def _check_wiring(setup: Setup) -> None:
    names = setup.aircraft.surface_names
    for name, number_ in setup.wiring.items():
        if name not in names:
            raise refuse("wiring", name, "surface names among " + ", ".join(names))
        if not 1 <= number_ <= setup.radio.outputs:
            raise refuse(f"wiring.{name}", number_, f"1 to {setup.radio.outputs}, the outputs of the radio")
    for name in names:
        if name not in setup.wiring:
            raise refuse(f"wiring.{name}", "nothing", f"the output of its servo, 1 to {setup.radio.outputs}")


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
        raise refuse(f"{here}.curve_percent", f"{len(mix.curve_percent)} points", accepted)
    for point in mix.curve_percent:
        if not radio.gain_min_percent <= point <= radio.gain_max_percent:
            accepted = f"{radio.gain_min_percent:g} to {radio.gain_max_percent:g} %"
            raise refuse(f"{here}.curve_percent", point, accepted)
    _check_gains(radio, mix, here)


def _check_gains(radio: Radio, item: Output | FreeMix, here: str) -> None:
    for field in ("gain_above_percent", "gain_below_percent"):
        gain = getattr(item, field)
        if not radio.gain_min_percent <= gain <= radio.gain_max_percent:
            accepted = f"{radio.gain_min_percent:g} to {radio.gain_max_percent:g} %"
            raise refuse(f"{here}.{field}", gain, accepted)
        if _off_step(gain, radio.gain_step_percent):
            raise refuse(f"{here}.{field}", gain, f"steps of {radio.gain_step_percent:g} %")
    if not radio.gain_sides_differ and item.gain_above_percent != item.gain_below_percent:
        accepted = f"{item.gain_above_percent:g}, the same as above: this radio has one gain for both sides"
        raise refuse(f"{here}.gain_below_percent", item.gain_below_percent, accepted)


def _check_stepped(value: float, most: float, step: float, here: str, field: str) -> None:
    if abs(value) > most:
        lowest = 0 if field.startswith("end_") else -most
        accepted = f"{lowest:g} to {most:g} %" if most else "0: this radio does not have it"
        raise refuse(f"{here}.{field}", value, accepted)
    if _off_step(value, step):
        raise refuse(f"{here}.{field}", value, f"steps of {step:g} %")


def _off_step(value: float, step: float) -> bool:
    return abs(value - to_step(value, step)) > 1e-6 * step
