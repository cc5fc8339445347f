"""The panel of the landing: how much brake or droop, on which field, and the landing played."""

from __future__ import annotations

import html
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache, partial
from typing import Any

from mixlib.air.aircraft.from_setup import angles_at
from mixlib.air.landing import Decision, Flown, Path, decide, landings
from mixlib.air.landing.approach import FLARES
from mixlib.air.landing.field import turn_height_m
from mixlib.chain import Rig
from mixlib.describe import LandingField, Setup
from mixlib.describe.field import SURFACES
from mixlib.describe.words import sentence_start
from mixlib.draw.aircraft import with_aircraft_aside
from mixlib.draw.flight.approach import MOMENT_S, landing_side_view, landing_words, tracks
from mixlib.draw.phases import aircraft_columns
from mixlib.draw.shapes import Drawing, Room
from mixlib.panel.airborne import Told, air_panel
from mixlib.panel.base.controls import NumberGrid, Pick, Slider, command_slider
from mixlib.panel.base.keep import keep
from mixlib.panel.base.panel import Kept, Panel, Seen
from mixlib.panel.base.play import Player
from mixlib.panel.flight import phase_saver
from mixlib.say.differences import landing_measures
from mixlib.say.doubt import marked
from mixlib.say.flight import angle_words, glide_cell, origin_words
from mixlib.say.landing import amount_words, decision_words, metres
from mixlib.say.speeds import in_speed_unit, round_speed_words, speed_size, speed_unit, speed_words
from mixlib.say.tables import html_table

__all__ = ["landing_panel"]

_MOST_OF_SPEED = 0.5  # head wind over approach speed from which the panel warns (judgement, no source)
_HEADS = (
    "setting",
    "approach speed",
    "glide, m for 1 m",
    "touchdown",
    "if a little is off",
    "stops at",
    "turn that forgives a slip",
)
_LONGEST_M = 500.0


def landing_panel(setup: Setup, command: str = "camber") -> Panel:
    """Land on the reader's field with as much flap or brake as the slider gives.

    Parameters
    ----------
    setup : Setup
        The reader's set-up, with its field.
    command : str
        ``"camber"`` or ``"brake"``.

    Returns
    -------
    Panel
        Controls of the setting, the wind and the field, the side view with the landing to play, a sentence, a
        table, and what to take and to do when high or low.
    """
    player = Player()

    @lru_cache(maxsize=32)  # moving the lever changes nothing in it
    def plan(field: LandingField, wind_m_s: float, flare: str) -> Decision:
        return decide(setup.replace(field=field), command, wind_m_s, flare)

    def update(values: dict[str, Any]) -> Told:
        here = setup.replace(field=_field(setup.field, values))
        decision = plan(here.field, values["wind"], values["flare"])
        beside = {"clean": 0.0, "worked out": decision.lever}[values["beside"]]
        settings = {values["beside"]: {command: beside}, "as set": {command: values[command]}}
        late = "as set" if values["when"] == "over the edge" else ""
        fly, unflown = partial(landings, here, head_wind_m_s=values["wind"], flare=values["flare"]), ""
        try:
            found = fly(settings, late=late)
        except ValueError as error:  # what can be flown is still of use
            unflown, settings = f"{sentence_start(str(error))}. ", {"worked out": {command: decision.lever}}
            found = fly(settings)
        rows = [[name, *_cells(item)] for name, item in found.items()]
        *_, (shown, last) = found.items()
        angles = angle_words(here.aircraft, angles_at(here, **settings[shown]))
        origin = origin_words(float(last.performance.approach.table_share))
        paths = [item.path for item in found.values()]
        lands = " ".join(f"{sentence_start(path.name)}: {landing_words(path)}." for path in paths)
        said = (
            f"{unflown}Worked out: {amount_words(decision)}. {lands} {angles} {sentence_start(origin)}."
            f"{_windy_words(values['wind'], found)}"
        )
        rig = Rig(here)
        rests = {name: _rest(rig, lever) for name, lever in settings.items()}
        picture = partial(_shown, player, paths, partial(aircraft_columns, here.aircraft, rests, {}))
        extra = _advice(decision) + html_table(_HEADS, rows, _caption(here.field))
        numbers = () if unflown else landing_measures(last)
        return Seen(picture, said, extra, "try" if unflown else "", numbers), [
            *found.values(),
            decision.flown,
            decision.most,
            decision.least,
        ]

    def keep_field(values: dict[str, Any]) -> Kept:
        field = _field(setup.field, values)
        return keep(setup, "my field", lambda newest: newest.replace(field=field))

    controls = [  # those that are moved most stand next to the picture
        Pick("flare", list(FLARES), "normal", kind="mix-half"),
        Pick("when", ["from the turn on", "over the edge"], label="set", kind="mix-half"),
        Pick("beside", ["clean", "worked out"], label="beside it", kind="mix-half"),
        NumberGrid(
            "field",
            ["field"],
            ["length", "in front"],
            [[setup.field.length_m, setup.field.obstacle_m]],
            0,
            _LONGEST_M,
            unit="m",
        ),
        Pick("ground", SURFACES, setup.field.ground, kind="mix-half"),
        command_slider(command, 1.0, radio=setup.radio),
        Slider(
            "wind", 0, round(in_speed_unit(6.0)), 1, 0, speed_unit(), label="head wind", scale=speed_size()
        ),
    ]
    savers = {
        "Keep as my landing phase": phase_saver(setup, "landing", command),
        "Keep as my field": keep_field,
    }
    title = f"Landing of {setup.aircraft.name}"
    return air_panel(setup, title, controls, update, savers=savers, beside=False, more=[player])


