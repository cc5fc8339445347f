"""The live panel: controls, pictures and a sentence that follow each other.

A panel calls one function with the values of its controls; the function returns what to show.  Whatever goes
wrong in it becomes a sentence, never a traceback, and the last good picture stays.
"""

from __future__ import annotations

import html
import itertools
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import ipywidgets as widgets
from pydantic import ValidationError

from mixlib import describe
from mixlib.describe.errors import explain
from mixlib.describe.words import sentence_start
from mixlib.draw.shapes import Drawing
from mixlib.draw.svg import svg
from mixlib.panel.base.controls import Control
from mixlib.panel.base.screen import action_button, card, show_widget, spoken

__all__ = ["Panel", "Seen", "reason", "table", "told"]

_numbers = itertools.count(1)
_NUMBER = re.compile(r"[-+−]?\d[\d.]*( ?[^\s\d(]+)?")  # one number, with or without a unit


@dataclass(frozen=True)
class Seen:
    """What a panel shows for the present values of its controls.

    ``sentence`` says in words what the pictures show; ``extra`` is HTML below, such as a `table`.
    """

    pictures: Drawing | tuple[Drawing, ...]
    sentence: str
    extra: str = ""


class Panel:
    """Controls, pictures, and a sentence that follow each other.

    Parameters
    ----------
    update : callable
        Takes a dict of the controls' values by name, returns `Seen`.  When it raises, the reader sees a
        sentence.
    task : str
        What to try or to find out with it.
    savers : mapping of str to callable
        Words of a button to what it saves: a function of the controls' values that returns a sentence about
        what was saved.  When it raises, the reader sees a sentence.
    beside : bool
        Whether the controls stand beside the pictures where there is room, or always above them.
    """

    def __init__(
        self,
        title: str,
        controls: Sequence[Control],
        update: Callable[[dict[str, Any]], Seen],
        task: str = "",
        savers: Mapping[str, Callable[[dict[str, Any]], str]] | None = None,
        beside: bool = True,
    ) -> None:
        self.title = title
        self.controls = {control.name: control for control in controls}
        self._update = update
        self._uid = f"mix{next(_numbers)}"
        self._picture = widgets.HTML()
        self._sentence = widgets.HTML()
        self._extra = widgets.HTML()
        self._error = widgets.HTML()
        self._saved = widgets.HTML()
        self._buttons = [
            action_button(words, partial(self._save, saver)) for words, saver in (savers or {}).items()
        ]
        self._waiting = False
        self._refreshing = False
        for control in controls:
            control.on_change(self.refresh)
        self.refresh()
        self._widget = self._laid_out(task, beside)

    @property
    def values(self) -> dict[str, Any]:
        """Values of the controls by name."""
        return {name: control.value for name, control in self.controls.items()}

    @property
    def sentence(self) -> str:
        """The sentence that is shown, as HTML."""
        return self._sentence.value

    @property
    def picture(self) -> str:
        """The pictures that are shown, as HTML."""
        return self._picture.value

    @property
    def error(self) -> str:
        """The sentence about what went wrong, as HTML; empty when all is well."""
        return self._error.value

    @property
    def saved(self) -> str:
        """The sentence about the last saving, as HTML."""
        return self._saved.value

    def press(self, words: str) -> None:
        """Press a saving button."""
        next(button for button in self._buttons if button.description == words).click()

    @property
    def widget(self) -> widgets.Widget:
        """The panel as one widget."""
        return self._widget

    def refresh(self) -> None:
        """Show what belongs to the present values; called at each change of a control.

        A change that comes while a picture is being made is not lost: the picture is made again from the
        values as they are then.
        """
        self._waiting = True
        if self._refreshing:
            return
        self._refreshing = True
        try:
            while self._waiting:
                self._waiting = False
                self._show()
        finally:
            self._refreshing = False

    def reset(self) -> None:
        """Return every control to its first value."""
        for control in self.controls.values():
            control.reset()

    def _save(self, saver: Callable[[dict[str, Any]], str]) -> None:
        try:
            self._saved.value = spoken("Saved", saver(self.values), "good")
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self._saved.value = spoken("Not saved", reason(error), "try")

    def _show(self) -> None:
        try:
            seen = self._update(self.values)
            drawings = (seen.pictures,) if isinstance(seen.pictures, Drawing) else seen.pictures
            pictures = "".join(svg(drawing, f"{self._uid}-{i}") for i, drawing in enumerate(drawings))
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self._error.value = spoken("Not shown", told(error), "try")
            return
        self._error.value = ""
        self._picture.value = pictures
        self._sentence.value = spoken("", seen.sentence).replace("class='", "class='mix-readout ")
        self._extra.value = seen.extra

    def _laid_out(self, task: str, beside: bool) -> widgets.Widget:
        heading = f"<h3>{html.escape(self.title)}</h3>" + (f"<p>{html.escape(task)}</p>" if task else "")
        back = widgets.Button(description="Back to the start", tooltip="Return every control to its start")
        back.layout.align_self = "flex-start"
        back.on_click(lambda _: self.reset())
        left = widgets.VBox(
            [control.widget for control in self.controls.values()]
            + ([back] if self.controls else [])
            + ([*self._buttons, self._saved] if self._buttons else []),
            layout=widgets.Layout(
                flex="1 1 340px" if beside else "1 1 100%", min_width="300px", padding="0 16px 0 0"
            ),
        )
        right = widgets.VBox(
            [self._picture, self._sentence, self._error, self._extra],
            layout=widgets.Layout(flex="3 1 600px", min_width="300px"),
        )
        body = widgets.Box(
            [left, right], layout=widgets.Layout(display="flex", flex_flow="row wrap", width="auto")
        )
        return card([widgets.HTML(heading), body], "mix-panel")

    def _ipython_display_(self) -> None:
        show_widget(self.widget, f"Panel: {self.title}")


