"""Geometry of flight phases side by side: one column a phase, one row a pair of surfaces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from mixlib.describe import Aircraft, Phase, Surface
from mixlib.describe.words import direction, listed, movement, sentence_start
from mixlib.draw.section import placed_section, room_sines, section_of
from mixlib.draw.shapes import MARGIN, ROOM, Drawing, Line, Room, Shape, Text, fitted, heading
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
    title = "Where the surfaces rest"
    note = ("From the side, nose to the left. Dashed: neutral.", "Nose to the left. Dashed: neutral.")
    heads, top = heading(title, room, *note)
    cells = [[_Cell.of(aircraft, row, phase) for phase in phases] for row in rows]
    wide = room.width - 2 * MARGIN
    place = Room(wide, room.height - top)
    draw = _across if wide / len(phases) >= _COLUMN else _down
    shapes, height = draw(aircraft, rows, phases, notes, cells, top, place)
    said = [
        f"{sentence_start(phase.name)}: "
        f"{listed(f'{row.label} {cells[index][number].words[0]}' for index, row in enumerate(rows))}."
        for number, phase in enumerate(phases)
    ]
    return Drawing(room.width, height, (*heads, *shapes), "Flight phases side by side", " ".join(said))


@dataclass(frozen=True)
class _Cell:
    """A surface at its angle in deg, and its movement in words: in full, and short."""

    surface: Surface
    angle: float
    words: tuple[str, str]

    @classmethod
    def of(cls, aircraft: Aircraft, row: Row, phase: Phase) -> _Cell:
        surface = aircraft.surface(row.names[0])
        angle = phase.angles_deg.get(surface.name, 0.0)
        throw = float(throw_mm_from_angle(angle, surface.chord_mm))
        way = direction(surface, throw)
        short = way if way == "neutral" else f"{way} {abs(angle):.1f}°"
        return cls(surface, angle, (movement(surface, angle, throw), short))

    def drawn(
        self, aircraft: Aircraft, left: float, line: float, chord: float, y: float, wide: float
    ) -> list[Shape]:
        """The section and below it, at y, its words."""
        section = placed_section(aircraft, self.surface, self.angle, left, line, chord)
        return [
            *section,
            Text(left, y, self.words[role_width("right 88.8 mm (88.8°)", "note") > wide], "note"),
        ]


Grid = Sequence[Sequence[_Cell]]


def _heights(aircraft: Aircraft, cells: Sequence[_Cell], chord: float) -> tuple[float, float]:
    """Room that the sections of one surface need over and under their line."""
    ratio = section_of(aircraft, cells[0].surface)[1]
    sines = [room_sines(cell.surface, cell.angle) for cell in cells]
    up, down = (chord * max(0.09, ratio * max(both[way] for both in sines)) for way in (0, 1))
    return up + 4, down + 2


def _fitting_chord(aircraft: Aircraft, cells: Grid, wide: float, high: float, each: int) -> float:
    """Longest chord at which the sections of all rows fit a height, each row so many times."""
    one, two = (sum(sum(_heights(aircraft, row, chord)) for row in cells) for chord in (1.0, 2.0))
    longest = 1.0 + (high / each - one) / (two - one)  # heights are linear in the chord
    return max(min(longest, _CHORD[1], wide), _CHORD[0])


def _across(
    aircraft: Aircraft,
    rows: Sequence[Row],
    phases: Sequence[Phase],
    notes: Mapping[str, str],
    cells: Grid,
    top: float,
    room: Room,
) -> tuple[list[Shape], float]:
    """A column a phase; also the lower end."""
    column = room.width / len(phases)
    told = [wrapped(notes.get(phase.name, ""), column - 10, "note") for phase in phases]
    whole = room.height > 250 and not any(lines[-1].endswith("...") for lines in told if lines)
    lines = max(map(len, told)) if whole else 0  # else the description alone has them
    shapes: list[Shape] = []
    for number, phase in enumerate(phases):
        x = MARGIN + column * number
        shapes.append(
            Text(x, top + 17, one_line(sentence_start(phase.name), column - 10, "strong"), "strong")
        )
        shapes += [Text(x, top + 36 + _LINE * n, line, "note") for n, line in enumerate(told[number][:lines])]
    top += 26 + _LINE * lines
    free = room.height - 26 - _LINE * lines - (2 * _LINE + 8) * len(rows) - 6
    chord = _fitting_chord(aircraft, cells, column - 14, free, 1)
    for row, members in zip(rows, cells, strict=True):
        up, down = _heights(aircraft, members, chord)
        shapes.append(Line(((MARGIN, top), (MARGIN + room.width, top)), "rule"))
        shapes.append(Text(MARGIN, top + 17, sentence_start(row.label), "note"))
        line = top + _LINE + 2 + up
        for number, cell in enumerate(members):
            x = MARGIN + column * number
            shapes += cell.drawn(aircraft, x, line, chord, line + down + 16, column - 6)
        top = line + down + _LINE + 6
    return shapes, top + 4


def _down(
    aircraft: Aircraft,
    rows: Sequence[Row],
    phases: Sequence[Phase],
    notes: Mapping[str, str],
    cells: Grid,
    top: float,
    room: Room,
) -> tuple[list[Shape], float]:
    """A row a phase; also the lower end."""
    names = [wrapped(sentence_start(phase.name), 0.3 * room.width, "strong") for phase in phases]
    first = max(role_width(line, "strong") for lines in names for line in lines) + 12
    column = (room.width - first) / len(rows)
    shapes: list[Shape] = []
    labels = [wrapped(sentence_start(row.label), column - 8, "note") for row in rows]
    for number, label in enumerate(labels):
        x = MARGIN + first + column * number
        shapes += [Text(x, top + 15 + _LINE * n, line, "note") for n, line in enumerate(label)]
    top += 4 + _LINE * max(map(len, labels))
    free = room.height - 4 - _LINE * max(map(len, labels)) - (_LINE + 6) * len(phases)
    # The highest of the surfaces sets the height of a row, so one of them is reckoned with.
    tallest = max(cells, key=lambda row: sum(_heights(aircraft, row, 1.0)))
    chord = _fitting_chord(aircraft, [tallest], column - 12, free, len(phases))
    up, down = (max(_heights(aircraft, row, chord)[way] for row in cells) for way in (0, 1))
    for number, lines in enumerate(names):
        shapes.append(Line(((MARGIN, top), (MARGIN + room.width, top)), "rule"))
        line = top + up
        shapes += [Text(MARGIN, top + 18 + _LINE * n, text, "strong") for n, text in enumerate(lines)]
        for index, members in enumerate(cells):
            x = MARGIN + first + column * index
            shapes += members[number].drawn(aircraft, x, line, chord, line + down + 14, column - 4)
        top = max(line + down + _LINE, top + _LINE * len(lines) + 4) + 4
    return shapes, top + 4
