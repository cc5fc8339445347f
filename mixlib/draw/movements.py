"""Each surface with where it is, in numbers and in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from mixlib.describe import Aircraft, Surface
from mixlib.describe.words import movement_sentence, sentence_start
from mixlib.units import throw_mm_from_angle

__all__ = ["Moved", "moved_surfaces", "moved_words", "placed"]


@dataclass(frozen=True)
class Moved:
    """One surface with where it is now: angle in deg, throw in mm, trailing edge down positive."""

    surface: Surface
    angle: float
    throw: float
    note: str


def moved_surfaces(
    aircraft: Aircraft,
    angles_deg: Iterable[float],
    throws_mm: Iterable[float],
    notes: Sequence[str] | None,
) -> list[Moved]:
    """Every surface of an aircraft with where it is, in the aircraft's order."""
    rows = zip(aircraft.surfaces, angles_deg, throws_mm, notes or [""] * len(aircraft.surfaces), strict=True)
    return [Moved(surface, float(angle), float(throw), note) for surface, angle, throw, note in rows]


def placed(aircraft: Aircraft, angles_deg: Mapping[str, float]) -> tuple[list[float], list[float]]:
    """Angle (deg) and throw (mm) of every surface from angles by name; neutral where none is given."""
    angles = [float(angles_deg.get(surface.name, 0.0)) for surface in aircraft.surfaces]
    pairs = zip(angles, aircraft.surfaces, strict=True)
    return angles, [float(throw_mm_from_angle(angle, surface.chord_mm)) for angle, surface in pairs]


def moved_words(moved: Sequence[Moved]) -> str:
    """Movement and warning of each surface, for those who do not see the picture."""
    words = movement_sentence(
        [item.surface for item in moved], [item.angle for item in moved], [item.throw for item in moved]
    )
    warned = [f"{sentence_start(item.surface.name)}: {item.note}." for item in moved if item.note]
    return " ".join([words, *warned])
