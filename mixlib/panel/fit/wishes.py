"""The lines of wished throws in the fit's panel: typed in place, taken away, added."""

from __future__ import annotations

import html
from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets

from mixlib.bench.fit.wants import weight_of
from mixlib.describe import Aircraft, Want
from mixlib.describe.numbers import read_number
from mixlib.describe.words import number, sentence_start
from mixlib.panel.base.screen import labelled, refill
from mixlib.panel.fit.lines import Line, end_of

__all__ = ["Wishes"]

More = Callable[[Sequence[Want]], Sequence[Line]]

_MOST_MM = 150.0  # largest throw that the form takes
_MOST_WEIGHT = 100.0
_ON_THE_WAY = {"half": ("half way", 0.5), "quarter": ("a quarter", 0.25)}  # fields of a wish
_GONE = "mix-gone"  # hides what stays for later


class Wishes:
    """A line for each wish, and a button for each that could be added; what is typed stays as typed.

    Parameters
    ----------
    lines : sequence of Line
        One with a weight of 0 is taken away at first.
    more : callable
        Takes all wishes, returns the lines that can be added besides, with amounts that suit these wishes.

    Attributes
    ----------
    widget : DOMWidget
        What stands in the panel.
    """

    def __init__(self, aircraft: Aircraft, lines: Sequence[Line], more: More = lambda _: ()) -> None:
        self._aircraft, self._more = aircraft, more
        self._rows: dict[str, _Row] = {}
        self._grid = labelled("mix-grid mix-wishes", widgets.Box())
        self._offers = labelled("mix-buttons", widgets.Box())
        self._faults = widgets.HTML()
        self.widget = labelled("mix-wide", widgets.Box([self._grid, self._offers, self._faults]))
        self.follow(lines)

    @property
    def value(self) -> tuple[Want, ...]:
        """All wishes in the order of the surfaces; the reader's own that are taken away weigh 0.

        Raises
        ------
        ValueError
            If something typed is no number or out of range; the sentences name it and what is accepted.
        """
        if faults := self.faults:
            raise ValueError(" ".join(faults))
        names = self._aircraft.surface_names
        rows = [row for row in self._rows.values() if row.wanted or not row.line.offer]
        wants = [want for row in rows for want in row.wants()]
        return tuple(sorted(wants, key=lambda want: names.index(want.surface)))

    @property
    def faults(self) -> tuple[str, ...]:
        """One sentence for each entry that is not accepted."""
        return tuple(fault for row in self._rows.values() if row.wanted for fault in row.faults)

    @property
    def titles(self) -> tuple[str, ...]:
        """Titles of the lines that are wanted, in their order."""
        return tuple(title for title, row in self._rows.items() if row.wanted)

    @property
    def offered(self) -> tuple[str, ...]:
        """Titles of what can be added."""
        return tuple(title for title, row in self._rows.items() if not row.wanted)

    def entry(self, title: str, column: str) -> widgets.Text:
        """The field of a line, by its end, such as ``"droop"`` or ``"droop, half way"``, or ``"weight"``."""
        return self._rows[title].fields[column]

    def add(self, title: str) -> None:
        """Put a line among the wishes; what is worked out is worked out for the wishes as they are now."""
        if self._rows[title].line.offer and not self.faults:
            self.follow([row.line for row in self._rows.values() if row.wanted or not row.line.offer])
        self._rows[title].wanted = True
        self._show()

    def take_away(self, title: str) -> None:
        """Take a line out of the wishes; what is typed in it comes back when it is added again."""
        self._rows[title].wanted = False
        self._show()

    def follow(self, lines: Sequence[Line]) -> None:
        """Show other lines, but keep what the reader has changed since the lines were shown first."""
        kept = {title: row for title, row in self._rows.items() if row.touched}
        aircraft = self._aircraft
        rows = {line.title: _Row(aircraft, line, line.weight > 0) for line in lines}
        for title, row in kept.items():
            rows.setdefault(title, _Row(aircraft, row.line, row.wanted)).type_like(row)
        self._rows = rows
        extras = {line.title: line for line in self._more(self.value)} if not self.faults else {}
        rows |= {title: _Row(aircraft, line, False) for title, line in extras.items() if title not in rows}
        for row in rows.values():
            row.away.on_click(lambda _, title=row.line.title: self.take_away(title))
            row.add.on_click(lambda _, title=row.line.title: self.add(title))
            for field in row.fields.values():
                field.observe(lambda _: self._show(), "value")
        heads = [widgets.HTML(f"<strong>{word}</strong>") for word in ("wish", "throw, mm", "weight", "")]
        refill(self._grid, [*heads, *(cell for row in rows.values() for cell in row.cells)])
        refill(self._offers, [widgets.HTML("More wishes:"), *(row.add for row in rows.values())])
        self._show()

    def _show(self) -> None:
        for row in self._rows.values():
            row.show()
        (self._offers.remove_class if self.offered else self._offers.add_class)(_GONE)
        self._faults.value = "".join(
            f"<div class='mix-fault'>{html.escape(text)}</div>" for text in self.faults
        )


