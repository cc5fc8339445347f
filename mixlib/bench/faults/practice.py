"""Practice at the bench: a hidden fault is drawn, and the learner finds it with the finder beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mixlib.bench.faults.answers import Cause
from mixlib.bench.faults.edits import Fault, apply_faults
from mixlib.bench.faults.finder import Finder
from mixlib.bench.faults.observe import seen
from mixlib.describe.words import sentence_start

__all__ = ["Practice", "Verdict"]


@dataclass(frozen=True)
class Verdict:
    """What a guess was worth.

    Attributes
    ----------
    right : bool
        Whether the guess looks the same as the hidden fault in every test.
    """

    right: bool
    exact: bool
    tests_done: int
    tests_of_finder: int
    words: str


class Practice:
    """One hidden fault of a set-up.

    Parameters
    ----------
    seed : int
        0 or more; the same seed draws the same fault.
    faults : int
        How many faults are hidden, 1 or 2.

    Raises
    ------
    ValueError
        If the seed or the number of faults is out of range, or no such fault shows in any test.
    """

    def __init__(self, finder: Finder, seed: int, faults: int = 1):
        if isinstance(seed, bool) or not isinstance(seed, int) or seed < 0:
            raise ValueError(f"seed is {seed!r}; accepted: a whole number from 0")
        possible = () if isinstance(faults, bool) else finder.that_show(faults)
        if faults == 0 or not len(possible):
            raise ValueError(f"faults is {faults!r}; accepted: a number of faults that this finder looks for")
        self.finder, self.cautions = finder, finder.cautions
        self._place = int(possible[np.random.default_rng(seed).integers(len(possible))])
        self._actual = apply_faults(finder.setup, self.hidden.faults)
        self.observations: dict[tuple[str, str], str] = {}

    @property
    def hidden(self) -> Cause:
        """The answer; a panel shows it only after a guess."""
        return self.finder.cause(self._place)

    @property
    def tests_done(self) -> int:
        """How many different tests were done so far."""
        return len({test for test, _ in self.observations})

    def do(self, name: str) -> dict[str, str]:
        """Do one test.

        Parameters
        ----------
        name : str
            Name of one of the finder's tests.

        Raises
        ------
        ValueError
            If there is no test of that name.
        """
        looks = seen(self.finder.setup, self._actual, self.finder.test(name))
        self.observations.update({(name, surface): word for surface, word in looks.items()})
        return looks

    def guess(self, faults: Sequence[Fault]) -> Verdict:
        """Say what is wrong, and compare with the finder.

        Parameters
        ----------
        faults : sequence of Fault
            One or two faults of the finder.

        Raises
        ------
        ValueError
            If the finder does not know these faults together.
        """
        place = self.finder.place(faults)
        alike = [self.finder.place(cause.faults) for cause in self.finder.alike(self.hidden.faults)]
        right, exact = place in alike, place == self._place
        needed = len(self.finder.follow(self._actual)[0])
        return Verdict(right, exact, self.tests_done, needed, self._verdict(place, right, exact, needed))

    def _verdict(self, place: int, right: bool, exact: bool, needed: int) -> str:
        count = f"{self.tests_done} {'test' if self.tests_done == 1 else 'tests'}"
        compare = f"You did {count}; the finder needs {needed}."
        if right:
            first = (
                "Right." if exact else f"Right: no test tells it from the hidden fault, {self.hidden.words}."
            )
            return f"{first} {compare}"
        guessed = {
            (test, surface): word
            for test, surface in self.observations
            if (word := self.finder.expected(place, test, surface)) != self.observations[test, surface]
        }
        if guessed:
            (test, surface), word = next(iter(guessed.items()))
            why = (
                f"With that, {surface} would be {word} in the test {test!r}, and it was "
                f"{self.observations[test, surface]}."
            )
        else:
            why = "It fits what you have seen, but another test would show the difference."
        return sentence_start(f"not yet. {why} {compare}")
