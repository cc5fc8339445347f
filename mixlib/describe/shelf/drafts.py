"""What is typed and not yet kept: on disk after each change, there again after a crash."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from mixlib.describe.disk import (
    ChangedElsewhere,
    inside,
    locked,
    read_whole,
    set_aside,
    version_of,
    write_whole,
)
from mixlib.describe.errors import DescriptionError, told
from mixlib.describe.shelf.places import folder

__all__ = ["KeptDraft", "load_draft", "save_draft"]

_DRAFTS = "drafts"


@dataclass(frozen=True)
class KeptDraft:
    """What was typed and not yet kept, its version, and a sentence where something is to be told."""

    data: Any
    version: str
    sentence: str = ""


def save_draft(name: str, data: Any, seen_version: str | None) -> str:
    """Keep what is typed and not yet accepted, as plain values: texts, numbers, lists and tables of them.

    Parameters
    ----------
    seen_version : str or None
        Version that `load_draft` or the last saving gave; None sets aside what another one has saved since.

    Returns
    -------
    str
        The version for the next saving.

    Raises
    ------
    ChangedElsewhere
        If another tab or notebook has saved it since; nothing is written.
    DescriptionError
        If it cannot be written; the draft before is untouched.
    """
    with locked(folder()):
        path = inside(folder() / _DRAFTS, name, ".json")
        if seen_version is None and path.exists():
            set_aside(path)
        elif seen_version is not None and version_of(path) != seen_version:
            sentence = "what is typed here was changed in another tab or notebook. Nothing is overwritten"
            raise ChangedElsewhere(path.name, told(path.name, sentence).problems)
        write_whole(path, json.dumps(data).encode())
        return version_of(path)


def load_draft(name: str) -> KeptDraft:
    """Read what was typed; its data are None where there is none.  A damaged one is set aside and named.

    Raises
    ------
    DescriptionError
        If a damaged one cannot be set aside.
    """
    path = inside(folder() / _DRAFTS, name, ".json")
    seen = version_of(path)  # before the reading, so that a later change is noticed
    if not seen and not path.exists():
        return KeptDraft(None, "")
    try:
        return KeptDraft(json.loads(read_whole(path)), seen)
    except (DescriptionError, ValueError, RecursionError):
        aside = set_aside(path)
        return KeptDraft(None, "", f"What was typed before cannot be read. It is set aside as {aside.name}.")
