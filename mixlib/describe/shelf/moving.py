"""What is done with the files on the shelf: undo, copy, rename, throw away, give away, take in."""

from __future__ import annotations

import contextlib
import itertools
from collections.abc import Callable
from pathlib import Path
from typing import Literal

from mixlib.describe.disk import dated, inside, locked, move, states, text_of, write_whole
from mixlib.describe.errors import DescriptionError, told
from mixlib.describe.files import as_toml, from_toml, load, save
from mixlib.describe.setup import Setup
from mixlib.describe.shelf.places import (
    Kept,
    bin_folder,
    file_stem,
    folder,
    log_of,
    move_log,
    note_choices,
    path_for,
    path_of,
    save_logged,
)

__all__ = ["add", "binned", "copy", "delete", "export", "put_back", "rename", "restore", "take_in"]


def put_back(name: str) -> bool:
    """Undo the last keeping of a file: the state before is back, and what was kept goes to the bin.

    Returns
    -------
    bool
        Whether there is a state before; else the file was new, and is gone again.

    Raises
    ------
    DescriptionError
        If no state before is known, or a file cannot be written.
    """
    with locked(folder()):
        path, earlier = path_of(name), states(log_of(name))
        if not earlier:
            raise told(path.name, "no state before is known; nothing is changed")
        before = earlier[-1].read_bytes()
        if path.exists():
            write_whole(dated(bin_folder(), name, ".toml"), path.read_bytes())
        if before:
            write_whole(path, before)
        else:
            path.unlink(missing_ok=True)
        earlier[-1].unlink()

        note_choices(lambda choices: _without_last(choices, name) if before else _without(choices, name))
        return bool(before)


def copy(name: str, new_name: str) -> Path:
    """Keep a copy under a new name, as the reader types it; what the lessons work with stays.

    Raises
    ------
    DescriptionError
        If the file cannot be used, the new name is taken, or it cannot be written.
    """
    with locked(folder()):
        description = load(path_of(name))
        path = _new_path(description, new_name)
        return save_logged(description.replace(name=new_name), path)


def rename(name: str, new_name: str) -> Path:
    """Give a description a new name, as the reader types it, and its file with it; earlier states go along.

    Raises
    ------
    DescriptionError
        If the file cannot be used, the new name is taken, or it cannot be written.
    """
    with locked(folder()):
        old = path_of(name)
        description = load(old)
        new = _new_path(description, new_name)
        save(description.replace(name=new_name), new)
        move_log(name, new.stem)
        note_choices(lambda choices: [new.stem if choice == name else choice for choice in choices])
        old.unlink()
        return new


def delete(name: str) -> str:
    """Put a file into the bin, with its earlier states; see `restore`.

    Returns
    -------
    str
        Its name in the bin.

    Raises
    ------
    DescriptionError
        If it cannot be moved.
    """
    with locked(folder()):
        path = move(path_of(name), dated(bin_folder(), name, ".toml"))
        move_log(name, path.stem)
        note_choices(lambda choices: _without(choices, name))
        return path.stem


def binned() -> tuple[str, ...]:
    """Names in the bin, in alphabetical order; the time stands in each."""
    return tuple(sorted(path.stem for path in (bin_folder()).glob("*.toml") if path.is_file()))


def restore(name: str) -> Path:
    """Take a file out of the bin, by one of `binned`; under a further name if its own is taken since.

    Raises
    ------
    DescriptionError
        If it cannot be used or moved.
    """
    with locked(folder()):
        old = inside(bin_folder(), name, ".toml")
        path = add(load(old), save)
        move_log(name, path.stem)
        old.unlink()
        return path


def export(name: str, part: Literal["", "aircraft", "radio"] = "") -> tuple[str, bytes]:
    """One file to give away, its name and its content; a set-up holds its aircraft and its radio.

    Parameters
    ----------
    part : {"", "aircraft", "radio"}
        What of a set-up goes alone; left out, all of it.

    Raises
    ------
    DescriptionError
        If the file cannot be used.
    """
    path = path_of(name)
    described = load(path)
    if not part or not isinstance(described, Setup):
        return path.name, as_toml(described).encode()
    alone = described.aircraft if part == "aircraft" else described.radio
    return f"{file_stem(alone.name)}_{part}.toml", as_toml(alone).encode()


def take_in(content: bytes, source: str = "the file") -> Path:
    """Put a file that was given away on the shelf; under a further name if another one has its own.

    Raises
    ------
    DescriptionError
        If it is not accepted or cannot be written.
    """
    description = from_toml(text_of(content, source), source)
    with locked(folder()):
        return add(description)


def add(description: Kept, write: Callable[[Kept, Path], Path] = save_logged) -> Path:
    """Save a description beside what is there: under a further name where another one has its own."""
    further = (f"{description.name[:50]} {number}" for number in itertools.count(2))
    for name in itertools.chain([description.name], further):
        named = description.replace(name=name)
        path = path_for(type(named), name)
        if not path.exists():
            return write(named, path)
        with contextlib.suppress(DescriptionError):
            if load(path) == named:
                return path
    raise AssertionError  # the further names have no end


def _new_path(description: Kept, name: str) -> Path:
    path = path_for(type(description), name)
    if path.exists():
        raise told("the new name", f"“{name}” is on the shelf already; choose another one")
    return path


def _without(choices: list[str], name: str) -> list[str]:
    return [choice for choice in choices if choice != name]


def _without_last(choices: list[str], name: str) -> list[str]:
    """The choices as before the name was last chosen."""
    last = choices.index(name) if name in choices else -1
    return [choice for place, choice in enumerate(choices) if place != last]
