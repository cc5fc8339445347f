"""The fault finder and the practice with a hidden fault, on the screen."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from mixlib.bench.cautions import bench_cautions
from mixlib.bench.faults import Finder, Practice
from mixlib.bench.faults.edits import Fault
from mixlib.bench.faults.observe import BOTH_ENDS, words_for
from mixlib.describe import Setup
from mixlib.describe.words import sentence_start
from mixlib.panel.base.controls import Pick
from mixlib.panel.base.panel import Panel, Seen, reason
from mixlib.say.tables import html_table

__all__ = ["fault_finder", "practice"]

_NOT_SEEN = "not looked"
_CHOICES = 8  # faults that a learner chooses from


def fault_finder(setup: Setup) -> Panel:
    """Enter what was seen on the bench, one test at a time, and read what that leaves."""
    finder = Finder(setup)
    observations: dict[tuple[str, str], str] = {}
    names = {test.name: test.name for test in finder.tests}
    test = Pick("test", names | {f"{command}, both ends": command for command in finder.both_ends})
    seen = {
        surface.name: Pick(surface.name, [_NOT_SEEN], kind="mix-surfaces")
        for surface in setup.aircraft.surfaces
    }

    def offer_words() -> None:
        """Offer the words that belong to the chosen test; what was entered stays if it is one of them."""
        for surface in setup.aircraft.surfaces:
            entry = seen[surface.name].entry
            words = (*(BOTH_ENDS if test.value in finder.both_ends else words_for(surface)), _NOT_SEEN)
            if entry.options != words:
                kept = entry.value if entry.value in words else _NOT_SEEN
                entry.options = words
                entry.value = kept

    def add(values: dict[str, Any]) -> None:
        done = values.pop("test")
        for surface, word in values.items():
            observations.pop((done, surface), None)
            if word != _NOT_SEEN:
                observations[done, surface] = word

    look = [(sentence_start(fault.words), sentence_start(fault.change)) for fault in finder.look_first]
    first = html_table(["look for", "cure"], look, "Before the battery is connected") if look else ""

    def start_again(_: dict[str, Any]) -> None:
        observations.clear()

    def update(_: dict[str, Any]) -> Seen:
        for pick in seen.values():
            pick.value = _NOT_SEEN
        rows = [[test, surface, word] for (test, surface), word in observations.items()]
        listed = html_table(["test", "surface", "seen"], rows, "Seen so far") if rows else first
        try:
            found = finder.causes(observations)
        except ValueError as error:  # two words that contradict each other
            return Seen(sentence=reason(error), extra=listed, mark="try")
        if found.next_test is not None:
            test.value = found.next_test.name
        return Seen(sentence=found.words, extra=listed)

    offer_words()
    test.on_change(offer_words)
    controls = [test, *seen.values()]
    actions = {"Add what I saw": add, "Start again": start_again}
    return Panel("What is wrong?", controls, update, " ".join(bench_cautions(finder.setup)), actions=actions)


def practice(setup: Setup, seed: int = 1) -> Panel:
    """Find a hidden fault with as few tests as the finder.

    Parameters
    ----------
    seed : int
        Which hidden fault comes first; 0 or more.
    """
    finder = Finder(setup, most_faults=1)
    test = Pick("test", [test.name for test in finder.tests])
    guess = Pick("guess", {"": ()}, label="What is wrong?")
    hidden = Practice(finder, seed)
    told = Seen()

    def hide() -> None:
        nonlocal hidden, told
        hidden = Practice(finder, seed)
        guess.entry.options = _offered(finder, hidden, seed)
        guess.value = None
        told = Seen(sentence="A fault is hidden. Choose a test, and do it.")

    def hide_another(_: dict[str, Any]) -> None:
        nonlocal seed
        seed += 1
        hide()

    def do(values: dict[str, Any]) -> None:
        nonlocal told
        hidden.do(values["test"])
        told = Seen(sentence="Do another test, or choose what is wrong and check it.")

    def check(values: dict[str, Any]) -> None:
        nonlocal told
        if values["guess"] is None:
            raise ValueError("choose an answer first")
        if not hidden.tests_done:
            raise ValueError("do at least one test first: a guess without a look is luck")
        verdict = hidden.guess(values["guess"])
        told = Seen(sentence=verdict.words, mark="good" if verdict.right else "try")

    def update(_: dict[str, Any]) -> Seen:
        rows: dict[str, list[str]] = {}
        for (done, _surface), word in hidden.observations.items():
            rows.setdefault(done, []).append(word)
        head = ["test", *setup.aircraft.surface_names]
        seen = (
            html_table(head, [[done, *words] for done, words in rows.items()], "Seen so far") if rows else ""
        )
        return replace(told, extra=seen)

    hide()
    actions = {"Do this test": do, "Check my answer": check, "Hide another fault": hide_another}
    return Panel("Practice: find the hidden fault", [test, guess], update, actions=actions)


def _offered(finder: Finder, hidden: Practice, seed: int) -> list[tuple[str, tuple[Fault, ...]]]:
    """The hidden fault among others that look different, in an order of their own."""
    draw = np.random.default_rng(seed)
    alike = {cause.faults for cause in finder.alike(hidden.hidden.faults)}
    others = [cause for cause in finder.that_show() if cause.faults not in alike]
    picked = [others[place] for place in draw.permutation(len(others))[: _CHOICES - 1]]
    offered = [*picked, hidden.hidden]
    return [
        (sentence_start(offered[place].words), offered[place].faults)
        for place in draw.permutation(len(offered))
    ]
