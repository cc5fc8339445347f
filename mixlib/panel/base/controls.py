"""Controls of the live panels: slider, choice, tick and grid of numbers, each labelled with its unit."""

from __future__ import annotations

import html
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Protocol

import ipywidgets as widgets

from mixlib.describe.words import COMMAND_ENDS
from mixlib.panel.base.screen import choices_row

__all__ = ["Control", "NumberGrid", "Pick", "Slider", "Tick", "command_slider"]


class Control(Protocol):
    """What a panel needs of a control."""

    name: str
    widget: widgets.Widget

    @property
    def value(self) -> Any: ...

    def on_change(self, call: Callable[[], None]) -> None: ...

    def reset(self) -> None: ...


class Slider:
    """A slider for a number, with its unit, and words at both ends.

    Parameters
    ----------
    name : str
        Key of its value in the panel's update.
    low, high, step, start : float
        Range, step of an arrow key, and first value, in `unit`.
    label : str
        Stands before the slider; the name when left out.
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
        decimals: int = 0,
        scale: float = 1.0,
    ) -> None:
        self.name = name
        self._scale = scale
        self._start = start
        self.slider = widgets.FloatSlider(
            value=start,
            min=low,
            max=high,
            step=step,
            description=label or name,
            tooltip=label or name,
            readout_format=f".{decimals}f",
            continuous_update=True,
            style={"description_width": "7em"},
            layout=widgets.Layout(flex="1 1 auto", width="auto", min_width="14em"),
        )
        self._unit = widgets.Label(unit, layout=widgets.Layout(width="2.6em"))
        row = widgets.HBox(
            [self.slider, self._unit],
            layout=widgets.Layout(width="auto"),
        )
        parts = [row]
        if any(ends):
            words = "".join(f"<span>{html.escape(end)}</span>" for end in ends)
            parts.append(
                widgets.HTML(
                    f"<div class='mix-ends'>{words}</div>",
                    layout=widgets.Layout(margin="-4px 7.5em 4px 7.6em"),
                )
            )
        self.widget = widgets.VBox(parts, layout=widgets.Layout(width="auto"))

    @property
    def value(self) -> float:
        """The value, after `scale`."""
        return self.slider.value * self._scale

    @value.setter
    def value(self, value: float) -> None:
        self.slider.value = value / self._scale

    @property
    def unit(self) -> str:
        """Unit beside the number; another control may change what is counted."""
        return self._unit.value

    @unit.setter
    def unit(self, unit: str) -> None:
        self._unit.value = unit

    def on_change(self, call: Callable[[], None]) -> None:
        """Call when the value changes."""
        self.slider.observe(lambda _: call(), "value")

    def reset(self) -> None:
        """Return to the first value."""
        self.slider.value = self._start


def command_slider(command: str, start: float = 0.0, step_percent: float = 5.0) -> Slider:
    """Make the slider of a pilot's command, in percent of its full travel.

    Parameters
    ----------
    command : str
        One of `mixlib.units.COMMANDS`.
    start : float
        First value of the command, -1 to 1 (throttle and brake 0 to 1).
    step_percent : float
        Step of an arrow key.

    Returns
    -------
    Slider
        Its value is the command, -1 to 1 (throttle and brake 0 to 1).
    """
    low = 0.0 if command in ("throttle", "brake") else -100.0
    ends = COMMAND_ENDS[command]
    return Slider(command, low, 100.0, step_percent, 100 * start, "%", ends=ends, scale=0.01)


class Pick:
    """One of a few choices.

    Parameters
    ----------
    name : str
        Key of its value in the panel's update.
    start : object
        First value; the first option when left out.
    label : str
        Stands before it; the name when left out.
    """

    def __init__(
        self,
        name: str,
        options: Mapping[str, Any] | Sequence[str],
        start: Any = None,
        label: str = "",
    ) -> None:
        self.name = name
        pairs = list(options.items()) if isinstance(options, Mapping) else [(text, text) for text in options]
        self._start = pairs[0][1] if start is None else start
        self.widget = choices_row(label or name, pairs)
        self.widget.value = self._start

    @property
    def value(self) -> Any:
        """The chosen value."""
        return self.widget.value

    @value.setter
    def value(self, value: Any) -> None:
        self.widget.value = value

    def on_change(self, call: Callable[[], None]) -> None:
        """Call when the choice changes."""
        self.widget.observe(lambda _: call(), "value")

    def reset(self) -> None:
        """Return to the first value."""
        self.widget.value = self._start


class Tick:
    """A box to tick.

    Parameters
    ----------
    name : str
        Key of its value in the panel's update.
    """

    def __init__(self, name: str, label: str, start: bool = False) -> None:
        self.name = name
        self._start = start
        self.widget = widgets.Checkbox(
            value=start, description=label, indent=False, layout=widgets.Layout(width="auto")
        )

    @property
    def value(self) -> bool:
        """Whether it is ticked."""
        return self.widget.value

    @value.setter
    def value(self, value: bool) -> None:
        self.widget.value = value

    def on_change(self, call: Callable[[], None]) -> None:
        """Call when the tick changes."""
        self.widget.observe(lambda _: call(), "value")

    def reset(self) -> None:
        """Return to the first value."""
        self.widget.value = self._start


class NumberGrid:
    """A small table of numbers to edit in place; what is out of range stays, is marked, and named in words.

    Parameters
    ----------
    name : str
        Key of its value in the panel's update.
    low, high, step : float
        Accepted range, both ends included, and the step of an arrow key.
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
        column_em: float = 7.0,
    ) -> None:
        self.name = name
        self.rows, self.columns = tuple(rows), tuple(columns)
        self.low, self.high, self.unit = low, high, unit
        self._start = [list(map(float, row)) for row in start]
        self._fields = [
            [
                widgets.FloatText(
                    value=value,
                    step=step,
                    # Hidden by the style of the grid, but a screen reader says it.
                    description=f"{row}, {column}" + (f", {unit}" if unit else ""),
                    layout=widgets.Layout(width=f"{column_em - 0.8:g}em"),
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
            cells += [_heading(row), *fields]
        columns = f"repeat({len(self.columns)}, {column_em:g}em)"
        grid = widgets.GridBox(
            cells,
            layout=widgets.Layout(
                grid_template_columns=f"minmax(7em, max-content) {columns}",
                grid_gap="2px 6px",
                width="auto",
                align_items="center",
            ),
        )
        grid.add_class("mix-grid")
        self.widget = widgets.VBox([grid, self._note], layout=widgets.Layout(width="auto", overflow="auto"))
        for field in self._all():
            field.observe(lambda _: self._mark(), "value")

    @property
    def value(self) -> tuple[tuple[float, ...], ...]:
        """The numbers, row by row.

        Raises
        ------
        ValueError
            If one is out of range; the sentence names it and the accepted range.
        """
        faults = self.faults
        if faults:
            raise ValueError(" ".join(faults))
        return tuple(tuple(field.value for field in fields) for fields in self._fields)

    @value.setter
    def value(self, value: Sequence[Sequence[float]]) -> None:
        for fields, row in zip(self._fields, value, strict=True):
            for field, number in zip(fields, row, strict=True):
                field.value = number

    @property
    def faults(self) -> tuple[str, ...]:
        """One sentence for each number out of range."""
        unit = f" {self.unit}" if self.unit else ""
        return tuple(
            f"{row}, {column} is {field.value:g}{unit}. Accepted: {self.low:g} to {self.high:g}{unit}."
            for row, fields in zip(self.rows, self._fields, strict=True)
            for column, field in zip(self.columns, fields, strict=True)
            if not self.low <= field.value <= self.high
        )

    def on_change(self, call: Callable[[], None]) -> None:
        """Call when a number changes."""
        for field in self._all():
            field.observe(lambda _: call(), "value")

    def reset(self) -> None:
        """Return to the first values."""
        self.value = self._start

    def _all(self) -> list[widgets.FloatText]:
        return [field for fields in self._fields for field in fields]

    def _mark(self) -> None:
        for field in self._all():
            good = self.low <= field.value <= self.high
            (field.remove_class if good else field.add_class)("mix-out-of-range")
        self._note.value = "".join(
            f"<div class='mix-fault'>{html.escape(text)}</div>" for text in self.faults
        )


def _heading(text: str) -> widgets.HTML:
    return widgets.HTML(f"<strong>{html.escape(text)}</strong>")
