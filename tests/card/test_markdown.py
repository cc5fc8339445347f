"""The card's Markdown, read by a general-purpose parser (mistune), holds up whatever is typed."""

import mistune
import numpy as np
import pytest
from description_strategies import setups
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from mixlib.bench.card import as_markdown, bench_card
from mixlib.bench.card.sections import TICK
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup

DEMOS = [flaperon_setup(), four_surface_setup(), v_tail_setup(), elevon_setup()]
by_name = pytest.mark.parametrize("setup", DEMOS, ids=lambda setup: setup.name)

parse = mistune.create_markdown(renderer="ast", plugins=["table", "task_lists"])


def plain_text(node):
    if "raw" in node:
        return node["raw"]
    if node["type"] in ("softbreak", "linebreak"):
        return "\n"
    return "".join(plain_text(child) for child in node.get("children", ()))


def kinds(nodes):
    for node in nodes:
        yield node["type"]
        yield from kinds(node.get("children", ()))


def read_back(text):
    """Headings, paragraphs, table cells and list items as a reader of the rendered Markdown sees them."""
    nodes = [node for node in parse(text) if node["type"] != "blank_line"]
    cells = [
        plain_text(cell)
        for node in nodes if node["type"] == "table"
        for part in node["children"]
        for row in (part["children"] if part["type"] == "table_body" else [part])
        for cell in row["children"]
    ]  # fmt: skip
    items = [plain_text(item) for node in nodes if node["type"] == "list" for item in node["children"]]
    heads = [plain_text(node) for node in nodes if node["type"] == "heading"]
    paragraphs = [plain_text(node) for node in nodes if node["type"] == "paragraph"]
    return heads, paragraphs, cells, items, set(kinds(nodes))


HARMLESS = {"heading", "paragraph", "text", "list", "list_item", "task_list_item", "block_text", "table",
            "table_head", "table_body", "table_row", "table_cell", "softbreak"}  # fmt: skip


def assert_reads_back(card):
    heads, paragraphs, cells, items, found = read_back(as_markdown(card))
    assert found <= HARMLESS
    assert heads == [card.title, *(section.title for section in card.sections)]
    assert paragraphs == list(card.head)
    tables = [section for section in card.sections if section.rows]
    assert cells == [cell for section in tables for row in (section.columns, *section.rows) for cell in row]
    assert items == [line for section in card.sections for line in (*section.lines, *section.boxes)]


@by_name
def test_markdown_reads_back(setup):
    assert_reads_back(bench_card(setup, notes="plain words"))


NASTY = [
    "a|b",
    "||||",
    "**bold** _it_ ~~no~~",
    "<script>alert(1)</script>",
    "<!-- c -->",
    "[x](http://e.org)",
    "![x](y)",
    "[ ] box",
    "# head",
    "- item",
    "1. one",
    "+ plus",
    "--- ",
    "===",
    "> quote",
    "~~~",
    "`code`",
    "&amp; &copy;",
    "back\\slash\\",
    "$x^2$",
    "*",
    "    indented",
    "line\nbreak",
    "tab\there",
    "\u202eturned",
    "飞机 ✈ Ünïcödé",
]


@pytest.mark.parametrize("name", NASTY)
def test_markup_that_is_typed_stays_words(name):
    base = flaperon_setup()
    surfaces = (base.aircraft.surfaces[0].replace(name=name), *base.aircraft.surfaces[1:])
    wiring = {(name if key == "left aileron" else key): value for key, value in base.wiring.items()}
    aircraft = base.aircraft.replace(name=name, surfaces=surfaces)
    setup = base.replace(name=name, note=name, aircraft=aircraft, wiring=wiring)
    card = bench_card(setup, notes=name)
    assert_reads_back(card)
    visible = " ".join(name.replace("\u202e", " ").split())
    assert visible in card.title
    assert visible in card.outputs.rows[3][1]


@given(setups(), st.text(max_size=60))
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
def test_card_of_any_setup_reads_back(setup, notes):
    card = bench_card(setup, notes)
    assert_reads_back(card)
    assert np.all([row[0] == TICK for row in card.movements.rows])
