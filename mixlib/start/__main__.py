"""Lay the lessons out, start the server, open a lesson, and end with the page."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from mixlib.describe.shelf import place
from mixlib.start.copies import lay_out, take_over
from mixlib.start.lab import Lab, show

__all__ = ["main"]

_ROOT = Path(__file__).resolve().parents[2]
_FOLDER = _ROOT / "my_lessons"
_FIRST, _EVENING = "00_start_here.ipynb", "11_club_evening.ipynb"


def main(command: str = "lessons") -> None:
    """Open the workbook.

    Parameters
    ----------
    command : {"lessons", "show"}
        Whether the first lesson is opened to be read, or that of the club evening as it is shown to a room.
    """
    to_a_room = command == "show"
    lesson = _EVENING if to_a_room else _FIRST
    if to_a_room:  # the room sees no answer and no setting of a rehearsal
        os.environ[place.ALL_ANSWERED] = "yes"
    own, before = _FOLDER / "my_models", _ROOT / "notebooks" / "my_models"
    take_over(before, own)  # kept there by a JupyterLab that was opened on the lessons
    with Lab(_FOLDER, own, _FOLDER / ".jupyter") as lab:
        for sentence in lay_out(_ROOT / "notebooks", _FOLDER):
            print(sentence)
        try:
            lab.wait_until_up()
            lab.begin(lesson)
            show(lab, lesson, to_a_room)
            lab.wait_until_left()
        except KeyboardInterrupt:
            print("\nEnding.")


if __name__ == "__main__":
    main(*sys.argv[1:])
