"""The aircraft in flight phases or other settings side by side: a column each, with the movements below."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import astuple, dataclass
from math import ceil

from mixlib.describe import Aircraft, Phase, Surface
from mixlib.describe.words import direction, listed, movement, sentence_start
from mixlib.draw.aircraft.view import LEAST_SPAN, aircraft_figure
from mixlib.draw.movements import placed
from mixlib.draw.shapes import MARGIN, ROOM, Drawing, Line, Room, Text, fitted, heading
from mixlib.draw.theme import one_line, role_width, wrapped

__all__ = ["Row", "aircraft_columns", "phase_columns", "rows_of"]

_LONG = 2.5  # about the width of a figure over its height
_BESIDE = 0.75  # a further line must make the figures larger by this share
_FIGURE = (34.0, 60.0)  # height of a figure: at least, and what it keeps before notes get room
_NAME, _LINE, _GAP = 22.0, 19.0, 8.0


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
    if len(parts) != 2 or len(bases) != 1:
        return listed(part.name for part in parts)
    kind, *which = bases.pop().split(",", 1)  # such as "flap, inner"
    return ",".join([f"both {kind}s", *which])


@fitted
def aircraft_columns(
    aircraft: Aircraft,
    settings: Mapping[str, Mapping[str, float]],
    notes: Mapping[str, str],
    *,
    title: str = "Where the surfaces rest",
    room: Room = ROOM,
) -> Drawing:
    """Draw the whole aircraft once for each setting, in one row or in more, with every movement below.

    Parameters
    ----------
    settings : mapping of str to mapping
        The setting's name to surface name to angle in deg, trailing edge down positive.
    notes : mapping of str to str
        A few words below the name of a setting, such as its speed; left out where there is no room.

    Returns
    -------
    Drawing
        A figure for each setting; surfaces that mirror each other in all of them share a line.
    """
    rows = rows_of(aircraft, list(settings.values()))
    span = f"Spans at {100 * LEAST_SPAN:.0f} %."
    shapes, top = heading(title, room, f"From behind and above, nose away from you. {span}", span)
    wide = room.width - 2 * MARGIN
    labels = [wrapped(sentence_start(row.label), 0.3 * wide, "note") for row in rows]
    first = max((role_width(line, "note") for label in labels for line in label), default=0.0) + 12
    table = sum(_LINE * len(label) for label in labels)

    def place(lines: int) -> Room:
        """Room of each setting below its name, where they stand in so many lines."""
        high = (room.height - top) / lines - _NAME - table - _GAP
        return Room((wide - first) / ceil(len(settings) / lines), high)

    def large(lines: int) -> float:
        each = place(lines)
        return _BESIDE**lines * min(each.width, _LONG * max(each.height, 1.0))

    most = max(int((wide - first) / (role_width("down 88.8 mm", "note") + 4)), 1)
    lines = max(range(ceil(len(settings) / most), len(settings) + 1), key=large)
    across, (column, high) = ceil(len(settings) / lines), astuple(place(lines))
    told = [wrapped(notes.get(name, ""), column - 8, "note") for name in settings]
    noted = max(map(len, told)) if not any(each[-1].endswith("...") for each in told if each) else 0
    if high - _LINE * noted < _FIGURE[1]:
        noted = 0  # else the description alone has them
    moves = {(name, row): _moved(aircraft, row, at) for name, at in settings.items() for row in rows}
    short = any(role_width(words, "note") > column - 4 for words, _ in moves.values())
    figure = Room(column - 8, high - _LINE * noted)
    for start in range(0, len(settings), across):
        bottom = top
        for number, name in enumerate(list(settings)[start : start + across]):
            x = MARGIN + first + column * number
            shapes.append(Text(x, top + 17, one_line(sentence_start(name), column - 8, "strong"), "strong"))
            words = told[start + number][:noted]
            shapes += [Text(x, top + 36 + _LINE * row, line, "note") for row, line in enumerate(words)]
            head, middle = top + _NAME + _LINE * noted, x + figure.width / 2
            if high < _FIGURE[0]:  # then the words stand alone
                bottom = head
                continue
            drawn, low = aircraft_figure(aircraft, settings[name], name, middle, head, figure)
            shapes.append(drawn)
            bottom = max(bottom, low)
        for row, label in zip(rows, labels, strict=True):
            shapes.append(Line(((MARGIN, bottom), (MARGIN + wide, bottom)), "rule"))
            shapes += [Text(MARGIN, bottom + 15 + _LINE * n, line, "note") for n, line in enumerate(label)]
            for number, name in enumerate(list(settings)[start : start + across]):
                shapes.append(
                    Text(MARGIN + first + column * number, bottom + 15, moves[name, row][short], "note")
                )
            bottom += _LINE * len(label)
        top = bottom + _GAP
    said = (
        f"{sentence_start(name)}: {listed(f'{row.label} {moves[name, row][0]}' for row in rows)}."
        for name in settings
    )
    return Drawing(room.width, top, tuple(shapes), title, " ".join(said))


def phase_columns(
    aircraft: Aircraft, phases: Sequence[Phase], notes: Mapping[str, str], *, room: Room = ROOM
) -> Drawing:
    """Draw the aircraft in every phase; see `aircraft_columns`."""
    return aircraft_columns(aircraft, {phase.name: phase.angles_deg for phase in phases}, notes, room=room)


def _moved(aircraft: Aircraft, row: Row, angles_deg: Mapping[str, float]) -> tuple[str, str]:
    """The movement of a row's surfaces in full, and short."""
    place = aircraft.surface_names.index(row.names[0])
    surface, (angles, throws) = aircraft.surfaces[place], placed(aircraft, angles_deg)
    way = direction(surface, throws[place])
    short = way if way == "neutral" else f"{way} {abs(throws[place]):.1f} mm"
    return movement(surface, angles[place], throws[place]), short
