"""Geometry of flight phases side by side: one column a phase, one row a pair of surfaces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from mixlib.describe import Aircraft, Phase, Surface
from mixlib.describe.words import direction, listed, movement, sentence_start
from mixlib.draw.section import placed_section, room_sines, section_of
from mixlib.draw.shapes import MARGIN, ROOM, Drawing, Line, Point, Room, Scaled, Shape, Text, fitted, heading
from mixlib.draw.theme import one_line, role_width, wrapped
from mixlib.units import throw_mm_from_angle

__all__ = ["Row", "phase_columns", "rows_of"]

_COLUMN = 92.0  # least width of the place for one section
_CHORD = (44.0, 150.0)  # least and most length of a section
_LINE = 19.0


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


def rows_of(aircraft: Aircraft, angles_deg: Sequence[Mapping[str, float]]) -> tuple[Row, ...]:
    """Put surfaces together that mirror each other and stand alike in every setting.

    Parameters
    ----------
    angles_deg : sequence of mapping
        Surface name to angle in deg, for each setting.

    Returns
    -------
    tuple of Row
        In the aircraft's order; surfaces that no setting names are left out.
    """
    rows: dict[tuple, list[Surface]] = {}
    for part in aircraft.surfaces:
        if any(part.name in angles for angles in angles_deg):
            stands = tuple(angles.get(part.name, 0.0) for angles in angles_deg)
            rows.setdefault((part.part, part.kind, part.y_inner_mm, part.y_outer_mm, stands), []).append(part)
    return tuple(Row(_label(parts), tuple(part.name for part in parts)) for parts in rows.values())


def _label(parts: Sequence[Surface]) -> str:
    bases = {part.name.removeprefix(f"{part.side} ") for part in parts}
    return (
        f"both {bases.pop()}s" if len(parts) == 2 and len(bases) == 1 else listed(part.name for part in parts)
    )


@fitted
def phase_columns(
    aircraft: Aircraft, phases: Sequence[Phase], notes: Mapping[str, str], *, room: Room = ROOM
) -> Drawing:
    """Draw the sections of every phase at their true angles: a column a phase, in a narrow room a row.

    Parameters
    ----------
    phases : sequence of Phase
        Angles in deg, trailing edge down positive.
    notes : mapping of str to str
        A few words below the name of a phase, such as its speed.

    Returns
    -------
    Drawing
        One section for each phase and pair of surfaces; all in words as description.
    """
    rows = rows_of(aircraft, [phase.angles_deg for phase in phases])
    note = ("From the side, nose to the left. Dashed: neutral.", "Nose to the left. Dashed: neutral.")
    heads, top = heading("Where the surfaces rest", room, *note)
    grid = _Grid(aircraft, rows, phases, room.width - 2 * MARGIN, room.height - top)
    across = grid.wide / len(phases) >= _COLUMN
    shapes, height = grid.across(notes, top) if across else grid.down(top)
    said = (
        f"{sentence_start(phase.name)}: {listed(f'{row.label} {grid.words(row, phase)[0]}' for row in rows)}."
        for phase in phases
    )
    return Drawing(room.width, height, (*heads, *shapes), "Flight phases side by side", " ".join(said))


@dataclass(frozen=True)
class _Grid:
    """A section for each row of surfaces and each phase, in a place so wide and so high."""

    aircraft: Aircraft
    rows: Sequence[Row]
    phases: Sequence[Phase]
    wide: float
    high: float

    def surface(self, row: Row) -> Surface:
        return self.aircraft.surface(row.names[0])

    def words(self, row: Row, phase: Phase) -> tuple[str, str]:
        """The movement in full, and short."""
        surface, angle = self.surface(row), phase.angles_deg.get(row.names[0], 0.0)
        throw = float(throw_mm_from_angle(angle, surface.chord_mm))
        way = direction(surface, throw)
        return movement(surface, angle, throw), way if way == "neutral" else f"{way} {abs(angle):.1f}°"

    def heights(self, row: Row, chord: float) -> tuple[float, float]:
        """Room that the sections of one row need over and under their line."""
        surface = self.surface(row)
        ratio = section_of(self.aircraft, surface)[1]
        sines = [room_sines(surface, phase.angles_deg.get(surface.name, 0.0)) for phase in self.phases]
        up, down = (chord * max(0.09, ratio * max(both[way] for both in sines)) for way in (0, 1))
        return up + 4, down + 2

    def chord(self, rows: Sequence[Row], column: float, high: float) -> float:
        """Longest chord at which the sections of some rows fit a column and a height."""
        one, two = (sum(sum(self.heights(row, chord)) for row in rows) for chord in (1.0, 2.0))
        longest = 1.0 + (high - one) / (two - one)  # heights are linear in the chord
        return max(min(longest, _CHORD[1], column - 13), _CHORD[0])

    def drawn(self, row: Row, phase: Phase, at: Point, chord: float, y: float, column: float) -> list[Shape]:
        """A section and, at y, its words."""
        angle = phase.angles_deg.get(row.names[0], 0.0)
        short = role_width("right 88.8 mm (88.8°)", "note") > column - 5
        section = placed_section(self.aircraft, self.surface(row), angle, *at, chord)
        placed = Scaled(tuple(section), f"{row.names[0]}, {phase.name}", at, (chord, chord))
        return [placed, Text(at[0], y, self.words(row, phase)[short], "note")]

    def across(self, notes: Mapping[str, str], top: float) -> tuple[list[Shape], float]:
        """A column a phase; also the lower end."""
        column = self.wide / len(self.phases)
        told = [wrapped(notes.get(phase.name, ""), column - 10, "note") for phase in self.phases]
        whole = self.high > 250 and not any(lines[-1].endswith("...") for lines in told if lines)
        most = max(map(len, told)) if whole else 0  # else the description alone has them
        shapes: list[Shape] = []
        for number, (phase, lines) in enumerate(zip(self.phases, told, strict=True)):
            x, name = MARGIN + column * number, one_line(sentence_start(phase.name), column - 10, "strong")
            shapes.append(Text(x, top + 17, name, "strong"))
            shapes += [Text(x, top + 36 + _LINE * n, line, "note") for n, line in enumerate(lines[:most])]
        head = 26 + _LINE * most
        top += head
        chord = self.chord(self.rows, column, self.high - head - (2 * _LINE + 8) * len(self.rows) - 6)
        for row in self.rows:
            up, down = self.heights(row, chord)
            shapes.append(Line(((MARGIN, top), (MARGIN + self.wide, top)), "rule"))
            shapes.append(Text(MARGIN, top + 17, sentence_start(row.label), "note"))
            line = top + _LINE + 2 + up
            for number, phase in enumerate(self.phases):
                at = (MARGIN + column * number, line)
                shapes += self.drawn(row, phase, at, chord, line + down + 16, column)
            top = line + down + _LINE + 6
        return shapes, top + 4

    def down(self, top: float) -> tuple[list[Shape], float]:
        """A row a phase; also the lower end."""
        names = [wrapped(sentence_start(phase.name), 0.3 * self.wide, "strong") for phase in self.phases]
        first = max(role_width(line, "strong") for lines in names for line in lines) + 12
        column = (self.wide - first) / len(self.rows)
        xs = [MARGIN + first + column * number for number in range(len(self.rows))]
        labels = [wrapped(sentence_start(row.label), column - 8, "note") for row in self.rows]
        shapes: list[Shape] = [
            Text(x, top + 15 + _LINE * n, line, "note")
            for x, label in zip(xs, labels, strict=True)
            for n, line in enumerate(label)
        ]
        head = 4 + _LINE * max(map(len, labels))
        top += head
        tallest = max(self.rows, key=lambda row: sum(self.heights(row, 1.0)))
        free = (self.high - head) / len(self.phases) - _LINE - 6
        chord = self.chord([tallest], column, free)
        up, down = (max(self.heights(row, chord)[way] for row in self.rows) for way in (0, 1))
        for phase, lines in zip(self.phases, names, strict=True):
            line = top + up
            shapes.append(Line(((MARGIN, top), (MARGIN + self.wide, top)), "rule"))
            shapes += [Text(MARGIN, top + 18 + _LINE * n, text, "strong") for n, text in enumerate(lines)]
            for x, row in zip(xs, self.rows, strict=True):
                shapes += self.drawn(row, phase, (x, line), chord, line + down + 14, column)
            top = max(line + down + _LINE, top + _LINE * len(lines) + 4) + 4
        return shapes, top + 4
