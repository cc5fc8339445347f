"""The reader's desk of lesson 00: describe a model step by step, keep it, and look after the kept ones."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import ipywidgets as widgets

from mixlib.bench.cautions import motor_dangers
from mixlib.bench.fit import fit, usual_wants
from mixlib.describe import DescriptionError, Setup, shelf
from mixlib.draw.shapes import Drawing, Room
from mixlib.draw.svg import svg
from mixlib.panel.base.panel import reason
from mixlib.panel.base.screen import Stage, card, labelled, show_widget, spoken
from mixlib.panel.form.long import LongForm
from mixlib.panel.form.looks import picture_of, sentence_of
from mixlib.panel.form.memory import Memory, State
from mixlib.panel.form.sheet import Sheet
from mixlib.panel.form.shelf_page import act, in_use_words, shelf_rows, take_in
from mixlib.panel.form.short.asked_back import Doubt, doubts
from mixlib.panel.form.short.back import answers_of, fitted
from mixlib.panel.form.short.made import Made, made
from mixlib.panel.form.short.questions import leads, with_units
from mixlib.panel.form.steps import STEPS, View, button, faults_of, more_owners, page_rows, row, said

__all__ = ["DescriptionDesk"]


class DescriptionDesk:
    """A form in steps over one model, what is typed kept on disk, and the shelf of the reader's own.

    Attributes
    ----------
    memory : Memory
        All that was typed.
    """

    def __init__(self) -> None:
        self.memory = Memory()
        self._view = View(self.memory.state)
        self._waits: tuple[str, str, Callable[[], None]] | None = None  # question, its yes, what then
        self._told = ("", self.memory.told, "try") if self.memory.told else ("", "", "")
        self._fresh = 0
        self._on_shelf, self._new_name, self._filling = False, "", False
        self._title = widgets.HTML()
        self.stage, self.sheet = Stage(), Sheet(self.receive)
        self.long = LongForm(self._long_changed)
        if not self.memory.restored and (used := shelf.name_in_use()):
            self._open_kept(used)
        elif self.memory.restored:
            self._told = ("", "Here is what you typed, as you left it.", "good")
        self._fill_long()
        self.stage.observe(lambda _: self._draw(), "room")
        controls = labelled("mix-column", widgets.Box([self.sheet, self.long.widget]))
        parts = {"head": self._title, "controls": controls, "stage": self.stage}
        self.widget = card(parts, "mix-form mix-desk")
        self._show()

    @property
    def state(self) -> State:
        """All that was answered."""
        return self.memory.state

    @property
    def made(self) -> Made:
        """What the answers of the short form come to."""
        return made(self.state.answers, self.state.carried)

    def receive(self, told: dict[str, Any]) -> None:
        """Take what happened in the page: an entry, the focus, a button, a file; see `Sheet`."""
        try:
            if "put" in told:
                self.put(str(told["put"]), str(told["value"]))
            elif "at" in told:
                self._view.at = str(told["at"])
            elif "press" in told:
                self.press(str(told["press"]))
            elif "file" in told:
                self._take_in(told)
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self._told = ("Not done", reason(error), "try")
        self._show()

    def put(self, key: str, value: str) -> None:
        """Write one answer, as typed or picked."""
        answers = self.state.answers
        if key == "more":
            self._view.more = value
        elif key == "new name":
            self._new_name = value
        elif answers.get(key, "") != value:
            self.memory.remember(key)
            if key in ("length", "mass"):
                answers.update(with_units(answers, key))
                self._fresh += 1
            answers[key] = value
            self._told = ("", "", "")
            self.memory.save()

    def press(self, key: str) -> None:
        """Do what a button says."""
        what, _, name = key.partition(":")
        waits, self._waits = self._waits, None
        self._told = ("", "", "")
        if what == "step":
            self._go(name)
        elif what == "yes" and waits:
            waits[2]()
        elif what == "so":
            self.memory.remember("")
            self.state.yes.append(name)
            self.memory.save()
        elif what in ("open", "use", "copy", "rename", "delete", "restore", "draft"):
            self._with_kept(what, name)
        elif action := self._actions.get(key):
            action()

    def open(self, setup: Setup, name: str = "") -> None:
        """Fill the form from a set-up: the short one where it has words for all of it, else the long one.

        Parameters
        ----------
        name : str
            Its file on the shelf, if it has one.
        """
        short = answers_of(setup)
        seen = shelf.version(name) if name else ""
        if short is not None:
            state = State(short[0], short[1], kept_as=name, seen=seen)
        else:
            state = State(full=LongForm.values_of(setup), kept_as=name, seen=seen)
        self._replace(state)

    def finish(self) -> tuple[Setup | None, list[str]]:
        """The set-up as described now, or what stands in its way, in sentences."""
        if self.state.full:
            setup, problems = self.long.finish()
            self.long.show(problems)
            return setup, list(map(str, problems))
        done = self.made
        return done.setup, list(done.faults.values())

    def save(self) -> Setup | None:
        """Keep the model on the shelf when all is accepted and all that is asked back is answered.

        Returns
        -------
        Setup or None
            What was kept; None when something is not accepted, which is then said on the screen.
        """
        self._view.tried = True
        setup, faults = self.finish()
        if setup is not None and not self.state.full and not self.state.answers.get("name", "").strip():
            setup, faults = None, ["Name of the model is not typed yet. It stands under Done."]
        open_ = [doubt for doubt in self._doubts(setup) if doubt.key not in self.state.yes]
        if setup is None or open_:
            words = " ".join(faults) or "Is it so? " + " ".join(doubt.words for doubt in open_)
            self._told = ("Not kept yet", words, "try")
            return None
        same = setup.name in self._names_of(self.state.kept_as)
        try:
            path = shelf.keep(setup, self.state.seen if same else "")
        except shelf.ChangedElsewhere:
            words = (
                f"{setup.name} is on the shelf already, and it is not what was opened here. Keep this one "
                "in its place? That one goes to its earlier states."
            )
            self._waits = (words, "Keep this one", partial(self._keep_over, setup))
            return None
        self._kept(setup, path.stem, str(path))
        return setup

    def _kept(self, setup: Setup, name: str, path: str) -> None:
        self.state.kept_as, self.state.seen = name, shelf.version(name)
        self.memory.save()
        dangers = motor_dangers(setup)
        words = f"{path}. The lessons now work with it; run them again."
        self._told = ("Kept", " ".join([words, *dangers]), "try" if dangers else "good")

    def _keep_over(self, setup: Setup) -> None:
        name = shelf.stem_for(setup)
        path = shelf.keep(setup, shelf.version(name))
        self._kept(setup, path.stem, str(path))

    def _names_of(self, kept: str) -> tuple[str, ...]:
        try:
            return (shelf.open_kept(kept).name,) if kept else ()
        except DescriptionError:
            return ()

    def _doubts(self, setup: Setup | None) -> tuple[Doubt, ...]:
        if setup is None:
            return ()
        lead = next((names for names in leads(self.state.answers).values() if len(names) > 1), ())
        return doubts(setup, lead)

    def _go(self, step: str) -> None:
        self.state.step, self._view.more, self._view.at, self._on_shelf = step, "", "", False
        self.memory.save()

    def _next(self, by: int) -> None:
        places = list(STEPS)
        self._go(places[min(max(places.index(self.state.step) + by, 0), len(places) - 1)])

    @property
    def _actions(self) -> dict[str, Callable[[], object]]:
        return {
            "next": partial(self._next, 1),
            "back": partial(self._next, -1),
            "more": self._toggle_more,
            "undo": self._take_back,
            "shelf": self._toggle_shelf,
            "new": self._ask_new,
            "every": self._every_field,
            "short": self._short_again,
            "keep": self.save,
            "fit": self._fit,
        }

    def _ask_new(self) -> None:
        words = "Start anew? What is typed here goes; Undo brings it back."
        self._waits = (words, "Start anew", partial(self._replace, State()))

    def _toggle_more(self) -> None:
        owners = more_owners(self._view, self.state.step)
        self._view.more = "" if self._view.more or not owners else owners[0]

    def _toggle_shelf(self) -> None:
        self._on_shelf = not self._on_shelf

    def _take_back(self) -> None:
        self.memory.undo()
        self._renew()

    def _every_field(self) -> None:
        setup, faults = self.finish()
        if setup is None:
            self._told = ("Not yet", " ".join(faults), "try")
        else:
            self._replace(
                State(full=LongForm.values_of(setup), kept_as=self.state.kept_as, seen=self.state.seen)
            )

    def _short_again(self) -> None:
        setup, faults = self.finish()
        short = answers_of(setup) if setup is not None else None
        if short is None:
            words = " ".join(faults) or "The short form has no questions for some of what is described here."
            self._told = ("Not yet", words, "try")
        else:
            self._replace(State(*short, step="done", kept_as=self.state.kept_as, seen=self.state.seen))

    def _fit(self) -> None:
        """Starting settings for this radio, put into what is described."""
        setup, faults = self.finish()
        if setup is None:
            self._told = ("Not yet", " ".join(faults), "try")
            return
        wants = setup.wanted or usual_wants(setup.aircraft)
        found = fit(setup.aircraft, setup.radio, wants, setup.name, keep=setup)
        self.memory.remember("")
        if self.state.full:
            self.state.full = LongForm.values_of(found.setup)
            self._fill_long()
        else:
            self.state.answers, self.state.carried = fitted(self.state.answers, found.setup)
        self.memory.save()
        self._fresh += 1
        words = " ".join([*found.cannot, *found.notes][:3])
        self._told = (
            "Starting settings found",
            f"{words} Look at them in lesson 08, and keep the model.",
            "good",
        )

    def _with_kept(self, what: str, name: str) -> None:
        asked = {
            "open": (
                f"Open {name}? What is typed here goes; Undo brings it back.",
                "Open it",
                self._open_kept,
            ),
            "draft": ("Go on with the other draft? This one stays too.", "Go on with it", self._other),
            "delete": (f"Put {name} into the bin?", "Into the bin", self._delete),
        }
        if what in asked:
            words, yes, then = asked[what]
            self._waits = (words, yes, partial(then, name))
        else:
            act(what, name, self._new_name.strip())
            self._new_name = "" if what in ("copy", "rename") else self._new_name
            self._told = ("Done", in_use_words(), "good")

    def _delete(self, name: str) -> None:
        act("delete", name)
        self._told = ("Done", f"{name} is in the bin. {in_use_words()}", "good")

    def _open_kept(self, name: str) -> None:
        self.open(shelf.open_kept(name), name)
        self._on_shelf = False

    def _other(self, name: str) -> None:
        self.memory = Memory(name)
        self._on_shelf = False
        self._renew()

    def _take_in(self, told: dict[str, Any]) -> None:
        self._told = ("Taken in", f"It is on the shelf as {take_in(told)}.", "good")

    def _replace(self, state: State) -> None:
        self.memory.replace(state)
        self._renew()

    def _renew(self) -> None:
        self._view = View(self.memory.state)
        self._fresh += 1
        self._fill_long()

    def _fill_long(self) -> None:
        self._filling = True
        if self.state.full:
            self.long.fill(self.state.full)
        else:
            self.long.close()
        self._filling = False

    def _long_changed(self) -> None:
        if self._filling:
            return
        if self.long.draft.values != self.state.full:
            self.memory.remember(self.long.page)
            self.state.full = self.long.values()
            self.memory.save()
        self._show()

    def _show(self) -> None:
        """Bring the page up to date: entries, buttons, picture, sentence."""
        done = None if self.state.full else self.made
        self._title.value = f"<h3>Describe your model</h3><p>{in_use_words()}</p>"
        self.long.widget.layout.display = "" if self.state.full and not self._on_shelf else "none"
        if self._on_shelf:
            rows = shelf_rows(self._new_name)
        elif done is None:
            rows = [
                said("This model has parts for which the short form has no question. Here is every field.")
            ]
        else:
            rows = page_rows(self._view, done, self._doubts(done.setup) if self.state.step == "done" else ())
        if self._waits:
            rows.append(
                row("list", said(self._waits[0], "try"), button("yes", self._waits[1]), button("no", "No"))
            )
        if done is not None and not self._on_shelf:
            told = faults_of(self._view, done, self.state.step)
            rows.append(said(" ".join(told), "try"))
        rows.append(row("tools", *self._tools(done)))
        step = f"{self.state.step} {self._view.more} {self._on_shelf}"
        self.sheet.page = {"fresh": self._fresh, "step": step, "rows": rows}
        self._draw(done)

    def _tools(self, done: Made | None) -> list[dict[str, Any]]:
        shared = [
            button("undo", "Undo", off=not self.memory.can_undo),
            button("shelf", "Back to the form" if self._on_shelf else "My models", now=self._on_shelf),
            button("new", "Start anew"),
        ]
        if self._on_shelf:
            return shared
        keep = [button("keep", "Keep the model"), button("fit", "Find starting settings")]
        if done is None:
            return [*keep, button("short", "Back to the short form"), *shared]
        step, owners = self.state.step, more_owners(self._view, self.state.step)
        onwards = keep if step == "done" else [button("next", "Next")]
        more = (
            [button("more", "Less" if self._view.more else "More", now=bool(self._view.more))]
            if owners
            else []
        )
        every = [button("every", "Every field")] if step == "done" else []
        return [*onwards, button("back", "Back", off=step == "have"), *more, *every, *shared]

    def _draw(self, done: Made | None = None) -> None:
        draw: Callable[..., Drawing] | None = None
        fault = sentence = ""
        if not self._on_shelf:
            try:
                if self.state.full:
                    draw = self.long.picture()
                else:
                    done = done or self.made
                    draw, sentence = picture_of(self._view, done), sentence_of(self._view, done)
            except Exception as error:  # any fault at all must end as a sentence for the reader
                fault = reason(error)
        drawing = draw(room=Room(*self.stage.room)) if draw else None
        told = spoken(*self._told) if self._told[1] else ""
        notes = [words for words in (self.memory.told, self.long.said if self.state.full else "") if words]
        said_ = [sentence or (drawing.description if drawing else ""), *notes]
        with self.stage.hold_sync():
            self.stage.picture = (
                svg(drawing, "mixform") if drawing else spoken("No picture yet", fault) if fault else ""
            )
            self.stage.said = told + "".join(spoken("", words) for words in said_ if words)

    def _ipython_display_(self) -> None:
        show_widget(self.widget, "Form: describe your aircraft and your radio")
