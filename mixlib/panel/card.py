"""The bench card on the screen, with buttons that save it as text and as PDF for two sizes of paper."""

from __future__ import annotations

import html

import ipywidgets as widgets

from mixlib.bench.card.card import bench_card as make_card
from mixlib.bench.card.sections import Section
from mixlib.describe import DescriptionError, Setup, shelf
from mixlib.panel.base.panel import table
from mixlib.panel.base.screen import action_button, card, choices_row, show_widget, spoken

__all__ = ["CardPanel", "bench_card"]

_PAPERS = {"A4": ("A4",), "Letter": ("Letter",), "both": ("A4", "Letter")}


def bench_card(setup: Setup) -> CardPanel:
    """Show the bench card of a set-up.

    Returns
    -------
    CardPanel
        Shows itself as the last line of a cell.
    """
    return CardPanel(setup)


class CardPanel:
    """The card as it will be printed, a line for a note, and what to save."""

    def __init__(self, setup: Setup) -> None:
        self._setup = setup
        self.note = widgets.Text(
            description="Your note",
            continuous_update=False,
            style={"description_width": "6em"},
            layout=widgets.Layout(width="100%", max_width="40em"),
        )
        self.paper = choices_row("Paper", list(_PAPERS))
        save = action_button("Save text and PDF", self.save)
        self._body = widgets.HTML()
        self._told = widgets.HTML()
        self.note.observe(lambda _: self._draw(), names="value")
        self._draw()
        self.widget = card([self._body, self.note, self.paper, save, self._told], "mix-panel")

    def save(self) -> None:
        """Write the card into the folder of the reader's own files, and say where it is."""
        try:
            from mixlib.paper.sheets import save_card  # only here: it loads matplotlib, half a second

            paths = save_card(
                make_card(self._setup, self.note.value), shelf.folder(), _PAPERS[self.paper.value]
            )
        except DescriptionError as error:
            self._told.value = spoken("Not saved", str(error), "try")
            return
        names = ", ".join(path.name for path in paths)
        self._told.value = spoken("Saved", f"{names} in the folder {shelf.folder()}.", "good")

    @property
    def said(self) -> str:
        """What was said about the last saving, as HTML."""
        return self._told.value

    @property
    def body(self) -> str:
        """The card, as HTML."""
        return self._body.value

    def _draw(self) -> None:
        shown = make_card(self._setup, self.note.value)
        head = "".join(f"<p>{html.escape(line)}</p>" for line in shown.head)
        parts = "".join(_section(section) for section in shown.sections)
        self._body.value = f"<h3>{html.escape(shown.title)}</h3>{head}{parts}"

    def _ipython_display_(self) -> None:
        show_widget(self.widget, "Panel: bench card")


def _section(section: Section) -> str:
    lines = "".join(f"<li>{html.escape(line)}</li>" for line in section.lines)
    boxes = "".join(f"<li>☐ {html.escape(box)}</li>" for box in section.boxes)
    rows = table(section.columns, section.rows) if section.rows else ""
    listed = f"<ul>{lines}</ul>" if lines else ""
    ticks = f"<ul style='list-style:none;padding-left:4px'>{boxes}</ul>" if boxes else ""
    wide = f"<div style='overflow-x:auto'>{rows}</div>" if rows else ""
    return f"<p><strong>{html.escape(section.title)}</strong></p>{listed}{wide}{ticks}"
