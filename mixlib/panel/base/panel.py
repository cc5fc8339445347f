"""The live panel: controls, a picture and a sentence that follow each other, on one screen.

A panel calls one function with the values of its controls; the function returns what to show.  Whatever goes
wrong in it becomes a sentence, never a traceback, and the last good picture stays.
"""

from __future__ import annotations

import contextlib
import html
import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import ipywidgets as widgets
from pydantic import ValidationError

from mixlib import describe
from mixlib.describe.errors import explain
from mixlib.describe.words import sentence_start
from mixlib.draw.shapes import Drawing, Room
from mixlib.draw.svg import svg
from mixlib.panel.base.controls import Control, Slider
from mixlib.panel.base.last import LastSetting
from mixlib.panel.base.screen import Stage, action_button, card, show_widget, spoken
from mixlib.panel.base.trial import Trial
from mixlib.say.differences import Measure

__all__ = ["Kept", "Panel", "Seen", "reason"]

_numbers = itertools.count(1)
_SAME = 1e-6  # what two places of a slider differ by at most that are one, as the page reckons with it


@dataclass(frozen=True)
class Seen:
    """What a panel shows for the present values of its controls.

    Parameters
    ----------
    picture : callable, optional
        Draws the picture for its keyword ``room``; called again when the room changes.
    sentence : str
        Says in words what the picture shows; left out, the picture's own description does.  What comes after
        a line break has a line of its own.
    extra : str
        HTML below, such as a `table`.
    mark : {"", "good", "try"}
        Which mark stands at the edge of the sentence's first line; the words say the same.
    numbers : sequence of Measure
        What it can be compared by; where there are some, the reader can keep it as A and try B.
    beside : bool
        Whether these numbers stand in a table below the sentence, B beside A.
    """

    picture: Callable[..., Drawing] | None = None
    sentence: str = ""
    extra: str = ""
    mark: str = ""
    numbers: Sequence[Measure] = ()
    beside: bool = False


@dataclass(frozen=True)
class Kept:
    """What a saver has saved, in words, what undoes it, which says so in words, and if it is a new set-up."""

    said: str
    undo: Callable[[], str] | None = None
    new: bool = False


