"""Lay the lessons out, start the server, open lesson 00, and end with the page."""

from __future__ import annotations

from pathlib import Path

from mixlib.start.copies import lay_out
from mixlib.start.lab import Lab, show

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "my_lessons"
FIRST = "00_start_here.ipynb"


def main() -> None:
    """Open the workbook."""
    with Lab(FOLDER, FOLDER / "my_models", FOLDER / ".jupyter") as lab:
        for sentence in lay_out(ROOT / "notebooks", FOLDER):
            print(sentence)
        try:
            lab.wait_until_up()
            lab.begin(FIRST)
            show(lab, FIRST)
            lab.wait_until_left()
        except KeyboardInterrupt:
            print("\nEnding.")


if __name__ == "__main__":
    main()
