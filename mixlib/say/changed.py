"""What differs between two states of a set-up, in lines."""

from __future__ import annotations

from collections.abc import Iterator

from mixlib.bench.fit.typed import changes
from mixlib.describe import Phase, Setup, Surface
from mixlib.describe.words import NEUTRAL_MM, listed, movement, number
from mixlib.units import throw_mm_from_angle

__all__ = ["change_lines"]

_NOT_SET = "not set"


def change_lines(before: Setup, after: Setup) -> tuple[str, ...]:
    """Say what differs between two states of a set-up, old and new, one line each.

    Settings come first, in the order of typing, then mass, balance point and holes, then where the surfaces
    rest in each phase, then the field.
    """
    typed = (
        f"{one.where}, {one.what}: {one.old or 'not there'} → {one.new or 'not there'}"
        for one in changes(before, after)
    )
    return (*typed, *_aircraft(before, after), *_phases(before, after), *_field(before, after))


def _aircraft(before: Setup, after: Setup) -> Iterator[str]:
    old, new = before.aircraft, after.aircraft
    for what, a, b, unit in (
        ("mass", 1000 * old.mass_kg, 1000 * new.mass_kg, "g"),
        ("balance point", old.cg_mm, new.cg_mm, "mm"),
    ):
        if round(a, 6) != round(b, 6):
            yield f"{what}: {number(a)} → {number(b)} {unit}"
    moved: dict[tuple[str, str], list[str]] = {}
    for part in new.surfaces:
        if part.name in old.surface_names:
            holes = _holes(old.surface(part.name)), _holes(part)
            moved.setdefault(holes, []).append(part.name)
    for (was, is_), surfaces in moved.items():
        if was != is_:
            yield f"{listed(surfaces)}, holes: {was} → {is_}"


def _holes(surface: Surface) -> str:
    return f"arm {number(surface.linkage.arm_mm)}, horn {number(surface.linkage.horn_mm)} mm"


def _phases(before: Setup, after: Setup) -> Iterator[str]:
    old, new = ({phase.name: phase for phase in setup.phases} for setup in (before, after))
    for name in dict.fromkeys([*new, *old]):
        if name in old and name in new and old[name].angles_deg == new[name].angles_deg:
            continue
        moved: dict[tuple[str, str], list[str]] = {}
        for surface in after.aircraft.surface_names:
            ends = _rests(before, old.get(name), surface), _rests(after, new.get(name), surface)
            if ends[0] != ends[1] and set(ends) != {_NOT_SET, "neutral"}:
                moved.setdefault(ends, []).append(surface)
        for (was, is_), surfaces in moved.items():
            yield f"{name}, {listed(surfaces)}: {was} → {is_}"
        if not moved:
            was, is_ = ("all at neutral" if name in phases else _NOT_SET for phases in (old, new))
            yield f"{name}: {f'{was} → {is_}' if was != is_ else f'moved by less than {NEUTRAL_MM} mm'}"


def _rests(setup: Setup, phase: Phase | None, name: str) -> str:
    if phase is None:
        return _NOT_SET
    surface, angle = setup.aircraft.surface(name), phase.angles_deg.get(name, 0.0)
    return movement(surface, angle, float(throw_mm_from_angle(angle, surface.chord_mm)))


def _field(before: Setup, after: Setup) -> Iterator[str]:
    if before.field != after.field:
        was, is_ = (
            f"{field.length_m:g} m of {field.ground}, {field.obstacle_m:g} m in front"
            for field in (before.field, after.field)
        )
        yield f"field: {was} → {is_}"