class Panel:
    """Controls, a picture, and a sentence that follow each other.

    Parameters
    ----------
    update : callable
        Takes a dict of the controls' values by name, returns `Seen`.  When it raises, the reader sees a
        sentence.
    task : str
        What to try or to find out with it.
    savers : mapping of str to callable
        Words of a button to what it saves: a function of the controls' values that returns a sentence about
        what was saved, or a `Kept` that can be undone.  When it raises, the reader sees a sentence.
    actions : mapping of str to callable
        Words of a button to what it does with the controls' values before the panel is updated.  A panel with
        actions follows its buttons alone, not each change of a control.
    beside : bool
        Whether the controls stand beside the picture where there is room, or always above it.
    more : sequence of DOMWidget
        What else stands with the buttons.
    """

    def __init__(
        self,
        title: str,
        controls: Sequence[Control],
        update: Callable[[dict[str, Any]], Seen],
        task: str = "",
        savers: Mapping[str, Callable[[dict[str, Any]], str | Kept]] | None = None,
        actions: Mapping[str, Callable[[dict[str, Any]], None]] | None = None,
        beside: bool = True,
        more: Sequence[widgets.DOMWidget] = (),
    ) -> None:
        self.title = title
        self.controls = {control.name: control for control in controls}
        self.stage = Stage(apart=not actions)
        self.error = self.sentence = self.saved = ""
        self._update = update
        self._draw: Callable[..., Drawing] | None = None
        self._tabled = False  # whether a table of A and B belongs to what is seen
        self._against = ""
        self._trial = Trial(update, self._put, self._act)
        self._last: LastSetting | None = None
        self._uid = f"mix{next(_numbers)}"
        self._waiting = False
        self._refreshing = False
        self._more = more
        self._buttons = [
            action_button(words, partial(self._act, do)) for words, do in (actions or {}).items()
        ]
        self._buttons += [
            action_button(words, partial(self._save, do)) for words, do in (savers or {}).items()
        ]
        self._kept: list[Callable[[], str]] = []
        self._undo = action_button("Undo the keeping", self._take_back)
        self._undo.layout.display = "none"
        self._buttons += [self._undo] if savers else []
        if any(control.returns for control in controls) and not actions:
            self._buttons.append(action_button("Back to the start", self.reset))
        for control in controls if not actions else ():
            control.on_change(self._changed)
        if actions:
            self.refresh()
        else:
            self._buttons += self._trial.buttons
            with contextlib.suppress(ValueError):  # of a start that is not accepted nothing is remembered
                self._last = LastSetting(title, self.values)
            self._as_left()
        self.stage.observe(self._redraw, "room")
        self.stage.on_msg(self._slid)
        kind = "mix-asked" if actions else "mix-beside" if beside and controls else ""
        if self._tabled:
            self.stage.apart, kind = False, f"{kind} mix-tabled"
        self.widget = self._laid_out(task, kind)

    @property
    def values(self) -> dict[str, Any]:
        """Values of the controls by name."""
        return {name: control.value for name, control in self.controls.items()}

    @property
    def picture(self) -> str:
        """The picture that is shown, as HTML."""
        return self.stage.picture

    @property
    def extra(self) -> str:
        """What is shown below the sentence, as HTML."""
        return self.stage.extra

    def press(self, words: str) -> None:
        """Press a button."""
        next(button for button in self._buttons if button.description == words).click()

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
        with self._at_once():
            for control in self.controls.values():
                control.reset()
        self._changed()

    def _changed(self) -> None:
        self.refresh()
        if self._last and not self._refreshing:
            with contextlib.suppress(ValueError):  # what is not accepted is not remembered
                self._last.remember(self.values, self._trial.values)

    def _slid(self, _stage: Stage, told: Mapping[str, Any], _buffers: object) -> None:
        """Where the page's sliders stand as a button is pressed: their own messages may be on the way."""
        sliders = [control.entry for control in self.controls.values() if isinstance(control, Slider)]
        for slider, value in zip(sliders, told.get("sliders", ()), strict=False):
            if abs(slider.value - value) > _SAME:
                slider.value = value

    def _as_left(self) -> None:
        """Show what the reader left here the last time; nothing else than the start where that is no more."""
        left = self._last.found() if self._last else {}
        try:
            self._put(left.get("values", {}))
            if left.get("kept"):
                self._trial.keep(left["kept"])
        except Exception:  # what was left was another panel's: it begins anew
            left = {}
            self.reset()
        self.refresh()
        if left:
            self.saved = spoken("As you left it", "Back to the start begins again.")
            self._say()

    def _put(self, values: Mapping[str, Any]) -> None:
        with self._at_once():
            for name, value in values.items():
                self.controls[name].value = value

    @contextlib.contextmanager
    def _at_once(self) -> Iterator[None]:
        """What several changes ask for is shown once, afterwards."""
        self._refreshing = True
        try:
            yield
        finally:
            self._refreshing = False

    def _act(self, action: Callable[[dict[str, Any]], None]) -> None:
        try:
            action(self.values)
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self.error = spoken("Not done", reason(error), "try")
            self._say()
        else:
            self._changed()

    def _save(self, saver: Callable[[dict[str, Any]], str | Kept]) -> None:
        try:
            saved = saver(self.values)
            kept = saved if isinstance(saved, Kept) else Kept(saved)
            if kept.undo:
                self._kept.append(kept.undo)
            self.saved = spoken("Saved", kept.said, "good")
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self.saved = spoken("Not saved", reason(error), "try")
        self._say_kept()

    def _take_back(self) -> None:
        try:
            self.saved = spoken("Undone", self._kept[-1](), "good")
            self._kept.pop()
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self.saved = spoken("Not undone", reason(error), "try")
        self._say_kept()

    def _say_kept(self) -> None:
        self._undo.layout.display = "" if self._kept else "none"
        self._say()

    def _show(self) -> None:
        self.saved = ""  # what was saved were other values
        try:
            seen = self._update(self.values)
            drawing = self._drawn(seen.picture) if seen.picture else None
            self._against = self._trial.line(seen)
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self._not_shown(error)
            return
        self._draw, self.error, self._tabled = seen.picture, "", seen.beside
        sentence = seen.sentence or (drawing.description if drawing else "")
        first, *more = sentence.split("\n")
        lines = [spoken("", first, seen.mark), *(spoken("", line) for line in more)]
        self.sentence = "".join(lines) if sentence else ""
        with self.stage.hold_sync():  # one message to the page
            self.stage.picture = svg(drawing, self._uid) if drawing else ""
            self.stage.extra = seen.extra + self._trial.table(seen)
            self._say()

    def _say(self) -> None:
        self.stage.said = self.error + self.sentence + self._against + self.saved

    def _drawn(self, picture: Callable[..., Drawing]) -> Drawing:
        return self._trial.drawn(picture, Room(*self.stage.room))

    def _redraw(self, _change: object) -> None:
        """Draw the same again for another room; nothing is worked out anew."""
        if self._draw is None:
            return
        try:
            self.stage.picture = svg(self._drawn(self._draw), self._uid)
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self._not_shown(error)

    def _not_shown(self, error: Exception) -> None:
        older = " The picture is the last one that worked." if self.picture else ""
        self.error = spoken("Not shown", reason(error) + older, "try")
        self._say()

    def _laid_out(self, task: str, kind: str) -> widgets.Widget:
        heading = f"<h3>{html.escape(self.title)}</h3>" + (f"<p>{html.escape(task)}</p>" if task else "")
        parts: dict[str, widgets.DOMWidget] = {"head": widgets.HTML(heading)}
        if self.controls:
            parts["controls"] = widgets.Box([control.widget for control in self.controls.values()])
        if self._buttons or self._more:
            parts["buttons"] = widgets.Box([*self._buttons, *self._more])
        parts["stage"] = self.stage
        return card(parts, f"mix-panel {kind}")

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
