"""From what was seen on the bench to what is wrong, what to change, and the one next test.

The model knows nothing wrong, every single fault of `mixlib.bench.faults.kinds.faults_of` and every pair of
them at different places.  A cause fits when it explains every word that was seen.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from mixlib.bench.cautions import bench_cautions
from mixlib.bench.faults.answers import (
    Cause,
    Diagnosis,
    sentences,
    sentences_of_doubt,
    sentences_of_looking,
)
from mixlib.bench.faults.edits import Fault
from mixlib.bench.faults.kinds import faults_of, motor_faults
from mixlib.bench.faults.next_test import best_test, expected_bits, telling_surfaces
from mixlib.bench.faults.observe import BOTH_ENDS, BenchTest, both_ends, seen, words_for
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

    Raises
    ------
    ValueError
        If `most_faults` is out of range, or no command moves any surface, so that there is nothing to test.
    """

    def __init__(self, setup: Setup, most_faults: int = 2):
        if isinstance(most_faults, bool) or most_faults not in (1, 2):
            raise ValueError(f"most_faults is {most_faults!r}; accepted: 1 or 2")
        self.setup = setup
        self.cautions = bench_cautions(setup)
        self.look_first = motor_faults(setup)
        self.faults = faults_of(setup)
        self.tests = tests_that_tell(setup, self.faults)
        if not self.tests:
            raise ValueError(
                f"no control of the set-up {setup.name!r} moves a surface: there is no test to do"
            )
        found = signatures_of(setup, self.tests, self.faults, most_faults)
        self._codes, self._outcomes, self._class_of = found.codes, found.outcomes, found.class_of
        self._readings = found.readings
        self._causes = tuple(Cause(tuple(self.faults[fault] for fault in cause)) for cause in found.causes)
        self._fault_places = {fault: place for place, fault in enumerate(self.faults)}
        self._cause_places = {cause: place for place, cause in enumerate(found.causes)}
        self._tests = {test.name: place for place, test in enumerate(self.tests)}
        self.both_ends = both_ends(self.tests)
        self._surfaces = {name: place for place, name in enumerate(setup.aircraft.surface_names)}
        self._changes = np.array([cause.changes for cause in self._causes])
        costs = [cause.cost for cause in self._causes]
        self._rank = np.lexsort((np.arange(len(costs)), costs, self._changes)).argsort()
        self._weights = np.where(
            self._changes == 2,
            DOUBLES_SHARE * np.sum(self._changes == 1) / max(1, np.sum(self._changes == 2)),
            1.0,
        )

    def cause(self, place: int) -> Cause:
        """One cause of the finder's list.

        Parameters
        ----------
        place : int
            From 0 (nothing wrong); single faults first.
        """
        return self._causes[place]

    def alike(self, faults: Sequence[Fault]) -> tuple[Cause, ...]:
        """Causes that no bench test can tell from some faults, these among them.

        Parameters
        ----------
        faults : sequence of Fault
            None, one or two faults of this finder.

        Returns
        -------
        tuple of Cause
            Fewest changes first.

        Raises
        ------
        ValueError
            If the finder does not know these faults together.
        """
        where = self._class_of[self.place(faults)]
        return tuple(self.cause(place) for place in self._ranked(np.flatnonzero(self._class_of == where)))

    def place(self, faults: Sequence[Fault]) -> int:
        """Place of some faults in the finder's list.

        Parameters
        ----------
        faults : sequence of Fault
            None, one or two faults of this finder.

        Returns
        -------
        int
            What `cause` takes.

        Raises
        ------
        ValueError
            If the finder does not know these faults together.
        """
        for fault in faults:
            if fault not in self._fault_places:
                raise ValueError(f"the fault {fault.words!r} is not one of this set-up")
        wanted = tuple(sorted(self._fault_places[fault] for fault in faults))
        if wanted not in self._cause_places:
            raise ValueError(
                f"{listed(repr(fault.words) for fault in faults)} are not looked for together; accepted: at "
                f"most {self._changes.max()} faults at different places"
            )
        return self._cause_places[wanted]

    def that_show(self, changes: int) -> np.ndarray:
        """Causes that can be seen in at least one test.

        Returns
        -------
        numpy.ndarray of int
            What `cause` takes; empty if the finder does not look for so many.
        """
        return np.flatnonzero((self._changes == changes) & (self._class_of != self._class_of[0]))

    def test(self, name: str) -> BenchTest:
        """Look a test up by its name.

        Parameters
        ----------
        name : str
            Such as ``"roll right"``.

        Raises
        ------
        ValueError
            If no test of this set-up has that name.
        """
        return self.tests[self._test_place(name)]

    def expected(self, place: int, test: str, surface: str) -> str:
        """What would be seen with a cause.

        Parameters
        ----------
        place : int
            What `cause` takes.

        Returns
        -------
        str
            One of the surface's words.

        Raises
        ------
        ValueError
            If the test or the surface is unknown.
        """
        column = self._surface_place(surface)
        words = words_for(self.setup.aircraft.surfaces[column])
        return words[self._codes[place, self._test_place(test), column]]

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
        agree = np.ones((len(self._causes), len(rows)), dtype=bool)
        nearly_agree = agree.copy()
        for column, row in enumerate(rows):
            agree[:, column], nearly_agree[:, column] = self._fits(*row)
        left, nearly = (np.flatnonzero(part.all(axis=1)) for part in (agree, nearly_agree))
        if not len(nearly):
            return self._nothing_fits(list(observations.items()), agree)
        if len(left):
            nearly = nearly[self._changes[nearly] < self._changes[left].min()]
        open_ = np.concatenate([left, nearly])
        next_test, look_at, bits = self._next(open_, self._done(rows))
        causes, others = (tuple(self.cause(place) for place in self._ranked(part)) for part in (left, nearly))
        words = sentences(causes, others, next_test, look_at)
        if not rows:
            looking = sentences_of_looking(self.look_first)
            words = " ".join(filter(None, [*self.cautions, looking, words]))
        alone = len(causes) == 1 and not others
        return Diagnosis(causes, others, next_test, look_at, alone, bits, None, self.cautions, words)

    def follow(self, actual: Setup) -> tuple[tuple[BenchTest, ...], Diagnosis]:
        """Do the proposed tests on a set-up, one after the other, until no test can tell more.

        Returns
        -------
        done : tuple of BenchTest
            The tests in the order in which they were proposed.
        diagnosis : Diagnosis
            The last answer.
        """
        done: list[BenchTest] = []
        observations: dict[tuple[str, str], str] = {}
        answer = self.causes(observations)
        while answer.next_test is not None:
            test = answer.next_test
            done.append(test)
            looks = seen(self.setup, actual, test)
            observations.update({(test.name, surface): word for surface, word in looks.items()})
            answer = self.causes(observations)
        return tuple(done), answer

    def tests_needed(self) -> np.ndarray:
        """How many proposed tests each cause takes until no test can tell more.

        Returns
        -------
        numpy.ndarray of int
            Shape (causes,), in the order of `cause`.
        """
        needed = np.zeros(len(self._causes), dtype=int)
        open_groups = [np.arange(len(self._causes))]
        while open_groups:
            left = open_groups.pop()
            test = best_test(self._outcomes[left], self._shares(left))
            if test is not None:
                needed[left] += 1
                outcomes = self._outcomes[left, test]
                open_groups += [left[outcomes == outcome] for outcome in np.unique(outcomes)]
        return needed

    def class_counts(self) -> tuple[int, int]:
        """Number of different looks of nothing wrong and single faults, and of all causes."""
        return len(np.unique(self._class_of[self._changes < 2])), len(np.unique(self._class_of))

    def changes(self) -> np.ndarray:
        """Number of changes of each cause, shape (causes,), in the order of `cause`."""
        return self._changes.copy()

    def _read(self, key, word) -> tuple[tuple[int, ...], int, int]:
        """Places of the test or of the two ends, place of the surface, place of the word."""
        try:
            test, surface = key
        except (TypeError, ValueError):
            raise ValueError(f"the observation is for {key!r}; accepted: a test and a surface") from None
        column = self._surface_place(surface)
        if isinstance(test, str) and test in self.both_ends:
            places, words = self.both_ends[test], BOTH_ENDS
        else:
            places, words = (self._test_place(test),), words_for(self.setup.aircraft.surfaces[column])
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
        seen_codes, may_be = self._codes[:, places, surface], self._readings[:, places, surface]
        if len(places) == 1:
            return (seen_codes == word).all(axis=1), (may_be >> word & 1 == 1).all(axis=1)
        moving = (seen_codes != 0).sum(axis=1)
        least, most = (may_be & 1 == 0).sum(axis=1), (may_be > 1).sum(axis=1)
        return moving == word, (least <= word) & (word <= most)

    def _done(self, rows: Sequence[tuple[tuple[int, ...], int, int]]) -> set[int]:
        """Tests in which every surface was looked at."""
        looked = {(places[0], surface) for places, surface, _ in rows if len(places) == 1}
        surfaces = range(len(self._surfaces))
        return {test for test in range(len(self.tests)) if all((test, place) in looked for place in surfaces)}

    def _test_place(self, name: str) -> int:
        if not isinstance(name, str) or name not in self._tests:
            both = f"; for both ends together: {', '.join(self.both_ends)}" if self.both_ends else ""
            raise ValueError(f"no test is called {name!r}; accepted: {', '.join(self._tests)}{both}")
        return self._tests[name]

    def _surface_place(self, name: str) -> int:
        if not isinstance(name, str) or name not in self._surfaces:
            raise ValueError(f"no surface is called {name!r}; accepted: {', '.join(self._surfaces)}")
        return self._surfaces[name]

    def _ranked(self, left: np.ndarray) -> tuple[int, ...]:
        return tuple(left[np.argsort(self._rank[left])].tolist())

    def _next(self, left: np.ndarray, done: set[int]) -> tuple[BenchTest | None, tuple[str, ...], float]:
        """Next test for the causes left, the surfaces to look at, and the bits it is expected to tell."""
        weights = self._shares(left)
        test = best_test(self._outcomes[left], weights, done)
        if test is None:
            return None, (), 0.0
        names = self.setup.aircraft.surface_names
        look_at = tuple(names[place] for place in telling_surfaces(self._codes[left, test], weights))
        return self.tests[test], look_at, expected_bits(self._outcomes[left, test], weights)

    def _shares(self, left: np.ndarray) -> np.ndarray:
        return self._weights[left] / self._weights[left].sum()

    def _nothing_fits(self, items: list[tuple[tuple[str, str], str]], agree: np.ndarray) -> Diagnosis:
        misses = (~agree).sum(axis=1)
        nearest = misses == misses.min()
        blamed = (~agree[nearest] * self._weights[nearest, np.newaxis]).sum(axis=0)
        doubt, word = items[int(np.argmax(blamed))]
        where, surface = doubt
        test = self.tests[self.both_ends[where][0]] if where in self.both_ends else self.test(where)
        words = sentences_of_doubt(where, test, surface, word, int(misses.min()))
        return Diagnosis((), (), test, (surface,), False, 0.0, doubt, self.cautions, words)
