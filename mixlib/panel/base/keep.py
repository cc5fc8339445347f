"""Keep one change of a set-up from a panel: on the shelf, told with old and new, and undone by one press."""

from __future__ import annotations

from collections.abc import Callable

from mixlib.describe import Setup, shelf
from mixlib.panel.base.panel import Kept
from mixlib.say.changed import change_lines

__all__ = ["keep"]

_MOST_LINES = 6


def keep(setup: Setup, what: str, change: Callable[[Setup], Setup]) -> Kept:
    """Keep a change of the reader's own set-up, or of a demo as a new set-up.

    Parameters
    ----------
    what : str
        What is kept, such as ``"thermal phase"``.
    change : callable
        Takes the newest state of the set-up, returns the changed one.
    """
    kept = shelf.keep_change(setup, change, what)
    lines = change_lines(kept.before, kept.after)
    if not kept.new and not lines:
        return Kept(f"{kept.path.name} has it already; nothing is changed.")
    told = [*lines[:_MOST_LINES], *([f"and {len(lines) - _MOST_LINES} more"] if lines[_MOST_LINES:] else [])]
    where = f"{kept.path.name}: {'; '.join(told)}."
    if kept.new:
        where = (
            f"A new set-up, “{kept.after.name}”. Choose it at the top of the lesson to work with it. {where}"
        )

    def undo() -> str:
        shelf.take_back(kept)
        return f"{kept.path.name} is {'gone' if kept.new else 'as it was before'}."

    return Kept(where, undo, kept.new)
