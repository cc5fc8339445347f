"""Practice at the bench: a hidden fault is drawn, and the learner finds it with the finder beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mixlib.bench.faults.answers import Cause
from mixlib.bench.faults.edits import Fault
from mixlib.bench.faults.finder import Finder
from mixlib.describe.words import listed

__all__ = ["Practice", "Verdict"]


@dataclass(frozen=True)
class Verdict:
    """What a guess was worth; it is right if it looks the same as the hidden fault in every test."""

    right: bool
    words: str


class Practice:
    """One hidden fault of a set-up.

    Parameters
    ----------
    seed : int
        0 or more; the same seed draws the same fault.
    about : str
        Words of the faults to draw from where the set-up can have such; else any is drawn.

    Attributes
    ----------
    hidden : Cause
        The answer; a panel shows it only after a guess.
    observations : dict of (str, str) to str
        Test and surface to the word for what was seen so far.

    Raises
    ------
    ValueError
        If the seed is out of range, or no fault of the set-up shows in any test.
    """

    def __init__(self, finder: Finder, seed: int, about: str = "") -> None:
        if isinstance(seed, bool) or not isinstance(seed, int) or seed < 0:
            raise ValueError(f"seed is {seed!r}; accepted: a whole number from 0")
        possible = finder.that_show()
        if not possible:
            raise ValueError(
                "no fault of this set-up shows in any test; accepted: a set-up with more controls"
            )
        possible = tuple(cause for cause in possible if about in cause.words) or possible
        self.finder = finder
        self.hidden: Cause = possible[np.random.default_rng(seed).integers(len(possible))]
        self._place = finder.place(self.hidden.faults)
        self.observations: dict[tuple[str, str], str] = {}

    @property
    def tests_done(self) -> int:
        """How many different tests were done so far."""
        return len({test for test, _ in self.observations})

    def offered(self, count: int) -> tuple[Cause, ...]:
        """The hidden fault among others that look nearly like it, in an order that tells nothing."""
        causes = (self.hidden, *self.finder.nearest(self.hidden.faults, count - 1))
        return tuple(sorted(causes, key=lambda cause: self.finder.place(cause.faults)))

    def solved(self, offered: Sequence[Cause]) -> tuple[str, ...]:
        """The hidden fault, its cure, the look that tells most, what looks alike, and why not the others."""
        hidden, look = self.hidden, self.finder.telling(offered)
        told = [f"It is this: {hidden.words}.", f"Put right: {hidden.change}."]
        told += [f"The look that tells most: {look.name}."] if look else []
        if same := [cause.words for cause in self.finder.alike(hidden.faults) if cause != hidden]:
            told.append(f"It may as well be this, since no test tells it apart: {listed(same)}.")
        for test in self.finder.tests:
            self.do(test.name)
        places = {cause.words: self.finder.place(cause.faults) for cause in offered if cause != hidden}
        return (*told, *(f"Not: {words}. {self._why_not(place)}" for words, place in places.items()))

    def do(self, name: str) -> dict[str, str]:
        """Do one of the finder's tests: the word for each surface.

        Raises
        ------
        ValueError
            If there is no test of that name.
        """
        surfaces = self.finder.setup.aircraft.surface_names
        looks = {surface: self.finder.expected(self._place, name, surface) for surface in surfaces}
        self.observations.update({(name, surface): word for surface, word in looks.items()})
        return looks

    def guess(self, faults: Sequence[Fault]) -> Verdict:
        """Say what is wrong, and compare with the finder.

        Raises
        ------
        ValueError
            If the finder does not know these faults together.
        """
        place = self.finder.place(faults)
        count = f"{self.tests_done} {'test' if self.tests_done == 1 else 'tests'}"
        compare = f"You did {count}; the finder needs {self.finder.tests_needed[self._place]}."
        if place == self._place:
            return Verdict(True, f"Right. {compare}")
        if self.finder.cause(place) in self.finder.alike(self.hidden.faults):
            first = f"Right: no test tells it from the hidden fault, {self.hidden.words}."
            return Verdict(True, f"{first} {compare}")
        return Verdict(False, f"Not yet. {self._why_not(place)} {compare}")

    def _why_not(self, place: int) -> str:
        for (test, surface), word in self.observations.items():
            guessed = self.finder.expected(place, test, surface)
            if guessed != word:
                return f"With that, {surface} would be {guessed} in the test {test!r}, and it was {word}."
        return "It fits what you have seen, but another test would show the difference."
