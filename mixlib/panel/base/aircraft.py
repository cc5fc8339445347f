"""The whole aircraft as a panel's picture: as the commands stand, or at some angles."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from mixlib.chain import Rig, Stages, commands
from mixlib.describe import Aircraft, Setup
from mixlib.draw.aircraft.view import SEEN_FROM, aircraft_view
from mixlib.draw.movements import placed
from mixlib.draw.shapes import Drawing
from mixlib.say.readout import limit_notes
from mixlib.units import COMMAND_RANGES

__all__ = ["Hand", "posed", "ways_of", "whole_aircraft"]

_SEEN_DEG = 0.05  # a surface that moves less than this stays where it is


def whole_aircraft(
    setup: Setup, stages: Stages, ways: Mapping[str, tuple[float, float]] | None = None
) -> Callable[..., Drawing]:
    """The picture of the whole aircraft with its surfaces as they stand, for a `Seen`.

    Parameters
    ----------
    stages : Stages
        For one set of commands.
    ways : mapping of str to (float, float), optional
        Surfaces whose way is drawn; see `aircraft_view`.
    """
    notes = limit_notes(setup, stages)
    return partial(aircraft_view, setup.aircraft, stages.surface, stages.throw, notes, trace=ways)


def posed(
    aircraft: Aircraft, angles_deg: Mapping[str, float], title: str = SEEN_FROM
) -> Callable[..., Drawing]:
    """The picture of the whole aircraft with its surfaces at some angles, neutral where none is given."""
    return partial(aircraft_view, aircraft, *placed(aircraft, angles_deg), title=title)


def ways_of(rig: Rig, values: Mapping[str, float], command: str) -> dict[str, tuple[float, float]]:
    """Angles in deg between which surfaces go with a command, the others as they stand.

    One side shows it: the other does the same, or its mirror image.
    """
    ends = [commands(**{**values, command: end}) for end in COMMAND_RANGES[command]]
    between = zip(rig.setup.aircraft.surfaces, *rig.run(ends).surface.tolist(), strict=True)
    return {s.name: (a, b) for s, a, b in between if s.side != "left" and abs(b - a) > _SEEN_DEG}


class Hand:
    """Remembers which command was moved last, so that the way of the surfaces with it can be drawn."""

    def __init__(self) -> None:
        self._start: dict[str, float] = {}
        self._before: dict[str, float] = {}
        self._command = ""

    def aircraft(self, rig: Rig, values: Mapping[str, float], stages: Stages) -> Callable[..., Drawing]:
        """The picture of the aircraft with these commands, and the ways of that which was moved last.

        Parameters
        ----------
        stages : Stages
            What the rig makes of the commands.
        """
        command = self._moves(dict(values))
        return whole_aircraft(rig.setup, stages, ways_of(rig, values, command) if command else None)

    def _moves(self, values: dict[str, float]) -> str:
        """The command that these values, or the last change before them, moved alone; none at the start."""
        self._start = self._start or dict(values)
        changed = [name for name, value in values.items() if value != self._before.get(name, value)]
        if changed:
            self._command = changed[0] if len(changed) == 1 else ""
        self._before = dict(values)
        return "" if values == self._start else self._command
