"""The bench card on the screen: all of it is there, it saves where the reader's files are, and says so."""

from __future__ import annotations

import errno
import html
import os
import re

import pytest

from mixlib.bench.card import bench_card
from mixlib.describe import shelf
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup
from mixlib.panel.card import card_panel


def plain(text: str) -> str:
    return html.unescape(re.sub(r"<[^>]+>", "", text))


@pytest.mark.parametrize("demo", [flaperon_setup, four_surface_setup, v_tail_setup, elevon_setup])
def test_every_word_of_the_card_is_on_the_screen(demo):
    shown = plain(card_panel(demo()).extra)
    made = bench_card(demo())
    for section in made.sections:
        for text in (
            section.title,
            *section.lines,
            *section.boxes,
            *(cell for row in section.rows for cell in row),
        ):
            assert text in shown


def test_the_aircraft_does_what_a_row_of_the_movements_asks_for():
    panel = card_panel(flaperon_setup())
    assert "Left aileron down 21.1 mm (30.6°); right aileron up 20.7 mm" in panel._draw().description
    assert "Roll 100 % (stick right). Left aileron down 21.1 mm" in plain(panel.sentence)
    panel.controls["moved"].value = ("pitch", 1.0)
    assert "elevator up" in panel._draw().description
    assert not [words for words, _ in panel.controls["moved"].entry.options if "throttle" in words.lower()]


def test_saving_writes_text_and_pdf_and_says_where(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    panel = card_panel(flaperon_setup())
    panel.controls["note"].value = "wind <2> & sun"
    panel.press("Save text and PDF for A4 paper")
    said = panel.saved
    panel.press("Save text and PDF for Letter paper")
    said += panel.saved
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == [
        "bench_card_flaperons.md",
        "bench_card_flaperons_a4.pdf",
        "bench_card_flaperons_letter.pdf",
    ]
    assert all(name in said for name in names)
    assert "wind <2> & sun" in plain(panel.extra)


def test_the_strip_for_the_field_is_saved_beside_the_card(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    panel = card_panel(flaperon_setup())
    panel.press("Save the field strip for A4 paper")
    assert [path.name for path in tmp_path.iterdir()] == ["field_strip_flaperons_a4.pdf"]
    assert "field_strip_flaperons_a4.pdf" in panel.saved


def test_each_set_up_has_cards_of_its_own(tmp_path, monkeypatch):
    """Names that come down to the same letters, or to none, do not share a card."""
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    names = ["A b", "a-b", "飞机", "самолёт"]
    for name in names:
        shelf.keep(flaperon_setup().replace(name=name))
        card_panel(flaperon_setup().replace(name=name)).press("Save text and PDF for A4 paper")
    cards = sorted(tmp_path.glob("bench_card_*.md"))
    assert len(cards) == len(names)
    for name in names:
        stem = shelf.stem_for(flaperon_setup().replace(name=name))
        assert f"Bench card: {name}" in (tmp_path / f"bench_card_{stem}.md").read_text(encoding="utf-8")


def test_a_full_disk_is_said(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))

    def full(*_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    panel = card_panel(flaperon_setup())
    panel.press("Save text and PDF for A4 paper")
    assert "Not saved" in panel.saved
    assert "no room is left" in panel.saved
