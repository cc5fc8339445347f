"""Controls of the live panels: slider, choice, line and grid of numbers, each labelled with its unit."""

from __future__ import annotations

import html
from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Any

import ipywidgets as widgets

from mixlib.describe import Radio
from mixlib.describe.numbers import read_number, unit_of
from mixlib.describe.words import COMMAND_ENDS
from mixlib.panel.base.screen import choices_row, labelled
from mixlib.units import COMMAND_RANGES

__all__ = ["Control", "Note", "NumberGrid", "Pick", "Slider", "command_slider"]

_AS_TYPED = ".6"  # of d3-format: six digits at most, no noughts behind


class Control:
    """What a panel needs of a control.

    Parameters
    ----------
    name : str
        Key of its value in the panel's update.
    entry : Widget
        What holds the value; the first value is the one that it has now.
    widget : Widget, optional
        What stands in the panel, when it is more than the entry.

    Attributes
    ----------
    returns : bool
        Whether it has a start that is worth a button to return to.
    """

    returns = True

    def __init__(
        self, name: str, entry: widgets.ValueWidget, widget: widgets.DOMWidget | None = None
    ) -> None:
        self.name = name
        self.entry = entry
        self.widget = widget or entry
        self._start = entry.value

    @property
    def value(self) -> Any:
        """The present value."""
        return self.entry.value

    @value.setter
    def value(self, value: Any) -> None:
        self.entry.value = value

    def on_change(self, call: Callable[[], None]) -> None:
        """Call when the value changes."""
        self.entry.observe(lambda _: call(), "value")

    def reset(self) -> None:
        """Return to the first value."""
        self.entry.value = self._start


class Slider(Control):
    """A slider for a number, with its unit, and words at both ends.

    Parameters
    ----------
    low, high, step, start : float
        Range, step of an arrow key or the hand, and first value, in `unit`; any number can be typed.
    label : str
        Stands over the slider; the name when left out.
    decimals : int, optional
        Digits that are left of a first value that is worked out; left out, all of them.
    scale : float
        The value is the number shown times this (0.01 turns percent into a share).
    """

    def __init__(
        self,
        name: str,
        low: float,
        high: float,
        step: float,
        start: float,
        unit: str = "",
        label: str = "",
        ends: tuple[str, str] = ("", ""),
        decimals: int | None = None,
        scale: float = 1.0,
    ) -> None:
        self._scale = scale
        slider = widgets.FloatSlider(
            value=start if decimals is None else round(start, decimals),
            min=low,
            max=high,
            step=0,  # else the page rounds what is typed or set; it steps for the keys and the hand alone
            description=label or name,
            tooltip=label or name,
            readout_format=_AS_TYPED,
        )
        self._unit = widgets.Label(unit)
        words = "".join(f"<span>{html.escape(end)}</span>" for end in ends if end)
        parts = [
            slider,
            self._unit,
            *([widgets.HTML(f"<div class='mix-ends'>{words}</div>")] if words else []),
        ]
        super().__init__(name, slider, labelled(f"mix-slider mix-step-{step:g}", widgets.Box(parts)))

    @property
    def value(self) -> float:
        """The value, after `scale`."""
        return self.entry.value * self._scale

    @value.setter
    def value(self, value: float) -> None:
        self.entry.value = value / self._scale

    @property
    def unit(self) -> str:
        """Unit beside the number; another control may change what is counted."""
        return self._unit.value

    @unit.setter
    def unit(self, unit: str) -> None:
        self._unit.value = unit


def command_slider(command: str, start: float = 0.0, *, radio: Radio | None = None) -> Slider:
    """Make the slider of a pilot's command, in percent of its full travel.

    An arrow key moves it by 1 %, so that a surface with a long way can be set to half a millimetre; the keys
    for a page, by 5 %.

    Parameters
    ----------
    command : str
        One of `mixlib.units.COMMANDS`.
    start : float
        First value of the command, -1 to 1 (throttle and brake 0 to 1).
    radio : Radio, optional
        Its word for what the hand moves stands over the slider; left out, the command does.

    Returns
    -------
    Slider
        Its value is the command, -1 to 1 (throttle and brake 0 to 1).
    """
    low, high = (100.0 * end for end in COMMAND_RANGES[command])
    label = radio.lever(command) if radio else command
    return Slider(command, low, high, 1, 100 * start, "%", label, COMMAND_ENDS[command], scale=0.01)


class Pick(Control):
    """One of a few choices.

    Parameters
    ----------
    start : object
        First value; the first option when left out.
    label : str
        Stands before it; the name when left out.
    kind : str
        CSS class.
    """

    def __init__(
        self,
        name: str,
        options: Mapping[str, Any] | Sequence[str],
        start: Any = None,
        label: str = "",
        kind: str = "",
    ) -> None:
        pairs = list(options.items() if isinstance(options, Mapping) else zip(options, options, strict=True))
        entry = choices_row(label or name, pairs, kind)
        if start is not None:
            entry.value = start
        super().__init__(name, entry)


