"""Settings of the wing side by side, as lines of text: glide, stall, roll, elevator and landing of each."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from mixlib.air.aircraft.phases import fly_phase, phase_at
from mixlib.air.landing.field import Flown, landings
from mixlib.describe import Setup
from mixlib.say.doubt import marked
from mixlib.say.flight import elevator_size, glide_cell, helix_cell, lets_go_cell, range_words, share_words
from mixlib.say.speeds import in_speed_unit, round_speed_words, speed_unit
from mixlib.say.tables import reasons_below, text_table

__all__ = ["WINDS_M_S", "settings_table"]

WINDS_M_S = (0.0, 4.0)
"""Head winds at 10 m height for which the landings are flown, m/s."""


def settings_table(setup: Setup, settings: Mapping[str, Mapping[str, float]]) -> str:
    """Compare settings: how each glides, stalls, rolls, trims and lands behind the club's hedge.

    Parameters
    ----------
    settings : mapping of str to mapping
        Name of the setting to the commands, such as ``{"crow": {"brake": 1.0}}``.
    """
    flown = [fly_phase(setup, phase_at(setup, "landing", **asked)) for asked in settings.values()]
    winds = {wind: landings(setup, settings, wind).values() for wind in WINDS_M_S}
    rows = [
        ["glide, m for 1 m", *(glide_cell(item.glide) for item in flown)],
        [
            f"approach, {speed_unit()}",
            *(marked(f"{in_speed_unit(item.glide.speed_m_s):.1f}", item.glide) for item in flown),
        ],
        [f"lets go, {speed_unit()}", *(lets_go_cell(item.performance) for item in flown)],
        ["full roll, helix, rad", *(helix_cell(item.roll) for item in flown)],
        ["elevator with it", *(elevator_size(item.elevator) for item in flown)],
        *(
            [f"lands, {round_speed_words(wind)} wind, m", *map(_touchdown, found)]
            for wind, found in winds.items()
        ),
        ["worked out from", *(share_words(float(item.glide.table_share)) for item in flown)],
    ]
    below = reasons_below(*flown, *(item for found in winds.values() for item in found))
    return f"{text_table(['', *settings], rows)}\n{below}".rstrip()


def _touchdown(item: Flown) -> str:
    if np.isnan(item.path.touchdown_m):
        return "none*"
    return marked(range_words(item.path.touchdown_m, *item.spread_m, 0), item)
