"""The printed bench card: its pages, right size, every item on them, nothing outside or over each other."""

import errno
import io
import os
import warnings
from collections import Counter
from functools import cache
from itertools import cycle, product
from pathlib import Path

import matplotlib
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from printed import faults, letters, squeezed
from pypdf import PdfReader

from mixlib.bench.card import as_markdown, bench_card
from mixlib.bench.card.sections import TICK, Section
from mixlib.describe import (
    DescriptionError,
    FreeMix,
    Output,
    Shaping,
    Want,
    plain_setup,
    shipped,
    shipped_names,
)
from mixlib.describe.demo import (
    elevon_setup,
    flaperon_setup,
    four_surface_setup,
    hopper_flaperons,
    hopper_ready,
    v_tail_setup,
)
from mixlib.draw.theme import text_width
from mixlib.paper.flow import PAPERS_MM
from mixlib.paper.page import Page, broken
from mixlib.paper.parts import Table
from mixlib.paper.sheets import card_pages, card_pdf, main, save_card

DEMOS = [flaperon_setup(), four_surface_setup(), v_tail_setup(), elevon_setup()]
PLAIN = [
    plain_setup(shipped("aircraft", aircraft), shipped("radio", radio), f"{aircraft} on {radio}")
    for aircraft in shipped_names("aircraft")
    for radio in shipped_names("radio")
]
by_demo = pytest.mark.parametrize("place", range(len(DEMOS)), ids=lambda place: DEMOS[place].name)
by_paper = pytest.mark.parametrize("paper", PAPERS_MM)
PROJECT = Path(__file__).parents[2] / "figures"


@pytest.fixture(scope="module")
def figures(tmp_path_factory):
    """What the module writes now, written once: a PDF takes most of a second."""
    folder = tmp_path_factory.mktemp("figures")
    assert main(str(folder)) == 0
    return folder


def crowded():
    """More than most cards: seven surfaces, mixes with curves, wishes, rates, and a long note."""
    base = four_surface_setup()
    left = base.aircraft.surface("left flap")
    third = left.replace(name="left inner flap with a long name", y_inner_mm=60, y_outer_mm=100, chord_mm=50)
    aircraft = base.aircraft.replace(surfaces=(*base.aircraft.surfaces, third))
    curve = FreeMix(leader="camber", follower=7, curve_percent=(-20, -15, -10, -5, 0, 10, 20, 30, 40))
    return base.replace(
        name="A crowded set-up with a name as long as a name may be ......",
        note="Words. " * 140,
        aircraft=aircraft,
        wiring={**base.wiring, third.name: 7},
        outputs=(*base.outputs, Output(number=7, control="camber", reversed=True, sub_trim_percent=2.5)),
        free_mixes=(*base.free_mixes, *[curve] * 8),
        shaping={command: Shaping(rate_percent=80, expo_percent=30) for command in ("roll", "pitch", "yaw")},
        wanted=tuple(Want(surface=name, command="roll", amount=9) for name in aircraft.surface_names),
    )


@cache
def read(pdf):
    reader = PdfReader(io.BytesIO(pdf))
    return reader, "\n".join(page.extract_text() for page in reader.pages)


def items(card):
    """Every word of the card that must stand on the sheet."""
    yield from (card.title, *card.head)
    for section in card.sections:
        yield section.title
        yield from (*section.lines, *section.boxes)
        for row in (section.columns, *section.rows) if section.rows else ():
            yield from (cell for cell in row if cell != TICK)


@cache
def sheet(place, paper):
    """Card and pages of one of the demos, or of the crowded set-up; laid out once for all tests."""
    card = bench_card([*DEMOS, crowded()][place], notes="Notes: ask the safety officer.")
    return card, card_pages(card, paper)


@by_paper
@by_demo
def test_every_item_is_on_a_page(place, paper):
    card, pages = sheet(place, paper)
    placed = squeezed("".join(words.text for page in pages for words in page.placed))
    for item in items(card):
        assert squeezed(item) in placed or all(squeezed(word) in placed for word in item.split())


def printed(figures):
    """Cards as PDF with their papers: those in the folder, one with notes, and a crowded one."""
    for setup, stem in ((DEMOS[0], "flaperons"), (DEMOS[1], "four_surfaces_with_crow")):
        for paper in PAPERS_MM:
            yield bench_card(setup), paper, (figures / f"bench_card_{stem}_{paper.lower()}.pdf").read_bytes()
    for place, paper in ((2, "Letter"), (4, "A4")):
        card = sheet(place, paper)[0]
        yield card, paper, card_pdf(card, paper)


def test_pages_of_the_right_size_with_every_word(figures):
    """Sizes: ISO 216 A4 is 210 x 297 mm; ANSI Letter is 8.5 x 11 inches.  Text read back with pypdf."""
    for card, paper, pdf in printed(figures):
        reader, text = read(pdf)
        assert len(reader.pages) == len(card_pages(card, paper))
        width, height = {"A4": (210 / 25.4 * 72, 297 / 25.4 * 72), "Letter": (612, 792)}[paper]
        for page in reader.pages:
            assert float(page.mediabox.width) == pytest.approx(width, abs=0.5)
            assert float(page.mediabox.height) == pytest.approx(height, abs=0.5)
        found = squeezed(text)
        for item in items(card):
            assert all(squeezed(word) in found for word in item.split()), item


