"""Lay the lessons out, start the server, open lesson 00, and end with the page."""

from __future__ import annotations

import shutil
from pathlib import Path

from mixlib.start.copies import lay_out
from mixlib.start.lab import Lab, show

__all__ = ["main"]

_ROOT = Path(__file__).resolve().parents[2]
_FOLDER = _ROOT / "my_lessons"
_FIRST = "00_start_here.ipynb"


def main() -> None:
    """Open the workbook."""
    own, before = _FOLDER / "my_models", _ROOT / "notebooks" / "my_models"
    if before.is_dir() and not own.exists():  # kept there by a JupyterLab that was opened on the lessons
        shutil.copytree(before, own)
    with Lab(_FOLDER, own, _FOLDER / ".jupyter") as lab:
        for sentence in lay_out(_ROOT / "notebooks", _FOLDER):
            print(sentence)
        try:
            lab.wait_until_up()
            lab.begin(_FIRST)
            show(lab, _FIRST)
            lab.wait_until_left()
        except KeyboardInterrupt:
            print("\nEnding.")


if __name__ == "__main__":
    main()
