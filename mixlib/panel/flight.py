"""The panel of the lesson on camber: what the set-up does to the glide."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np

from mixlib.air.aircraft.flight import Performance
from mixlib.air.aircraft.from_setup import angles_at, known_performance
from mixlib.air.aircraft.glide import Trimmed
from mixlib.air.aircraft.phases import phase_at
from mixlib.chain import Rig, commands
from mixlib.describe import Setup
from mixlib.draw.aircraft import with_aircraft
from mixlib.draw.charts import Curve, line_chart
from mixlib.panel.airborne import Told, air_panel
from mixlib.panel.base.aircraft import Hand
from mixlib.panel.base.controls import command_slider
from mixlib.panel.base.keep import keep
from mixlib.panel.base.panel import Kept, Panel, Seen
from mixlib.panel.surfaces import moving_commands
from mixlib.say.differences import glide_measures
from mixlib.say.flight import angle_words, glide_doubts, glide_words
from mixlib.say.speeds import in_speed_unit, speed_unit

__all__ = ["phase_saver", "polar_panel"]


def polar_panel(setup: Setup) -> Panel:
    """Glide polar as the camber control turns.

    Parameters
    ----------
    setup : Setup
        The reader's set-up; where nothing answers to camber, the polar stands alone.
    """
    moves = "camber" in moving_commands(setup)
    clean = _flown(known_performance(setup.aircraft))
    rig, hand = Rig(setup), Hand()

    def update(values: dict[str, Any]) -> Told:
        angles = angles_at(setup, **values)
        found = known_performance(setup.aircraft, angles)
        glides = _flown(found)
        low, high = glides.sink_band_m_s
        now, unit = "as set" if moves else "clean", speed_unit()
        curves = [
            *([_sink_curve("clean", clean, clean.sink_m_s)] if moves else []),
            _sink_curve(now, glides, glides.sink_m_s),
            _sink_curve(f"{now}, least drag", glides, low, kept=False),
            _sink_curve(f"{now}, most drag", glides, high, kept=False),
        ]
        said = f"{angle_words(setup.aircraft, angles)} {glide_words(found)}"
        chart = partial(
            line_chart,
            "Sink over speed",
            curves,
            f"speed, {unit}",
            f"sink, {unit} (less is better)",
            description=said,
            x_range=(in_speed_unit(5.0), in_speed_unit(20.0)),
            y_range=(0, in_speed_unit(2.0)),
        )
        aircraft = hand.aircraft(rig, values, rig.run(commands(**values)))
        picture = partial(with_aircraft, title, chart, aircraft) if moves else chart
        return Seen(picture, said, numbers=glide_measures(found)), [glide_doubts(found)]

    title = f"Glide of {setup.aircraft.name}"
    if not moves:
        return air_panel(setup, title, [], update)
    savers = {f"Keep as my {name} phase": phase_saver(setup, name, "camber") for name in ("thermal", "speed")}
    return air_panel(setup, title, [command_slider("camber", radio=setup.radio)], update, savers=savers)


def phase_saver(setup: Setup, name: str, command: str) -> Callable[[dict[str, Any]], Kept]:
    """What saves the lever's place as a phase of the reader's set-up."""

    def save(values: dict[str, Any]) -> Kept:
        phase = phase_at(setup, name, **{command: values[command]})

        def changed(newest: Setup) -> Setup:
            kept = newest.phase(name) or phase  # its roll stays as it is
            return newest.with_phase(kept.replace(angles_deg=phase.angles_deg))

        return keep(setup, f"{name} phase", changed)

    return save


def _flown(found: Performance) -> Trimmed:
    """Glides up to where the wing begins to let go, close enough to be drawn as a curve."""
    row = found.polar
    fine = row.between(np.linspace(0.0, len(row.lift) - 1.0, 6 * len(row.lift)))
    return fine[(fine.lift > 0) & (fine.alpha_deg <= found.stall.alpha_deg)]


def _sink_curve(label: str, glides: Trimmed, sink_m_s: np.ndarray, kept: bool = True) -> Curve:
    sink = in_speed_unit(np.where(glides.converged, sink_m_s, np.nan))
    return Curve(label, in_speed_unit(glides.speed_m_s), sink, kept)
