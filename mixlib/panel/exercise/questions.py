"""Predict-then-check questions without any widget: what is asked, and what each answer is told.

A question is a frozen object.  ``check`` is a pure function of what was answered, so that a test can go
through every answer of every question; `mixlib.panel.exercise.exercises` puts them on the screen.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from mixlib.describe.numbers import read_number
from mixlib.describe.words import listed, sentence_start

__all__ = ["MOVES", "Choice", "Movement", "Number", "Question", "Reply", "Slip"]

MOVES = ("up", "neutral", "down")
"""Answers for a surface; a rudder has left, neutral, right."""


@dataclass(frozen=True)
class Reply:
    """What a reader is told about an answer; the text comes after the word."""

    right: bool
    text: str
    understood: bool = True
    """False when nothing could be checked: nothing chosen, or no number typed."""

    @property
    def word(self) -> str:
        """Verdict that stands before the text."""
        return "Right" if self.right else ("Not yet" if self.understood else "Not checked")


@dataclass(frozen=True)
class Choice:
    """One of several answers, each with its own reply.

    Parameters
    ----------
    options : mapping of str to str
        Each answer and what a reader who gives it is told: the reason; the verdict is said by the screen.
    """

    question: str
    options: Mapping[str, str]
    answer: str
    key: str = ""

    def __post_init__(self) -> None:
        if self.answer not in self.options:
            raise ValueError(f"the answer {self.answer!r} is not among the options {list(self.options)}")
        if len(self.options) < 2:
            raise ValueError("a choice needs two options or more")
        for option, text in self.options.items():
            if not text.strip():
                raise ValueError(f"the option {option!r} has no reply")

    def check(self, given: str | None) -> Reply:
        """Reply to an answer.

        Parameters
        ----------
        given : str or None
            One of the options; None while nothing is chosen.

        Returns
        -------
        Reply
            Right or not, and why.
        """
        if given is None:
            return Reply(False, "Choose an answer first, then check it.", understood=False)
        return Reply(given == self.answer, _plain(self.options[given]))

    @property
    def solution(self) -> str:
        """The right answer in words."""
        return self.answer

    def attempts(self) -> Iterator[tuple[str | None, Reply]]:
        """Every answer that can be given, with its reply."""
        for option in self.options:
            yield option, self.check(option)


@dataclass(frozen=True)
class Slip:
    """A likely wrong number and what a reader who gives it is told."""

    value: float
    text: str


@dataclass(frozen=True)
class Number:
    """A number to predict.

    Parameters
    ----------
    answer : float
        The right number, in `unit`.
    unit : str
        Such as ``"mm"``, ``"deg"``, ``"%"``; empty for a bare number.
    tolerance : float
        Largest difference that still counts as right, in `unit`.
    hint : str
        What to look at, shown after a wrong answer that no slip explains.
    slips : tuple of Slip
        Likely wrong numbers of this question, looked at before the general ones (sign, factor 2, zero).
    signed : bool
        Whether the sign carries meaning, so that a wrong sign has its own reply.
    decimals : int
        Decimals of the answer when it is shown.
    """

    question: str
    answer: float
    unit: str
    tolerance: float
    because: str
    hint: str
    slips: tuple[Slip, ...] = ()
    signed: bool = True
    decimals: int = 0
    key: str = ""

    def __post_init__(self) -> None:
        if not (math.isfinite(self.answer) and self.tolerance > 0):
            raise ValueError("a number question needs a finite answer and a tolerance above 0")
        if not (self.because.strip() and self.hint.strip()):
            raise ValueError("a number question needs a reason (because) and a hint")

    def check(self, given: str | float | None) -> Reply:
        """Reply to what was typed.

        Parameters
        ----------
        given : str, float or None
            What was typed, with or without the unit.

        Returns
        -------
        Reply
            Right or not, and why; ``understood`` is False for what is no number.
        """
        try:
            value = read_number("" if given is None else str(given), self.unit)
        except ValueError as error:
            return Reply(False, str(error), understood=False)
        if self._near(value, self.answer):
            return Reply(True, f"{self.solution}. {self.because}")
        for slip in (*self.slips, *self._general_slips()):
            if self._near(value, slip.value) and not self._near(slip.value, self.answer):
                return Reply(False, slip.text)
        size = "large" if abs(value) > abs(self.answer) else "small"
        if value < 0 and not self.signed:
            return Reply(False, f"Only the size is asked for: leave the minus away. {self.hint}")
        if value * self.answer < 0:
            return Reply(False, f"Size and sign both differ. {self.hint}")
        return Reply(False, f"That is too {size}. {self.hint}")

    @property
    def solution(self) -> str:
        """The right answer in words."""
        return _with_unit(self.answer, self.unit, self.decimals)

    def attempts(self) -> Iterator[tuple[str, Reply]]:
        """The right answer, every slip, and things that are no answer, each with its reply."""
        wrong = [slip.value for slip in (*self.slips, *self._general_slips())]
        far = self.answer + 7.3 * max(self.tolerance, abs(self.answer))
        typed = [repr(float(value)) for value in (self.answer, *wrong, far)]
        for text in (*typed, "", "about ten"):
            yield text, self.check(text)

    def _near(self, value: float, target: float) -> bool:
        return abs(value - target) <= self.tolerance * (1 + 1e-9)

    def _general_slips(self) -> tuple[Slip, ...]:
        if self._near(0.0, self.answer):
            return ()
        slips = (
            [Slip(-self.answer, f"The size is right, the sign is not. {self.hint}")] if self.signed else []
        )
        nothing = "Something does change here" if self.signed else "It is more than nothing"
        if self.answer:
            slips += [
                Slip(2 * self.answer, f"That is twice too much. {self.hint}"),
                Slip(self.answer / 2, f"That is half of it. {self.hint}"),
                Slip(0.0, f"{nothing}. {self.hint}"),
            ]
        return tuple(slips)


@dataclass(frozen=True)
class Movement:
    """Which way each surface goes.

    Parameters
    ----------
    answer : mapping of str to str
        Surface name and ``"up"``, ``"neutral"`` or ``"down"``; for a rudder ``"left"``, ``"neutral"`` or
        ``"right"``.
    rudders : tuple of str
        Names of the surfaces that go left and right, also where the answer is neutral.
    """

    question: str
    answer: Mapping[str, str]
    because: str
    hint: str
    key: str = ""
    rudders: tuple[str, ...] = ()
    _opposite: Mapping[str, str] = field(
        default_factory=lambda: {"up": "down", "down": "up", "left": "right", "right": "left"}, repr=False
    )

    def __post_init__(self) -> None:
        if not self.answer:
            raise ValueError("a movement question needs at least one surface")
        for surface, word in self.answer.items():
            if word != "neutral" and word not in self._opposite:
                raise ValueError(f"{surface}: {word!r} is not up, down, left, right or neutral")
        if not (self.because.strip() and self.hint.strip()):
            raise ValueError("a movement question needs a reason (because) and a hint")

    def words(self, surface: str) -> tuple[str, str, str]:
        """Answers that one surface offers."""
        sideways = self.answer[surface] in ("left", "right") or surface in self.rudders
        return ("left", "neutral", "right") if sideways else MOVES

    def check(self, given: Mapping[str, str | None] | None) -> Reply:
        """Reply to an answer.

        Parameters
        ----------
        given : mapping of str to str
            Surface name and word; a surface that is missing or None was not answered.

        Returns
        -------
        Reply
            Right or not, which surfaces are wrong, and why.
        """
        given = given or {}
        open_ = [surface for surface in self.answer if given.get(surface) is None]
        if open_:
            return Reply(False, f"Still to choose: {listed(open_)}.", understood=False)
        wrong = [surface for surface, word in self.answer.items() if given[surface] != word]
        if not wrong:
            return Reply(True, self.because)
        moving = [surface for surface, word in self.answer.items() if word != "neutral"]
        turned = [surface for surface in moving if given[surface] == self._opposite[self.answer[surface]]]
        if len(moving) > 1 and turned == moving and wrong == moving:
            return Reply(False, f"Every surface is the wrong way round. {self.hint}")
        if wrong == turned:
            names = listed(wrong)
            return Reply(False, f"{sentence_start(names)}: the wrong way. {self.hint}")
        return Reply(False, f"Look again at {listed(wrong)}. {self.hint}")

    @property
    def solution(self) -> str:
        """The right answer in words."""
        return ", ".join(f"{surface} {word}" for surface, word in self.answer.items())

    def attempts(self) -> Iterator[tuple[dict[str, str], Reply]]:
        """The right answer, all turned round, and each surface wrong by itself, each with its reply."""
        right = dict(self.answer)
        yield right, self.check(right)
        turned = {surface: self._opposite.get(word, word) for surface, word in right.items()}
        if turned != right:
            yield turned, self.check(turned)
        for surface, word in right.items():
            for other in self.words(surface):
                if other != word:
                    changed = {**right, surface: other}
                    yield changed, self.check(changed)


Question = Choice | Number | Movement

_VERDICT = re.compile(r"(right|yes|correct|no|not yet|wrong)\s*[.:,!]\s*", re.IGNORECASE)


def _plain(text: str) -> str:
    """A reply without a verdict at its start, which the screen says already."""
    match = _VERDICT.match(text)
    rest = text[match.end() :] if match else text
    return sentence_start(rest) or text


def _with_unit(value: float, unit: str, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    if float(text) == 0:
        text = text.lstrip("-")
    return f"{text} {unit}".strip()
