"""Where a set-up can rest, and what every stick moves from there: neutral, levers at their ends, phases."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from mixlib.bench.surface.levers import lever_end
from mixlib.bench.surface.throws import demand_for_angle_percent
from mixlib.chain import Rig, commands
from mixlib.chain.outputs import pulse_us, travels_percent
from mixlib.chain.surfaces import SurfaceRow
from mixlib.describe import Aircraft, Phase, Setup, Shaping
from mixlib.describe.words import COMMAND_ENDS, command_end, listed
from mixlib.units import COMMAND_RANGES, COMMANDS

__all__ = ["STEERED", "Rest", "Rests", "end_words", "pair_words", "units_of", "where_words"]

STEERED = {
    "roll": ("aileron", "elevon"),
    "pitch": ("elevator", "v-tail", "elevon"),
    "yaw": ("rudder", "v-tail"),
}
"""Kinds of surface that a stick steers with."""

_ANSWERS_MM = 0.5  # a unit that moves less does not answer


@dataclass(frozen=True)
class Rest:
    """Where levers stand.

    Attributes
    ----------
    levers : dict of str to float
        Commands of the levers, -1 to 1.
    angles_deg : dict of str to float
        Of a phase, by surface: trailing edge down (rudder: left) positive.
    marked : bool
        Whether the levers stand no further than their marks.
    phase : Phase or None
        Whose own roll is in force.
    roll_share : float
        Of the roll stick's way, as much as a lower rate of that phase leaves by choice.
    """

    words: str
    levers: dict[str, float]
    angles_deg: dict[str, float]
    marked: bool = True
    phase: Phase | None = None
    roll_share: float = 1.0

    @property
    def due(self) -> tuple[tuple[str, str], ...]:
        """Levers out of neutral, with their sides."""
        return tuple((name, "above" if at > 0 else "below") for name, at in self.levers.items() if at)


class Rests:
    """All rests of a set-up, neutral first, to be asked with sticks.

    Raises
    ------
    LinkageError
        If a linkage cannot close at neutral; the text names the surface.
    """

    def __init__(self, setup: Setup):
        self.setup, self.rig = setup, Rig(setup)
        self.surfaces, self.units = setup.aircraft.surfaces, units_of(setup.aircraft)
        self._sockets = self.rig.outputs_of_surfaces
        self._outputs = [setup.output(setup.wiring[surface.name]) for surface in self.surfaces]
        self._row = SurfaceRow(self.surfaces)
        ends = self.rig.run([commands(**{c: v}) for c in COMMANDS for v in (COMMAND_RANGES[c][0], 0.0, 1.0)])
        self._moves = np.ptp(ends.throw.reshape(len(COMMANDS), 3, -1), axis=1) > _ANSWERS_MM
        self.rests = list(self._rests())

    def answers(self, command: str, places: Sequence[int]) -> bool:
        """Whether any surface of some places in the aircraft's list moves with a command of the radio."""
        held = command in self.setup.radio.commands
        return held and bool(self._moves[COMMANDS.index(command), list(places)].any())

    def demand_percent(self, **sticks: np.ndarray) -> np.ndarray:
        """Demand of every surface's output, percent, shape (rests, sticks ..., surfaces).

        Parameters
        ----------
        **sticks : numpy.ndarray
            Commands, -1 to 1, of shapes that go together.
        """
        axes = np.broadcast(*sticks.values()).ndim
        levers = {
            name: np.array([rest.levers.get(name, 0.0) for rest in self.rests]).reshape(-1, *[1] * axes)
            for name in ("camber", "brake", "throttle")
        }
        asked = commands(**sticks, **levers)
        demand = self.rig.run(asked).demand[..., self._sockets]
        still = self.rig.run(commands()).demand[self._sockets]
        for row, rest in enumerate(self.rests):
            if rest.phase is not None:
                demand[row] = Rig(self.setup, rest.phase).run(asked[row]).demand[..., self._sockets]
            for name, angle in rest.angles_deg.items():
                place = self.rig.surface_names.index(name)
                demand[row, ..., place] += demand_for_angle_percent(self.setup, name, angle) - still[place]
        return demand

    def throws_mm(self, **sticks: np.ndarray) -> np.ndarray:
        """Throws, mm, with the shape and the sticks of `demand_percent`, commands -1 to 1."""
        travel, _ = travels_percent(self.demand_percent(**sticks), self._outputs, self.setup.radio)
        return self._row.follow(pulse_us(travel, self.setup.radio)[0]).throw_mm

    def _rests(self) -> Iterator[Rest]:
        """Neutral first; every lever at its used ends, the brake half out too; phases; past the marks."""
        free = () if self.setup.aircraft.motor else ("throttle",)
        every = range(len(self.surfaces))
        levers = [name for name in ("camber", "brake", *free) if self.answers(name, every)]
        places = []
        for name in levers:
            used = self.setup.used_to(name, 1)
            places.append((0.0, used, self.setup.used_to(name, -1) if COMMAND_RANGES[name][0] else used / 2))
        for stand in product(*places):
            at = dict(zip(levers, stand, strict=True))
            yield Rest(
                where_words([self._at(name, value) for name, value in at.items() if value], ""), at, {}
            )
        for phase in self.setup.phases:
            end = lever_end(self.setup, phase.name)
            rest = Rest(phase.name, {}, phase.angles_deg)
            if end is not None:
                used = self.setup.used_to(end[0], 1 if end[1] == "above" else -1)
                rest = Rest(f"{phase.name} ({command_end(end[0], used)})", {end[0]: used}, {})
            if phase.own_roll:
                usual = self.setup.shaping.get("roll", Shaping()).rate_percent
                share = min(1.0, (phase.roll_rate_percent or usual) / max(usual, 1.0))
                yield replace(rest, phase=phase, roll_share=share)
            elif end is None:
                yield rest
        for mark in self.setup.marks:
            most = COMMAND_RANGES[mark.command][mark.side == "above"]
            if mark.percent < 100 and mark.command in levers:
                words = f"{mark.command} past its mark, {end_words(mark.command, most)}"
                yield Rest(words, {mark.command: most}, {}, marked=False)

    def _at(self, name: str, value: float) -> str:
        end = self.setup.used_to(name, 1 if value > 0 else -1)
        return command_end(name, value) if value == end else f"half {name}"


