"""Name and movement of each surface beside the whole aircraft, with a leader to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mixlib.describe.words import direction, sentence_start
from mixlib.draw.aircraft.solid import Plate, View
from mixlib.draw.movements import Moved
from mixlib.draw.section import triangle
from mixlib.draw.shapes import LOW, MARGIN, Line, Point, Room, Shape, Text
from mixlib.draw.theme import first_fitting, one_line, role_width, wrapped

__all__ = ["Labels"]

_MARK = 20.0  # place of the triangle in front of the words
_NAME, _LINE, _NOTE, _GAP = 18.0, 20.0, 18.0, 8.0  # heights in a label, and from one to the next


@dataclass(frozen=True)
class Labels:
    """Name and movement of each surface in columns left and right, for the wing and for the tail."""

    wing: tuple[list[Moved], list[Moved]]
    """Left and right, from the tip inwards."""
    tail: tuple[list[Moved], list[Moved]]
    width: float
    """Of a column, drawing units."""
    room: float
    """Width of the picture, drawing units."""
    apart: bool
    """Whether a warning has a line of its own; in a low room it shares that of the movement."""
    short: bool
    """Millimetres only."""

    @classmethod
    def laid_out(cls, moved: list[Moved], warned: bool, room: Room) -> Labels:
        """Columns as wide as their words, drawing units."""
        wing: tuple[list[Moved], list[Moved]] = ([], [])
        tail: tuple[list[Moved], list[Moved]] = ([], [])
        for item in sorted(moved, key=lambda item: -item.surface.y_outer_mm):
            part, side = item.surface.part, item.surface.side
            on_right = side == "right" or (side, part) == ("centre", "tail")  # the rudder is on the left
            (wing if part == "wing" else tail)[on_right].append(item)
        most = 0.46 * room.width - MARGIN
        full, short = (_MARK + role_width(f"neutral 88.8 mm{deg}", "label") for deg in (", 88.8°", ""))
        names = max(role_width(sentence_start(item.surface.name), "strong") for item in moved)
        apart = warned and room.height >= LOW
        warning = _MARK + role_width("88.8 mm: travel cut off", "warning") if warned and not apart else 0.0
        width = min(max(full if full <= most else short, names, warning), most)
        return cls(wing, tail, width, room.width, apart, full > most)

    def high(self, columns: tuple[list[Moved], list[Moved]]) -> float:
        """Height of two columns side by side, drawing units."""
        return max(sum(map(self._high, column)) for column in columns)

    def drawn(self, wing_top: float, tail_top: float, plates: Sequence[Plate], view: View) -> list[Shape]:
        """All columns with a leader from each label to its surface; tops in drawing units."""
        shapes: list[Shape] = []
        apart = tail_top > wing_top + self.high(self.wing) + 1  # else one column stands on the other
        for columns, top, clear in (
            (self.wing, wing_top, wing_top),
            (self.tail, tail_top, tail_top if apart else wing_top),
        ):
            for sense, column in zip((-1, 1), columns, strict=True):
                y = top
                for row, item in enumerate(column):
                    own = [plate for plate in plates if plate.item is item]
                    edge = view.line_of(own[-1 if sense > 0 else 0].edge(item.angle))
                    shapes.append(self._leader(item, edge, sense, row, clear, y))
                    shapes += self._label(item, sense, y)
                    y += self._high(item)
        return shapes

    def _high(self, item: Moved) -> float:
        return _NAME * len(self._names(item)) + _LINE + _NOTE * self.apart + _GAP

    def _names(self, item: Moved) -> tuple[str, ...]:
        return wrapped(sentence_start(item.surface.name), self.width, "strong")

    def _words(self, item: Moved) -> list[tuple[str, str]]:
        """Lines below the name, with their roles."""
        free = self.width - _MARK
        mm, degrees = f"{abs(item.throw):.1f} mm", f", {abs(item.angle):.1f}°"
        words = f"{direction(item.surface, item.throw)} {mm}"
        if item.note and not self.apart:
            ways = (f"{words}: {item.note}", f"{mm}: {item.note}", item.note)
            return [(first_fitting(ways, free, "warning"), "warning")]
        lines = [(words if self.short else words + degrees, "label")]
        return lines + ([(one_line(item.note, free, "warning"), "warning")] if item.note else [])

    def _outer(self, sense: int) -> float:
        return MARGIN if sense < 0 else self.room - MARGIN

    def _leader(
        self, item: Moved, edge: Sequence[Point], sense: int, row: int, clear: float, y: float
    ) -> Line:
        """From the top of the first label to a surface of the wing; from others around those above."""
        outer, part = self._outer(sense), item.surface.part
        share = 0.75 if part == "fin" else 0.3 if row else 0.7  # clear of the arrow in the middle
        (x0, y0), (x1, y1) = edge[0], edge[-1]
        foot = (x0 + share * (x1 - x0), y0 + share * (y1 - y0))
        width = role_width(self._names(item)[0], "strong")
        if row == 0 and part == "wing":
            near = outer - sense * min(max(-sense * (foot[0] - outer), 4.0), width)
            return Line(((near, y), foot), "leader", item.surface.name)
        lane = outer - sense * (self.width + 6 + 5 * row)
        points = [(outer - sense * (width + 5), y + 10), (lane, y + 10)]
        if sense * (foot[0] - lane) > 0:  # it lies above the column
            points.append((lane, clear - 2))
        return Line((*points, foot), "leader", item.surface.name)

    def _label(self, item: Moved, sense: int, y: float) -> list[Shape]:
        outer, anchor = self._outer(sense), "end" if sense > 0 else "start"
        shapes: list[Shape] = []
        for name in self._names(item):
            y += _NAME
            shapes.append(Text(outer, y - 3, name, "strong", anchor))
        y += _LINE
        shapes.append(triangle(item.surface, item.throw, outer - 8 * sense, y - 10, 7.0))
        for row, (words, role) in enumerate(self._words(item)):
            shapes.append(Text(outer - _MARK * sense, y - 4 + _NOTE * row, words, role, anchor))
        return shapes
