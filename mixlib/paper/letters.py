"""Width of every letter of the printed face, so that the screen can lay words out without loading the face.

``python -m mixlib.paper.letters`` writes ``mixlib/data/letters.npz`` again from the DejaVu Sans that
matplotlib ships; equal input gives an equal file.
"""

from __future__ import annotations

from pathlib import Path

import matplotlib
import numpy as np
from matplotlib.ft2font import FT2Font, LoadFlags

from mixlib.draw.theme import TABLE

__all__ = ["main", "measured"]

FACES = {"regular": "DejaVuSans.ttf", "bold": "DejaVuSans-Bold.ttf"}


def measured() -> dict[str, np.ndarray]:
    """Code points of the face, and what each letter of it takes in either weight.

    Returns
    -------
    dict of str to numpy.ndarray
        ``code``, ascending; ``regular`` and ``bold`` in units of ``per_em`` to the letter size, 0 where that
        weight lacks the letter.
    """
    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    faces = {name: FT2Font(str(folder / file)) for name, file in FACES.items()}
    codes = sorted({code for face in faces.values() for code in face.get_charmap()})
    found = {"code": np.array(codes, np.uint32)}
    for name, face in faces.items():
        held = face.get_charmap()
        widths = [
            face.load_glyph(held[code], LoadFlags.NO_SCALE).horiAdvance if code in held else 0
            for code in codes
        ]
        found[name] = np.array(widths, np.uint16)
    return found | {"per_em": np.array(faces["regular"].units_per_EM, np.uint16)}


def main() -> None:
    """Write the table."""
    found = measured()
    with Path(str(TABLE)).open("wb") as file:
        np.savez_compressed(
            file, code=found["code"], per_em=found["per_em"], regular=found["regular"], bold=found["bold"]
        )


if __name__ == "__main__":
    main()
