"""The bench card on paper: two pages, more where there is more to say, the picture of the aircraft first."""

from __future__ import annotations

from functools import partial

import numpy as np

from mixlib.bench.card import Card
from mixlib.bench.card.sections import TICK, Section
from mixlib.chain import Rig, commands
from mixlib.describe import Setup
from mixlib.describe.words import NEUTRAL_MM, command_end, sentence_start
from mixlib.draw.aircraft import aircraft_view
from mixlib.draw.theme import QUIET
from mixlib.paper.flow import Row, Sheet
from mixlib.paper.parts import Bulleted, Head, Part, Picture, Table, Words

__all__ = ["card_sheet", "parts_of"]

_PICTURE_MM = 88.0
_COLUMN_MM, _USUAL_POINTS = 91.0, 9.0  # by which columns are balanced
_SEEN = "Seen from behind and above."


def card_sheet(card: Card) -> Sheet:
    """Lay out what stands on the card, in the order of the work."""
    rows: list[Row] = [
        ((Head(card.title, card.head[0]),),),
        *[((Words(line, colour=QUIET),),) for line in card.head[1:]],
        (parts_of(card.cautions), (_picture(card.setup),)),
        *_full(card.outputs),
        _balanced(card.mixes, card.weighed, card.shaping, card.dials, card.trims),
        *_full(card.linkages),
        *_full(card.movements, card.rests, card.wanted, card.limits, card.left),
        (parts_of(card.bench_checks), parts_of(card.flight_checks)),
    ]
    return Sheet(rows, card.title)


def parts_of(section: Section) -> tuple[Part, ...]:
    """The parts of a section: its lines, its table, its boxes to tick, the first with the heading."""
    titles = iter((section.title, "", ""))
    parts: list[Part] = []
    if section.lines:
        parts.append(Bulleted(next(titles), section.lines))
    if section.rows:
        parts.append(Table(next(titles), section.columns, section.rows, TICK))
    if section.boxes:
        parts.append(Bulleted(next(titles), section.boxes, boxed=True))
    return tuple(parts)


def _picture(setup: Setup) -> Picture:
    """The whole aircraft at the first command that moves something."""
    rig = Rig(setup)
    stages, words = rig.run(commands()), "All commands at neutral."
    for command, value in setup.ends:
        moved = rig.run(commands(**{command: value}))
        if np.any(np.abs(moved.throw) >= NEUTRAL_MM):
            stages, words = moved, f"{sentence_start(command_end(command, value))}."
            break
    drawn = partial(aircraft_view, setup.aircraft, stages.surface, stages.throw)
    return Picture(lambda room: drawn(room=room), f"{words} {_SEEN}", _PICTURE_MM)


def _full(*sections: Section) -> list[Row]:
    """A row of the whole width for each part."""
    return [((part,),) for section in sections for part in parts_of(section)]


def _balanced(*sections: Section) -> Row:
    """Two columns of about equal height, the sections in their order down the first and then the second."""
    parts = [part for section in sections for part in parts_of(section)]
    heights = [part.height(_COLUMN_MM, _USUAL_POINTS) for part in parts]
    cut = min(range(1, len(parts)), key=lambda at: max(sum(heights[:at]), sum(heights[at:])))
    return tuple(parts[:cut]), tuple(parts[cut:])
