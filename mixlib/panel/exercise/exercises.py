"""Predict-then-check exercises on the screen: a question, an answer, and a reply with a reason.

``choice``, ``number`` and ``movement`` make an `Exercise`; as the last line of a cell it shows itself.  The
question behind it (`Exercise.question`, see `questions`) can be checked without any widget.
"""

from __future__ import annotations

import contextlib
import hashlib
import html
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from typing import Any

import ipywidgets as widgets
from IPython.display import display, display_markdown
from IPython.utils.capture import capture_output

from mixlib.describe.shelf import place
from mixlib.panel.base.screen import Stage, action_button, card, choices_row, labelled, show_widget, spoken
from mixlib.panel.exercise.questions import Choice, Movement, Number, Question, Reply, Slip
from mixlib.say.speeds import in_speed_unit, speed_unit, told_in_speed_unit

__all__ = ["Exercise", "choice", "movement", "number"]

_TRIES_BEFORE_SOLUTION = 2
_HOLDS = "<p><em>Kept back until you have answered the question above, or asked it to show you.</em></p>"


def choice(question: str, options: Mapping[str, str], answer: str, key: str = "") -> Exercise:
    """Ask for one of several answers.

    Parameters
    ----------
    options : mapping of str to str
        Each answer and the reply to it, wrong ones with the reason why they are wrong.

    Returns
    -------
    Exercise
        Shows itself as the last line of a cell.

    Examples
    --------
    >>> ask = choice("Stick right: the right aileron goes", {"up": "Right.", "down": "No: it ..."}, "up")
    >>> ask.check("down").right
    False
    """
    told = {told_in_speed_unit(option): told_in_speed_unit(reply) for option, reply in options.items()}
    return Exercise(Choice(told_in_speed_unit(question), told, told_in_speed_unit(answer), key))


def number(
    question: str,
    answer: float,
    unit: str,
    tolerance: float,
    *,
    because: str,
    hint: str,
    slips: Mapping[float, str] | Sequence[Slip] = (),
    signed: bool = True,
    decimals: int = 0,
    key: str = "",
) -> Exercise:
    """Ask for a number.

    Parameters
    ----------
    question, answer, unit, tolerance, because, hint, signed, decimals, key
        See `questions.Number`.
    slips : mapping of float to str, or sequence of Slip
        Likely wrong numbers of this question and the reply to each; wrong sign, twice, half and zero have
        a general reply already.

    Returns
    -------
    Exercise
        Shows itself as the last line of a cell.
    """
    if isinstance(slips, Mapping):
        slips = tuple(Slip(value, text) for value, text in slips.items())
    if unit == "m/s":
        answer, tolerance, unit = in_speed_unit(answer), in_speed_unit(tolerance), speed_unit()
        slips = tuple(Slip(in_speed_unit(slip.value), told_in_speed_unit(slip.text)) for slip in slips)
    asked, because, hint = map(told_in_speed_unit, (question, because, hint))
    return Exercise(
        Number(asked, float(answer), unit, tolerance, because, hint, tuple(slips), signed, decimals, key)
    )


def movement(
    question: str,
    answer: Mapping[str, str],
    *,
    because: str,
    hint: str,
    key: str = "",
    rudders: tuple[str, ...] = (),
) -> Exercise:
    """Ask which way each surface goes.

    Parameters
    ----------
    question, answer, because, hint, key, rudders
        See `questions.Movement`; the answer may be computed from the reader's own set-up with
        `words.direction`.

    Returns
    -------
    Exercise
        Shows itself as the last line of a cell.
    """
    return Exercise(Movement(question, dict(answer), because, hint, key, rudders))


