"""Panels of the lessons on camber, landing flap and air brake: what the set-up does to the flight."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from mixlib.air.airframe import Airframe
from mixlib.air.compensation import compensation, held_by_radio
from mixlib.air.flight import Performance, Trimmed, performance, trimmed_at
from mixlib.air.handling import roll, roll_to_right
from mixlib.air.landing import Landing, land
from mixlib.air.settings import wing_setting
from mixlib.describe import Aircraft, Setup
from mixlib.view.approach_shapes import HEDGE_M, STRIP_M, Path, landing_side_view
from mixlib.view.charts import Curve, line_chart
from mixlib.view.controls import Pick, Slider, command_slider
from mixlib.view.parts import Panel, Seen, table

__all__ = [
    "CLEARANCE_M",
    "Flown",
    "compensation_panel",
    "glide_words",
    "landing_panel",
    "landings",
    "origin_words",
    "polar_panel",
    "roll_panel",
]

CLEARANCE_M = 1.5
"""Height to spare above the hedge on every approach, m."""
_TURN_HEIGHT_M = 15.0
_FASTEST_M_S = 20.0  # where the polar of the panel ends
_OFF = f"The turn is at {_TURN_HEIGHT_M:g} m. A little off: speed by 1 m/s, heading by 1°, drag by its band."


def origin_words(table_share: float) -> str:
    """Say where the section data of a result come from.

    Parameters
    ----------
    table_share : float
        Share of the wing whose data come from the table, 0 to 1.

    Returns
    -------
    str
        A few words.
    """
    if table_share > 0.98:
        return "section data from the table"
    return f"{100 * (1 - table_share):.0f} % of the wing by handbook values: a rough guide"


def glide_words(found: Performance) -> str:
    """Say how a setting glides, with the band of its drag.

    Parameters
    ----------
    found : Performance
        The setting's performance.

    Returns
    -------
    str
        Stall, best glide, least sink and approach, with units and origin.
    """
    low, high = (float(value) for value in found.approach.glide_ratio_band)
    return (
        f"Stalls at {found.stall.speed_m_s:.1f} m/s. Best glide {found.best_glide.glide_ratio:.1f} at "
        f"{found.best_glide.speed_m_s:.1f} m/s. Least sink {found.least_sink.sink_m_s:.2f} m/s at "
        f"{found.least_sink.speed_m_s:.1f} m/s. Approach at {found.approach.speed_m_s:.1f} m/s: glide "
        f"{found.approach.glide_ratio:.1f}, somewhere between {low:.1f} and {high:.1f} "
        f"({origin_words(float(found.approach.table_share))})."
    )


def polar_panel(setup: Setup) -> Panel:
    """Glide polar as the camber control turns.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.

    Returns
    -------
    Panel
        A slider, a chart of sink over speed, and a sentence.
    """
    airframe = Airframe.from_aircraft(setup.aircraft)
    clean = _glides(airframe, {}, performance(airframe))

    def update(values: dict[str, Any]) -> Seen:
        angles = wing_setting(setup, camber=values["camber"])
        found = performance(airframe, angles)
        glides = _glides(airframe, angles, found)
        low, high = glides.sink_band_m_s
        curves = [
            _sink_curve("clean", clean, clean.sink_m_s),
            _sink_curve("as set", glides, glides.sink_m_s),
            _sink_curve("as set, least drag", glides, low),
            _sink_curve("as set, most drag", glides, high),
        ]
        said = f"{_angle_words(angles)} {glide_words(found)}"
        chart = line_chart(
            "Sink over speed",
            curves,
            "speed, m/s",
            "sink, m/s (less is better)",
            description=said,
            x_range=(5, _FASTEST_M_S),
            y_range=(0, 2),
        )
        return Seen(chart, said)

    return Panel(f"Glide of {setup.aircraft.name}", [command_slider("camber", 0.0, 10)], update)


@dataclass(frozen=True)
class Flown:
    """A landing over the club's hedge.

    Attributes
    ----------
    performance : Performance
        How the setting glides.
    landing : Landing
        The landing as planned, and with speed, heading and drag a little off.
    path : Path
        The planned path, for the picture.
    """

    performance: Performance
    landing: Landing
    path: Path

    @property
    def spread_m(self) -> tuple[float, float]:
        """Nearest and furthest touchdown of all cases, m behind the hedge."""
        return float(np.nanmin(self.landing.touchdown_m)), float(np.nanmax(self.landing.touchdown_m))


def landings(
    setup: Setup, settings: dict[str, dict[str, float]], head_wind_m_s: float = 0.0, late: str = ""
) -> dict[str, Flown]:
    """Fly the approach over the hedge in several settings, each with what may be a little off.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.
    settings : dict of str to dict
        Name of the setting to the commands, such as ``{"full": {"camber": 1.0}}``.
    head_wind_m_s : float
        Head wind at 10 m height.
    late : str
        Name of a setting that is set only at the hedge, with the first setting before; none when empty.

    Returns
    -------
    dict of str to Flown
        One for each setting.
    """
    airframe = Airframe.from_aircraft(setup.aircraft)
    found = {name: _performance(airframe, wing_setting(setup, **asked)) for name, asked in settings.items()}
    first = next(iter(found.values()))
    result = {}
    for name, flown in found.items():
        is_late = name == late
        landing = land(
            airframe,
            first if is_late else flown,
            name,
            height_m=_TURN_HEIGHT_M,
            head_wind_m_s=head_wind_m_s,
            obstacle_m=HEDGE_M,
            strip_m=STRIP_M,
            clearance_m=CLEARANCE_M,
            late=flown if is_late else None,
            late_height_m=HEDGE_M + CLEARANCE_M if is_late else 0.0,
        )
        behind = landing.paths.x_m[:, 0] - landing.turn_m[0]
        path = Path(name, behind, landing.paths.z_m[:, 0], float(landing.touchdown_m[0]))
        result[name] = Flown(flown, landing, path)
    return result


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

    def update(values: dict[str, Any]) -> Seen:
        settings = {"clean": {}, "as set": {command: values[command]}}
        late = "as set" if values["when"] == "at the hedge" else ""
        found = landings(setup, settings, values["wind"], late)
        drawing = landing_side_view([item.path for item in found.values()])
        rows = [
            [
                name,
                f"{item.performance.approach.speed_m_s:.1f} m/s",
                f"{item.path.touchdown_m:.0f} m",
                "{:.0f} to {:.0f} m".format(*item.spread_m),
                f"{item.landing.turn_m[0]:.0f} m",
            ]
            for name, item in found.items()
        ]
        head = ["setting", "approach speed", "touchdown", "if a little is off", "turn before the hedge"]
        angles = _angle_words(wing_setting(setup, **{command: values[command]}))
        origin = origin_words(float(found["as set"].performance.approach.table_share))
        said = f"{angles} {drawing.description} As set: {origin}."
        return Seen(
            drawing,
            said,
            table(
                head,
                rows,
                _OFF,
            ),
        )

    controls = [
        command_slider(command, 1.0, 10),
        Slider("wind", 0, 8, 1, 0, "m/s", label="head wind"),
        Pick("when", ["from the turn on", "at the hedge"], label="set"),
    ]
    return Panel("Landing at Orchard Field", controls, update)


def compensation_panel(setup: Setup, command: str) -> Panel:
    """Elevator that the flap or brake lever needs, and what the radio can hold of it.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.
    command : str
        ``"camber"`` or ``"brake"``.

    Returns
    -------
    Panel
        A slider for the speed, a chart and a sentence.
    """
    airframe = Airframe.from_aircraft(setup.aircraft)
    elevator = setup.aircraft.of_kind("elevator", "v-tail")[0].name
    shares = np.linspace(0.0, 1.0, 11)
    settings = [wing_setting(setup, **{command: float(share)}) for share in shares]
    slowest = float(performance(airframe).stall.speed_m_s)

    def update(values: dict[str, Any]) -> Seen:
        wanted = compensation(airframe, settings, values["speed"])
        held = held_by_radio(wanted, setup, elevator)
        good = wanted.glides.converged
        said = (
            f"At {values['speed']:.1f} m/s full {command} needs {_elevator_words(wanted.change_deg[-1])}. "
            f"{setup.radio.name} holds it with {_mix_words(held)}; the stick has to make up at most "
            f"{held.worst_deg:.1f}°. {origin_words(float(wanted.glides.table_share[-1])).capitalize()}."
        )
        if not good.all():
            said += " At some settings this speed cannot be flown: those points are rough."
        top = max(3.0, float(np.abs(wanted.change_deg).max()) * 1.2)
        chart = line_chart(
            "Elevator compensation",
            [
                Curve("needed", 100 * shares, wanted.change_deg),
                Curve("held by the radio", 100 * shares, held.held_deg),
            ],
            f"{command} lever, %",
            "elevator change, deg (down is plus)",
            description=said,
            x_range=(0, 100),
            y_range=(-top, top),
        )
        return Seen(chart, said)

    speed = Slider(
        "speed",
        round(1.1 * slowest, 1),
        round(2 * slowest, 1),
        0.5,
        round(1.3 * slowest, 1),
        "m/s",
        decimals=1,
    )
    return Panel("Elevator compensation", [speed], update)


def roll_panel(setup: Setup) -> Panel:
    """Roll power and adverse yaw as the ailerons droop, and what differential does.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.

    Returns
    -------
    Panel
        Sliders for droop, throw up and differential, and a sentence.
    """
    airframe = Airframe.from_aircraft(setup.aircraft)

    def update(values: dict[str, Any]) -> Seen:
        angles = wing_setting(setup, camber=values["camber"])
        speed = float(_performance(airframe, angles).approach.speed_m_s)
        shares = np.linspace(0.0, 1.0, 11)
        up = values["up"]
        turned = roll(airframe, roll_to_right(airframe, up, up * (1 - shares)), speed, angles)
        chosen = float(np.interp(values["less"], shares, turned.helix))
        swing = float(np.interp(values["less"], shares, turned.nose_swing_deg))
        side = "out of the turn" if swing < 0 else "into the turn"
        said = (
            f"{_angle_words(angles)} At {speed:.1f} m/s, aileron {up:.0f}° up and "
            f"{up * (1 - values['less']):.0f}° down: roll helix angle {chosen:.3f}, "
            f"the nose swings {abs(swing):.1f}° {side}."
        )
        chart = line_chart(
            "Yaw over differential",
            [Curve("nose swing", 100 * shares, turned.nose_swing_deg)],
            "less down than up, %",
            "nose swing, deg (into the turn is plus)",
            description=said,
            x_range=(0, 100),
            y_range=(-10, 10),
        )
        return Seen(chart, said)

    controls = [
        command_slider("camber", 0.0, 10),
        Slider("up", 5, 25, 1, 15, "deg", label="aileron up"),
        Slider("less", 0, 100, 5, 0, "%", label="less down", scale=0.01),
    ]
    return Panel("Roll and adverse yaw", controls, update)


def _performance(airframe: Airframe, angles: dict[str, float]) -> Performance:
    return _cached(airframe.aircraft.model_dump_json(), tuple(sorted(angles.items())))


@lru_cache(maxsize=64)
def _cached(aircraft_json: str, angles: tuple[tuple[str, float], ...]) -> Performance:
    """The clean wing comes up at every move of a slider; it is worked out once."""
    return performance(Airframe.from_aircraft(Aircraft.model_validate_json(aircraft_json)), dict(angles))


def _glides(airframe: Airframe, angles: dict[str, float], found: Performance) -> Trimmed:
    """Glides from the stall upwards, each solved at its own speed."""
    slowest = float(found.stall.speed_m_s)
    speeds = slowest + (_FASTEST_M_S - slowest) * np.linspace(0.0, 1.0, 15) ** 1.5
    return trimmed_at(airframe, angles, speeds)


def _sink_curve(label: str, glides: Trimmed, sink_m_s: np.ndarray) -> Curve:
    return Curve(label, glides.speed_m_s, np.where(glides.converged, sink_m_s, np.nan))


def _angle_words(angles: dict[str, float]) -> str:
    """Settings of the left half; the right half is alike."""
    left = {name.removeprefix("left "): angle for name, angle in angles.items() if name.startswith("left ")}
    parts = [
        f"{name}s {abs(angle):.1f}° {'down' if angle > 0 else 'up'}"
        for name, angle in left.items()
        if abs(angle) > 0.05
    ]
    return (", ".join(parts).capitalize() or "Wing clean") + "."


def _elevator_words(degrees: float) -> str:
    return f"{abs(degrees):.1f}° {'down' if degrees > 0 else 'up'} elevator"


def _mix_words(held) -> str:
    return (
        f"{len(held.curve_percent)} points" if held.curve_percent else f"a gain of {held.gain_percent:+.0f} %"
    )
