"""What the reader's transmitter can do, in general terms."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from mixlib.describe.base import Count, Described, measure, refuse, whole
from mixlib.units import COMMAND_RANGES

__all__ = ["READY_MADE", "Command", "Control", "OwnRoll", "Radio", "ReadyMadeKind"]

Command = Literal["roll", "pitch", "yaw", "camber", "throttle", "brake"]
ReadyMadeKind = Literal["flaperons", "V-tail", "elevons"]
OwnRoll = Literal["roll rate", "differential"]

READY_MADE: dict[ReadyMadeKind, tuple[Command, Command]] = {
    "flaperons": ("roll", "camber"),
    "V-tail": ("pitch", "yaw"),
    "elevons": ("roll", "pitch"),
}
"""Functions that two outputs share: the command that comes to both alike, and the one that comes opposite."""

_AT_LOW_PERCENT = {"brake": 0.0}  # a slider that rests at its end; every other control runs from end to end


class Control(Described):
    """A stick axis, dial, slider or switch, and the outputs that it can move without any mix."""

    command: Command = Field(description="what the pilot asks for with it")
    held_by: Literal["stick", "dial", "slider", "switch"] = Field(description="what the hand finds")
    drives: tuple[Count, ...] = Field((), description="outputs that it can move directly")
    at_once: bool = Field(True, description="whether it can move all of them at once, or only one of them")
    at_low_percent: float | None = measure(
        -100, 100, "%", "what its output gets at the low end; left out, -100, from a brake 0", None
    )
    at_high_percent: float = measure(-100, 100, "%", "what its output gets at the high end", 100.0)

    @property
    def ends_percent(self) -> tuple[float, float]:
        """What its output gets at the low and at the high end of its way, percent; straight in between.

        A throttle stick runs its output from end to end: closed is -100 %.  common practice, no source.
        """
        low = (
            _AT_LOW_PERCENT.get(self.command, -100.0) if self.at_low_percent is None else self.at_low_percent
        )
        return low, self.at_high_percent

    @property
    def plain(self) -> bool:
        """Whether its output gets the command itself: nothing at neutral, 100 % at a full command."""
        low, high = COMMAND_RANGES[self.command]
        return self.ends_percent == (100 * low, 100 * high)


class Radio(Described):
    """A transmitter with its receiver."""

    name: str = Field(min_length=1, max_length=60, description="what you call it")
    note: str = Field("", max_length=1000, description="anything worth knowing about it")
    outputs: int = whole(1, 32, "servo sockets on the receiver")
    controls: tuple[Control, ...] = Field(min_length=1, description="what the hands can move")
    free_mixes: int = whole(0, 64, "mixes that you can set as you like", 0)
    gain_min_percent: float = measure(-500, 0, "%", "lowest gain of a mix", -100.0)
    gain_max_percent: float = measure(0, 500, "%", "highest gain of a mix", 100.0)
    gain_step_percent: float = measure(0.1, 25, "%", "step in which a gain can be set", 1.0)
    gain_sides_differ: bool = Field(True, description="whether gain above and gain below can differ")
    mix_takes: Literal["command", "output"] = Field(
        "command",
        description="whether a mix led by an output takes its command or what that output ends up with",
    )
    mix_centre: bool = Field(False, description="whether a mix can have its centre away from neutral")
    curve_points: int = whole(0, 33, "points of a mix curve; 0 is none, else 3 or more", 0)
    output_gains: bool = Field(False, description="whether the gain of an output's own control can be set")
    shift_max_percent: float = measure(0, 150, "%", "largest constant shift of an output; 0 is none", 0.0)
    end_points: Literal["clip", "scale"] = Field(
        "clip", description="whether an end point cuts the movement off or makes all of it smaller"
    )
    travel_max_percent: float = measure(50, 200, "%", "largest end point", 100.0)
    travel_step_percent: float = measure(0.1, 25, "%", "step of an end point", 1.0)
    sub_trim_max_percent: float = measure(0, 100, "%", "largest sub-trim", 0.0)
    sub_trim_step_percent: float = measure(0.1, 25, "%", "step of the sub-trim", 1.0)
    us_per_100_percent: float = measure(200, 800, "us", "change of the pulse at 100 % travel", 500.0)
    centre_us: float = measure(1300, 1700, "us", "pulse at neutral", 1500.0)
    min_us: float = measure(500, 1400, "us", "shortest pulse that it sends", 900.0)
    max_us: float = measure(1600, 2500, "us", "longest pulse that it sends", 2100.0)
    rate_and_expo: bool = Field(False, description="whether its sticks have rate and expo")
    ready_made: tuple[ReadyMadeKind, ...] = Field(
        (), description="functions that it brings along and that take none of the free mixes"
    )
    phases_keep: tuple[OwnRoll, ...] = Field(
        (), description="what of roll it keeps for each flight phase apart"
    )
    mixes_carry_trim: bool = Field(
        False, description="whether a mix led by a command passes on the trim of that command too"
    )
    trim_max_percent: float = measure(0, 100, "%", "most that a trim lever adds to its command", 25.0)

    @property
    def commands(self) -> tuple[str, ...]:
        """Commands that the radio's controls can give."""
        return tuple(control.command for control in self.controls)

    @property
    def shaped_commands(self) -> tuple[str, ...]:
        """Commands that can have a rate and an expo: those of the sticks, if the radio has them at all."""
        sticks = (control.command for control in self.controls if control.held_by == "stick")
        return tuple(sticks) if self.rate_and_expo else ()

    @property
    def own_rolls(self) -> tuple[str, ...]:
        """What of roll a phase can have of its own: a rate only where the roll stick has one at all."""
        rated = "roll" in self.shaped_commands
        return tuple(name for name in self.phases_keep if rated or name != "roll rate")

    @property
    def trimmed_commands(self) -> tuple[str, ...]:
        """Commands with a trim lever: those of the sticks; closed throttle and brake stay closed."""
        sticks = (control.command for control in self.controls if control.held_by == "stick")
        return tuple(command for command in sticks if COMMAND_RANGES[command][0] < 0)

    def control(self, command: str) -> Control | None:
        """The control that gives a command; None where the radio has none."""
        return next((control for control in self.controls if control.command == command), None)

    @property
    def marked_commands(self) -> tuple[str, ...]:
        """Commands whose dial or slider can have a mark beside it."""
        return tuple(control.command for control in self.controls if control.held_by in ("dial", "slider"))

    def held_by(self, command: str) -> str:
        """What the hand finds for a command, such as ``"stick"``; ``"no control"`` if the radio has none."""
        return next((c.held_by for c in self.controls if c.command == command), "no control")

    def lever(self, command: str) -> str:
        """What the hand moves for a command, such as ``"roll stick"`` or ``"camber dial"``.

        A brake on a stick is on the throttle stick, unless that is the motor's.  common practice, no source.
        """
        if (control := self.control(command)) is None:
            return command
        on_throttle = command == "brake" and control.held_by == "stick" and not self.control("throttle")
        return f"{'throttle' if on_throttle else command} {control.held_by}"

    def with_control(self, command: str, **changes: object) -> Self:
        """Copy of the radio with the control of one command changed."""
        controls = (c.replace(**changes) if c.command == command else c for c in self.controls)
        return self.replace(controls=tuple(controls))

    def can_drive(self, number_: int) -> tuple[str, ...]:
        """Commands that can move an output, from 1, without a mix; none when only a mix can."""
        return tuple(control.command for control in self.controls if number_ in control.drives)

    def stick_owns(self, number_: int) -> bool:
        """Whether a stick moves this output, from 1, and no other."""
        return any(c.held_by == "stick" and c.drives == (number_,) for c in self.controls)

    @model_validator(mode="after")
    def _parts_fit(self) -> Self:
        for index, control in enumerate(self.controls, start=1):
            if self.commands.count(control.command) > 1:
                raise refuse(
                    f"controls.{index}.command", control.command, "each command from one control only"
                )
            for output in control.drives:
                if not 1 <= output <= self.outputs:
                    raise refuse(f"controls.{index}.drives", output, f"outputs 1 to {self.outputs}")
        if len(set(self.ready_made)) < len(self.ready_made):
            raise refuse("ready_made", ", ".join(self.ready_made), "each of them once")
        if self.curve_points in (1, 2):
            raise refuse("curve_points", self.curve_points, "0, or 3 to 33")
        return self