class Note(Control):
    """A line for words of the reader's own; taken over on Enter or on leaving it."""

    returns = False

    def __init__(self, name: str, label: str) -> None:
        super().__init__(name, widgets.Text(description=label, tooltip=label, continuous_update=False))


class NumberGrid(Control):
    """A small table of numbers to edit in place; what is not accepted stays as typed, is marked, and told.

    Parameters
    ----------
    low, high, step : float
        Accepted range, both ends included, and the step of an arrow key, in `unit`.
    fixed : collection of str
        Rows that are shown and cannot be changed.
    ranges : mapping of str to tuple of float
        Rows with an accepted range of their own, low and high.
    """

    def __init__(
        self,
        name: str,
        rows: Sequence[str],
        columns: Sequence[str],
        start: Sequence[Sequence[float]],
        low: float,
        high: float,
        step: float = 1.0,
        unit: str = "",
        corner: str = "",
        fixed: Collection[str] = (),
        ranges: Mapping[str, tuple[float, float]] | None = None,
    ) -> None:
        self.name = name
        self.rows, self.columns = tuple(rows), tuple(columns)
        self._ranges = dict.fromkeys(rows, (low, high)) | dict(ranges or {})
        self.unit = unit
        self._asked = unit or unit_of(corner) or ""
        self._start = [list(map(float, row)) for row in start]
        self._fields = [
            [
                widgets.Text(
                    value=_typed(value),
                    continuous_update=False,
                    disabled=row in fixed,
                    # Hidden by the style of the grid, but a screen reader says it.
                    description=f"{row}, {column}" + (f", {unit}" if unit else ""),
                )
                for column, value in zip(self.columns, values, strict=True)
            ]
            for row, values in zip(self.rows, self._start, strict=True)
        ]
        self._note = widgets.HTML()
        in_unit = f" ({html.escape(unit)})" if unit else ""
        cells: list[widgets.Widget] = [_heading(corner)]
        cells += [_heading(column + in_unit) for column in self.columns]
        for row, fields in zip(self.rows, self._fields, strict=True):
            cells += [widgets.HTML(html.escape(row)), *fields]
        template = f"minmax(5em, max-content) repeat({len(self.columns)}, minmax(3.5em, 5em))"
        grid = labelled("mix-grid", widgets.Box(cells, layout={"grid_template_columns": template}))
        grid.add_class(f"mix-step-{step:g}")
        self.widget = labelled("mix-wide", widgets.Box([grid, self._note]))
        self._calls: list[Callable[[], None]] = [self._mark]
        self._filling = False
        for field in self._all():
            field.observe(lambda _: self._changed(), "value")

    @property
    def value(self) -> tuple[tuple[float, ...], ...]:
        """The numbers, row by row.

        Raises
        ------
        ValueError
            If one is no number or out of range; the sentence names it and what is accepted.
        """
        if faults := self.faults:
            raise ValueError(" ".join(faults))
        return tuple(
            tuple(read_number(field.value, self._asked) for field in fields) for fields in self._fields
        )

    @value.setter
    def value(self, value: Sequence[Sequence[float]]) -> None:
        self._filling = True  # all of it is one change
        for field, number in zip(self._all(), [number for row in value for number in row], strict=True):
            field.value = _typed(number)
        self._filling = False
        self._changed()

    @property
    def faults(self) -> tuple[str, ...]:
        """One sentence for each number that is not accepted."""
        return tuple(
            f"{row}, {column}{fault}"
            for row, fields in zip(self.rows, self._fields, strict=True)
            for column, field in zip(self.columns, fields, strict=True)
            if (fault := self._fault(row, field))
        )

    def on_change(self, call: Callable[[], None]) -> None:
        """Call when a number changes."""
        self._calls.append(call)

    def reset(self) -> None:
        """Return to the first values."""
        self.value = self._start

    def _fault(self, row: str, field: widgets.Text) -> str:
        """What is wrong with an entry; empty where nothing is."""
        unit = f" {self.unit}" if self.unit else ""
        try:
            value = read_number(field.value, self._asked)
        except ValueError as error:
            return f": {error}"
        low, high = self._ranges[row]
        if low <= value <= high:
            return ""
        return f" is {_typed(value)}{unit}. Accepted: {_typed(low)} to {_typed(high)}{unit}."

    def _all(self) -> list[widgets.Text]:
        return [field for fields in self._fields for field in fields]

    def _changed(self) -> None:
        for call in self._calls if not self._filling else ():
            call()

    def _mark(self) -> None:
        for row, fields in zip(self.rows, self._fields, strict=True):
            for field in fields:
                (field.add_class if self._fault(row, field) else field.remove_class)("mix-out-of-range")
        faults = (f"<div class='mix-fault'>{html.escape(text)}</div>" for text in self.faults)
        self._note.value = "".join(faults)


def _typed(value: float) -> str:
    """A number as it stands in an entry: all of its digits."""
    return f"{value + 0.0:.15g}".replace("-", "−")


def _heading(text: str) -> widgets.HTML:
    return widgets.HTML(f"<strong>{html.escape(text)}</strong>")
