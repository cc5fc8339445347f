"""What the fault finder answers: the causes that fit, the next test, and both in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mixlib.bench.faults.edits import COSTS, Fault
from mixlib.bench.faults.observe import BenchTest
from mixlib.describe.words import listed, sentence_start

__all__ = ["Cause", "Diagnosis", "sentences", "sentences_of_doubt", "sentences_of_looking"]

_LISTED = 6  # causes that the sentences name; the others are counted


@dataclass(frozen=True)
class Cause:
    """One explanation: no fault (nothing wrong), one or two."""

    faults: tuple[Fault, ...]

    @property
    def changes(self) -> int:
        """How many things have to be changed."""
        return len(self.faults)

    @property
    def cost(self) -> int:
        """Sum of the costs of its faults, see `mixlib.bench.faults.edits.COSTS`."""
        return sum(fault.cost for fault in self.faults)

    @property
    def words(self) -> str:
        """What is wrong, without a full stop."""
        return ", and ".join(fault.words for fault in self.faults) or "nothing is wrong"

    @property
    def change(self) -> str:
        """What to change and what it takes, without a full stop."""
        parts = [f"{fault.change} ({COSTS[fault.cost]})" for fault in self.faults]
        return "; then ".join(parts) or "leave everything as it is"


@dataclass(frozen=True)
class Diagnosis:
    """Answer to what was seen so far.

    Attributes
    ----------
    causes : tuple of Cause
        All causes that fit word for word, fewest changes first, then the cheapest.
    nearly : tuple of Cause
        Causes with fewer changes than those (all of them if none fits word for word) that fit if movements
        which are hard to judge are read the other way; in the same order.
    next_test : BenchTest or None
        The test that is expected to tell most; None when no test can tell more.  When nothing fits, not even
        nearly, the test to do again.
    look_at : tuple of str
        Surfaces to look at in the next test, the most telling first; together they tell as much as all do.
    words : str
        All of it in sentences.
    """

    causes: tuple[Cause, ...]
    nearly: tuple[Cause, ...]
    next_test: BenchTest | None
    look_at: tuple[str, ...]
    words: str

    @property
    def simplest(self) -> tuple[Cause, ...]:
        """The causes that fit with the fewest changes."""
        return tuple(cause for cause in self.causes if cause.changes == self.causes[0].changes)


def sentences(
    causes: Sequence[Cause], nearly: Sequence[Cause], next_test: BenchTest | None, look_at: Sequence[str]
) -> str:
    """Causes that fit, not none of either kind, and the next test in sentences; see `Diagnosis`."""
    words = _sentences_of(causes) if causes else ["No cause fits word for word."]
    if nearly:
        words.append("Some movements are hard to judge; if they are read the other way:")
        words += _sentences_of(nearly)
    if next_test is not None:
        eyes = listed(look_at)
        words.append(f"Next test: {next_test.words} Look at {eyes}. Keep clear and only look.")
    elif len(causes) + len(nearly) > 1:
        pairs = any(cause.changes > 1 for cause in (*causes, *nearly))
        which = "None of the tests here" if pairs else "No bench test"
        words.append(f"{which} tells these apart: look at the settings, plugs, servos and horns.")
    words.append("After any change do all tests again.")
    return " ".join(words)


def _sentences_of(causes: Sequence[Cause]) -> list[str]:
    fewest = causes[0].changes
    simplest = [cause for cause in causes if cause.changes == fewest]
    if fewest:
        words = [f"{_fit(len(simplest))} with {'one change' if fewest == 1 else 'two changes'}."]
        words += [f"{sentence_start(cause.words)}: {cause.change}." for cause in simplest[:_LISTED]]
    else:
        words = ["Nothing wrong was seen so far."]
    if len(simplest) > _LISTED:
        words.append(f"{len(simplest) - _LISTED} more fit as well as these.")
    if more := len(causes) - len(simplest):
        words.append(f"{_fit(more)} as well with {'two changes' if fewest else 'something wrong'}.")
    return words


def sentences_of_looking(faults: Sequence[Fault]) -> str:
    """What to look for before power is connected, since no test tries it; nothing without a motor."""
    kinds = listed(dict.fromkeys(fault.kind for fault in faults))
    return f"No test moves the throttle: look for {kinds} before the battery is connected. " if kinds else ""


def sentences_of_doubt(where: str, test: BenchTest, surface: str, word: str, misses: int) -> str:
    """What to say when no known cause explains everything.

    Parameters
    ----------
    where : str
        Test, or command moved to both ends, of the observation that contradicts most.
    misses : int
        How many observations the nearest causes do not explain.
    """
    how = "this one alone" if misses == 1 else f"{misses} things that were seen, most of all this one"
    return (
        "No cause that the finder knows explains everything that was seen. What contradicts most: in the "
        f"test {where!r}, {surface} {word}; the nearest causes miss {how}. Do that test again and look "
        f"at {surface}: {test.words} Keep clear and only look. If it is as before, more is wrong at once "
        "than the finder looks for, or something that it does not know: check one output at a time."
    )


def _fit(count: int) -> str:
    return "1 cause fits" if count == 1 else f"{count} causes fit"
