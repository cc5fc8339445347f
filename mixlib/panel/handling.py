"""Panels of the flight lessons on elevator, roll and yaw."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.doubt import every
from mixlib.air.aircraft.elevator import Compensation, HeldCurve, compensation, held_by_radio
from mixlib.air.aircraft.from_setup import angles_at, known_performance
from mixlib.air.aircraft.handling import roll, roll_room_deg, roll_to_right
from mixlib.air.aircraft.phases import held_speed_m_s
from mixlib.bench.fit.wants import usual_wants
from mixlib.bench.fit.wishes import want_over_lever
from mixlib.bench.surface.levers import phase_of_end
from mixlib.chain import Rig, commands
from mixlib.describe import Setup, Surface
from mixlib.describe.words import COMMAND_ENDS, sentence_start, signed
from mixlib.draw.aircraft import with_aircraft
from mixlib.draw.charts import Curve, Spot, line_chart
from mixlib.panel.airborne import Told, air_panel
from mixlib.panel.base.aircraft import posed
from mixlib.panel.base.controls import NumberGrid, Pick, Slider, command_slider
from mixlib.panel.base.keep import keep
from mixlib.panel.base.panel import Kept, Panel, Seen
from mixlib.panel.surfaces import moving_commands
from mixlib.say.differences import Measure, roll_measures
from mixlib.say.doubt import marked
from mixlib.say.flight import angle_words, banded, elevator_words, mix_words, origin_words, swing_words
from mixlib.say.landing import LEVER_WORDS
from mixlib.say.phases import elevons_words
from mixlib.say.speeds import in_speed_unit, speed_size, speed_unit, speed_words
from mixlib.say.tables import html_table
from mixlib.units import angle_from_throw_mm, throw_mm_from_angle, to_step

__all__ = ["compensation_panel", "roll_panel"]

_IN_MM = "Elevator in mm, down is plus. As it is set: what the {} moves now, before anything is kept."
_SWING_DEG = 10.0  # of the nose, for what dihedral does


def compensation_panel(setup: Setup, command: str) -> Panel:
    """Elevator that droop or brake needs, and what the radio can hold of it.

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
    used = setup.used_to(command, 1)
    parts = [setup.aircraft.surface(name) for name in airframe.pitch_names]
    slowest = float(known_performance(setup.aircraft).stall.speed_m_s)
    phase = phase_of_end(setup, command, "above")
    flown_m_s = held_speed_m_s(setup.aircraft, phase, angles_at(setup, **{command: used}))

    none = elevons_words(setup.aircraft)
    held_by, full = setup.radio.lever(command), f"full {LEVER_WORDS[command]}"
    places = {"a quarter": 0.25, "half": 0.5, "full" if used == 1 else "the mark": 1.0}
    on_the_way = used * np.array([*places.values()])

    def curve(speed_m_s: float) -> Compensation:
        return compensation(airframe, settings, speed_m_s)

    def own_mm() -> list[float]:
        """What is wished of the elevator on the way; without a wish, what was worked out."""
        for want in setup.wanted:
            if (want.surface, want.command, want.side) == (parts[0].name, command, "above"):
                return [want.throw_mm(setup.aircraft, share) for share in places.values()]
        angles = np.interp(on_the_way, shares, curve(flown_m_s).change_deg)
        return [float(throw_mm_from_angle(angle, parts[0].chord_mm)) for angle in angles]

    def chosen(values: dict[str, Any], wanted: Compensation) -> Compensation:
        """The curve that was worked out, or through what was flown."""
        if not values["flown"]:
            return wanted
        angles = angle_from_throw_mm(np.append(0.0, values["elevator"][0]), parts[0].chord_mm)
        return replace(wanted, change_deg=np.interp(shares, np.append(0.0, on_the_way), angles))

    def places_table(wanted: Compensation, held: HeldCurve) -> str:
        moved = Rig(setup).run(commands(**{command: np.append(0.0, on_the_way)}))
        as_set = (moved.throw[1:] - moved.throw[0])[:, setup.aircraft.surface_names.index(parts[0].name)]
        rows = [
            (
                name,
                *(_mm(angle, parts[0]) for angle in angles),
                _mm(given, parts[0]),
                f"{signed(float(mm), 1)}",
            )
            for name, *angles, given, mm in zip(
                places,
                *(np.interp(on_the_way, shares, row) for row in (wanted.change_deg, *wanted.band_deg)),
                np.interp(on_the_way, shares, held.held_deg),
                as_set,
                strict=True,
            )
        ]
        heads = (f"{LEVER_WORDS[command]} at", "wanted", "from", "to", "with this mix", "as it is set")
        rows = [(row[0], marked(row[1], wanted), *row[2:]) for row in rows]
        return html_table(heads, rows, _IN_MM.format(held_by))

    def update(values: dict[str, Any]) -> Told:
        if none:
            return Seen(None, none), []
        wanted = curve(values["speed"])
        own = chosen(values, wanted)
        held = held_by_radio(own, setup, parts[0].name)
        what = "what you have flown" if values["flown"] else "it"
        mix = f"{setup.radio.name} holds {what} with {mix_words(held)}; the stick has to make up at most "
        said = (
            f"At {speed_words(values['speed'])} {full} needs: {elevator_words(wanted)}. The mix: "
            f"{marked(f'{mix}{held.worst_deg:.1f}°', wanted)}. "
            f"{sentence_start(origin_words(float(wanted.glides.table_share[-1])))}."
        )
        rows = {"needed": wanted.change_deg, "held by the radio": held.held_deg}
        if values["flown"]:
            rows["as flown"] = own.change_deg
        rows |= dict(zip(("needed, at least", "needed, at most"), wanted.band_deg, strict=True))
        flown = wanted.glides.converged & wanted.glides.converged[0]
        shown = {name: np.where(flown, row, np.nan) for name, row in rows.items()}
        least, most = (np.append(band, own.change_deg) for band in wanted.band_deg)
        chart = partial(
            line_chart,
            "Elevator compensation",
            [Curve(name, 100 * shares, row, kept=name == "needed") for name, row in shown.items()],
            f"{held_by}, % of its way to {COMMAND_ENDS[command][1]}",
            "elevator change, deg (down is plus)",
            description=said,
            x_range=(0, 100),
            y_range=(min(-2.0, 1.05 * least.min()), max(2.0, 1.05 * most.max())),
        )
        asked = float(wanted.change_deg[-1])
        numbers = [
            Measure(f"elevator at {full}", asked, "deg", "further down", "further up", of=(wanted,)),
            Measure("left for the stick", held.worst_deg, "deg", of=(wanted,)),
        ]
        here = settings[-1] | dict.fromkeys(airframe.pitch_names, float(own.change_deg[-1]))
        what = "as flown" if values["flown"] else "as needed"
        aircraft = posed(setup.aircraft, here, f"{sentence_start(full)}, elevator {what}")
        known = np.isfinite(own.change_deg[-1])
        picture = partial(with_aircraft, title, chart, aircraft) if known else chart
        return Seen(picture, said, places_table(wanted, held), numbers=numbers), [wanted]

    def wished(newest: Setup, own: Compensation, flown_mm: Sequence[float]) -> Setup:
        half, whole = np.interp([used / 2, used], shares, own.change_deg).tolist()
        ours = [want_over_lever(part, command, "above", half, whole) for part in parts]
        if flown_mm:  # as typed, not rounded
            typed = dict(zip(("quarter", "half", "amount"), flown_mm, strict=True))
            ours = [want.replace(**typed) for want in ours]
        ours = [want for want in ours if want.amount or want.bends]
        keys = {(part.name, command, "above") for part in parts}
        wants = newest.wanted or usual_wants(newest.aircraft)
        others = [want for want in wants if (want.surface, want.command, want.side) not in keys]
        newest = newest.replace(wanted=(*others, *ours))
        if (kept := newest.phase(phase)) is None:
            return newest
        angles = kept.angles_deg | dict.fromkeys(airframe.pitch_names, to_step(whole, 0.1))
        return newest.with_phase(kept.replace(angles_deg=angles))

    def save(values: dict[str, Any], mixed: bool) -> Kept:
        if none:
            raise ValueError(none)
        own = chosen(values, curve(values["speed"]))

        def changed(newest: Setup) -> Setup:
            for name in airframe.pitch_names if mixed else ():
                newest = newest.with_mix(held_by_radio(own, newest, name).as_mix(command))
            return wished(newest, own, values["elevator"][0] if values["flown"] else ())

        return keep(setup, f"elevator with {LEVER_WORDS[command]}", changed)

    speed = Slider(
        "speed",
        round(in_speed_unit(min(1.1 * slowest, flown_m_s)), 1),
        round(in_speed_unit(max(2 * slowest, flown_m_s)), 1),
        0.1,
        in_speed_unit(flown_m_s),
        speed_unit(),
        decimals=1,
        scale=speed_size(),
    )
    savers = {
        "Keep this mix as my own": partial(save, mixed=True),
        "Keep it as a wish for lesson 08": partial(save, mixed=False),
    }
    title = "Elevator compensation"
    if none:
        return air_panel(setup, title, [], update)
    by = Pick("flown", {"what is worked out": False, "what I have flown": True}, label="The mix follows")
    start = [[round(mm, 1) for mm in own_mm()]]
    elevator = NumberGrid("elevator", ["Elevator, flown"], [*places], start, -150, 150, 0.1, corner="mm")
    return air_panel(setup, title, [by, elevator, speed], update, savers=savers)


