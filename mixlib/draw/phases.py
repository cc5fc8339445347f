"""Geometry of flight phases side by side: one column a phase, one row a pair of surfaces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from mixlib.describe import Aircraft, Phase
from mixlib.describe.words import listed, movement, sentence_start
from mixlib.draw.section import placed_section, room_sines, section_of
from mixlib.draw.shapes import ROOM, Drawing, Line, Room, Shape, Text
from mixlib.draw.theme import one_line
from mixlib.units import throw_mm_from_angle

__all__ = ["Row", "phase_columns", "rows_of"]

_COLUMN, _CHORD, _LEFT, _HEAD = 196.0, 132.0, 20.0, 104.0


@dataclass(frozen=True)
class Row:
    """Surfaces that stand alike in every phase.

    Attributes
    ----------
    names : tuple of str
        Their names; the first stands for all.
    """

    label: str
    names: tuple[str, ...]


def rows_of(aircraft: Aircraft, phases: Sequence[Phase]) -> tuple[Row, ...]:
    """Put the surfaces of phases together that stand alike left and right.

    Parameters
    ----------
    phases : sequence of Phase
        Angles in deg.

    Returns
    -------
    tuple of Row
        In the aircraft's order; surfaces that no phase names are left out.
    """
    named = [part for part in aircraft.surfaces if any(part.name in phase.angles_deg for phase in phases)]
    rows: dict[tuple, list[str]] = {}
    for part in named:
        base = part.name.removeprefix("left ").removeprefix("right ")
        angles = tuple(phase.angles_deg.get(part.name, 0.0) for phase in phases)
        rows.setdefault((base, part.kind, angles), []).append(part.name)
    return tuple(
        Row(f"both {base}s" if len(names) == 2 else listed(names), tuple(names))
        for (base, _, _), names in rows.items()
    )


def phase_columns(
    aircraft: Aircraft, phases: Sequence[Phase], notes: Mapping[str, str], *, room: Room = ROOM
) -> Drawing:
    """Draw the sections of every phase side by side, at their true angles.

    Parameters
    ----------
    phases : sequence of Phase
        Angles in deg, trailing edge down positive.
    notes : mapping of str to str
        A few words below the name of a phase, such as its speed.

    Returns
    -------
    Drawing
        One column a phase, one row a pair of surfaces; all in words as description.
    """
    rows = rows_of(aircraft, phases)
    width = _LEFT + _COLUMN * len(phases) + 4
    shapes: list[Shape] = [Text(20, 32, "Where the surfaces rest in each phase", "title")]
    for place, phase in enumerate(phases):
        x = _LEFT + _COLUMN * place
        shapes.append(Text(x, 66, one_line(sentence_start(phase.name), _COLUMN - 16, "strong"), "strong"))
        shapes.append(Text(x, 88, one_line(notes.get(phase.name, ""), _COLUMN - 12, "note"), "note"))
    said = {phase.name: [] for phase in phases}
    top = _HEAD
    for row in rows:
        surface = aircraft.surface(row.names[0])
        room = [room_sines(surface, phase.angles_deg.get(surface.name, 0.0)) for phase in phases]
        ratio = section_of(aircraft, surface)[1]
        up, down = (_CHORD * ratio * max(sines[side] for sines in room) for side in (0, 1))
        line = top + 26 + max(18.0, up)
        shapes += [
            Line(((14, top), (width - 10, top)), "rule"),
            Text(_LEFT, top + 20, sentence_start(row.label), "note"),
        ]
        bottom = line + max(14.0, down) + 22
        for place, phase in enumerate(phases):
            angle = phase.angles_deg.get(surface.name, 0.0)
            words = movement(surface, angle, float(throw_mm_from_angle(angle, surface.chord_mm)))
            x = _LEFT + _COLUMN * place
            shapes += placed_section(aircraft, surface, angle, x, line, _CHORD)
            shapes.append(Text(x, bottom, words, "note"))
            said[phase.name].append(f"{row.label} {words}")
        top = bottom + 12
    shapes.append(Text(20, top + 14, "From the side, nose to the left. Dashed: neutral.", "note"))
    sentences = [f"{sentence_start(name)}: {listed(words)}." for name, words in said.items()]
    return Drawing(width, top + 26, tuple(shapes), "Flight phases side by side", " ".join(sentences))