class _Row:
    """Widgets of one line; its fields hold text, so that nothing typed is lost."""

    def __init__(self, aircraft: Aircraft, line: Line, wanted: bool) -> None:
        self.line, self.wanted = line, wanted
        self._wanted_first = wanted
        self.fields: dict[str, widgets.Text] = {}
        ends: list[widgets.DOMWidget] = []
        for want in line.wants:
            ends += [widgets.HTML(end_of(want)), self._field(end_of(want), want.throw_mm(aircraft), "mm")]
            for key, (words, share) in _ON_THE_WAY.items():
                if getattr(want, key) is not None:
                    mm = want.throw_mm(aircraft, share)
                    ends += [widgets.HTML(words), self._field(f"{end_of(want)}, {words}", mm, "mm")]
        if line.source:
            ends.append(labelled("mix-source", widgets.HTML(html.escape(line.source))))
        surface = aircraft.surface(line.wants[0].surface)
        self._weight = line.weight or weight_of(surface, line.wants[0].command)
        self._field("weight", self._weight)
        self.away = labelled("mix-away", widgets.Button(description=f"Take away {line.title}"))
        self.add = widgets.Button(description=f"+ {line.offer or line.title}", tooltip=f"Add {line.title}")
        name = widgets.HTML(html.escape(line.title))
        self.cells = (name, labelled("mix-ends-typed", widgets.Box(ends)), self.fields["weight"], self.away)
        self._first = {column: field.value for column, field in self.fields.items()}

    def _field(self, column: str, value: float, unit: str = "") -> widgets.Text:
        self.fields[column] = widgets.Text(
            number(round(value, 1) if unit else value),
            description=", ".join(filter(None, (self.line.title, column, unit))),
            continuous_update=False,
        )
        return self.fields[column]

    @property
    def touched(self) -> bool:
        """Whether the reader has changed anything in it."""
        return any(map(self._changed, self.fields)) or self.wanted != self._wanted_first

    @property
    def faults(self) -> tuple[str, ...]:
        return tuple(fault for column in self.fields if (fault := self._fault(column)))

    def type_like(self, other: _Row) -> None:
        """Take over what was typed into the same line before."""
        self.wanted = other.wanted
        for column in self.fields.keys() & other.fields.keys():
            self.fields[column].value = other.fields[column].value

    def wants(self) -> tuple[Want, ...]:
        """The wishes as typed; one that nobody touched, or taken away half typed, stays what it was."""
        whole = not self.faults
        weight: float = self._weight if self.wanted else 0.0
        if self.wanted and self._changed("weight"):
            weight = read_number(self.fields["weight"].value)
        found = []
        for side in (self.line.wants, self.line.mates):
            for want, first in zip(side, self.line.wants, strict=False):
                columns = {"amount": end_of(first)}
                columns |= {key: f"{end_of(first)}, {words}" for key, (words, _) in _ON_THE_WAY.items()}
                columns = {key: column for key, column in columns.items() if column in self.fields}
                mm: dict[str, Any] = {}
                if whole and any(map(self._changed, columns.values())):
                    mm = {key: read_number(self.fields[at].value, "mm") for key, at in columns.items()}
                    mm["unit"] = "mm"
                found.append(want.replace(weight=weight, **mm))
        return tuple(found)

    def _changed(self, column: str) -> bool:
        return self.fields[column].value != self._first[column]

    def show(self) -> None:
        """Show it among the wishes or among what can be added, and mark what is not accepted."""
        for widget in self.cells:
            (widget.remove_class if self.wanted else widget.add_class)(_GONE)
        (self.add.add_class if self.wanted else self.add.remove_class)(_GONE)
        for column, field in self.fields.items():
            (field.add_class if self._fault(column) else field.remove_class)("mix-out-of-range")

    def _fault(self, column: str) -> str:
        what = f"{sentence_start(self.line.title)}, {column}"
        low, high, unit = (0.0, _MOST_WEIGHT, "") if column == "weight" else (-_MOST_MM, _MOST_MM, "mm")
        try:
            value = read_number(self.fields[column].value, unit)
        except ValueError as error:
            return f"{what}: {error}"
        if low <= value <= high:
            return ""
        accepted = f"{number(low)} to {number(high)} {unit}".rstrip()
        return f"{what} is {number(value)} {unit}".rstrip() + f". Accepted: {accepted}."