def _mm(angle_deg: float, part: Surface) -> str:
    return signed(float(throw_mm_from_angle(angle_deg, part.chord_mm)), 1)


def roll_panel(setup: Setup) -> Panel:
    """Roll power and adverse yaw as the ailerons droop, and what differential does.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.
    """
    airframe = Airframe.from_aircraft(setup.aircraft)

    def update(values: dict[str, Any]) -> Told:
        angles = angles_at(setup, camber=values.get("camber", 0.0))
        approach = known_performance(setup.aircraft, angles).approach
        speed, held, swings = float(approach.speed_m_s), [], ""
        if any(station.dihedral_deg for station in setup.aircraft.wing.stations):
            held = [roll(airframe, {}, speed, angles, straight=approach, nose_deg=_SWING_DEG)]
            rate = float(held[0].rate_deg_s(speed, airframe.wing.span_m))
            swings = f" {swing_words(held[0], _SWING_DEG, rate)}"
        if not roll_to_right(airframe, 1, 1):
            rudder = swings or " The rudder does not roll a flat wing."
            return Seen(None, f"{setup.aircraft.name} has no ailerons.{rudder}"), held
        shares = np.append(np.linspace(0.0, 1.0, 11), values["less"])  # the last as set
        most = roll_room_deg(airframe, angles)
        asked = values["up"] * (1 - shares)
        up, down = min(values["up"], most[0]), np.minimum(asked, most[1])
        ailerons = roll_to_right(airframe, up, down)
        turned = roll(airframe, ailerons, speed, angles, straight=approach)
        doubts = every(turned.doubts[-1], approach.doubts)
        swing = float(turned.nose_swing_deg[-1])
        way = "out of" if swing < 0 else "into"
        nose = marked(f"{banded('nose swing', abs(swing))} deg {way} the turn", doubts)
        nose = "not worked out without a fin" if np.isnan(swing) else nose
        helix = marked(f"{banded('helix', float(turned.helix[-1]), 3)} rad", doubts)
        origin = sentence_start(origin_words(float(turned.table_share.min())))
        stopped = ", held by a stop" if (up, down[-1]) != (values["up"], asked[-1]) else ""
        said = (
            f"{angle_words(setup.aircraft, angles)} At {marked(speed_words(speed), approach)}, aileron "
            f"{up:.0f}° up and {down[-1]:.0f}° down{stopped}: roll helix angle {helix}; swing of the "
            f"nose {nose}.{swings} {origin}."
        )
        swung = np.where(turned.converged, turned.nose_swing_deg, np.nan)
        seen = not np.isnan(swung[-1])
        # The scale holds still for the usual swings, and grows by steps where they are larger.
        top = max(10.0, 5.0 * np.ceil(np.nan_to_num(np.abs(swung)).max() / 5.0))
        chart = partial(
            line_chart,
            "Yaw over differential",
            [Curve("nose swing", 100 * shares[:-1], swung[:-1])],
            "less down than up, %",
            "nose swing, deg (into the turn is plus)",
            description=said,
            x_range=(0, 100),
            y_range=(-top, top),
            spots=[Spot(100 * values["less"], swing, "as set")] if seen else [],
        )
        rolled = {name: angles.get(name, 0.0) + float(by[-1]) for name, by in ailerons.items()}
        here = Rig(setup).moves(camber=values.get("camber", 0.0)) | rolled
        aircraft = posed(setup.aircraft, here, "Stick right")
        picture = partial(with_aircraft, title, chart, aircraft)
        return Seen(picture, said, numbers=roll_measures(turned, doubts)), [doubts, *held]

    controls = [
        *([command_slider("camber", radio=setup.radio)] if "camber" in moving_commands(setup) else []),
        Slider("up", 5, 25, 1, 15, "deg", label="aileron up"),
        Slider("less", 0, 100, 5, 0, "%", label="less down", scale=0.01),
    ]
    title = f"Roll and adverse yaw of {setup.aircraft.name}"
    return air_panel(setup, title, controls, update)
