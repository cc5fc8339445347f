"""What was typed: on disk after each change, undone step by step, and safe from another window's form."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field
from typing import Any

from mixlib.describe import DescriptionError, shelf

__all__ = ["FORM", "Memory", "State", "draft_names"]

FORM = "form"
"""Name of the draft that a form begins with."""

_MOST_UNDONE = 50


@dataclass
class State:
    """Where the reader is in the form, and all that was answered.

    Attributes
    ----------
    answers : dict of str to str
        As typed or picked, by key.
    carried : dict
        Settings that came along with a set-up that was opened.
    full : dict
        Values of the long form, as typed; empty while the short form is used.
    yes : list of str
        Keys of the doubts to which the reader said that it is so.
    kept_as, seen : str
        File on the shelf from which it was opened or to which it was kept last, and its version then.
    """

    answers: dict[str, str] = field(default_factory=dict)
    carried: dict[str, Any] = field(default_factory=dict)
    full: dict[str, Any] = field(default_factory=dict)
    step: str = "have"
    yes: list[str] = field(default_factory=list)
    kept_as: str = ""
    seen: str = ""


class Memory:
    """The state of a form, its draft on disk, and the states before.

    Parameters
    ----------
    name : str
        Name of the draft on the shelf.

    Attributes
    ----------
    told : str
        A sentence about the draft that the reader should know; empty for none.
    """

    def __init__(self, name: str = FORM) -> None:
        self._name, self._version, self.told = name, "", ""
        self._before: list[tuple[str, dict[str, Any]]] = []
        self.state = State()
        self.restored = self._load()

    @property
    def can_undo(self) -> bool:
        """Whether there is a state before."""
        return bool(self._before)

    def remember(self, what: str) -> None:
        """Note the state before a change; changes of the same thing one after the other are one.

        Parameters
        ----------
        what : str
            What is about to change, such as the key of an answer.
        """
        if not (self._before and what and self._before[-1][0] == what):
            self._before.append((what, asdict(self.state)))  # a deep copy
            del self._before[:-_MOST_UNDONE]

    def undo(self) -> None:
        """Put the state before back."""
        if self._before:
            _, values = self._before.pop()
            self.state = State(**values)
            self.save()

    def replace(self, state: State) -> None:
        """Go on with another state; it can be undone."""
        self.remember("")
        self.state = state
        self.save()

    def save(self) -> None:
        """Write the draft; where another window has changed it since, go on under another name.

        Nothing of either is lost.
        """
        self.told = ""
        try:
            self._version = shelf.save_draft(self._name, asdict(self.state), self._version)
        except shelf.ChangedElsewhere:
            self.told = (
                "This form was changed in another window too. Both are kept: that one as it is, this one as "
                "a second draft, which stands under My models."
            )
            self._name, self._version = next(name for name in _names() if name not in draft_names()), ""
            self._version = shelf.save_draft(self._name, asdict(self.state), self._version)
        except DescriptionError as error:
            self.told = f"What you typed is here, but not on disk yet. {error}"

    def _load(self) -> bool:
        try:
            kept = shelf.load_draft(self._name)
            self._version, self.told = kept.version, kept.sentence
            if kept.data is None:
                return False
            self.state = _state(kept.data)
        except (DescriptionError, TypeError) as error:
            self.told = f"What was typed before cannot be read. {error}"
            return False
        return True


def _state(data: Any) -> State:
    state = State(**data)
    plain = State()
    for name, value in asdict(state).items():
        if type(value) is not type(getattr(plain, name)):
            raise TypeError(f"{name} is not of the kind that the form writes")
    if not all(isinstance(text, str) for text in (*state.answers.values(), *state.yes)):
        raise TypeError("an answer is no text")
    return state


def draft_names() -> tuple[str, ...]:
    """Names of the drafts that are on disk, the first form's first."""
    return tuple(itertools.takewhile(_is_there, _names()))


def _is_there(name: str) -> bool:
    return shelf.load_draft(name).data is not None


def _names() -> Iterator[str]:
    yield FORM
    yield from (f"{FORM}_{number}" for number in itertools.count(2))
