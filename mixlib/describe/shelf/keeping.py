"""Keep set-ups, aircraft and radios, read them again, and say which set-up the lessons work with."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar, overload

from mixlib.describe.aircraft import Aircraft
from mixlib.describe.demo import DEMOS
from mixlib.describe.disk import ChangedElsewhere, locked, version_of
from mixlib.describe.errors import DescriptionError, told
from mixlib.describe.files import load
from mixlib.describe.radio import Radio
from mixlib.describe.setup import Setup
from mixlib.describe.shelf.moving import add, put_back
from mixlib.describe.shelf.places import (
    CHOICE,
    DEMO,
    Kept,
    Kind,
    choices,
    files,
    folder,
    head,
    note_choices,
    path_for,
    path_of,
    save_logged,
)

__all__ = [
    "Chosen",
    "Keeping",
    "choose",
    "chosen",
    "keep",
    "keep_change",
    "kept_names",
    "name_in_use",
    "open_kept",
    "take_back",
    "version",
]

_WORDS: dict[Kind, str] = {Setup: "a set-up", Aircraft: "an aircraft", Radio: "a radio"}
_LONGEST_NAME = 60  # that a description accepts
_Kept = TypeVar("_Kept", bound=Kept)


@dataclass(frozen=True)
class Chosen:
    """The set-up that the lessons work with, and a sentence that says where it comes from.

    The sentence also says why an own file could not be used.
    """

    setup: Setup
    sentence: str


@dataclass(frozen=True)
class Keeping:
    """One change that was kept: where, what was there before, and what is there now.

    Attributes
    ----------
    new : bool
        Whether it is a set-up of its own beside the one that was changed.
    """

    path: Path
    before: Setup
    after: Setup
    new: bool
    _version: str


def kept_names(kind: Kind = Setup) -> tuple[str, ...]:
    """Names of the files of a kind, in alphabetical order; a file that cannot be read counts as a set-up."""
    heads = ((path.stem, head(path)) for path in files())
    return tuple(stem for stem, (found, _) in heads if found in (kind, None if kind is Setup else kind))


def name_in_use() -> str | None:
    """Name of the set-up that the lessons work with; None while they work with a demo."""
    with contextlib.suppress(DescriptionError):
        return next((name for name in choices()[:1] if name != DEMO), None)
    return None


def version(name: str | None = None) -> str:
    """A short text that differs when a file, or else what the lessons work with, has been changed.

    It is empty where there is no such file; an open lesson or form compares it with that of its own reading.
    """
    if name is not None:
        return version_of(path_of(name))
    name = name_in_use()
    with contextlib.suppress(DescriptionError):
        return f"{name} {version(name)}" if name else ""
    return name or ""


def keep(description: Kept, seen: str | None = None, use: bool = True) -> Path:
    """Save a description under its own name, in place of an older one; the lessons then work with a set-up.

    Parameters
    ----------
    seen : str, optional
        The `version` that the caller has read, empty for "not there yet"; left out, any is replaced.
    use : bool
        False leaves what the lessons work with as it is.

    Raises
    ------
    DescriptionError
        If it cannot be written, or another aircraft's set-up has the name; the old file is untouched.
    ChangedElsewhere
        If the file is no longer as it was seen.
    """
    with locked(folder()):
        path = path_for(type(description), description.name)
        if seen is not None and version_of(path) != seen:
            sentence = (
                "it was saved from another tab or notebook since. Nothing is overwritten: open it again"
            )
            raise ChangedElsewhere(path.name, told(path.name, sentence).problems)
        if seen is None and isinstance(description, Setup) and path.exists():
            _refuse_other(path, description.aircraft.name, _kept_at(path).aircraft.name, "aircraft")
        save_logged(description, path)
        if use and isinstance(description, Setup):
            _use(path)
        return path


def keep_change(setup: Setup, change: Callable[[Setup], Setup], what: str = "") -> Keeping:
    """Save one change of a set-up on top of all that was saved under its name since.

    Several panels of a page begin with the same set-up; what one of them has saved, the next must not undo.
    A changed demo becomes a set-up of its own.  What the lessons work with stays.

    Parameters
    ----------
    change : callable
        Takes a set-up and returns the changed one; it must not save by itself.
    what : str
        What is changed, such as ``"thermal phase"``; a new set-up's name has it.

    Raises
    ------
    DescriptionError
        If another aircraft or radio is kept under the name, or the file cannot be written; the old file, if
        any, is untouched.
    ValueError
        If the changed set-up is not accepted; nothing is written.
    """
    with locked(folder()):
        path = path_for(Setup, setup.name)
        new = not path.exists() or setup in (demo() for demo in DEMOS)
        if new:
            before, after = setup, change(setup)
            path = add(after.replace(name=f"{setup.name}, {what}"[:_LONGEST_NAME]) if what else after)
        else:
            before = _kept_at(path)
            _refuse_other(path, setup.aircraft, before.aircraft, "aircraft or radio")
            _refuse_other(path, setup.radio, before.radio, "aircraft or radio")
            after = change(before)
            if after != before:
                save_logged(after, path)
                if name_in_use() == path.stem:  # so that `put_back` returns to the same choice
                    _use(path)
        return Keeping(path, before, _kept_at(path), new, version_of(path))


def take_back(kept: Keeping) -> None:
    """Undo a keeping, unless its file was saved again since.

    Raises
    ------
    DescriptionError
        If it was, or a file cannot be written; nothing is taken away then.
    """
    if version_of(kept.path) != kept._version:
        raise told(kept.path.name, "it was saved again since; nothing is taken away")
    put_back(kept.path.stem)


@overload
def open_kept(name: str) -> Setup: ...
@overload
def open_kept(name: str, kind: type[_Kept]) -> _Kept: ...
def open_kept(name: str, kind: type[Any] = Setup) -> Any:
    """Read one of the reader's own files.

    Raises
    ------
    DescriptionError
        If the file cannot be read, is not accepted, or holds another kind of description.
    """
    description = load(path_of(name))
    if not isinstance(description, kind):
        found, wanted = _WORDS[type(description)], _WORDS[kind]
        raise told(f"{name}.toml", f"it describes {found}, and {wanted} is asked for here")
    return description


def choose(name: str | None) -> None:
    """Let the lessons work with one of the reader's set-ups, or with their demos.

    Raises
    ------
    DescriptionError
        If it cannot be used, or the choice cannot be written.
    """
    if name is not None:
        open_kept(name)
    with locked(folder()):
        note_choices(lambda choices: [name or DEMO, *choices])


def chosen(demo: Setup) -> Chosen:
    """Set-up that the lessons work with: the reader's own if there is one that can be used, else the demo."""
    fallback = f"Working with {demo.aircraft.name} on {demo.radio.name}, both invented for this workbook."
    try:
        name = next(iter(choices()), DEMO)
        if name == DEMO:
            return Chosen(demo, fallback)
        setup = open_kept(name)
    except DescriptionError as error:
        return Chosen(demo, f"Your own set-up could not be used. {error}\n{fallback}")
    return Chosen(
        setup, f"Working with your own set-up {setup.name!r}: {setup.aircraft.name} on {setup.radio.name}."
    )


def _use(path: Path) -> None:
    try:
        note_choices(lambda choices: [path.stem, *choices])
    except DescriptionError as error:
        raise told(CHOICE, f"{path.name} itself is saved; open it by its name. {error}") from None


def _kept_at(path: Path) -> Setup:
    try:
        return open_kept(path.stem)
    except DescriptionError as error:
        sentence = "the file of this name is damaged, and is not overwritten. Mend it, or put it into the bin"
        raise told(path.name, f"{sentence}. {error}".rstrip(".")) from None


def _refuse_other(path: Path, mine: object, kept: object, what: str) -> None:
    if mine != kept:
        sentence = f"this name is kept for another {what}. Take another name, or run the page with that one"
        raise told(path.name, sentence)
