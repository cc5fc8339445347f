"""Panels of the flight lessons on elevator, roll and yaw."""

from __future__ import annotations

from functools import partial
from typing import Any

import numpy as np

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.bands import BANDS
from mixlib.air.aircraft.elevator import Compensation, compensation, held_by_radio
from mixlib.air.aircraft.from_setup import angles_at, known_performance
from mixlib.air.aircraft.handling import roll, roll_to_right
from mixlib.describe import Setup, shelf
from mixlib.describe.words import sentence_start
from mixlib.draw.charts import Curve, Spot, line_chart
from mixlib.panel.base.controls import Slider, command_slider
from mixlib.panel.base.panel import Panel, Seen
from mixlib.say.flight import angle_words, banded, elevator_words, mix_words, origin_words

__all__ = ["compensation_panel", "roll_panel"]


def compensation_panel(setup: Setup, command: str) -> Panel:
    """Elevator that the flap or brake lever needs, and what the radio can hold of it.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.
    command : str
        ``"camber"`` or ``"brake"``.
    """
    airframe = Airframe.from_aircraft(setup.aircraft)
    shares = np.linspace(0.0, 1.0, 11)
    settings = [angles_at(setup, **{command: float(share)}) for share in shares]
    slowest = float(known_performance(setup.aircraft).stall.speed_m_s)

    def curve(speed_m_s: float) -> Compensation:
        if setup.aircraft.of_kind("elevon"):
            raise ValueError(f"{setup.aircraft.name} has no elevator; its elevons do both jobs")
        return compensation(airframe, settings, speed_m_s)

    def update(values: dict[str, Any]) -> Seen:
        wanted = curve(values["speed"])
        held = held_by_radio(wanted, setup, airframe.pitch_names[0])
        good = wanted.glides.converged
        said = (
            f"At {values['speed']:.1f} m/s full {command} needs {elevator_words(wanted.change_deg[-1])}. "
            f"{setup.radio.name} holds it with {mix_words(held)}; the stick has to make up at most "
            f"{held.worst_deg:.1f}°. {sentence_start(origin_words(float(wanted.glides.table_share[-1])))}."
        )
        if not good.all():
            said += " At some settings this speed cannot be flown: those points are rough."
        ends = tuple(zip(("at least", "at most"), BANDS["elevator change"], strict=True))
        low, high = (float(end(wanted.change_deg)) * 1.4 for end in (np.min, np.max))
        chart = partial(
            line_chart,
            "Elevator compensation",
            [
                Curve("needed", 100 * shares, wanted.change_deg),
                Curve("held by the radio", 100 * shares, held.held_deg),
                *(Curve(f"needed, {end}", 100 * shares, share * wanted.change_deg) for end, share in ends),
            ],
            f"{command} lever, %",
            "elevator change, deg (down is plus)",
            description=said,
            x_range=(0, 100),
            y_range=(min(-2.0, low), max(2.0, high)),
        )
        return Seen(chart, said)

    def keep(values: dict[str, Any]) -> str:
        wanted = curve(values["speed"])

        def with_mixes(newest: Setup) -> Setup:
            for name in airframe.pitch_names:
                newest = newest.with_mix(held_by_radio(wanted, newest, name).as_mix(command))
            return newest

        path = shelf.keep_change(setup, with_mixes)
        return f"{path.name} now has a mix from {command} into {' and '.join(airframe.pitch_names)}."

    speed = Slider(
        "speed",
        round(1.1 * slowest, 1),
        round(2 * slowest, 1),
        0.5,
        round(1.3 * slowest, 1),
        "m/s",
        decimals=1,
    )
    savers = {"Keep this mix as my own": keep}
    return Panel("Elevator compensation", [speed], update, savers=savers)


def roll_panel(setup: Setup) -> Panel:
    """Roll power and adverse yaw as the ailerons droop, and what differential does.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.
    """
    airframe = Airframe.from_aircraft(setup.aircraft)

    def update(values: dict[str, Any]) -> Seen:
        angles = angles_at(setup, camber=values["camber"])
        speed = float(known_performance(setup.aircraft, angles).approach.speed_m_s)
        shares = np.linspace(0.0, 1.0, 11)
        up = values["up"]
        turned = roll(airframe, roll_to_right(airframe, up, up * (1 - shares)), speed, angles)
        chosen = float(np.interp(values["less"], shares, turned.helix))
        swing = float(np.interp(values["less"], shares, turned.nose_swing_deg))
        side = "out of the turn" if swing < 0 else "into the turn"
        nose = (
            "without a fin, the swing of the nose is not worked out"
            if np.isnan(swing)
            else f"the nose swings {banded('nose swing', abs(swing))} deg {side}"
        )
        origin = sentence_start(origin_words(float(turned.table_share.min())))
        said = (
            f"{angle_words(setup.aircraft, angles)} At {speed:.1f} m/s, aileron {up:.0f}° up and "
            f"{up * (1 - values['less']):.0f}° down: roll helix angle {banded('helix', chosen, 3)} rad, "
            f"{nose}. {origin}."
        )
        # The scale holds still for the usual swings, and grows by steps where they are larger.
        most = max(10.0, 5.0 * np.ceil(np.nan_to_num(np.abs(turned.nose_swing_deg)).max() / 5.0))
        chart = partial(
            line_chart,
            "Yaw over differential",
            [Curve("nose swing", 100 * shares, turned.nose_swing_deg)],
            "less down than up, %",
            "nose swing, deg (into the turn is plus)",
            description=said,
            x_range=(0, 100),
            y_range=(-most, most),
            spots=[] if np.isnan(swing) else [Spot(100 * values["less"], swing, "as set")],
        )
        return Seen(chart, said)

    controls = [
        command_slider("camber", 0.0, 10),
        Slider("up", 5, 25, 1, 15, "deg", label="aileron up"),
        Slider("less", 0, 100, 5, 0, "%", label="less down", scale=0.01),
    ]
    return Panel("Roll and adverse yaw", controls, update)
