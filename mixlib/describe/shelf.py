"""The reader's own set-ups: one folder beside the notebooks, and which of them the lessons work with.

The folder is ``my_models`` where the notebooks run; the environment variable ``MIXING_WORKBOOK_MODELS``
puts it elsewhere.  The project's own files are never written to.
"""

from __future__ import annotations

import itertools
import os
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from mixlib.describe.errors import DescriptionError, Problem
from mixlib.describe.files import load, save
from mixlib.describe.setup import Setup

__all__ = ["Chosen", "chosen", "folder", "keep", "keep_change", "kept_names", "open_kept"]

_CHOICE = "chosen.txt"  # holds the file name of the set-up that the lessons work with
_RESERVED = re.compile("con|prn|aux|nul|(com|lpt)[0-9]")  # names that Windows keeps for devices


@dataclass(frozen=True)
class Chosen:
    """The set-up that the lessons work with, and a sentence that says where it comes from.

    The sentence also says why an own file could not be used.
    """

    setup: Setup
    sentence: str


def folder() -> Path:
    """Folder of the reader's own files; it need not exist yet."""
    return Path(os.environ.get("MIXING_WORKBOOK_MODELS", "my_models"))


def kept_names() -> tuple[str, ...]:
    """Names of the files that `open_kept` can read, without ``.toml``, in alphabetical order."""
    return tuple(sorted(path.stem for path in folder().glob("*.toml")))


def keep(setup: Setup) -> Path:
    """Save a set-up under its own name, in place of an older one, and let the lessons work with it.

    Raises
    ------
    DescriptionError
        If it cannot be written; the old file, if any, is untouched.
    """
    path = save(setup, _path_for(setup.name))
    try:
        (folder() / _CHOICE).write_text(path.stem, encoding="utf-8")
    except OSError as error:
        accepted = f"{path.name} itself is saved; open it by its name"
        problem = Problem("the note of which set-up to use", f"not written ({error.strerror})", accepted)
        raise DescriptionError(_CHOICE, [problem]) from None
    return path


def keep_change(setup: Setup, change: Callable[[Setup], Setup]) -> Path:
    """Save one change of a set-up on top of all that was saved under its name since.

    Several panels of a page begin with the same set-up; what one of them has saved, the next must not undo.

    Parameters
    ----------
    change : callable
        Takes a set-up and returns the changed one.

    Raises
    ------
    DescriptionError
        If another aircraft or radio is kept under the name, or the file cannot be written; the old file, if
        any, is untouched.
    ValueError
        If the changed set-up is not accepted; nothing is written.
    """
    newest, path = setup, _path_for(setup.name)
    if path.exists():
        newest = open_kept(path.stem)
        if (newest.aircraft, newest.radio) != (setup.aircraft, setup.radio):
            accepted = "a name that no other aircraft or radio has, or run the page again with that set-up"
            problem = Problem("name", f"{setup.name!r}, kept for another aircraft or radio", accepted)
            raise DescriptionError(path.name, [problem])
    return keep(change(newest))


def open_kept(name: str) -> Setup:
    """Read one of the reader's own set-ups, by one of `kept_names`.

    Raises
    ------
    DescriptionError
        If the file cannot be read, is not accepted, or holds no set-up.
    """
    description = load(folder() / f"{name}.toml")
    if not isinstance(description, Setup):
        problem = Problem("describes", type(description).__name__.lower(), "a set-up here")
        raise DescriptionError(f"{name}.toml", [problem])
    return description


def chosen(demo: Setup) -> Chosen:
    """Set-up that the lessons work with: the reader's own if there is one that can be used, else the demo."""
    fallback = f"Working with {demo.aircraft.name} on {demo.radio.name}, both invented for this workbook."
    try:
        name = (folder() / _CHOICE).read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return Chosen(demo, fallback)
    try:
        setup = open_kept(name)
    except DescriptionError as error:
        return Chosen(demo, f"Your own set-up could not be used. {error}\n{fallback}")
    return Chosen(
        setup, f"Working with your own set-up {setup.name!r}: {setup.aircraft.name} on {setup.radio.name}."
    )


def _path_for(name: str) -> Path:
    """File of a set-up: its own one if it is kept already, else one that no other set-up has."""
    stem = _file_stem(name)
    tried = itertools.chain([stem], (f"{stem}_{number}" for number in itertools.count(2)))
    return next(folder() / f"{free}.toml" for free in tried if _is_free_for(name, free))


def _is_free_for(name: str, stem: str) -> bool:
    if not (folder() / f"{stem}.toml").exists():
        return True
    try:
        return open_kept(stem).name == name
    except DescriptionError:  # a file that cannot be read is not ours to replace
        return False


def _file_stem(name: str) -> str:
    """Turn any name into a file name that every system takes; names that differ may share one."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    stem = re.sub(r"[^a-z0-9]+", "_", plain.lower()).strip("_") or "my_set_up"
    return f"{stem}_set_up" if _RESERVED.fullmatch(stem) else stem
