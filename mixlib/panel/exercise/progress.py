"""Where the reader is in the workbook: what was answered in each lesson, and what comes next."""

from __future__ import annotations

import html
import re
from dataclasses import dataclass
from pathlib import Path

from mixlib.describe.shelf import place
from mixlib.say.tables import html_table

__all__ = ["Progress", "in_words", "progress"]

_LESSON = re.compile(r"\d\d_[a-z_]+\.ipynb")  # a copy that was set aside has a date in its name


@dataclass(frozen=True)
class Progress:
    """What was answered in each lesson; as the last line of a cell it shows itself.

    Attributes
    ----------
    rows : tuple of (str, int, int, int)
        File name of a lesson, how many questions it asked, how many of them were answered, and how many only
        shown; none asked where it was not opened yet.
    """

    rows: tuple[tuple[str, int, int, int], ...]

    @property
    def next(self) -> str:
        """File name of the first lesson with a question left; nothing when all are answered."""
        return next((name for name, asked, done, shown in self.rows if not asked or done + shown < asked), "")

    def _repr_html_(self) -> str:
        rows = [[in_words(name), _told(*numbers)] for name, *numbers in self.rows]
        table = html_table(["lesson", "questions"], rows, "What you have answered.")
        if not self.next:
            return f"{table}<p>Every question is answered.</p>"
        link = f'<a href="{html.escape(self.next)}">{html.escape(in_words(self.next))}</a>'
        return f"{table}<p>Next: {link}.</p>"

    def __repr__(self) -> str:
        return f"Next: {in_words(self.next)}." if self.next else "Every question is answered."


def progress(folder: Path | None = None) -> Progress:
    """Read the reader's place.

    Parameters
    ----------
    folder : Path, optional
        Of the lessons; left out, the one in which the page runs.
    """
    names = (path.name for path in (folder or Path.cwd()).glob("*.ipynb"))
    lessons = sorted(name for name in names if _LESSON.fullmatch(name))
    asked = place.recall_all("asked") if place.counts() else {}
    answers = place.recall_all("answer") if place.counts() else {}
    rows = []
    for name in lessons:
        keys = [key for key, page in asked.items() if page == Path(name).stem]
        given = [answers[key] for key in keys if isinstance(answers.get(key), dict)]
        shown = sum(bool(one.get("shown")) for one in given)
        rows.append((name, len(keys), len(given) - shown, shown))
    return Progress(tuple(rows))


def in_words(name: str) -> str:
    """A lesson's file name as one says it."""
    return f"{name[:2]} {name[3:].removesuffix('.ipynb').replace('_', ' ')}"


def _told(asked: int, answered: int, shown: int) -> str:
    if not asked:
        return "not opened yet"
    return f"{answered} of {asked} answered" + (f", {shown} shown" if shown else "")
