"""Printed sheets as files: the bench card, and the pictures and handouts in ``figures/``.

``python -m mixlib.paper.sheets`` writes them again; equal input gives equal files.
"""

from __future__ import annotations

import io
import os
import sys
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import matplotlib
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.typing import RcKeyType

from mixlib.bench.card import Card, as_markdown, bench_card
from mixlib.chain import Rig, commands
from mixlib.describe import DescriptionError, shelf
from mixlib.describe.demo import flaperon_setup, four_surface_setup
from mixlib.describe.disk import write_whole
from mixlib.describe.errors import one_of, told
from mixlib.draw.svg import svg
from mixlib.draw.wing import wing_from_behind
from mixlib.paper.card import card_sheet
from mixlib.paper.flow import PAPERS_MM, laid_out, pages
from mixlib.paper.page import Page

__all__ = ["card_pages", "card_pdf", "main", "save_card"]

_SIZES = (10.5, 10.0, 9.5, 9.0)
"""Letter sizes of the card that are tried, points; with the last it takes as many pages as it needs."""

_CARD_PAGES = 2
_SETTINGS: dict[RcKeyType, object] = {
    "pdf.fonttype": 42,  # letters stay letters, with their font inside
    "font.family": ["DejaVu Sans"],
    "text.usetex": False,
    "path.sketch": None,
}


def card_pages(card: Card, paper: str = "A4") -> list[Page]:
    """Lay the bench card out: letters as large as two pages allow, of 9 points or more; nothing is cut off.

    Parameters
    ----------
    paper : str
        A key of `PAPERS_MM`.

    Raises
    ------
    DescriptionError
        If the paper is unknown.
    """
    _check_paper(paper)
    sheet = card_sheet(card)
    size = next((s for s in _SIZES if len(laid_out(sheet, paper, s)) <= _CARD_PAGES), _SIZES[-1])
    with _printing():
        return pages(sheet, paper, size)


def card_pdf(card: Card, paper: str = "A4") -> bytes:
    """Print the bench card as a PDF; see `card_pages`."""
    return _pdf(card_pages(card, paper), card.title)


def save_card(
    card: Card,
    folder: str | os.PathLike,
    papers: tuple[str, ...] = ("A4", "Letter"),
    stem: str | None = None,
) -> list[Path]:
    """Save the bench card as Markdown and as PDF.

    Parameters
    ----------
    folder : str or path
        Where to; made when missing.
    papers : tuple of str
        Keys of `PAPERS_MM`; one PDF for each.
    stem : str, optional
        Name of the set-up's own file, so that no two set-ups share a card; left out, made of its name.

    Raises
    ------
    DescriptionError
        If a file cannot be written, or a paper is unknown; the text says which and why.
    """
    stem = stem or shelf.file_stem(card.setup.name)
    contents = {f"bench_card_{stem}.md": as_markdown(card).encode()}
    contents |= {f"bench_card_{stem}_{paper.lower()}.pdf": card_pdf(card, paper) for paper in papers}
    return [write_whole(Path(folder) / name, content) for name, content in contents.items()]


def main(folder: str = "figures") -> int:
    """Write the README's picture and the handouts.

    Returns
    -------
    int
        0, or 1 when a file could not be written.
    """
    flaperons = flaperon_setup()
    stages = Rig(flaperons).run(commands(roll=0.5))
    wing = wing_from_behind(flaperons.aircraft, stages.surface, stages.throw)
    try:
        written = [write_whole(Path(folder) / "wing_from_behind.svg", svg(wing).encode())]
        for setup in (flaperons, four_surface_setup()):
            written += save_card(bench_card(setup), folder)
    except DescriptionError as error:
        print(error, file=sys.stderr)
        return 1
    print("\n".join(map(str, written)))
    return 0


@contextmanager
def _printing() -> Iterator[None]:
    """Our own settings whatever the reader's are; letters that the font lacks are shown as boxes."""
    with matplotlib.rc_context(_SETTINGS), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        yield


def _pdf(printed: Sequence[Page], title: str) -> bytes:
    stream = io.BytesIO()
    with _printing(), PdfPages(stream, metadata={"Title": title, "CreationDate": None}) as file:
        for page in printed:
            file.savefig(page.figure)
    return stream.getvalue()


def _check_paper(paper: str) -> None:
    if paper not in PAPERS_MM:
        sentence = f"“{paper}” is no paper that is known here. Accepted: {one_of(PAPERS_MM)}"
        raise told("the paper", sentence)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
