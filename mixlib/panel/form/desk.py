"""The reader's desk of lesson 00: the form in the page, with its picture and its sentence."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from mixlib.draw.shapes import Drawing, Room
from mixlib.draw.svg import svg
from mixlib.panel.base.panel import reason
from mixlib.panel.base.screen import Stage, card, labelled, show_widget, spoken
from mixlib.panel.form.deeds import Deeds
from mixlib.panel.form.long import LongForm
from mixlib.panel.form.looks import picture_of, sentence_of
from mixlib.panel.form.sheet import Sheet
from mixlib.panel.form.shelf_page import in_use_words, shelf_rows
from mixlib.panel.form.short.made import Made
from mixlib.panel.form.steps import button, faults_of, more_owners, page_rows, row, said

__all__ = ["DescriptionDesk"]

_MOST_TOLD = 3  # faults that are told at the button


class DescriptionDesk:
    """A form in steps over one model, what is typed kept on disk, and the shelf of the reader's own.

    Attributes
    ----------
    deeds : Deeds
        All that was typed, and what can be done with it.
    """

    def __init__(self) -> None:
        self.deeds = Deeds()
        self._filled: int | None = None  # count at which the long form was filled last
        self._title = widgets.HTML()
        self.stage, self.sheet = Stage(), Sheet(self.receive)
        self.long = LongForm(self._long_changed)
        self.stage.observe(lambda _: self._draw(), "room")
        controls = labelled("mix-column", widgets.Box([self.sheet, self.long.widget]))
        parts = {"head": self._title, "controls": controls, "stage": self.stage}
        self.widget = card(parts, "mix-form mix-desk")
        self._show()

    def receive(self, told: dict[str, Any]) -> None:
        """Take what happened in the page, and bring the page up to date; see `Sheet`."""
        try:
            self.deeds.do(told)
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self.deeds.told = ("Not done", reason(error), "try")
        if told.get("press") == "keep" and self.deeds.state.full:
            self.long.finish()  # marks the fields at fault
        self._show()

    def _fill_long(self) -> None:
        if self._filled == self.deeds.fresh:
            return
        self._filled = None  # what the filling changes is no change
        if self.deeds.state.full:
            self.long.fill(self.deeds.state.full, self.deeds.units)
        else:
            self.long.close()
        self._filled = self.deeds.fresh

    def _long_changed(self) -> None:
        if self._filled is not None:
            self.deeds.put_all(self.long.page, self.long.values())
            self._show()

    def _show(self) -> None:
        """Bring the page up to date: entries, buttons, picture, sentence."""
        self._fill_long()
        done = None if self.deeds.state.full else self.deeds.made
        self._title.value = f"<h3>Describe your model</h3><p>{in_use_words()}</p>"
        self.long.widget.layout.display = "" if self.deeds.state.full and not self.deeds.on_shelf else "none"
        if self.deeds.on_shelf:
            rows = shelf_rows(self.deeds.new_name)
        elif done is None:
            rows = [said("Every field of the description, page by page.")]
        else:
            rows = page_rows(
                self.deeds.view,
                done,
                self.deeds.doubts(done.setup) if self.deeds.state.step == "done" else (),
            )
        if self.deeds.waits:
            rows.append(
                row(
                    "list",
                    said(self.deeds.waits[0], "try"),
                    button("yes", self.deeds.waits[1]),
                    button("no", "No"),
                )
            )
        if done is not None and not self.deeds.on_shelf:
            told = faults_of(self.deeds.view, done, self.deeds.state.step)
            more = (
                [f"And {len(told) - _MOST_TOLD} more, each at its field."] if len(told) > _MOST_TOLD else []
            )
            rows.append(said(" ".join([*told[:_MOST_TOLD], *more]), "try"))
        rows.append(row("tools", *self._tools(done)))
        step = f"{self.deeds.state.step} {self.deeds.view.more} {self.deeds.on_shelf}"
        self.sheet.page = {"fresh": self.deeds.fresh, "step": step, "rows": rows}
        self._draw(done)

    def _tools(self, done: Made | None) -> list[dict[str, Any]]:
        shared = [
            button("undo", "Undo", off=not self.deeds.memory.can_undo),
            button(
                "shelf", "Back to the form" if self.deeds.on_shelf else "My models", now=self.deeds.on_shelf
            ),
            button("new", "Start anew"),
        ]
        if self.deeds.on_shelf:
            return shared
        keep = [button("keep", "Keep the model", look="main"), button("fit", "Find starting settings")]
        if done is None:
            return [*keep, button("short", "Back to the short form"), *shared]
        step, owners = self.deeds.state.step, more_owners(self.deeds.view, self.deeds.state.step)
        onwards = keep if step == "done" else [button("next", "Next", look="main")]
        more = (
            [button("more", "Less" if self.deeds.view.more else "More", now=bool(self.deeds.view.more))]
            if owners
            else []
        )
        every = [button("every", "Every field")] if step == "done" else []
        return [*onwards, button("back", "Back", off=step == "have"), *more, *every, *shared]

    def _draw(self, done: Made | None = None) -> None:
        draw: Callable[..., Drawing] | None = None
        fault = sentence = ""
        if not self.deeds.on_shelf:
            try:
                if self.deeds.state.full:
                    draw = self.long.picture()
                else:
                    done = done or self.deeds.made
                    draw, sentence = picture_of(self.deeds.view, done), sentence_of(self.deeds.view, done)
            except Exception as error:  # any fault at all must end as a sentence for the reader
                fault = reason(error)
        drawing = draw(room=Room(*self.stage.room)) if draw else None
        told = spoken(*self.deeds.told) if self.deeds.told[1] else ""
        notes = [
            words
            for words in (
                self.deeds.memory.told,
                self.deeds.changed_elsewhere,
                self.long.said if self.deeds.state.full else "",
            )
            if words
        ]
        said_ = [sentence or (drawing.description if drawing else ""), *notes]
        with self.stage.hold_sync():
            self.stage.picture = (
                svg(drawing, "mixform") if drawing else spoken("No picture yet", fault) if fault else ""
            )
            self.stage.said = told + "".join(spoken("", words) for words in said_ if words)

    def _ipython_display_(self) -> None:
        show_widget(self.widget, "Form: describe your aircraft and your radio")