def _field(known: LandingField, values: Mapping[str, Any]) -> LandingField:
    """The field as typed; one with other measures than the known has another name."""
    ((length, height),) = values["field"]
    same = (length, height) == (known.length_m, known.obstacle_m)
    named = {"name": known.name, "obstacle": known.obstacle} if same else {}
    return LandingField(length_m=length, obstacle_m=height, ground=values["ground"], **named)


def _rest(rig: Rig, lever: Mapping[str, float]) -> dict[str, float]:
    """Angles of what a lever may move."""
    angles = rig.moves(**lever)
    return {part.name: angles[part.name] for part in rig.setup.aircraft.surfaces if part.kind != "rudder"}


def _shown(player: Player, paths: Sequence[Path], aircraft: Callable[..., Drawing], room: Room) -> Drawing:
    side = partial(landing_side_view, paths)
    drawing = with_aircraft_aside("The landing, and how the surfaces stand", side, aircraft, room=room)
    player.show(tracks(drawing), MOMENT_S)
    return drawing


def _advice(decision: Decision) -> str:
    lines = (
        f"<div><strong>{word}.</strong> {html.escape(words)}</div>"
        for word, words in decision_words(decision).items()
    )
    return "".join(lines)


def _caption(field: LandingField) -> str:
    slip = round_speed_words(1.0)
    return (
        f"Metres behind the {field.edge}. Turned at {turn_height_m(field):g} m of height. A little off: "
        f"speed by {slip}, heading by 1°, drag by its band. A turn that forgives a slip: over the "
        f"{field.edge}, and stopped on the strip, with speed or heading off; none: no one turn suits both "
        f"{slip} too slow and {slip} too fast."
    )


def _windy_words(wind_m_s: float, found: Mapping[str, Flown]) -> str:
    """A warning where a calm-air approach speed leaves little to fly against the wind with."""
    slowest = min(float(item.performance.approach.speed_m_s) for item in found.values())
    if wind_m_s <= _MOST_OF_SPEED * slowest:
        return ""
    return (
        f" The wind is {100 * wind_m_s / slowest:.0f} % of the approach speed. Fly faster than this, half of "
        "the wind on top (common practice, no source), or not at all."
    )


def _cells(item: Flown) -> list[str]:
    approach = item.performance.approach
    nearest, furthest = item.landing.safe_window_m
    nearest = max(nearest, 0.0)  # a turn behind the edge is none
    edge = item.path.field.edge
    turn = f"{nearest:.0f} to {furthest:.0f} m before the {edge}" if nearest <= furthest else "none"
    return [
        marked(speed_words(approach.speed_m_s), approach),
        glide_cell(approach),
        metres(item, item.path.touchdown_m),
        metres(item, *item.spread_m),
        metres(item, item.path.stop_m),
        marked(turn, item),
    ]
