"""What one can do in the form: answer, go on, take back, keep, open; without a widget."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from mixlib.bench.cautions import motor_dangers
from mixlib.bench.fit import fit, usual_wants
from mixlib.describe import Aircraft, DescriptionError, Radio, Setup, plain_setup, shelf, shipped
from mixlib.panel.form.every import every_field_made, every_field_of
from mixlib.panel.form.memory import Memory, State
from mixlib.panel.form.shelf_page import act, in_use_words, take_in
from mixlib.panel.form.short.asked_back import Doubt, doubts
from mixlib.panel.form.short.assumed import assumed_fields
from mixlib.panel.form.short.back import answers_of, fitted, radio_answers
from mixlib.panel.form.short.made import Made, made
from mixlib.panel.form.short.more import more_with_units
from mixlib.panel.form.short.questions import leads, with_units
from mixlib.panel.form.steps import OWN_RADIO, STEPS, View, more_owners
from mixlib.say.speeds import keep_speed_unit

__all__ = ["Deeds"]

_UNITS = ("length", "weight")
_START = "Start from this one? What is typed here goes; Undo brings it back."


class Deeds:
    """A form's memory, what of it is looked at, and all that its entries and buttons do.

    Attributes
    ----------
    waits : tuple of str, str and callable, or None
        A question that waits for an answer, the words of its yes, and what is done then.
    told : tuple of str
        What was done last: a first word, the rest, and the mark of `spoken`.
    fresh : int
        Counts how often every entry has to be shown anew.
    """

    def __init__(self) -> None:
        self.memory = Memory()
        if self.state.step not in STEPS:
            self.state.step = next(iter(STEPS))
        self.view = View(self.memory.state)
        self.waits: tuple[str, str, Callable[[], None]] | None = None
        self.told = ("", self.memory.told, "try") if self.memory.told else ("", "", "")
        self.fresh = 0
        self.on_shelf, self.new_name = False, ""
        if not self.memory.restored and (used := shelf.name_in_use()):
            self._open_kept(used)
        elif self.memory.restored:
            self.told = ("", "Here is what you typed, as you left it.", "good")

    @property
    def state(self) -> State:
        """All that was answered."""
        return self.memory.state

    @property
    def units(self) -> dict[str, str]:
        """The reader's units of length and weight, where they were picked."""
        return {key: self.state.answers[key] for key in _UNITS if key in self.state.answers}

    @property
    def made(self) -> Made:
        """What the answers of the short form come to."""
        return made(self.state.answers, self.state.carried)

    @property
    def changed_elsewhere(self) -> str:
        """A sentence where the kept model is no longer as it was opened or kept here; empty where it is."""
        name = self.state.kept_as
        if not name or shelf.version(name) == self.state.seen:
            return ""
        return f"{name} was changed on the shelf meanwhile. Keep asks first; My models opens it as it is now."

    def do(self, told: dict[str, Any]) -> None:
        """Take what happened in the page: an entry, the focus, a button, a file; see `Sheet`.

        Raises
        ------
        ValueError
            If it cannot be done; the sentence is for the reader.
        """
        if "put" in told:
            self.put(str(told["put"]), str(told["value"]), "typed" in told)
        elif "at" in told:
            self.view.at = str(told["at"])
        elif "press" in told:
            self.press(str(told["press"]))
        elif "file" in told:
            self.told = ("Taken in", f"It is on the shelf as {take_in(told)}.", "good")

    def put(self, key: str, value: str, typed: bool = False) -> None:
        """Write one answer.

        Parameters
        ----------
        typed : bool
            Whether it came letter by letter: the letters of one entry are undone together.
        """
        answers = self.state.answers
        if key == "more":
            self.view.more = value
        elif key == "new name":
            self.new_name = value
        elif key == "speed":  # the reader's, whatever the model
            keep_speed_unit(value)
        elif answers.get(key, "") != value:
            self.memory.remember(key if typed else "")
            if value.startswith(OWN_RADIO) and key == "radio":
                self._take_radio(value.removeprefix(OWN_RADIO))
                return
            if key in _UNITS:
                answers.update(_with_units(answers, key))
                self.fresh += 1
            answers[key] = value
            self.told = ("", "", "")
            self.memory.save()

    def _take_radio(self, name: str) -> None:
        """Put all values of one of the reader's own radios in place of those that stand here."""
        own = name in shelf.kept_names(Radio)
        found = radio_answers(shelf.open_kept(name, Radio) if own else shelf.open_kept(name).radio)
        if not found:
            raise ValueError("The form has no words for the controls of this radio. Use Every field for it.")
        kept = {key: text for key, text in self.state.answers.items() if not key.startswith("more:radio.")}
        self.state.answers = kept | found
        self.memory.save()

    def put_all(self, page: str, values: dict[str, Any]) -> None:
        """Write all values of the long form, typed on one of its pages."""
        if values != self.state.full:
            self.memory.remember(page)
            self.state.full = values
            self.memory.save()

    def press(self, key: str) -> None:
        """Do what a button says."""
        what, _, name = key.partition(":")
        waits, self.waits = self.waits, None
        self.told = ("", "", "")
        if what == "step":
            self._go(name)
        elif what == "yes" and waits:
            waits[2]()
        elif what == "so":
            self.memory.remember("")
            self.state.yes.append(name)
            self.memory.save()
        elif what in ("open", "use", "copy", "rename", "delete", "restore", "draft", "demo", "start"):
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
            state = State(full=every_field_of(setup), kept_as=name, seen=seen)
        self._replace(state)

    def finish(self) -> tuple[Setup | None, list[str]]:
        """The set-up as described now, or what stands in its way, in sentences."""
        if self.state.full:
            setup, problems = every_field_made(self.state.full)
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
        self.view.tried = True
        setup, faults = self.finish()
        if setup is not None and not self.state.full and not self.state.answers.get("name", "").strip():
            setup, faults = None, ["The name of the model is not typed yet. It stands under Done."]
        open_ = [doubt for doubt in self.doubts(setup) if doubt.key not in self.state.yes]
        if setup is None or open_:
            words = " ".join(faults) or "Is it so? " + " ".join(doubt.words for doubt in open_)
            self.told = ("Not kept yet", words, "try")
            return None
        same = setup.name in self._names_of(self.state.kept_as)
        try:
            path = shelf.keep(setup, self.state.seen if same else "")
        except shelf.ChangedElsewhere:
            words = (
                f"{setup.name} is on the shelf already, and it is not what was opened here. Keep this one "
                "in its place? That one goes to its earlier states."
            )
            self.waits = (words, "Keep this one", partial(self._keep_over, setup))
            return None
        self._kept(setup, path.stem)
        return setup

    def _kept(self, setup: Setup, name: str) -> None:
        self.state.kept_as, self.state.seen = name, shelf.version(name)
        self.memory.save()
        shelf.note_assumed(setup, () if self.state.full else assumed_fields(self.state.answers))
        dangers = motor_dangers(setup)
        words = f"{name}, among My models. The lessons now work with it; run them again."
        self.told = ("Kept", " ".join([words, *dangers]), "try" if dangers else "good")

    def _keep_over(self, setup: Setup) -> None:
        name = shelf.stem_for(setup)
        path = shelf.keep(setup, shelf.version(name))
        self._kept(setup, path.stem)

    def _names_of(self, kept: str) -> tuple[str, ...]:
        try:
            return (shelf.open_kept(kept).name,) if kept else ()
        except DescriptionError:
            return ()

    def doubts(self, setup: Setup | None) -> tuple[Doubt, ...]:
        """What is asked back about the set-up."""
        if setup is None:
            return ()
        lead = next((names for names in leads(self.state.answers).values() if len(names) > 1), ())
        asked = doubts(setup, lead)
        plugs = self.state.carried.get("wiring")
        if plugs and plugs != dict(setup.wiring):
            words = "Plugs have moved, so mixes, phases and settings of outputs that came along start anew."
            asked = (*asked, Doubt(f"{words} {sorted(setup.wiring.items())}", words))
        return asked

    def _go(self, step: str) -> None:
        self.state.step, self.view.more, self.view.at, self.on_shelf = step, "", "", False
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
        self.waits = (words, "Start anew", partial(self._replace, State()))

    def _toggle_more(self) -> None:
        owners = more_owners(self.view, self.state.step)
        self.view.more = "" if self.view.more or not owners else owners[0]

    def _toggle_shelf(self) -> None:
        self.on_shelf = not self.on_shelf

    def _take_back(self) -> None:
        self.memory.undo()
        self._renew()

    def _every_field(self) -> None:
        setup, faults = self.finish()
        if setup is None:
            self.told = ("Not yet", " ".join(faults), "try")
        else:
            kept, seen = self.state.kept_as, self.state.seen
            self._replace(State(self.units, full=every_field_of(setup), kept_as=kept, seen=seen))

    def _short_again(self) -> None:
        setup, faults = self.finish()
        short = answers_of(setup) if setup is not None else None
        if short is None:
            words = " ".join(faults) or "The short form has no questions for some of what is described here."
            self.told = ("Not yet", words, "try")
        else:
            answers, carried = short
            for measure, unit in self.units.items():
                answers |= _with_units(answers, measure) | {measure: unit}
            self._replace(
                State(answers, carried, step="done", kept_as=self.state.kept_as, seen=self.state.seen)
            )

    def _fit(self) -> None:
        """Starting settings for this radio, put into what is described."""
        setup, faults = self.finish()
        if setup is None:
            self.told = ("Not yet", " ".join(faults), "try")
            return
        wants = setup.wanted or usual_wants(setup.aircraft)
        found = fit(setup.aircraft, setup.radio, wants, setup.name, keep=setup)
        self.memory.remember("")
        if self.state.full:
            self.state.full = every_field_of(found.setup)
        else:
            self.state.answers, self.state.carried = fitted(self.state.answers, found.setup)
        self.memory.save()
        self.fresh += 1
        words = " ".join([*found.cannot, *found.notes][:3])
        self.told = (
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
            "demo": (_START, "Start", self._open_demo),
            "start": (_START, "Start", self._open_own),
            "draft": ("Go on with the other draft? This one stays too.", "Go on with it", self._other),
            "delete": (f"Put {name} into the bin?", "Into the bin", self._delete),
        }
        if what in asked:
            words, yes, then = asked[what]
            self.waits = (words, yes, partial(then, name))
        else:
            act(what, name, self.new_name.strip())
            self.new_name = "" if what in ("copy", "rename") else self.new_name
            self.told = ("Done", in_use_words(), "good")

    def _delete(self, name: str) -> None:
        act("delete", name)
        self.told = ("Done", f"{name} is in the bin. {in_use_words()}", "good")

    def _open_kept(self, name: str) -> None:
        self.open(shelf.open_kept(name), name)
        self.on_shelf = False

    def _open_demo(self, name: str) -> None:
        self._open_aircraft(shipped("aircraft", name))

    def _open_own(self, name: str) -> None:
        self._open_aircraft(shelf.open_kept(name, Aircraft))

    def _open_aircraft(self, aircraft: Aircraft) -> None:
        self.open(plain_setup(aircraft, shipped("radio", "simple_six"), aircraft.name))
        self.on_shelf = False

    def _other(self, name: str) -> None:
        self.memory = Memory(name)
        self.on_shelf = False
        self._renew()

    def _replace(self, state: State) -> None:
        self.memory.replace(state)
        self._renew()

    def _renew(self) -> None:
        self.view = View(self.memory.state)
        self.fresh += 1


def _with_units(answers: dict[str, str], measure: str) -> dict[str, str]:
    """The answers with the unit behind every number typed so far, before another unit is picked."""
    return with_units(answers, measure) | more_with_units(answers, made(answers).usual, measure)
