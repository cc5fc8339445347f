"""Where the reader's files lie, which names are free, and what was there before.

All that is replaced or taken away is kept: the last states of each file in ``earlier``, the rest in ``bin``.
"""

from __future__ import annotations

import itertools
import os
import re
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeAlias

from mixlib.describe.aircraft import Aircraft
from mixlib.describe.disk import dated, inside, log_state, move, read_whole, set_aside, write_whole
from mixlib.describe.errors import DescriptionError
from mixlib.describe.files import KEY, KINDS, save, values_of
from mixlib.describe.radio import Radio
from mixlib.describe.setup import Setup

__all__ = [
    "CHOICE",
    "DEMO",
    "Kept",
    "Kind",
    "choices",
    "file_stem",
    "files",
    "folder",
    "head",
    "bin_folder",
    "log_of",
    "move_log",
    "note_choices",
    "path_for",
    "path_of",
    "save_logged",
    "stem_for",
]

Kept: TypeAlias = Setup | Aircraft | Radio
"""What a file of the reader's can hold."""

Kind: TypeAlias = type[Setup | Aircraft | Radio]

_EARLIER = "earlier"
CHOICE = "chosen.txt"
"""File with the names of the set-ups that the lessons were told to work with, the latest first."""

DEMO = "-"
"""Stands in that list for a demo; no file has this name."""

_MOST_CHOICES = 50
_RESERVED = re.compile("con|prn|aux|nul|(com|lpt)[0-9]")  # names that Windows keeps for devices


def folder() -> Path:
    """Folder of the reader's own files; it need not exist yet."""
    return Path(os.environ.get("MIXING_WORKBOOK_MODELS", "my_models"))


def path_of(name: str) -> Path:
    """Path of one of the reader's files.

    Raises
    ------
    DescriptionError
        If the name would lead out of the folder.
    """
    return inside(folder(), name, ".toml")


def files() -> list[Path]:
    """The reader's files, in the order of their names."""
    return sorted(path for path in folder().glob("*.toml") if path.is_file())


def head(path: Path) -> tuple[Kind | None, Any]:
    """What a file describes, and its name; None where that cannot be read."""
    try:
        values = values_of(read_whole(path), path.name)
    except DescriptionError:
        return None, None
    return KINDS.get(str(values.get(KEY))), values.get("name")


def path_for(kind: Kind, name: str) -> Path:
    """File of a description: its own one if it is kept already, else one that no other has."""
    stem = file_stem(name)
    for path in sorted(files(), key=lambda path: path.stem != stem):
        if head(path) == (kind, name):
            return path
    tried = itertools.chain([stem], (f"{stem}_{number}" for number in itertools.count(2)))
    free = (folder() / f"{stem}.toml" for stem in tried)
    return next(path for path in free if not os.path.lexists(path))


def stem_for(description: Kept) -> str:
    """Name of the file that a description has on the shelf or would get there; no other one has it."""
    return path_for(type(description), description.name).stem


def file_stem(name: str) -> str:
    """Turn any name into a file name that every system takes; names that differ may share one."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    stem = re.sub(r"[^a-z0-9]+", "_", plain.lower()).strip("_") or "my_set_up"
    return f"{stem}_set_up" if _RESERVED.fullmatch(stem) else stem


def save_logged(description: Kept, path: Path) -> Path:
    """Save a description; what was there before is logged."""
    log_state(path, log_of(path.stem))
    return save(description, path)


def log_of(name: str) -> Path:
    """Folder of the earlier states of a file."""
    return folder() / _EARLIER / name


def move_log(name: str, new_name: str) -> None:
    """Take the earlier states of a file along to its new name."""
    if log_of(name).exists():
        if log_of(new_name).exists():  # of a file that somebody took away by hand
            move(log_of(new_name), dated(folder() / _EARLIER, new_name, ""))
        move(log_of(name), log_of(new_name))


def bin_folder() -> Path:
    """Folder of what was taken away."""
    return folder() / "bin"


def choices() -> list[str]:
    """Names of the set-ups that the lessons were told to work with, the latest first."""
    path = folder() / CHOICE
    lines = read_whole(path).splitlines() if path.exists() else []
    return [line.strip() for line in lines if line.strip()]


def note_choices(edit: Callable[[list[str]], list[str]]) -> None:
    """Change the list of choices; one that cannot be read is set aside."""
    path = folder() / CHOICE
    try:
        before = choices()
    except DescriptionError:
        set_aside(path)
        before = []
    if (edited := edit(before)) != before:
        write_whole(path, "".join(f"{name}\n" for name in edited[:_MOST_CHOICES]).encode())