def units_of(aircraft: Aircraft) -> tuple[tuple[int, ...], ...]:
    """Places of the surfaces that are one thing: (right, left) of a pair, or one alone."""
    rights, found, taken = list(enumerate(aircraft.surfaces)), [], set()
    for place, surface in rights:
        if place in taken:
            continue
        other = "left" if surface.side == "right" else "right"
        mates = [
            (abs(mate.y_inner_mm - surface.y_inner_mm), where)
            for where, mate in rights
            if where not in taken and mate.kind == surface.kind and mate.side == other
        ]
        unit: tuple[int, ...] = (place,)
        if mates and surface.side != "centre":
            mate_place = min(mates)[1]
            unit = (place, mate_place) if surface.side == "right" else (mate_place, place)
        taken |= set(unit)
        found.append(unit)
    return tuple(found)


def pair_words(aircraft: Aircraft, unit: Sequence[int]) -> str:
    """A unit of surfaces in words, such as ``"right aileron and left aileron"``."""
    return listed(aircraft.surface_names[place] for place in unit)


def end_words(command: str, value: float) -> str:
    """Where a stick stands, such as ``"half stick right"``; nothing for 0, of a command from -1 to 1."""
    if not value:
        return ""
    return f"{'half ' if abs(value) == 0.5 else ''}{COMMAND_ENDS[command][int(value > 0)]}"


def where_words(words: Iterable[str], still: str = "neutral") -> str:
    """Where sticks and levers stand together; another word where nothing does."""
    return listed(word for word in words if word) or still
