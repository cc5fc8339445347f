"""Wishes that the trade has besides the usual ones: what helps a stick, and elevator with the levers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from mixlib.bench.fit.wants import helping_wants, throw_of, usual_wants, weight_of
from mixlib.bench.surface.levers import phase_of_end
from mixlib.describe import Setup, Surface, Want
from mixlib.units import HALF_MM, angle_from_throw_mm

__all__ = ["Elevator", "Extra", "addable", "want_over_lever"]

Elevator = Callable[[str, Sequence[Mapping[str, float]]], Sequence[float]]
"""For a phase by its name and the angles (deg) of flaps and ailerons at places of its lever, the last of them
the phase itself: the elevator that holds its speed at each place, deg, trailing edge down positive.  Raises
ValueError for an aircraft that cannot be flown."""

_WITH_STICKS = {
    "flaps with roll": ("roll", ("flap",)),
    "rudder with roll": ("roll", ("rudder", "v-tail")),
    "a little flap with pitch": ("pitch", ("flap",)),
    "a little droop with pitch": ("pitch", ("aileron",)),
}
_WITH_LEVERS = {
    "elevator with droop": ("camber", "above"),
    "elevator with reflex": ("camber", "below"),
    "elevator with brake": ("brake", "above"),
}


@dataclass(frozen=True)
class Extra:
    """A wish that can be added.

    Attributes
    ----------
    name : str
        In the words of the trade, such as ``"rudder with roll"``.
    wants : tuple of Want
        For every surface of it; those of the elevator may have a half of their own.
    source : str
        Where the amounts come from, in words.
    """

    name: str
    wants: tuple[Want, ...]
    source: str


def addable(setup: Setup, elevator: Elevator | None = None) -> tuple[Extra, ...]:
    """What may be wished besides: only what fits aircraft and radio, and is not wanted yet.

    Parameters
    ----------
    setup : Setup
        Whose wanted throws count, or the usual ones if it has none.
    elevator : Elevator, optional
        Works the elevator's amounts out; without it they are usual ones.
    """
    wanted = [want for want in setup.wanted or usual_wants(setup.aircraft) if want.weight > 0]
    asked = {(want.surface, want.command, want.side) for want in wanted}
    found = []
    for name, (command, kinds) in _WITH_STICKS.items():
        if kinds == ("aileron",) and setup.aircraft.of_kind("flap"):
            continue
        wants = [want for part in setup.aircraft.of_kind(*kinds) for want in helping_wants(part, command)]
        found.append(Extra(name, tuple(wants), "usual amounts"))
    for name, end in _WITH_LEVERS.items():
        wing = [want for want in wanted if (want.command, want.side) == end and want.amount]
        found += _held(setup, name, phase_of_end(setup, *end), wing, elevator)
    held = setup.radio.commands
    return tuple(
        extra
        for extra in found
        if extra.wants
        and extra.wants[0].command in held
        and not any((want.surface, want.command, want.side) in asked for want in extra.wants)
    )


def _held(
    setup: Setup, name: str, phase: str, wing: Sequence[Want], elevator: Elevator | None
) -> Iterable[Extra]:
    """Elevator for what the wing does at a lever's end, if it does anything and takes any."""
    moved = [w for w in wing if setup.aircraft.surface(w.surface).kind in ("aileron", "flap")]
    parts = setup.aircraft.of_kind("elevator", "v-tail") or setup.aircraft.of_kind("elevon")
    if not moved or not parts:
        return
    command, side = moved[0].command, moved[0].side
    source = "usual amounts; they are worked out once the aircraft is described far enough to be flown"
    wants = [want for part in parts for want in helping_wants(part, command) if want.side == side]
    if elevator:
        try:
            half_deg, whole_deg = elevator(phase, [_angles_deg(setup, moved, way) for way in (0.5, 1.0)])
        except ValueError:
            pass
        else:
            source = "worked out for this aircraft"
            wants = [want_over_lever(part, command, side, half_deg, whole_deg) for part in parts]
    if any(want.amount or want.half for want in wants):
        yield Extra(name, tuple(wants), source)


def _angles_deg(setup: Setup, wants: Iterable[Want], share: float) -> dict[str, float]:
    return {
        want.surface: float(
            angle_from_throw_mm(
                want.throw_mm(setup.aircraft, share), setup.aircraft.surface(want.surface).chord_mm
            )
        )
        for want in wants
    }


def want_over_lever(surface: Surface, command: str, side: str, half_deg: float, whole_deg: float) -> Want:
    """What is wished of a surface with a lever, to half a millimetre.

    Parameters
    ----------
    half_deg, whole_deg : float
        With half and all of the lever's way, deg, trailing edge down positive.
    """
    half, amount = throw_of(surface, half_deg), throw_of(surface, whole_deg)
    return Want(
        surface=surface.name,
        command=command,
        side=side,
        amount=amount,
        weight=weight_of(surface, command),
        half=half if abs(half - amount / 2) >= HALF_MM / 2 else None,
    )
