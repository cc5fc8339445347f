"""Settings of the wing side by side, as lines of text: glide, stall, roll, elevator and landing of each."""

from __future__ import annotations

from collections.abc import Mapping

from mixlib.air.aircraft.phases import FlownPhase, fly_phase, phase_at
from mixlib.air.landing.field import Flown, landings
from mixlib.describe import Setup
from mixlib.say.flight import banded, elevator_size, range_words, share_words
from mixlib.say.tables import text_table

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
        ["glide, m for 1 m", *map(_glide, flown)],
        ["approach, m/s", *(f"{item.glide.speed_m_s:.1f}" for item in flown)],
        [
            "lets go, m/s",
            *(banded("stall speed", float(item.performance.stall.speed_m_s)) for item in flown),
        ],
        ["full roll, helix, rad", *(banded("helix", float(item.roll.helix), 2) for item in flown)],
        ["elevator with it", *(elevator_size(item.elevator_deg) for item in flown)],
        *([f"lands, {wind:g} m/s wind, m", *map(_touchdown, found)] for wind, found in winds.items()),
        ["worked out from", *(share_words(float(item.glide.table_share)) for item in flown)],
    ]
    return text_table(["", *settings], rows)


def _glide(item: FlownPhase) -> str:
    return range_words(item.glide.glide_ratio, *item.glide.glide_ratio_band)


def _touchdown(item: Flown) -> str:
    return range_words(item.path.touchdown_m, *item.spread_m, 0)
