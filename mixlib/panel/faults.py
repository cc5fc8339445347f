"""The fault finder and the practice with a hidden fault, on the screen."""

from __future__ import annotations

import html

import ipywidgets as widgets
import numpy as np

from mixlib.bench.faults.edits import Fault
from mixlib.bench.faults.finder import Finder
from mixlib.bench.faults.observe import BOTH_ENDS, words_for
from mixlib.bench.faults.practice import Practice
from mixlib.describe import Setup
from mixlib.describe.words import sentence_start
from mixlib.panel.base.panel import table
from mixlib.panel.base.screen import action_button, card, choices_row, show_widget, spoken

__all__ = ["FinderPanel", "PracticePanel", "fault_finder", "practice"]

_NOT_SEEN = "not looked"
_CHOICES = 8  # faults that a learner chooses from


def fault_finder(setup: Setup) -> FinderPanel:
    """Enter what was seen on the bench and read what is wrong.

    Returns
    -------
    FinderPanel
        Shows itself as the last line of a cell.
    """
    return FinderPanel(Finder(setup))


def practice(setup: Setup, seed: int = 1) -> PracticePanel:
    """Find a hidden fault with as few tests as the finder.

    Parameters
    ----------
    seed : int
        Which hidden fault comes first; 0 or more.

    Returns
    -------
    PracticePanel
        Shows itself as the last line of a cell.
    """
    return PracticePanel(Finder(setup, most_faults=1), seed)


class FinderPanel:
    """One test at a time: what each surface did, and what that leaves."""

    def __init__(self, finder: Finder) -> None:
        self._finder = finder
        self.observations: dict[tuple[str, str], str] = {}
        both = [(f"{command}, both ends", command) for command in finder.both_ends]
        tests = [(test.name, test.name) for test in finder.tests]
        self.test = choices_row("test", [*tests, *both], "mix-surfaces")
        names = finder.setup.aircraft.surface_names
        self.seen = {name: choices_row(name, [], "mix-surfaces") for name in names}
        self.test.observe(self._offer_words, "value")
        add = action_button("Add what I saw", self.add)
        again = action_button("Start again", self.start_again)
        self._answer = widgets.HTML()
        self._list = widgets.HTML()
        cautions = "".join(f"<li>{html.escape(caution)}</li>" for caution in finder.cautions)
        head = widgets.HTML(f"<h3>What is wrong?</h3><ul>{cautions}</ul>")
        row = widgets.HBox([add, again], layout=widgets.Layout(flex_flow="row wrap"))
        self.widget = card([head, self.test, *self.seen.values(), row, self._answer, self._list], "mix-panel")
        self.start_again()

    @property
    def answer(self) -> str:
        """What is said now, as HTML."""
        return self._answer.value

    def add(self) -> None:
        """Take over what stands on the screen for the chosen test, and answer."""
        test = self.test.value
        for surface, entry in self.seen.items():
            self.observations.pop((test, surface), None)
            if entry.value != _NOT_SEEN:
                self.observations[test, surface] = entry.value
        self._show()

    def start_again(self) -> None:
        """Forget everything that was seen."""
        self.observations.clear()
        self._show()

    def _offer_words(self, _change: object = None) -> None:
        """Offer the words that belong to the chosen test; what was entered stays if it is one of them."""
        at_both = self.test.value in self._finder.both_ends
        for surface in self._finder.setup.aircraft.surfaces:
            words = (*(BOTH_ENDS if at_both else words_for(surface)), _NOT_SEEN)
            entry = self.seen[surface.name]
            if entry.options != words:
                kept = entry.value if entry.value in words else _NOT_SEEN
                entry.options = words
                entry.value = kept

    def _show(self) -> None:
        self._offer_words()
        for entry in self.seen.values():
            entry.value = _NOT_SEEN
        rows = [[test, surface, word] for (test, surface), word in self.observations.items()]
        self._list.value = table(["test", "surface", "seen"], rows, "Seen so far") if rows else ""
        try:
            found = self._finder.causes(self.observations)
        except ValueError as error:  # two words that contradict each other
            self._answer.value = spoken("", f"{error}.", "try")
            return
        words = found.words
        for caution in self._finder.cautions:  # they stand above already
            words = words.replace(caution, "").strip()
        self._answer.value = spoken("", words)
        if found.next_test is not None:
            self.test.value = found.next_test.name

    def _ipython_display_(self) -> None:
        show_widget(self.widget, "Panel: what is wrong?")


