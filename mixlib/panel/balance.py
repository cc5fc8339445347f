"""Panel of the balance point: where it lies, and what moving it does to elevator, speed and dive test."""

from __future__ import annotations

import html
import math
from functools import partial
from typing import Any

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.balance import DIVE_FACTOR, Moved, moved_to
from mixlib.air.aircraft.flight import trimmed_at
from mixlib.air.aircraft.from_setup import known_balance, known_performance
from mixlib.describe import Setup
from mixlib.draw.flight.balance import balance_side_view
from mixlib.panel.airborne import Told, air_panel
from mixlib.panel.base.controls import Slider
from mixlib.panel.base.panel import Panel, Seen
from mixlib.say.balance import DIVE_CAUTIONS, moved_rows, moved_words
from mixlib.say.speeds import speed_words
from mixlib.say.tables import html_table

__all__ = ["balance_panel"]

_BEYOND_MM = 15.0  # that the slider goes past the usual range and past the neutral point


def balance_panel(setup: Setup) -> Panel:
    """Move the balance point, with the trim left where it is now.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.
    """
    airframe = Airframe.from_aircraft(setup.aircraft)
    stands, found = known_balance(setup.aircraft), known_performance(setup.aircraft)
    trimmed = trimmed_at(airframe, None, found.best_glide.speed_m_s)

    def moved(cg_mm: float) -> Moved:
        return moved_to(airframe, cg_mm, trimmed, float(found.stall.speed_m_s), stands)

    now = moved(stands.cg_mm)
    # Whole mm from where it is, so that the slider begins just there.
    ends = (
        stands.cg_mm - math.ceil(max(stands.cg_mm - stands.usual_cg_mm[0] + _BEYOND_MM, 0)),
        stands.cg_mm + math.ceil(max(stands.neutral_mm[1] + _BEYOND_MM - stands.cg_mm, 0)),
    )

    def update(values: dict[str, Any]) -> Told:
        then = moved(values["balance"])
        head = ["", f"now, {stands.cg_mm:.0f} mm", f"moved, {values['balance']:.0f} mm"]
        picture = partial(balance_side_view, setup.aircraft, then.balance, ends)
        cautions = f"<p>{html.escape(DIVE_CAUTIONS)}</p>" if then.balance.stable else ""
        table = html_table(head, moved_rows(now, then))
        return Seen(picture, moved_words(then), table + cautions), [now, then]

    slider = Slider("balance", *ends, 1, stands.cg_mm, "mm", label="balance point", ends=("nose", "tail"))
    task = (
        f"It is trimmed for {speed_words(trimmed.speed_m_s)}, its best glide as it is now. Only the "
        "balance point moves. A dive test goes to "
        f"{DIVE_FACTOR:g} times that speed (common practice, no source)."
    )
    return air_panel(
        setup,
        f"Balance point of {setup.aircraft.name}",
        [slider],
        update,
        stands=lambda values: stands.at(values["balance"]),
        task=task,
    )
