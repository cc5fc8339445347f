"""The reader's place in the workbook: answers given, last settings; one file beside their models.

A place is a help, not a document: one that cannot be read is set aside, and what cannot be written is let go.
"""

from __future__ import annotations

import contextlib
import json
import os
from pathlib import Path
from typing import Any

from mixlib.describe.disk import locked, read_whole, set_aside, write_whole
from mixlib.describe.errors import DescriptionError
from mixlib.describe.shelf.places import folder

__all__ = ["ALL_ANSWERED", "counts", "page", "recall", "recall_all", "remember", "stamp"]

ALL_ANSWERED = "MIXING_WORKBOOK_ALL_ANSWERED"
"""Environment variable: set to ``yes``, nothing is held back or remembered, as when a lesson is tested."""


def counts() -> bool:
    """Whether there is a reader whose place is to be kept."""
    return os.environ.get(ALL_ANSWERED) != "yes"


def page() -> str:
    """Name of the page that this kernel works for, without ``.ipynb``; nothing where no page is known."""
    return Path(os.environ.get("JPY_SESSION_NAME", "")).stem  # the server tells it to the page's kernel


def recall(kind: str, key: str) -> Any:
    """What was remembered under a key, or None."""
    return recall_all(kind).get(key)


def recall_all(kind: str) -> dict[str, Any]:
    """All that was remembered of one kind, by key."""
    return _read().get(kind, {})


def remember(kind: str, key: str, value: Any) -> None:
    """Keep a value for the next time.

    Parameters
    ----------
    kind : str
        What sort of thing it is, such as ``"answer"``.
    value : object
        Of plain words, numbers, lists and dicts; None forgets it.
    """
    with contextlib.suppress(OSError, DescriptionError), locked(folder()):
        everything = _read()
        kept = everything.setdefault(kind, {})
        kept.pop(key, None)
        if value is not None:
            kept[key] = value
        write_whole(_path(), json.dumps(everything, ensure_ascii=False, indent=1).encode())


def stamp() -> tuple[str, int, int]:
    """Another one whenever something was remembered: for what asks too often to read the file each time."""
    with contextlib.suppress(OSError):
        state = _path().stat()
        return str(_path()), state.st_mtime_ns, state.st_ino  # each writing makes another file
    return str(_path()), 0, 0


def _path() -> Path:
    return folder() / "my_place.json"


def _read() -> dict[str, dict[str, Any]]:
    if not _path().exists():
        return {}
    with contextlib.suppress(ValueError, DescriptionError):  # not JSON, or no file that can be read
        found = json.loads(read_whole(_path()))
        if isinstance(found, dict) and all(isinstance(part, dict) for part in found.values()):
            return found
    with contextlib.suppress(OSError, DescriptionError):
        set_aside(_path())
    return {}