class Exercise:
    """A question on the screen, to be answered as often as one likes.

    What was answered is remembered in the reader's place, and stands there again the next time.
    """

    def __init__(self, question: Question) -> None:
        self.question = question
        self.tries = 0
        self.committed = not place.counts()
        self.stage = Stage()
        self._last: object = None
        self._held: list[_Held] = []
        self._solution = action_button("Show the answer", self._show_solution)
        self._solution.layout.display = "none"
        self._given, self._give, entries = self._asked()
        check = labelled("mix-check", action_button("Check", self.submit))
        heading = widgets.HTML(f"<p class='mix-question'>{html.escape(question.question)}</p>")
        parts = {
            "head": heading,
            "controls": widgets.Box(entries),
            "buttons": widgets.Box([check, self._solution]),
            "stage": self.stage,
        }
        self.widget = card(parts, "mix-exercise mix-asked")
        self._again()

    @contextlib.contextmanager
    def answered(self) -> Iterator[None]:
        """Hold back what is printed and drawn inside until an answer was given, or asked for.

        Examples
        --------
        >>> with quarter_throttle.answered():  # doctest: +SKIP
        ...     show_table(("throttle", "pulse, us"), rows)
        """
        if self.committed:
            yield
            return
        with capture_output() as caught:
            yield
        self._held.append(_Held(caught.stdout, caught.outputs))
        self._solution.layout.display = ""

    def then(self, text: str) -> None:
        """Show a text that would give the answer away, once an answer was given, or asked for.

        Parameters
        ----------
        text : str
            Markdown, as in the lesson's other texts.
        """
        with self.answered():
            display_markdown(told_in_speed_unit(text), raw=True)

    def check(self, given: Any) -> Reply:
        """Reply to an answer, without touching the screen.

        Parameters
        ----------
        given : object
            An option, a typed number, or a word for each surface.

        Returns
        -------
        Reply
            Right or not, and why.
        """
        return self.question.check(given)

    def submit(self) -> Reply:
        """Check what stands on the screen and show the reply."""
        given = self._given()
        reply = self.check(given)
        if reply.understood and not reply.right and given != self._last:
            self.tries += 1
        self._last = given
        if reply.understood:
            self._commit({"given": given, "tries": self.tries, "right": reply.right})
        self.stage.said = spoken(reply.word, reply.text, "good" if reply.right else "try")
        wanted = self.tries >= _TRIES_BEFORE_SOLUTION and not reply.right
        self._solution.layout.display = "" if wanted else "none"
        return reply

    def _ipython_display_(self) -> None:
        if place.counts() and place.recall("asked", self._key) != place.page():
            place.remember("asked", self._key, place.page())
        show_widget(self.widget, f"Exercise: {self.question.question}")

    def _commit(self, remembered: dict[str, Any]) -> None:
        if place.counts():
            place.remember("answer", self._key, remembered)
        self.committed = True
        while self._held:
            self._held.pop(0).show()

    @property
    def _key(self) -> str:
        return hashlib.sha256(self.question.question.encode()).hexdigest()[:16]

    def _again(self) -> None:
        """Put what was answered the last time on the screen."""
        before = place.recall("answer", self._key) if place.counts() else None
        if not isinstance(before, dict):
            return
        self.committed = True
        self.tries = before.get("tries", 0)
        if before.get("shown"):
            self._show_solution()
            return
        with contextlib.suppress(Exception):  # an answer of another shape is asked for again
            self._give(before["given"])
            self.submit()

    def _asked(self) -> tuple[Callable[[], Any], Callable[[Any], None], list[widgets.Widget]]:
        """What reads the answer from the screen, what puts one there, and what it is given with."""
        if isinstance(self.question, Movement):
            rows = {
                name: choices_row(name, self.question.words(name), "mix-surfaces")
                for name in self.question.answer
            }
            for row in rows.values():
                row.value = None

            def give(words: dict[str, str]) -> None:
                for name, row in rows.items():
                    row.value = words.get(name)

            return lambda: {name: row.value for name, row in rows.items()}, give, list(rows.values())
        if isinstance(self.question, Choice):
            entry = widgets.RadioButtons(options=list(self.question.options), value=None)
            return lambda: entry.value, partial(setattr, entry, "value"), [entry]
        # Its value changes on Enter or on leaving the field.
        entry = widgets.Text(description="Your answer", tooltip="Your answer", continuous_update=False)
        entry.observe(lambda _: self.submit(), "value")
        row = labelled("mix-entry", widgets.Box([entry, widgets.Label(self.question.unit)]))
        return lambda: entry.value, partial(setattr, entry, "value"), [row]

    def _show_solution(self) -> None:
        question = self.question
        self._commit({"shown": True, "tries": self.tries})
        because = question.options[question.answer] if isinstance(question, Choice) else question.because
        self.stage.said = spoken("The answer", f"{question.solution}. {because}", "good")


class _Held:
    """What a cell wanted to show, with a sentence in its place until it may."""

    def __init__(self, printed: str, shown: Sequence[Any]) -> None:
        text = f"<pre>{html.escape(printed)}</pre>" if printed else ""
        bundles = [{"text/html": text, "text/plain": printed}] if printed else []
        self._bundles = bundles + [one.data for one in shown]
        places = [{"text/html": _HOLDS, "text/plain": ""}, *({"text/plain": ""} for _ in self._bundles[1:])]
        self._handles = [display(empty, raw=True, display_id=True) for empty in places]

    def show(self) -> None:
        for handle, bundle in zip(self._handles, self._bundles, strict=False):
            handle.update(bundle, raw=True)
