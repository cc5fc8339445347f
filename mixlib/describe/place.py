"""The reader's place in the workbook: answers given, what was shown, last settings; one file beside their models.

A place is a help, not a document: what cannot be read is set aside, and what cannot be written is let go.
"""

from __future__ import annotations

import contextlib
import datetime
import json
import os
from pathlib import Path
from typing import Any

from mixlib.describe import shelf

__all__ = ["recall", "recall_all", "remember"]

_FILE = "my_place.json"


def recall(kind: str, key: str) -> Any:
    """What was remembered under a key, or None."""
    return recall_all(kind).get(key)


def recall_all(kind: str) -> dict[str, Any]:
    """All that was remembered of one kind, by key."""
    found = _read().get(kind)
    return found if isinstance(found, dict) else {}


def remember(kind: str, key: str, value: Any) -> None:
    """Keep a value for the next time.

    Parameters
    ----------
    kind : str
        What sort of thing it is, such as ``"answer"``.
    value : object
        Of plain words, numbers, lists and dicts; None forgets it.
    """
    everything = _read()
    kept = everything.setdefault(kind, {})
    if value is None:
        kept.pop(key, None)
    else:
        kept[key] = value
    half = _path().with_suffix(".half")
    with contextlib.suppress(OSError):
        half.parent.mkdir(parents=True, exist_ok=True)
        half.write_text(json.dumps(everything, ensure_ascii=False, indent=1), encoding="utf-8")
        os.replace(half, _path())


def _path() -> Path:
    return shelf.folder() / _FILE


def _read() -> dict[str, dict[str, Any]]:
    try:
        found = json.loads(_path().read_text(encoding="utf-8"))
    except OSError:  # not there yet, mostly
        return {}
    except ValueError:
        found = None
    if isinstance(found, dict) and all(isinstance(part, dict) for part in found.values()):
        return found
    aside = _path().with_name(f"my_place.{datetime.datetime.now():%Y-%m-%d_%H%M%S}.damaged.json")
    with contextlib.suppress(OSError):
        _path().rename(aside)
    return {}