class PracticePanel:
    """A hidden fault, the tests to choose from, and a guess.

    Parameters
    ----------
    seed : int
        Which hidden fault comes first.
    """

    def __init__(self, finder: Finder, seed: int) -> None:
        self._finder = finder
        self._seed = seed
        self.test = choices_row("test", [test.name for test in finder.tests], "mix-surfaces")
        self.guess = widgets.RadioButtons(layout=widgets.Layout(width="auto"))
        do = action_button("Do this test", self.do)
        check = action_button("Check my answer", self.check)
        check.add_class("mix-check")
        new = action_button("Hide another fault", self.hide_another)
        self._seen = widgets.HTML()
        self._told = widgets.HTML()
        head = widgets.HTML("<h3>Practice: find the hidden fault</h3>")
        ask = widgets.HTML("<p><strong>What is wrong?</strong></p>")
        row = widgets.HBox([check, new], layout=widgets.Layout(flex_flow="row wrap"))
        self.widget = card([head, self.test, do, self._seen, ask, self.guess, row, self._told], "mix-panel")
        self._hide()

    @property
    def told(self) -> str:
        """What is said now, as HTML."""
        return self._told.value

    @property
    def seen(self) -> str:
        """Table of what was seen, as HTML."""
        return self._seen.value

    def do(self) -> None:
        """Do the chosen test and show what is seen."""
        self.practice.do(self.test.value)
        rows: dict[str, list[str]] = {}
        for (test, _), word in self.practice.observations.items():
            rows.setdefault(test, []).append(word)
        head = ["test", *self._finder.setup.aircraft.surface_names]
        self._seen.value = table(head, [[test, *words] for test, words in rows.items()], "Seen so far")
        self._told.value = ""

    def check(self) -> None:
        """Judge the guess."""
        if self.guess.value is None:
            self._told.value = spoken("", "Choose an answer first.")
        elif not self.practice.tests_done:
            self._told.value = spoken("", "Do at least one test first: a guess without a look is luck.")
        else:
            verdict = self.practice.guess(self.guess.value)
            self._told.value = spoken("", verdict.words, "good" if verdict.right else "try")

    def hide_another(self) -> None:
        """Draw the next hidden fault."""
        self._seed += 1
        self._hide()

    def _hide(self) -> None:
        self.practice = Practice(self._finder, self._seed)
        self.guess.options = self._offered()
        self.guess.value = None
        self._seen.value = ""
        self._told.value = spoken("", "A fault is hidden. Choose a test, and do it.")

    def _offered(self) -> list[tuple[str, tuple[Fault, ...]]]:
        """The hidden fault among others that look different, in an order of their own."""
        draw = np.random.default_rng(self._seed)
        hidden = self.practice.hidden
        alike = {cause.faults for cause in self._finder.alike(hidden.faults)}
        causes = [self._finder.cause(int(place)) for place in self._finder.that_show(1)]
        others = [cause for cause in causes if cause.faults not in alike]
        picked = [others[place] for place in draw.permutation(len(others))[: _CHOICES - 1]]
        offered = [*picked, hidden]
        return [
            (sentence_start(offered[place].words), offered[place].faults)
            for place in draw.permutation(len(offered))
        ]

    def _ipython_display_(self) -> None:
        show_widget(self.widget, "Panel: practice")
