"""The bench card on the screen, with buttons that save it, and the strip for the field, for two papers."""

from __future__ import annotations

import html
from functools import cache, partial
from typing import Any

from mixlib.bench.card import bench_card
from mixlib.bench.card.sections import Section
from mixlib.chain import Rig, commands
from mixlib.describe import Setup, shelf
from mixlib.describe.words import command_end, listed, sentence_start
from mixlib.panel.base.aircraft import whole_aircraft
from mixlib.panel.base.controls import Note, Pick
from mixlib.panel.base.panel import Panel, Seen
from mixlib.panel.surfaces import moving_commands
from mixlib.say.doubt import assumed_words
from mixlib.say.readout import readout
from mixlib.say.tables import html_table

__all__ = ["card_panel"]


def card_panel(setup: Setup) -> Panel:
    """Show the bench card of a set-up as it will be printed, with a line for a note.

    Above it the whole aircraft does what one row of the movements asks for, to be compared with the model.
    """
    rig = Rig(setup)
    moving = moving_commands(setup)
    ends = {sentence_start(command_end(*end)): end for end in setup.ends if end[0] in moving}

    @cache
    def card(note: str) -> str:
        shown = bench_card(setup, note)
        assumed = assumed_words(setup, shelf.assumed_in(setup), flown=False)
        head = "".join(f"<p>{html.escape(line)}</p>" for line in (*shown.head, assumed) if line)
        return head + "".join(map(_section, shown.sections))

    def update(values: dict[str, Any]) -> Seen:
        stages = rig.run(commands(**dict([values["moved"]])))
        return Seen(whole_aircraft(setup, stages), readout(setup, stages), card(values["note"]))

    def save(paper: str, values: dict[str, Any]) -> str:
        from mixlib.paper.sheets import save_card  # only here: it loads matplotlib, half a second

        stem = shelf.stem_for(setup)
        paths = save_card(bench_card(setup, values["note"]), shelf.folder(), (paper,), stem)
        return f"{listed(path.name for path in paths)} in the folder {shelf.folder()}."

    def save_for_field(paper: str, _: dict[str, Any]) -> str:
        from mixlib.paper.sheets import save_strip

        path = save_strip(setup, shelf.folder(), paper, shelf.stem_for(setup))
        return f"{path.name} in the folder {shelf.folder()}."

    papers = ("A4", "Letter")
    savers = {f"Save text and PDF for {paper} paper": partial(save, paper) for paper in papers}
    savers |= {f"Save the field strip for {paper} paper": partial(save_for_field, paper) for paper in papers}
    controls = [Note("note", "Your note"), Pick("moved", ends, label="In the picture")]
    return Panel(bench_card(setup).title, controls, update, savers=savers, beside=False)


def _section(section: Section) -> str:
    lines = "".join(f"<li>{html.escape(line)}</li>" for line in section.lines)
    boxes = "".join(f"<li>☐ {html.escape(box)}</li>" for box in section.boxes)
    rows = html_table(section.columns, section.rows) if section.rows else ""
    listed_lines = f"<ul>{lines}</ul>" if lines else ""
    ticks = f"<ul style='list-style:none;padding-left:4px'>{boxes}</ul>" if boxes else ""
    wide = f"<div style='overflow-x:auto'>{rows}</div>" if rows else ""
    return f"<p><strong>{html.escape(section.title)}</strong></p>{listed_lines}{wide}{ticks}"
