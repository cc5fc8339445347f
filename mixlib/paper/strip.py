"""The field strip on paper: one page, with lines to write on."""

from __future__ import annotations

from mixlib.describe import Setup
from mixlib.paper.card import parts_of
from mixlib.paper.flow import Row, Sheet
from mixlib.paper.parts import Head, WriteIn
from mixlib.say.strip import TO_SEE, field_strip

__all__ = ["strip_sheet"]


def strip_sheet(setup: Setup) -> Sheet:
    """Lay the field strip of a set-up out."""
    title = f"Field strip: {setup.name}"
    rows: list[Row] = [((Head(title, f"{setup.aircraft.name} on {setup.radio.name}"),),)]
    rows += [((part,),) for section in field_strip(setup) for part in parts_of(section)]
    return Sheet([*rows, ((WriteIn("What was seen", TO_SEE),),)], title)
