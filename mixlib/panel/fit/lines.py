"""Wished throws as lines of a form: a pair whose left half mirrors the right one is one line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from mixlib.air.aircraft.phases import elevator_over_lever
from mixlib.bench.fit import addable
from mixlib.bench.fit.shares import SIDES, mirrored
from mixlib.bench.surface.rests import units_of
from mixlib.describe import Aircraft, Setup, Want
from mixlib.describe.words import COMMAND_ENDS, listed
from mixlib.units import COMMANDS

__all__ = ["Line", "end_of", "lines_of", "lines_to_add", "want_words"]


@dataclass(frozen=True)
class Line:
    """One command of one surface or pair, with what is wished at its ends.

    Attributes
    ----------
    title : str
        Such as ``"ailerons, roll"`` or ``"elevator, pitch"``.
    wants : tuple of Want
        Of the right-hand or only surface, one for each end.
    mates : tuple of Want
        The same of the left-hand one, which mirrors it; empty for one surface alone.
    offer, source : str
        What it is called while it can be added, and where its amounts come from; empty for the reader's own.
    """

    title: str
    wants: tuple[Want, ...]
    mates: tuple[Want, ...] = ()
    offer: str = ""
    source: str = ""

    @property
    def weight(self) -> float:
        """Weight of all its wishes, no unit."""
        return self.wants[0].weight


def lines_of(aircraft: Aircraft, wants: Sequence[Want]) -> tuple[Line, ...]:
    """Put wished throws into lines, in the order of the surfaces and of the commands; none is lost."""
    lines: list[Line] = []
    for unit in units_of(aircraft):
        names = [aircraft.surface_names[place] for place in unit]
        for command in COMMANDS:
            right, *lefts = ([w for w in wants if (w.surface, w.command) == (n, command)] for n in names)
            for left in lefts:
                mates = [_mate(aircraft, want, left, mirrored(command, unit)) for want in right]
                if len(left) == len(right) and None not in mates:
                    lines += _by_weight(aircraft, [(w, m) for w, m in zip(right, mates, strict=True) if m])
                else:
                    lines += _by_weight(aircraft, [(w,) for w in right])
                    lines += _by_weight(aircraft, [(w,) for w in left])
            if not lefts:
                lines += _by_weight(aircraft, [(w,) for w in right])
    return tuple(lines)


def lines_to_add(setup: Setup, wants: Sequence[Want]) -> tuple[Line, ...]:
    """What the trade wishes besides, for an aircraft and radio of which so much is wanted already."""
    found: list[Line] = []
    elevator = partial(elevator_over_lever, setup.aircraft)
    for extra in addable(setup.replace(wanted=tuple(wants)), elevator):
        lines = lines_of(setup.aircraft, extra.wants)
        for line in lines:
            offer = extra.name if len(lines) == 1 else f"{extra.name}: {line.title}"
            found.append(replace(line, offer=offer, source=extra.source))
    return tuple(found)


def want_words(want: Want) -> str:
    """Name a wished throw, such as ``"left aileron, roll (stick right)"``."""
    return f"{want.surface}, {want.command} ({end_of(want)})"


def end_of(want: Want) -> str:
    """The end of the command that a wish is for, such as ``"stick right"``."""
    return COMMAND_ENDS[want.command][want.side == "above"]


def _mate(aircraft: Aircraft, want: Want, others: Sequence[Want], turned: bool) -> Want | None:
    """The wish of the left-hand surface that mirrors one of the right-hand one."""
    side = SIDES[SIDES.index(want.side) ^ turned]
    for other in others:
        alike = all(other.throw_mm(aircraft, way) == want.throw_mm(aircraft, way) for way in (0.25, 0.5, 1.0))
        if other.side == side and alike and other.weight == want.weight:
            return other
    return None


def _by_weight(aircraft: Aircraft, rows: Sequence[tuple[Want, ...]]) -> Iterable[Line]:
    for weight in dict.fromkeys(row[0].weight for row in rows):
        same = sorted((row for row in rows if row[0].weight == weight), key=lambda row: row[0].side)
        wants, *mates = (tuple(column) for column in zip(*same, strict=True))
        title = f"{_named(aircraft, [w[0].surface for w in (wants, *mates)])}, {wants[0].command}"
        if len({row[0].weight for row in rows}) > 1:
            title += f" ({listed(end_of(want) for want in wants)})"
        yield Line(title, wants, mates[0] if mates else ())


def _named(aircraft: Aircraft, names: Sequence[str]) -> str:
    """A pair by the name that its two halves share, in the plural."""
    bases = {name.removeprefix(f"{aircraft.surface(name).side} ") for name in names}
    return f"{bases.pop()}s" if len(names) == 2 and len(bases) == 1 else listed(names)