@by_paper
@pytest.mark.parametrize("place", range(len(DEMOS) + 1))
def test_nothing_leaves_the_page_or_covers_anything(place, paper):
    for page in sheet(place, paper)[1]:
        assert faults(page) == []


@pytest.mark.parametrize(
    "paper, setup",
    [*zip(cycle(PAPERS_MM), PLAIN, strict=False)],
    ids=lambda part: getattr(part, "name", part),
)
def test_any_aircraft_on_any_radio_has_its_place(paper, setup):
    """Every pair, by turns on one paper and the other: two pages, in letters of 9 points or more."""
    pages = card_pages(bench_card(setup), paper)
    assert [faults(page) for page in pages] == [[], []]
    assert min(letters(pages)) >= 9 - 1e-6


@pytest.mark.parametrize("paper, setup", [*product(PAPERS_MM, [*DEMOS, hopper_flaperons(), hopper_ready()])])
def test_a_card_has_two_pages_in_letters_that_can_be_read_at_the_bench(paper, setup):
    """9 points, as small print in a handbook; the picture is on the first page."""
    pages = card_pages(bench_card(setup), paper)
    assert [len(page.figure.axes) for page in pages] == [2, 1]
    assert min(letters(pages)) >= 9 - 1e-6
    assert [page.placed[-1].text for page in pages] == [
        f"Bench card: {setup.name} · page {number} of 2" for number in (1, 2)
    ]


def test_measured_widths_are_those_of_the_printed_letters():
    """The measure that the layout trusts against matplotlib's own renderer, within 3 %."""
    page = card_pages(bench_card(four_surface_setup()))[0]
    page.figure.set_dpi(300)  # at fewer, letters are rounded to whole dots
    renderer = FigureCanvasAgg(page.figure).get_renderer()
    for text, words in zip(page.axes.texts, page.placed, strict=True):
        drawn = text.get_window_extent(renderer).width / page.figure.dpi * 25.4
        assert drawn <= (words.box[2] - words.box[0]) * 1.03 + 0.4


def test_a_picture_on_paper_is_black_and_white_and_up_is_told_from_down():
    picture = card_pages(bench_card(flaperon_setup()))[0].figure.axes[1]
    colours = {to_rgb(patch.get_facecolor()) for patch in picture.patches}
    colours |= {to_rgb(part.get_color()) for part in (*picture.lines, *picture.texts)}
    assert all(max(rgb) - min(rgb) < 0.1 for rgb in colours)
    middle = sum(picture.get_xlim()) / 2
    sides = {
        to_rgb(patch.get_facecolor()): patch.get_path().vertices[:, 0].mean() < middle
        for patch in picture.patches
    }
    assert sides[to_rgb("0.314")]  # stick right: the left aileron is down, and dark
    assert not sides[1.0, 1.0, 1.0]


def test_boxes_to_tick_are_drawn():
    card = bench_card(flaperon_setup())
    boxes = len(card.movements.rows) + len(card.bench_checks.boxes) + len(card.flight_checks.boxes)
    assert sum(len(page.axes.patches) for page in card_pages(card)) == boxes


@pytest.mark.parametrize(
    "endless",
    [
        Section("Free mixes", lines=("many words",) * 400),
        Section("Free mixes", columns=("a", "b"), rows=(("c", "d"),) * 400),
    ],
)
def test_a_card_with_more_to_say_takes_more_pages(endless):
    card = bench_card(flaperon_setup())
    pages = card_pages(type(card)(**{**vars(card), "mixes": endless}))
    assert len(pages) > 3
    placed = [words.text for page in pages for words in page.placed]
    assert placed.count("many words" if endless.lines else "c") == 400
    assert "Free mixes, continued" in placed
    assert all(faults(page) == [] for page in pages)


def test_a_note_may_be_as_long_as_one_likes():
    card = bench_card(flaperon_setup(), notes="breeze " * 2000)
    pages = card_pages(card)
    assert "".join(words.text for page in pages for words in page.placed).count("breeze") == 2000
    assert all(faults(page) == [] for page in pages)


def test_unknown_paper_is_named():
    with pytest.raises(DescriptionError, match=r"“A5” is no paper.*Accepted: one of A4, Letter"):
        card_pdf(bench_card(flaperon_setup()), "A5")


def test_letters_are_embedded_and_stay_letters(figures):
    reader, _ = read((figures / "bench_card_four_surfaces_with_crow_a4.pdf").read_bytes())
    fonts = reader.pages[0]["/Resources"]["/Font"]
    kinds = set()
    for font in (entry.get_object() for entry in fonts.values()):
        inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        kinds.add(inner["/Subtype"])
        assert "/FontFile2" in inner["/FontDescriptor"].get_object()
    assert kinds <= {"/TrueType", "/CIDFontType2"}
    assert "/XObject" not in reader.pages[0]["/Resources"] or not any(
        entry.get_object()["/Subtype"] == "/Image"
        for entry in reader.pages[0]["/Resources"]["/XObject"].values()
    )


