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
from mixlib.describe import DescriptionError, Setup, shelf
from mixlib.describe.demo import flaperon_setup, four_surface_setup
from mixlib.describe.disk import write_whole
from mixlib.describe.errors import one_of, told
from mixlib.draw.aircraft import aircraft_view
from mixlib.draw.svg import svg
from mixlib.paper.card import card_sheet
from mixlib.paper.flow import PAPERS_MM, Sheet, laid_out, pages
from mixlib.paper.handouts import HANDOUTS, Handout, handout_sheet
from mixlib.paper.page import Page
from mixlib.paper.running_order import running_order
from mixlib.paper.strip import strip_sheet

__all__ = [
    "card_pages",
    "card_pdf",
    "handout_pages",
    "main",
    "order_pages",
    "save_card",
    "save_strip",
    "strip_pages",
]

_SIZES = (12.0, 11.5, 11.0, 10.5, 10.0, 9.5, 9.0)
"""Letter sizes that are tried, points; with the last a sheet takes as many pages as it needs."""

_LARGE = (16.0, 15.5, 15.0, 14.5, 14.0)
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
    return _pages(card_sheet(card), paper, 2)


def card_pdf(card: Card, paper: str = "A4") -> bytes:
    """Print the bench card as a PDF; see `card_pages`."""
    return _pdf(card_pages(card, paper), card.title)


def strip_pages(setup: Setup, paper: str = "A4") -> list[Page]:
    """Lay the field strip of a set-up out, on one page if it can be read there; as `card_pages` does."""
    return _pages(strip_sheet(setup), paper, 1)


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


def save_strip(setup: Setup, folder: str | os.PathLike, paper: str, stem: str | None = None) -> Path:
    """Save the field strip of a set-up as PDF; see `save_card`."""
    name = f"field_strip_{stem or shelf.file_stem(setup.name)}_{paper.lower()}.pdf"
    return write_whole(Path(folder) / name, _pdf(strip_pages(setup, paper), f"Field strip: {setup.name}"))


def main(folder: str = "figures") -> int:
    """Write the README's picture, the cards and strips of the demos, the handouts and the running orders.

    Returns
    -------
    int
        0, or 1 when a file could not be written.
    """
    flaperons = flaperon_setup()
    stages = Rig(flaperons).run(commands(roll=1))
    seen = aircraft_view(flaperons.aircraft, stages.surface, stages.throw)
    try:
        written = [write_whole(Path(folder) / "aircraft_from_behind.svg", svg(seen).encode())]
        for setup in (flaperons, four_surface_setup()):
            written += save_card(bench_card(setup), folder)
        for number, handout in enumerate(HANDOUTS, start=1):
            for paper in PAPERS_MM:
                name = f"handout_{number}_{shelf.file_stem(handout.title)}_{paper.lower()}.pdf"
                content = _pdf(handout_pages(handout, paper), handout.title)
                written.append(write_whole(Path(folder) / name, content))
        written += [save_strip(four_surface_setup(), folder, paper) for paper in PAPERS_MM]
        for short, length in ((True, "twenty_minutes"), (False, "hour")):
            for paper in PAPERS_MM:
                content = _pdf(order_pages(short, paper), f"Running order: {length.replace('_', ' ')}")
                written.append(
                    write_whole(Path(folder) / f"running_order_{length}_{paper.lower()}.pdf", content)
                )
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


def handout_pages(handout: Handout, paper: str = "A4") -> list[Page]:
    """Lay a handout out on one page, in letters of 14 points or more."""
    return _pages(handout_sheet(handout), paper, 1, _LARGE)


def order_pages(short: bool, paper: str = "A4") -> list[Page]:
    """Lay a running order out on two pages, that of the hour on three; as `card_pages` does."""
    return _pages(running_order(short), paper, 2 if short else 3)


def _pages(sheet: Sheet, paper: str, most: int, sizes: Sequence[float] = _SIZES) -> list[Page]:
    """A sheet in the largest letters with which it takes no more pages than it should."""
    if paper not in PAPERS_MM:
        sentence = f"“{paper}” is no paper that is known here. Accepted: {one_of(PAPERS_MM)}"
        raise told("the paper", sentence)
    size = next((size for size in sizes if len(laid_out(sheet, paper, size)) <= most), sizes[-1])
    with _printing():
        return pages(sheet, paper, size)


def _pdf(printed: Sequence[Page], title: str) -> bytes:
    stream = io.BytesIO()
    with _printing(), PdfPages(stream, metadata={"Title": title, "CreationDate": None}) as file:
        for page in printed:
            file.savefig(page.figure)
    return stream.getvalue()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
