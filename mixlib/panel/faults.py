"""The fault finder, the practice with a hidden fault, and the vote of a room, on the screen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np

from mixlib.bench.cautions import bench_cautions
from mixlib.bench.faults import Finder, Practice
from mixlib.bench.faults.edits import apply_faults
from mixlib.bench.faults.observe import BOTH_ENDS, BenchTest, words_for
from mixlib.chain import Rig, commands
from mixlib.describe import Setup
from mixlib.describe.words import listed, movement_sentence, sentence_start
from mixlib.draw.aircraft import aircraft_view
from mixlib.draw.shapes import Drawing
from mixlib.panel.base.controls import Pick, Slider
from mixlib.panel.base.panel import Panel, Seen, reason
from mixlib.say.tables import html_table

__all__ = ["fault_finder", "hidden_fault", "practice", "vote"]

_NOT_SEEN = "not looked"
_CHOICES = 8  # faults that a learner chooses from
_MOST_HANDS = 40


def fault_finder(setup: Setup) -> Panel:
    """Enter what was seen on the bench, one test at a time, and read what that leaves.

    The picture shows what the chosen test should move.
    """
    finder, rig = Finder(setup), Rig(setup)
    observations: dict[tuple[str, str], str] = {}
    told = Seen()
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
        tell()

    look = [(sentence_start(fault.words), sentence_start(fault.change)) for fault in finder.look_first]
    first = html_table(["look for", "cure"], look, "Before the battery is connected") if look else ""

    def start_again(_: dict[str, Any]) -> None:
        observations.clear()
        tell()

    def tell() -> None:
        """Say what is left, and make ready for the next test."""
        nonlocal told
        for pick in seen.values():
            pick.value = _NOT_SEEN
        rows = [[test, surface, word] for (test, surface), word in observations.items()]
        listed = html_table(["test", "surface", "seen"], rows, "Seen so far") if rows else first
        try:
            found = finder.causes(observations)
        except ValueError as error:  # two words that contradict each other
            told = Seen(sentence=reason(error), extra=listed, mark="try")
            return
        told = Seen(sentence=found.words, extra=listed)
        if found.next_test is not None:
            test.value = found.next_test.name

    def update(values: dict[str, Any]) -> Seen:
        """The test's movement as it should be; both ends of a control as the ways between them."""
        name = values["test"]
        ends = [finder.tests[place].end for place in finder.both_ends.get(name, ())]
        picture = _shown(rig, commands(), *ends) if ends else _tested(rig, finder.test(name))
        shown = f"The picture shows {name}{', both ends' if ends else ''}, as it should be."
        return replace(told, picture=picture, sentence=f"{told.sentence}\n{shown}")

    offer_words()
    test.on_change(offer_words)
    controls = [test, *seen.values()]
    actions = {"Add what I saw": add, "Start again": start_again}
    tell()
    panel = Panel("What is wrong?", controls, update, " ".join(bench_cautions(setup)), actions=actions)
    test.on_change(panel.refresh)
    return panel


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
    hidden, rig = Practice(finder, seed), Rig(setup)
    told = Seen()

    def hide() -> None:
        nonlocal hidden, rig, told
        hidden = Practice(finder, seed)
        rig = Rig(apply_faults(setup, hidden.hidden.faults))
        guess.entry.options = [
            (sentence_start(cause.words), cause.faults) for cause in hidden.offered(_CHOICES)
        ]
        guess.value = None
        told = Seen(sentence="A fault is hidden. Choose a test, and do it.")

    def hide_another(_: dict[str, Any]) -> None:
        nonlocal seed
        seed += 1
        hide()

    def do(values: dict[str, Any]) -> None:
        nonlocal told
        hidden.do(values["test"])
        said = "Do another test, or choose what is wrong and check it."
        told = Seen(_tested(rig, finder.test(values["test"])), f"You see {values['test']}. {said}")

    def check(values: dict[str, Any]) -> None:
        nonlocal told
        if values["guess"] is None:
            raise ValueError("choose an answer first")
        if not hidden.tests_done:
            raise ValueError("do at least one test first: a guess without a look is luck")
        verdict = hidden.guess(values["guess"])
        told = replace(told, sentence=verdict.words, mark="good" if verdict.right else "try")

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


def hidden_fault(hidden: Practice) -> Panel:
    """Look at a hidden fault in any test, as a room does before it votes; nothing tells what is wrong."""
    rig = Rig(apply_faults(hidden.finder.setup, hidden.hidden.faults))
    test = Pick("test", [test.name for test in hidden.finder.tests], label="look at")

    def update(values: dict[str, Any]) -> Seen:
        done = hidden.finder.test(values["test"])
        stages = rig.run(done.end)
        said = movement_sentence(rig.setup.aircraft.surfaces, stages.surface, stages.throw)
        return Seen(_tested(rig, done), f"{sentence_start(done.name)}. {said}")

    return Panel(f"Something is wrong with {rig.setup.aircraft.name}", [test], update)


def vote(hidden: Practice) -> Panel:
    """Count the hands of a room for each of a few causes of a hidden fault; which is right is not told."""
    causes = dict(zip("ABCD", hidden.offered(4), strict=False))
    hands = [Slider(letter, 0, _MOST_HANDS, 1, 0, label=f"hands for {letter}") for letter in causes]

    def update(values: dict[str, Any]) -> Seen:
        most = max(values.values())
        ahead = [letter for letter, count in values.items() if count == most > 0]
        said = [f"{letter}: {sentence_start(cause.words)}." for letter, cause in causes.items()]
        said += [f"Most hands for {listed(ahead)}."] if ahead else []
        return Seen(sentence="\n".join(said))

    return Panel("What is wrong? Hands up", hands, update)


def _tested(rig: Rig, test: BenchTest) -> Callable[..., Drawing]:
    """The aircraft at the end of a test, with the ways of its surfaces from the start."""
    return _shown(rig, test.end, test.start, test.end)


def _shown(rig: Rig, at: np.ndarray, start: np.ndarray, end: np.ndarray) -> Callable[..., Drawing]:
    between = zip(*rig.run([start, end]).surface.tolist(), strict=True)
    ways = dict(zip(rig.setup.aircraft.surface_names, between, strict=True))
    stages = rig.run(at)
    return partial(aircraft_view, rig.setup.aircraft, stages.surface, stages.throw, trace=ways)