def reason(error: Exception) -> str:
    """A fault as a sentence for the reader.

    Returns
    -------
    str
        The error's own sentence where it was written for the reader, else a general one that names it.
    """
    if isinstance(error, ValidationError):
        problems = explain(error, getattr(describe, error.title))
        text = " ".join(str(problem) for problem in problems)
    else:
        text = " ".join(str(error.args[0] if isinstance(error, KeyError) and error.args else error).split())
    if isinstance(error, ValueError | KeyError) and " " in text:
        return f"{sentence_start(text.rstrip('.'))}."
    detail = f"{type(error).__name__}: {text}" if text else type(error).__name__
    return f"These values cannot be used ({detail.rstrip('.')}). Change them back, or use the start values."


def told(error: Exception) -> str:
    """A fault as a sentence below a picture that stays.

    Returns
    -------
    str
        Its `reason`, and that the picture is an older one.
    """
    return f"{reason(error)} The picture is the last one that worked."


def table(head: Sequence[str], rows: Sequence[Sequence[str | float]], caption: str = "") -> str:
    """Write a table for `Seen.extra`; numbers stand to the right.

    Parameters
    ----------
    rows : sequence of sequence
        Cells: words, or numbers already formatted as text.

    Returns
    -------
    str
        HTML, everything escaped.
    """
    top = "".join(f"<th scope='col'>{html.escape(str(cell))}</th>" for cell in head)
    lines = []
    for first, *others in rows:
        cells = "".join(f"<td{_to_the_right(cell)}>{html.escape(str(cell))}</td>" for cell in others)
        lines.append(f"<tr><th scope='row'>{html.escape(str(first))}</th>{cells}</tr>")
    said = f"<caption>{html.escape(caption)}</caption>" if caption else ""
    return (
        f"<table class='mix-table'>{said}<thead><tr>{top}</tr></thead><tbody>{''.join(lines)}</tbody></table>"
    )


def _to_the_right(cell: str | float) -> str:
    return " class='mix-number'" if _NUMBER.fullmatch(str(cell).strip()) else ""
