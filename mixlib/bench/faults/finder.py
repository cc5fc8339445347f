"""From what was seen on the bench to what is wrong, what to change, and the one next test.

The model knows nothing wrong, every single fault of `mixlib.bench.faults.kinds.faults_of` and every pair of
them at different places.  A cause fits when it explains every word that was seen.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np

from mixlib.bench.faults.answers import (
    Cause,
    Diagnosis,
    sentences,
    sentences_of_doubt,
    sentences_of_looking,
)
from mixlib.bench.faults.edits import Fault
from mixlib.bench.faults.kinds import faults_of, motor_faults
from mixlib.bench.faults.next_test import best_test, telling_surfaces
from mixlib.bench.faults.observe import BOTH_ENDS, BenchTest, both_ends, words_for
from mixlib.bench.faults.signatures import signatures_of, tests_that_tell
from mixlib.describe import Setup
from mixlib.describe.words import listed, sentence_start

__all__ = ["DOUBLES_SHARE", "Finder", "Observations"]

Observations = Mapping[tuple[str, str], str]
"""What was seen: (name of the test, name of the surface) to a word.  A command's name in place of a test's
stands for both its ends, with the words of `mixlib.bench.faults.observe.BOTH_ENDS`."""

DOUBLES_SHARE = 0.25
"""Weight of all pairs of faults together against all single faults together; inside each group every cause
counts the same, and nothing wrong counts as one single fault.  common practice, no source."""


class Finder:
    """Finds what is wrong with one set-up.

    Parameters
    ----------
    most_faults : int
        How many faults there may be at once, 1 or 2.

    Attributes
    ----------
    look_first : tuple of Fault
        What can be wrong with the motor's output: looked for before power is connected, never tried.
    tests : tuple of BenchTest
        All that can be done, the usual ones first.
    both_ends : dict of str to (int, int)
        Places of the tests of each command that goes both ways.
    changes : numpy.ndarray of int
        Number of faults of each cause, shape (causes,), by its place in the finder's list: from 0, which is
        nothing wrong; single faults come first.

    Raises
    ------
    ValueError
        If `most_faults` is out of range, or no command moves any surface, so that there is nothing to test.
    """

    def __init__(self, setup: Setup, most_faults: int = 2) -> None:
        if isinstance(most_faults, bool) or most_faults not in (1, 2):
            raise ValueError(f"most_faults is {most_faults!r}; accepted: 1 or 2")
        self.setup = setup
        self.look_first = motor_faults(setup)
        self.faults = faults_of(setup)
        self.tests = tests_that_tell(setup, self.faults)
        if not self.tests:
            raise ValueError(
                f"no control of the set-up {setup.name!r} moves a surface: there is no test to do"
            )
        self.both_ends = both_ends(self.tests)
        self._looks = signatures_of(setup, self.tests, self.faults, most_faults)
        self._causes = [Cause(tuple(self.faults[fault] for fault in each)) for each in self._looks.causes]
        self._places = {frozenset(cause.faults): place for place, cause in enumerate(self._causes)}
        self._tests = {test.name: place for place, test in enumerate(self.tests)}
        self._surfaces = {name: place for place, name in enumerate(setup.aircraft.surface_names)}
        self.changes = np.array([cause.changes for cause in self._causes])
        costs = np.array([cause.cost for cause in self._causes])
        self._rank = np.lexsort((costs, self.changes)).argsort()
        doubles = max(1, int(np.sum(self.changes == 2)))
        double = DOUBLES_SHARE * int(np.sum(self.changes == 1)) / doubles
        self._weights = np.where(self.changes == 2, double, 1.0)

    def cause(self, place: int) -> Cause:
        """One cause of the finder's list."""
        return self._causes[place]

    def place(self, faults: Sequence[Fault]) -> int:
        """Place of some faults in the finder's list.

        Raises
        ------
        ValueError
            If the finder does not know these faults together.
        """
        for fault in faults:
            if fault not in self.faults:
                raise ValueError(f"the fault {fault.words!r} is not one of this set-up")
        if frozenset(faults) not in self._places:
            raise ValueError(
                f"{listed(repr(fault.words) for fault in faults)} are not looked for together; accepted: at "
                f"most {self.changes.max()} faults at different places"
            )
        return self._places[frozenset(faults)]

    def alike(self, faults: Sequence[Fault]) -> tuple[Cause, ...]:
        """Causes that no bench test can tell from some faults, these among them, fewest changes first."""
        where = self._looks.class_of[self.place(faults)]
        return self._ranked(np.flatnonzero(self._looks.class_of == where))

    def that_show(self) -> tuple[Cause, ...]:
        """Single faults that can be seen in at least one test."""
        shows = (self.changes == 1) & (self._looks.class_of != self._looks.class_of[0])
        return tuple(self._causes[place] for place in np.flatnonzero(shows))

    def nearest(self, faults: Sequence[Fault], count: int) -> tuple[Cause, ...]:
        """Single faults that show and look nearly like some faults, but not alike: each of another look.

        Parameters
        ----------
        count : int
            How many; the ones that differ at the fewest surfaces in all tests together, a plain count.
        """
        looks, place = self._looks, self.place(faults)
        differ = (looks.codes != looks.codes[:, :, [place]]).sum(axis=(0, 1))
        shows = [self.place(cause.faults) for cause in self.that_show()]
        near = sorted((each for each in shows if differ[each]), key=lambda each: differ[each])
        each_look = {looks.class_of[each]: each for each in reversed(near)}
        return tuple(self._causes[each] for each in near if each in each_look.values())[:count]

    def telling(self, causes: Sequence[Cause]) -> BenchTest | None:
        """The one test that tells some causes apart best; None where none does."""
        places = np.array([self.place(cause.faults) for cause in causes])
        test = best_test(self._looks.outcomes[:, places], self._shares(places))
        return None if test is None else self.tests[test]

    def test(self, name: str) -> BenchTest:
        """Look a test up by its name, such as ``"stick right"``.

        Raises
        ------
        ValueError
            If no test of this set-up has that name.
        """
        return self.tests[self._test_place(name)]

    def expected(self, place: int, test: str, surface: str) -> str:
        """The word for what would be seen of a surface with a cause.

        Raises
        ------
        ValueError
            If the test or the surface is unknown.
        """
        column = self._surface_place(surface)
        words = words_for(self.setup.aircraft.surfaces[column])
        return words[self._looks.codes[self._test_place(test), column, place]]

    def causes(self, observations: Observations) -> Diagnosis:
        """What fits everything that was seen, and what to try next.

        Parameters
        ----------
        observations : mapping of (str, str) to str
            (Name of a test, name of a surface) to the word for what was seen: up, down (rudder: left,
            right), still or too little; or (name of a command, name of a surface) to still, one way only or
            both ways.  A surface that nobody looked at is left out.

        Raises
        ------
        ValueError
            If a test, a surface or a word is unknown, or two words contradict each other; the text says what
            is accepted.
        """
        rows = [self._read(key, word) for key, word in observations.items()]
        self._refuse_contradictions(observations)
        agree = np.ones((len(rows), len(self._causes)), dtype=bool)
        nearly_agree = agree.copy()
        for place, row in enumerate(rows):
            agree[place], nearly_agree[place] = self._fits(*row)
        left, nearly = (np.flatnonzero(part.all(axis=0)) for part in (agree, nearly_agree))
        if not len(nearly):
            return self._nothing_fits(list(observations.items()), agree)
        if len(left):
            nearly = nearly[self.changes[nearly] < self.changes[left].min()]
        next_test, look_at = self._next(np.concatenate([left, nearly]), self._done(rows))
        causes, others = self._ranked(left), self._ranked(nearly)
        looking = "" if rows else sentences_of_looking(self.look_first)
        words = looking + sentences(causes, others, next_test, look_at)
        return Diagnosis(causes, others, next_test, look_at, words)

    @cached_property
    def tests_needed(self) -> np.ndarray:
        """How many proposed tests each cause takes until no test can tell more, shape (causes,), no unit."""
        needed = np.zeros(len(self._causes), dtype=int)
        open_groups = [np.arange(len(self._causes))]
        while open_groups:
            left = open_groups.pop()
            test = best_test(self._looks.outcomes[:, left], self._shares(left))
            if test is not None:
                needed[left] += 1
                outcomes = self._looks.outcomes[test, left]
                open_groups += [left[outcomes == outcome] for outcome in np.unique(outcomes)]
        return needed

    def _read(self, key: object, word: object) -> tuple[tuple[int, ...], int, int]:
        """Places of the test or of the two ends, place of the surface, place of the word."""
        if not (isinstance(key, tuple) and len(key) == 2):
            raise ValueError(f"the observation is for {key!r}; accepted: a test and a surface")
        test, surface = key
        column = self._surface_place(surface)
        words: tuple[str, ...] = words_for(self.setup.aircraft.surfaces[column])
        if isinstance(test, str) and test in self.both_ends:
            places, words = self.both_ends[test], BOTH_ENDS
        else:
            places = (self._test_place(test),)
        if not isinstance(word, str) or word not in words:
            raise ValueError(
                f"{sentence_start(surface)} in the test {test!r} is {word!r}; accepted: {', '.join(words)}"
            )
        return places, column, words.index(word)

    def _refuse_contradictions(self, observations: Observations) -> None:
        for (test, surface), word in observations.items():
            ends = [self.tests[place].name for place in self.both_ends.get(test, ())]
            told = {end: observations[end, surface] for end in ends if (end, surface) in observations}
            stills = list(told.values()).count("still")
            if ends and not len(told) - stills <= BOTH_ENDS.index(word) <= 2 - stills:
                alone = listed(f"{other} in the test {end!r}" for end, other in told.items())
                raise ValueError(
                    f"{sentence_start(surface)} moves {word!r} with {test}, but is {alone}; accepted: words "
                    "that agree, so look again and change one of them"
                )

    def _fits(self, places: tuple[int, ...], surface: int, word: int) -> tuple[np.ndarray, np.ndarray]:
        """Causes that fit an observation word for word, and those that may."""
        seen, may_be = self._looks.codes[:, surface], self._looks.readings[:, surface]
        if len(places) == 1:
            return seen[places[0]] == word, may_be[places[0]] >> word & 1 == 1
        seen, may_be = seen[list(places)], may_be[list(places)]
        moving = (seen != 0).sum(axis=0)
        least, most = (may_be & 1 == 0).sum(axis=0), (may_be > 1).sum(axis=0)
        return moving == word, (least <= word) & (word <= most)

    def _done(self, rows: Sequence[tuple[tuple[int, ...], int, int]]) -> set[int]:
        """Tests in which every surface was looked at."""
        looked = [places[0] for places, _, _ in rows if len(places) == 1]
        return {test for test in looked if looked.count(test) == len(self._surfaces)}

    def _test_place(self, name: object) -> int:
        if not isinstance(name, str) or name not in self._tests:
            both = f"; for both ends together: {', '.join(self.both_ends)}" if self.both_ends else ""
            raise ValueError(f"no test is called {name!r}; accepted: {', '.join(self._tests)}{both}")
        return self._tests[name]

    def _surface_place(self, name: object) -> int:
        if not isinstance(name, str) or name not in self._surfaces:
            raise ValueError(f"no surface is called {name!r}; accepted: {', '.join(self._surfaces)}")
        return self._surfaces[name]

    def _ranked(self, left: np.ndarray) -> tuple[Cause, ...]:
        return tuple(self._causes[place] for place in left[np.argsort(self._rank[left])])

    def _next(self, left: np.ndarray, done: set[int]) -> tuple[BenchTest | None, tuple[str, ...]]:
        """Next test for the causes left, and the surfaces to look at."""
        weights = self._shares(left)
        test = best_test(self._looks.outcomes[:, left], weights, done)
        if test is None:
            return None, ()
        names = self.setup.aircraft.surface_names
        telling = telling_surfaces(self._looks.codes[test][:, left], weights)
        return self.tests[test], tuple(names[place] for place in telling)

    def _shares(self, left: np.ndarray) -> np.ndarray:
        return self._weights[left] / self._weights[left].sum()

    def _nothing_fits(self, items: list[tuple[tuple[str, str], str]], agree: np.ndarray) -> Diagnosis:
        misses = (~agree).sum(axis=0)
        nearest = misses == misses.min()
        blamed = ~agree[:, nearest] @ self._weights[nearest]
        (where, surface), word = items[int(np.argmax(blamed))]
        test = self.tests[self.both_ends[where][0]] if where in self.both_ends else self.test(where)
        words = sentences_of_doubt(where, test, surface, word, int(misses.min()))
        return Diagnosis((), (), test, (surface,), words)
