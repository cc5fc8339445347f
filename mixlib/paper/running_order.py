"""The presenter's running orders of the club evening: on paper, made of the notes in the lesson itself.

A cell tagged `step` begins a step, `twenty` puts it into the short order as well, and one tagged `note` tells
the presenter how many minutes it takes, what to say, what to do and what to watch for.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from mixlib.paper.flow import Row, Sheet
from mixlib.paper.parts import Bulleted, Head, Table

__all__ = ["EVENING", "Step", "running_order", "steps"]

EVENING = Path(__file__).parents[2] / "notebooks" / "11_club_evening.ipynb"

_MINUTES = re.compile(r"\*\*Presenter's note: (\d+) minutes?\*\*")
_POINT = re.compile(r"^- (.*)$", re.MULTILINE)
_LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)")
_HEADS = ("minute", "the room sees", "say", "do, and watch for")


@dataclass(frozen=True)
class Step:
    """One step of the evening, with what its note says: say, do, watch for."""

    title: str
    twenty: bool
    minutes: int
    points: tuple[str, ...]


def steps(notebook: Path = EVENING) -> list[Step]:
    """Read the steps of a lesson and their notes."""
    found: list[Step] = []
    title, twenty = "", False
    for text, tags in _texts(notebook):
        if "step" in tags:
            title, twenty = _head(text), "twenty" in tags
        elif "note" in tags and (minutes := _MINUTES.search(text)):
            found.append(Step(title, twenty, int(minutes[1]), _points(text)))
    return found


def running_order(short: bool, notebook: Path = EVENING) -> Sheet:
    """Lay a running order out: what to make ready, then each step with the minute at which it begins.

    Parameters
    ----------
    short : bool
        Whether it is that of twenty minutes, else that of the hour.
    """
    rows, minute = [], 0
    for step in steps(notebook):
        if step.twenty or not short:
            say, do, watch = step.points
            rows.append((str(minute), step.title, say.partition(": ")[2], f"{do.partition(': ')[2]} {watch}"))
            minute += step.minutes
    ready = next(text for text, tags in _texts(notebook) if "note" in tags)
    title = f"The club evening: {'twenty minutes' if short else 'the hour'}"
    about = f"For the presenter. {len(rows)} steps, {minute} minutes. Each step can be left out."
    sheet: list[Row] = [
        ((Head(title, about),),),
        ((Bulleted(_head(ready), _points(ready)),),),
        ((Table("", _HEADS, rows),),),
    ]
    return Sheet(sheet, title)


def _texts(notebook: Path) -> Iterator[tuple[str, list[str]]]:
    """Every text of a lesson with its tags."""
    for cell in json.loads(notebook.read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "markdown":
            yield "".join(cell["source"]), cell["metadata"].get("tags", [])


def _head(text: str) -> str:
    return _plain(text.partition("\n")[0])


def _points(text: str) -> tuple[str, ...]:
    return tuple(_plain(point) for point in _POINT.findall(text))


def _plain(text: str) -> str:
    """A text as it is printed: no marks of a heading, of bold letters or of a link."""
    return re.sub(r"[*`]|^#+ ", "", _LINK.sub(r"\1", text))
