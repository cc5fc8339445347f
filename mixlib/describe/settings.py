"""The settings between aircraft and radio, one by one: outputs, mixes, wishes, marks, phases."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, Self

import numpy as np
from pydantic import Field

from mixlib.describe.aircraft import Aircraft
from mixlib.describe.base import Count, Described, Number, measure, whole
from mixlib.describe.radio import Command, Radio, ReadyMadeKind
from mixlib.describe.words import number
from mixlib.units import MM_PER_INCH, angle_from_throw_mm, throw_mm_from_angle

__all__ = ["FreeMix", "Mark", "Output", "Phase", "ReadyMade", "Shaping", "Want"]


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


class ReadyMade(Described):
    """A function that the radio brings along: two outputs share two commands, and no free mix is spent.

    The first command of `mixlib.describe.radio.READY_MADE` comes to both outputs alike, the second to the
    first output as it is and to the second output the other way round.
    """

    kind: ReadyMadeKind = Field(description="which function")
    first: int = whole(1, 32, "output that gets the sum of the two commands")
    second: int = whole(1, 32, "output that gets their difference")
    alike_percent: float = measure(-500, 500, "%", "gain of the command that comes to both alike", 100.0)
    opposite_percent: float = measure(
        -500, 500, "%", "gain of the command that comes the other way round to the second output", 100.0
    )


class Want(Described):
    """One throw that the reader wants: at the full command on one side, how far one surface goes.

    Where half or a quarter of the way is to give something else than that share of the throw, ``half`` and
    ``quarter`` say what.
    """

    surface: str = Field(description="name of the surface")
    command: Command = Field(description="command that moves it")
    side: Literal["above", "below"] = Field("above", description="the command's positive or negative side")
    amount: float = measure(-500, 500, "mm, inch or deg", "throw, trailing edge down (rudder: left) positive")
    unit: Literal["mm", "inch", "deg"] = Field("mm", description="unit of the amount")
    weight: float = measure(0, 100, "", "how much a miss matters against the others", 1.0)
    half: float | None = measure(
        -500, 500, "mm, inch or deg", "throw at half of the way; left out, half of the amount", None
    )
    quarter: float | None = measure(
        -500, 500, "mm, inch or deg", "throw at a quarter of the way; left out, as the others make it", None
    )

    @property
    def bends(self) -> bool:
        """Whether something of its own is wanted on the way."""
        return self.half is not None or self.quarter is not None

    def throw_mm(self, aircraft: Aircraft, share: float = 1.0) -> float:
        """The throw in mm, trailing edge down (rudder: left) positive.

        Parameters
        ----------
        share : float
            Of the way, 0 to 1.  With a half of its own the throw is a parabola through it, with a quarter of
            its own straight from one to the next, else straight.

        Raises
        ------
        ValueError
            If no hinge can give it; the text names the surface and what can be had.
        """
        whole_mm = self._mm(aircraft, self.amount)
        half_mm = whole_mm / 2 if self.half is None else self._mm(aircraft, self.half)
        if self.quarter is not None:
            throws = 0.0, self._mm(aircraft, self.quarter), half_mm, whole_mm
            return float(np.interp(share, (0, 0.25, 0.5, 1), throws))
        return share * (4 * half_mm - whole_mm + 2 * share * (whole_mm - 2 * half_mm))

    def _mm(self, aircraft: Aircraft, amount: float) -> float:
        chord = aircraft.surface(self.surface).chord_mm
        most = {"mm": 2 * chord, "inch": 2 * chord / MM_PER_INCH, "deg": 90.0}[self.unit]
        if abs(amount) > most:
            accepted = f"-{most:.4g} to {most:.4g} {self.unit}, for a surface of {chord:g} mm chord"
            raise ValueError(f"the throw wanted of the {self.surface} is {amount:g}. Accepted: {accepted}.")
        if self.unit == "deg":
            return float(throw_mm_from_angle(amount, chord))
        return amount * (MM_PER_INCH if self.unit == "inch" else 1.0)

    def angle_deg(self, aircraft: Aircraft) -> float:
        """The surface's angle in deg, with the sign and the error of `throw_mm`."""
        return float(angle_from_throw_mm(self.throw_mm(aircraft), aircraft.surface(self.surface).chord_mm))


class Mark(Described):
    """A mark beside a dial or slider: it is turned no further."""

    command: Command = Field(description="command of the dial or slider")
    side: Literal["above", "below"] = Field("above", description="the command's positive or negative side")
    percent: float = measure(1, 100, "%", "how far it is turned, of its full way")


class Phase(Described):
    """A flight phase: the angle at which each named surface rests, and roll of its own where it has that."""

    name: str = Field(min_length=1, max_length=40, description="what you call it")
    angles_deg: dict[str, Number] = Field(description="surface name to angle, trailing edge down positive")
    roll_rate_percent: float | None = measure(
        0, 150, "%", "roll rate in this phase; left out, as in all others", None
    )
    differential_percent: float | None = measure(
        -100, 100, "%", "how much less an aileron goes down than up; left out, as its gains make it", None
    )

    @property
    def own_roll(self) -> dict[str, float]:
        """What of roll it has of its own, in percent: some of `mixlib.describe.radio.OwnRoll`, by name."""
        both = {"roll rate": self.roll_rate_percent, "differential": self.differential_percent}
        return {name: percent for name, percent in both.items() if percent is not None}

    @property
    def roll_words(self) -> str:
        """Roll of its own in words, such as ``"roll rate 70 %, differential 0 %"``; empty without any."""
        return ", ".join(f"{name} {number(percent)} %" for name, percent in self.own_roll.items())

    def kept_by(self, radio: Radio) -> Self:
        """The phase with no more roll of its own than a radio keeps."""
        return self.with_roll({name: None for name in self.own_roll if name not in radio.own_rolls})

    def with_roll(self, own_percent: Mapping[str, float | None]) -> Self:
        """Copy with some roll of its own, by name as in `own_roll`; None is none of its own."""
        return self.replace(
            **{f"{name.replace(' ', '_')}_percent": value for name, value in own_percent.items()}
        )
