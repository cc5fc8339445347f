"""The reader's copies of the lessons: what they open, change and may lose nothing of.

The lessons of the project are never written to.  A copy is laid out anew at each start, unless the reader has
changed its text or code; then it stays theirs, until its lesson is a new one: it is set aside under a dated
name.
"""

from __future__ import annotations

import hashlib
import json
import shutil
from pathlib import Path
from typing import Any

from mixlib.describe.disk import dated, write_whole

__all__ = ["lay_out", "take_over"]

_NOTE = ".laid_out.json"  # for each lesson: what its copy was made of


def lay_out(lessons: Path, folder: Path) -> list[str]:
    """Lay the lessons out as copies.

    Parameters
    ----------
    lessons : Path
        Folder of the project's lessons; nothing is written there.
    folder : Path
        Of the reader's copies; made if need be.

    Returns
    -------
    list of str
        A sentence for each copy that was set aside or left as the reader changed it.
    """
    folder.mkdir(parents=True, exist_ok=True)
    noted = _noted(folder / _NOTE)
    said = []
    for lesson in sorted(lessons.glob("*.ipynb")):
        shipped = json.loads(lesson.read_text(encoding="utf-8"))
        text, copy = _text_of(shipped), folder / lesson.name
        if copy.exists():
            theirs = _read(copy)
            changed = theirs is not None and _text_of(theirs) not in (noted.get(lesson.name), text)
            if changed and noted.get(lesson.name) == text:
                said.append(f"{copy.name} is as you changed it.")
                continue
            if changed or (theirs is None and copy.stat().st_size):
                aside = dated(folder, copy.stem, copy.suffix)
                copy.rename(aside)
                why = "the lesson is a new one" if changed else "it could not be read"
                said.append(f"{copy.name}: {why}. What was there is kept as {aside.name}.")
        _write(copy, _to_open(shipped))
        noted[lesson.name] = text
    _write(folder / _NOTE, noted)
    return said


def take_over(before: Path, own: Path) -> None:
    """Copy a folder of models to where none is yet: whole or not at all, also when the machine stops."""
    if before.is_dir() and not own.exists():
        half = own.with_name(f".{own.name}.half")
        shutil.rmtree(half, ignore_errors=True)
        shutil.copytree(before, half)
        half.rename(own)


def _to_open(lesson: dict[str, Any]) -> dict[str, Any]:
    """The lesson as a reader opens it: code folded, with its pictures, but no widget whose kernel is gone."""
    lesson["metadata"]["mixing_workbook"] = True  # the page runs it when it is opened
    for cell in lesson["cells"]:
        cell["metadata"]["deletable"] = False  # one key on a clicked panel would take it away
        if cell["cell_type"] == "code":
            cell["metadata"].setdefault("jupyter", {})["source_hidden"] = True
            cell["execution_count"] = None
            cell["outputs"] = [output for output in cell["outputs"] if _stands_alone(output)]
    return lesson


def _stands_alone(output: dict[str, Any]) -> bool:
    return "application/vnd.jupyter.widget-view+json" not in output.get("data", {})


def _text_of(lesson: dict[str, Any]) -> str:
    """A short mark of all that a reader can change by typing, whatever was run."""
    cells = [
        [cell.get("cell_type"), "".join(cell.get("source", ""))]
        for cell in lesson["cells"]
        if "".join(cell.get("source", "")).strip()
    ]
    return hashlib.sha256(json.dumps(cells).encode()).hexdigest()


def _read(path: Path) -> dict[str, Any] | None:
    """A notebook, or None if it is damaged."""
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
        _text_of(found)
    except (ValueError, TypeError, KeyError, AttributeError):
        return None
    return found


def _noted(path: Path) -> dict[str, str]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def _write(path: Path, content: object) -> None:
    write_whole(path, json.dumps(content, ensure_ascii=False).encode())
