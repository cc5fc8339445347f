"""Drawings as SVG and on paper, and the check that words can be read."""

from __future__ import annotations

import base64
import re
import xml.etree.ElementTree as ET

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.textpath import TextPath
from rooms import label_faults

from mixlib.draw.shapes import (
    Arrow,
    Circle,
    Drawing,
    Group,
    Line,
    Polygon,
    Room,
    Text,
    moved,
    text_box,
    together,
)
from mixlib.draw.svg import picture, svg
from mixlib.draw.theme import ROLES, style, text_width, wrapped
from mixlib.paper.axes import draw_on

SVG = "{http://www.w3.org/2000/svg}"
NASTY = "<b>&\"'</b> $x^2$"


def one_of_each(words: str = "words") -> Drawing:
    shapes = (
        Line(((10, 10), (50, 10)), "movement", words),
        Polygon(((10, 20), (30, 20), (20, 40)), "up", words),
        Circle(80, 30, 8, "hinge", words),
        Group((Arrow((100, 10), (100, 60)), Arrow((120, 20), (120, 20))), words),
        Text(10, 80, words, "label"),
    )
    return Drawing(300, 100, shapes, words, f"{words} described")


def test_svg_is_xml_with_title_and_description_that_it_is_labelled_by():
    root = ET.fromstring(svg(one_of_each(NASTY)))
    assert root.tag == SVG + "svg"
    assert root.get("role") == "img"
    title, desc = root.find(SVG + "title"), root.find(SVG + "desc")
    assert (title.text, desc.text) == (NASTY, f"{NASTY} described")
    assert root.get("aria-labelledby").split() == [title.get("id"), desc.get("id")]
    assert [text.text for text in root.iter(SVG + "text")] == [NASTY]


def test_svg_is_shown_at_its_own_size_or_as_wide_as_there_is_room():
    root = ET.fromstring(svg(one_of_each()))
    assert root.get("viewBox") == "0 0 300 100"
    assert root.get("width") is None
    assert "width:100%;max-width:300px" in root.get("style")  # a unit is a px: never enlarged


def test_ids_are_the_given_ones_or_belong_to_the_drawing():
    assert "id='p7-t'" in svg(one_of_each(), "p7")
    assert svg(one_of_each()) == svg(one_of_each())
    first, second = (re.search(r"id='(\w+)-t'", svg(one_of_each(w))).group(1) for w in ("one", "two"))
    assert first != second


def test_hover_words_are_escaped_and_stand_on_their_shape():
    root = ET.fromstring(svg(one_of_each(NASTY)))
    for tag in ("polyline", "polygon", "circle"):
        assert root.find(f".//{SVG}{tag}/{SVG}title").text == NASTY


def test_picture_in_a_notebook_is_an_image_with_its_words_for_the_ear_and_as_plain_text():
    bundle = picture(one_of_each(NASTY))._repr_mimebundle_()
    image = ET.fromstring(bundle["text/html"].replace(">", "/>"))
    assert image.get("alt") == bundle["text/plain"] == f"{NASTY}. {NASTY} described"
    kind, data = image.get("src").split(",")
    assert kind == "data:image/svg+xml;base64"
    assert base64.b64decode(data).decode() == svg(one_of_each(NASTY))


def test_paper_shows_the_same_shapes():
    figure = Figure(figsize=(6, 2))
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0, 0, 1, 1))
    draw_on(axes, one_of_each(NASTY))
    figure.canvas.draw()
    assert [text.get_text() for text in axes.texts] == [NASTY]
    assert len(axes.lines) == 3  # the line and two shafts
    assert len(axes.patches) == 4  # polygon, circle and two heads
    assert axes.yaxis_inverted()


def test_words_on_paper_take_the_room_that_the_layout_reckoned_with():
    drawing = Drawing(400, 100, (Text(20, 60, "Left aileron down 12.3 mm (14.5°)"),), "t", "d")
    figure = Figure(figsize=(8, 2), dpi=100)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0, 0, 1, 1))
    draw_on(axes, drawing)
    figure.canvas.draw()
    extent = axes.texts[0].get_window_extent().transformed(axes.transData.inverted())
    left, _, right, _ = text_box(drawing.shapes[0])
    assert abs(extent.width) == pytest.approx(right - left, rel=0.03)