def test_equal_cards_give_equal_files_whatever_matplotlib_settings_the_reader_has(figures):
    first = (figures / "bench_card_flaperons_a4.pdf").read_bytes()
    with matplotlib.rc_context(
        {"font.size": 30, "pdf.fonttype": 3, "font.family": ["serif"], "lines.linewidth": 9}
    ):
        assert card_pdf(bench_card(flaperon_setup())) == first
    assert b"CreationDate" not in first
    assert PdfReader(io.BytesIO(first)).metadata.title == "Bench card: Flaperons"


def named(name):
    """A set-up, its aircraft and a surface of this name."""
    base = flaperon_setup()
    surfaces = (base.aircraft.surfaces[0].replace(name=name), *base.aircraft.surfaces[1:])
    wiring = {(name if key == "left aileron" else key): number for key, number in base.wiring.items()}
    aircraft = base.aircraft.replace(name=name, surfaces=surfaces)
    return base.replace(name=name, note=name, aircraft=aircraft, wiring=wiring)


@pytest.mark.parametrize(
    "name",
    ["$x^2$ \\alpha", "飞机 ✈ 🛩", "W" * 40, "a b " * 10, "<b>&amp;", "line\nbreak\t", "שלום", "% {} _^"],
)
def test_any_name_has_its_place(name):
    assert all(faults(page) == [] for page in card_pages(bench_card(named(name))))


def test_any_name_is_printed_without_a_warning():
    card = bench_card(named("$x^2$ \\a <b>&amp;\n\t% {} _^ 飞机 ✈ 🛩 שלום"))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert len(PdfReader(io.BytesIO(card_pdf(card))).pages) == 2


def full_disk(*_, **__):
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_saved_files(tmp_path):
    card = bench_card(flaperon_setup())
    (file,) = save_card(card, tmp_path / "cards", ())
    assert file.name == "bench_card_flaperons.md"
    assert file.read_text(encoding="utf-8") == as_markdown(card)


def test_full_disk_is_a_sentence_and_leaves_the_old_file(tmp_path, monkeypatch):
    card = bench_card(flaperon_setup())
    (file,) = save_card(card, tmp_path, ())
    before = file.read_bytes()
    monkeypatch.setattr(os, "fsync", full_disk)
    with pytest.raises(DescriptionError, match=r"bench_card_flaperons\.md: .*no room is left on the disk"):
        save_card(card, tmp_path, ())
    assert file.read_bytes() == before
    assert list(tmp_path.iterdir()) == [file]


def test_module_says_why_it_cannot_write(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(os, "fsync", full_disk)
    assert main(str(tmp_path)) == 1
    assert "no room is left on the disk" in capsys.readouterr().err


def test_figures_in_the_project_are_up_to_date(figures):
    """What lies in figures/ is what the module writes now: a picture, cards, a field strip, handouts and
    running orders, on both papers; the bytes of a PDF may depend on matplotlib, so its words are compared."""
    names = sorted(item.name for item in figures.iterdir())
    kinds = Counter(name.partition("_")[0] + Path(name).suffix for name in names)
    assert kinds == {"bench.md": 2, "bench.pdf": 4, "field.pdf": 2, "handout.pdf": 18,
             "running.pdf": 4, "aircraft.svg": 1}  # fmt: skip
    assert names == sorted(item.name for item in PROJECT.iterdir())
    for name in names:
        new, old = (figures / name).read_bytes(), (PROJECT / name).read_bytes()
        assert len(new) < 150_000
        if name.endswith(".pdf"):
            assert read(new)[1] == read(old)[1]
        else:
            assert new.replace(b"\r\n", b"\n") == old.replace(b"\r\n", b"\n")


@pytest.mark.parametrize("text", ["one two three four five six", "W" * 60, "", "200 % of 15.5 mm (20 deg)"])
def test_broken_lines_fit_and_lose_nothing(text):
    lines = broken(text, 20, 8)
    assert squeezed("".join(lines)) == squeezed(text)
    assert all(text_width(line, 8 * 25.4 / 72) <= 20 for line in lines)


def test_number_stays_with_its_unit():
    assert all(not line.startswith(("%", "mm")) for line in broken("asks for 200 % and 15.5 mm of it", 14, 8))


def test_table_columns_fill_the_width_and_hold_their_words():
    page = Page(100, 100)
    table = Table("Words", ("a", "b"), (("short", "a much longer cell that has to be broken into lines"),))
    table.draw(page, 10, 10, 60, 8)
    assert max(words.box[2] for words in page.placed) <= 70
    assert max(words.box[3] for words in page.placed) <= 10 + table.height(60, 8) + 0.1
