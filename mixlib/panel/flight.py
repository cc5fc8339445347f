"""Panels of the lessons on camber, landing flap and air brake: what the set-up does to the flight."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np

from mixlib.air.aircraft.flight import Performance
from mixlib.air.aircraft.from_setup import angles_at, known_performance
from mixlib.air.aircraft.glide import Trimmed
from mixlib.air.aircraft.phases import phase_at
from mixlib.air.landing.field import TURN_HEIGHT_M, Flown, landings
from mixlib.describe import Setup, shelf
from mixlib.describe.words import sentence_start
from mixlib.draw.charts import Curve, line_chart
from mixlib.draw.flight.approach import landing_side_view, landing_words
from mixlib.panel.airborne import Told, air_panel
from mixlib.panel.base.controls import Pick, Slider, command_slider
from mixlib.panel.base.panel import Panel, Seen
from mixlib.say.doubt import marked
from mixlib.say.flight import angle_words, glide_cell, glide_doubts, glide_words, origin_words
from mixlib.say.tables import html_table

__all__ = ["landing_panel", "polar_panel"]

_MOST_OF_SPEED = 0.5  # head wind over approach speed from which the panel warns (judgement, no source)
_OFF = (
    f"Turned at {TURN_HEIGHT_M:g} m of height. A little off: speed by 1 m/s, heading by 1°, drag by its "
    "band. A turn that forgives a slip: over the hedge, and stopped on the strip, with speed or heading off. "
    "Minus: short of the hedge."
)


def polar_panel(setup: Setup) -> Panel:
    """Glide polar as the camber control turns.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.
    """
    clean = _flown(known_performance(setup.aircraft))

    def update(values: dict[str, Any]) -> Told:
        angles = angles_at(setup, camber=values["camber"])
        found = known_performance(setup.aircraft, angles)
        glides = _flown(found)
        low, high = glides.sink_band_m_s
        curves = [
            _sink_curve("clean", clean, clean.sink_m_s),
            _sink_curve("as set", glides, glides.sink_m_s),
            _sink_curve("as set, least drag", glides, low),
            _sink_curve("as set, most drag", glides, high),
        ]
        said = f"{angle_words(setup.aircraft, angles)} {glide_words(found)}"
        chart = partial(
            line_chart,
            "Sink over speed",
            curves,
            "speed, m/s",
            "sink, m/s (less is better)",
            description=said,
            x_range=(5, 20),
            y_range=(0, 2),
        )
        return Seen(chart, said), [glide_doubts(found)]

    savers = {
        f"Keep as my {name} phase": _phase_saver(setup, name, "camber") for name in ("thermal", "speed")
    }
    slider = command_slider("camber", radio=setup.radio)
    return air_panel(setup, f"Glide of {setup.aircraft.name}", [slider], update, savers=savers)


def landing_panel(setup: Setup, command: str = "camber") -> Panel:
    """Land over the hedge with as much flap or brake as the slider gives.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.
    command : str
        ``"camber"`` or ``"brake"``.

    Returns
    -------
    Panel
        Sliders for the setting and the wind, a choice of when it is set, the side view, a sentence, a table.
    """

    def update(values: dict[str, Any]) -> Told:
        settings = {"clean": {}, "as set": {command: values[command]}}
        late = "as set" if values["when"] == "at the hedge" else ""
        found = landings(setup, settings, values["wind"], late)
        paths = [item.path for item in found.values()]
        rows = [[name, *_landing_cells(item)] for name, item in found.items()]
        head = [
            "setting",
            "approach speed",
            "glide, m for 1 m",
            "touchdown",
            "if a little is off",
            "turn that forgives a slip",
        ]
        angles = angle_words(setup.aircraft, angles_at(setup, **{command: values[command]}))
        origin = origin_words(float(found["as set"].performance.approach.table_share))
        lands = " ".join(f"{sentence_start(path.name)}: {landing_words(path)}." for path in paths)
        said = f"{angles} {lands} {sentence_start(origin)}.{_windy_words(values['wind'], found)}"
        seen = Seen(partial(landing_side_view, paths), said, html_table(head, rows, _OFF))
        return seen, [*found.values()]

    controls = [
        command_slider(command, 1.0, radio=setup.radio),
        Slider("wind", 0, 6, 1, 0, "m/s", label="head wind"),
        Pick("when", ["from the turn on", "at the hedge"], label="set"),
    ]
    savers = {"Keep as my landing phase": _phase_saver(setup, "landing", command)}
    return air_panel(setup, "Landing at Orchard Field", controls, update, savers=savers)


def _windy_words(wind_m_s: float, found: dict[str, Flown]) -> str:
    """A warning where a calm-air approach speed leaves little to fly against the wind with."""
    slowest = min(float(item.performance.approach.speed_m_s) for item in found.values())
    if wind_m_s <= _MOST_OF_SPEED * slowest:
        return ""
    return (
        f" The wind is {100 * wind_m_s / slowest:.0f} % of the approach speed. Fly faster than this, half of "
        "the wind on top (common practice, no source), or not at all."
    )


def _landing_cells(item: Flown) -> list[str]:
    approach = item.performance.approach
    nearest, furthest = item.landing.safe_window_m
    nearest = max(nearest, 0.0)  # a turn behind the hedge is none
    turn = f"{nearest:.0f} to {furthest:.0f} m before the hedge" if nearest <= furthest else "none"
    return [
        marked(f"{approach.speed_m_s:.1f} m/s", approach),
        glide_cell(approach),
        _metres(item, item.path.touchdown_m),
        _metres(item, *item.spread_m),
        marked(turn, item),
    ]


def _metres(item: Flown, *places_m: float) -> str:
    """Places of a landing; none where no path comes down."""
    places = " to ".join(f"{place:.0f}" for place in places_m)
    return marked("none" if np.isnan(places_m).any() else f"{places} m", item)


def _phase_saver(setup: Setup, name: str, command: str) -> Callable[[dict[str, Any]], str]:
    """What saves the lever's place as a phase of the reader's set-up."""

    def keep(values: dict[str, Any]) -> str:
        phase = phase_at(setup, name, **{command: values[command]})
        path = shelf.keep_change(setup, lambda newest: newest.with_phase(phase))
        return f"{path.name} now has the phase {name}. Lesson 07 sets the phases side by side."

    return keep


def _flown(found: Performance) -> Trimmed:
    """Glides up to where the wing begins to let go, close enough to be drawn as a curve."""
    row = found.polar
    fine = row.between(np.linspace(0.0, len(row.lift) - 1.0, 6 * len(row.lift)))
    return fine[(fine.lift > 0) & (fine.alpha_deg <= found.stall.alpha_deg)]


def _sink_curve(label: str, glides: Trimmed, sink_m_s: np.ndarray) -> Curve:
    return Curve(label, glides.speed_m_s, np.where(glides.converged, sink_m_s, np.nan))