@pytest.mark.parametrize("bold", [False, True])
def test_text_width_against_matplotlib_outlines(bold):
    # matplotlib's own text layout as the reference; the outline is a little narrower than the advance.
    words = "Right aileron, 12.3 mm up (14.5°) Wiggly WAVE"
    properties = {"family": "DejaVu Sans", "weight": "bold" if bold else "normal"}
    outline = TextPath((0, 0), words, size=16, prop=properties).get_extents().width
    assert text_width(words, 16, bold) == pytest.approx(outline, rel=0.02)


def test_strong_colours_can_be_told_from_the_card():
    # Contrast of text as in WCAG 2.1, success criterion 1.4.3 (at least 4.5) and 1.4.11 (shapes, at least 3).
    def luminance(colour: str) -> float:
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    def contrast(colour: str, paper: str) -> float:
        high, low = sorted((luminance(colour), luminance(paper)), reverse=True)
        return (high + 0.05) / (low + 0.05)

    for role in ("title", "label", "strong", "note", "warning"):
        assert contrast(ROLES[role].fill, ROLES["sheet"].fill) >= 4.5, role
    assert contrast(ROLES["badge words"].fill, ROLES["badge"].fill) >= 4.5
    for role in ("up", "down"):
        assert contrast(ROLES[role].fill, ROLES["sheet"].fill) >= 3, role
    for role in [role for role in ROLES if role.startswith("curve")]:
        assert contrast(ROLES[role].stroke, ROLES["sheet"].fill) >= 3, role


def test_curves_differ_in_dashes_too():
    dashes = [look.dash for role, look in ROLES.items() if role.startswith("curve")]
    assert len(set(dashes)) == len(dashes)


def test_unknown_role_is_refused_by_name():
    with pytest.raises(KeyError, match="no role is called 'upwards'"):
        style("upwards")


def faults(*shapes) -> list[str]:
    return label_faults(Drawing(200, 100, shapes, "t", "d"))


def test_label_faults_finds_each_kind_and_nothing_else():
    good = Text(20, 50, "words")
    assert faults(good) == []
    assert faults(good, Text(40, 55, "others")) == ["'words' and 'others' overlap"]
    assert faults(Text(190, 50, "words")) == ["'words' reaches out of the picture"]
    assert faults(good, Line(((0, 0), (60, 90)), "rod")) == ["'words' is crossed by 'rod'"]
    assert faults(good, Line(((0, 60), (60, 60)), "rod")) == []
    assert faults(good, Line(((0, 0), (60, 90)), "grid")) == []
    assert faults(Group((Text(190, 50, "words"),))) == ["'words' reaches out of the picture"]


def test_wrapped_keeps_to_its_room():
    name = "an aileron with an unreasonably long name that goes on"
    for lines in (1, 2, 3):
        result = wrapped(name, 120, "label", lines)
        assert len(result) <= lines
        assert all(text_width(line, 16) <= 120 for line in result)
    assert wrapped(name, 2000, "label") == (name,)
    assert wrapped(name, 120, "label", 1)[0].endswith("...")
    assert wrapped("unbreakableunbreakableunbreakable", 100, "label", 2)[0].endswith("...")


def test_moved_shifts_everything():
    shift = [moved(shape, 5, 7) for shape in one_of_each().shapes]
    assert shift[0].points == ((15, 17), (55, 17))
    assert (shift[2].x, shift[2].y) == (85, 37)
    assert shift[3].shapes[0].end == (105, 67)


@pytest.mark.parametrize(
    "room, size, second",
    [(Room(306, 306), (300, 206), (10, 186)), (Room(900, 300), (606, 100), (316, 80))],
)
def test_drawings_lie_side_by_side_in_a_low_room_else_below_each_other(room, size, second):
    """Two drawings of 300 x 100 with a gap of 6; the last word of each stands at (10, 80)."""
    both = together("both", [lambda room: one_of_each("one"), lambda room: one_of_each("two")], room)
    assert (both.width, both.height) == size
    assert both.description == "one described two described"
    assert (both.shapes[-1].x, both.shapes[-1].y) == second


def test_drawings_together_are_drawn_for_their_share_of_the_room():
    """What the first leaves over, 50 of 150, goes to the second."""
    rooms = []

    def part(room):
        rooms.append(room)
        return one_of_each()

    together("both", [part, part], Room(906, 300))
    together("both", [part, part], Room(400, 306))
    assert rooms == [Room(450, 300)] * 2 + [Room(400, 150), Room(400, 200)]
