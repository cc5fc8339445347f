"""What stands below the view from behind: each surface with its name, its section and its movement."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from mixlib.describe import Aircraft, Surface
from mixlib.describe.words import direction, movement_sentence, sentence_start
from mixlib.draw.section import placed_section, room_sines, section_of, triangle
from mixlib.draw.shapes import MARGIN, Line, Point, Room, Shape, Text
from mixlib.draw.theme import role_width, wrapped
from mixlib.units import throw_mm_from_angle

__all__ = ["Captions", "Moved", "moved_surfaces", "moved_words", "placed"]

_COLUMN = 92.0  # least width of the place for one surface
_CHORD = (52.0, 190.0)  # a section shorter than the first shows nothing any more
_NAME, _LINE, _NOTE = 18.0, 20.0, 18.0  # height of a line of each kind


@dataclass(frozen=True)
class Moved:
    """One surface with where it is now: angle in deg, throw in mm, trailing edge down positive."""

    surface: Surface
    angle: float
    throw: float
    note: str

    @property
    def room(self) -> tuple[float, float]:
        """Sines of what it needs upwards and downwards."""
        return room_sines(self.surface, self.angle)

    @property
    def sine(self) -> float:
        """Sine of its angle, trailing edge down positive."""
        return float(np.sin(np.radians(self.angle)))


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


@dataclass(frozen=True)
class Captions:
    """Name, section and movement of each surface, side by side in one row or in more."""

    aircraft: Aircraft
    rows: list[list[Moved]]
    width: float
    warned: int
    """Lines kept for a warning."""
    chord: float = 0.0
    """Length of the sections; 0 leaves them out."""
    short: bool = False
    """Millimetres only."""

    @classmethod
    def laid_out(
        cls, aircraft: Aircraft, wing: list[Moved], tail: list[Moved], warned: bool, room: Room
    ) -> Captions:
        """As much as the room can hold, and no less than names, directions and millimetres.

        Parameters
        ----------
        warned : bool
            Whether room is kept for a warning.
        """
        across = int((room.width - 2 * MARGIN) / _COLUMN)
        groups = [[*wing, *tail]] if len(wing) + len(tail) <= across else [wing, tail]
        rows = [row for group in groups for row in _split(group, across)]
        captions = cls(aircraft, rows, room.width, 0)
        if warned:
            lines = 1 if role_width("linkage binds", "warning") <= captions.free else 2
            captions = replace(captions, warned=lines)
        one, two = (replace(captions, chord=chord).height for chord in (1.0, 2.0))  # linear in the chord
        chord = min(1.0 + (room.height - one) / (two - one), 0.8 * captions.free, _CHORD[1])
        if chord >= _CHORD[0]:
            return replace(captions, chord=chord)
        return captions if captions.height <= room.height else replace(captions, short=True)

    @property
    def free(self) -> float:
        """Width that the words of one may take."""
        return (self.width - 2 * MARGIN) / max(map(len, self.rows)) - 6

    @property
    def height(self) -> float:
        """Height of all rows, drawing units."""
        return sum(sum(self._heights(row)) for row in self.rows)

    def _heights(self, row: list[Moved]) -> tuple[float, float, float, float]:
        """Height of a row's names, of its sections above and below their line, and of its words."""
        names = 6 + _NAME * max(len(self._head(item.surface)) for item in row)
        words = 6 + _LINE * len(self._lines(row[0])) + _NOTE * self.warned
        if not self.chord:
            return names, 0.0, 0.0, words
        ratios = [section_of(self.aircraft, item.surface)[1] for item in row]
        above, below = (
            self.chord * max(0.1, *(ratio * item.room[way] for ratio, item in zip(ratios, row, strict=True)))
            for way in (0, 1)
        )
        return names, above + 4, below + 6, words

    def _head(self, surface: Surface) -> list[tuple[str, str]]:
        """Lines over a section with their roles: the name, and for a rudder where it is seen from."""
        lines = [(line, "strong") for line in wrapped(sentence_start(surface.name), self.free, "strong", 3)]
        if surface.kind == "rudder" and self.chord:
            seen = wrapped("from above, left below", self.free, "note")
            lines += [(line, "note") for line in (seen if seen[-1].endswith("below") else ("from above",))]
        return lines

    def _lines(self, item: Moved) -> list[str]:
        """Direction, millimetres and degrees in as few lines as every movement fits."""
        mm, deg = f"{abs(item.throw):.1f} mm", f"{abs(item.angle):.1f}°"
        word = direction(item.surface, item.throw)
        if self.short:
            return [word, mm]
        if role_width("neutral 88.8 mm, 88.8°", "strong") + 24 <= self.free:
            return [f"{word} {mm}, {deg}"]
        joined = role_width("88.8 mm, 88.8°", "label") <= self.free
        return [word, f"{mm}, {deg}"] if joined else [word, mm, deg]

    def drawn(self, top: float, feet: Sequence[Point]) -> list[Shape]:
        """The captions, with a leader to each of the first when they stand in one row."""
        shapes: list[Shape] = []
        for row in self.rows:
            names, above, below, words = self._heights(row)
            column = (self.width - 2 * MARGIN) / len(row)
            for index, item in enumerate(row):
                middle = MARGIN + column * (index + 0.5)
                if len(self.rows) == 1 and index < len(feet):
                    shapes.append(Line((feet[index], (middle, top + 2)), "leader"))
                shapes += [
                    Text(middle, top + _NAME * (line + 1), text, role, "middle")
                    for line, (text, role) in enumerate(self._head(item.surface))
                ]
                if self.chord:
                    left = middle - 0.52 * self.chord
                    line = top + names + above
                    shapes += placed_section(self.aircraft, item.surface, item.angle, left, line, self.chord)
                shapes += self._words(item, middle, top + names + above + below)
            top += names + above + below + words
        return shapes

    def _words(self, item: Moved, middle: float, top: float) -> list[Shape]:
        first, *others = self._lines(item)
        role = "strong" if role_width("neutral", "strong") + 24 <= self.free else "label"
        y = top + 15
        shapes: list[Shape] = [
            triangle(item.surface, item.throw, middle - role_width(first, role) / 2 - 6, y - 6),
            Text(middle + 8, y, first, role, "middle"),
        ]
        for text in others:
            y += _LINE
            shapes.append(Text(middle, y, text, "label", "middle"))
        for text in wrapped(item.note, self.free, "warning", self.warned) if item.note else ():
            y += _NOTE
            shapes.append(Text(middle, y, text, "warning", "middle"))
        return shapes


def _split(items: list[Moved], most: int) -> list[list[Moved]]:
    """Rows as long as one another, none longer than allowed."""
    if not items:
        return []
    count = -(-len(items) // most)
    size = -(-len(items) // count)
    return [items[start : start + size] for start in range(0, len(items), size)]
