"""The flight phases on the bench card: where every surface must rest, and the lever that goes there."""

from __future__ import annotations

from mixlib.bench.card.sections import COMMAND_ENDS, TICK, Section, plain
from mixlib.bench.surface.levers import nearest_lever
from mixlib.describe import Phase, Setup
from mixlib.describe.words import movement, sentence_start
from mixlib.units import throw_mm_from_angle

__all__ = ["phases"]

_SEEN_MM = 0.05  # a miss that is written as 0.0 is none


def phases(setup: Setup) -> Section:
    """Where the surfaces must rest in each phase, and which lever comes nearest.

    Returns
    -------
    Section
        The section; empty without phases.
    """
    named = {name for phase in setup.phases for name in phase.angles_deg}
    surfaces = [part for part in setup.aircraft.surfaces if part.name in named]
    rows = []
    for phase in setup.phases:
        angles = [phase.angles_deg.get(part.name, 0.0) for part in surfaces]
        cells = (
            movement(part, angle, float(throw_mm_from_angle(angle, part.chord_mm)))
            for part, angle in zip(surfaces, angles, strict=True)
        )
        rows.append(tuple(map(plain, (TICK, sentence_start(phase.name), *cells, _lever(setup, phase)))))
    columns = (
        "Seen",
        "Phase",
        *(sentence_start(part.name) for part in surfaces),
        "Nearest lever, and its miss",
    )
    return Section("Where it rests in each phase", columns=tuple(map(plain, columns)), rows=tuple(rows))


def _lever(setup: Setup, phase: Phase) -> str:
    found = nearest_lever(setup, phase)
    name, missed = found.worst
    place = "all at neutral"
    if found.command:
        end = COMMAND_ENDS[found.command, 1 if found.value > 0 else -1]
        place = f"{100 * abs(found.value):.0f} % of {end}"
    return f"{place}; {abs(missed):.1f} mm ({name})" if abs(missed) >= _SEEN_MM else f"{place}; none"
