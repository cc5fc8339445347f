"""Panels of the flight phases: all of them side by side, and the change from one to another in time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache, partial
from typing import Any

import numpy as np

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.doubt import every
from mixlib.air.aircraft.from_setup import known_performance
from mixlib.air.aircraft.phases import Change, FlownPhase, change, complete, fly_phase, wing_angles
from mixlib.bench.surface.own_roll import roll_in_force, with_usual_roll
from mixlib.describe import Phase, Setup
from mixlib.describe.words import listed, sentence_start
from mixlib.draw.charts import Curve, line_chart
from mixlib.draw.phases import Row, phase_columns, rows_of
from mixlib.draw.shapes import together
from mixlib.panel.airborne import Told, air_panel
from mixlib.panel.base.controls import NumberGrid, Pick, Slider
from mixlib.panel.base.keep import keep
from mixlib.panel.base.panel import Kept, Panel, Seen
from mixlib.panel.base.screen import action_button
from mixlib.say.differences import phase_measures
from mixlib.say.doubt import marked
from mixlib.say.phases import (
    disagrees,
    launch_words,
    lever_words,
    own_roll_words,
    phase_rows,
    worked_out_deg,
)
from mixlib.say.speeds import speed_words
from mixlib.say.tables import html_table
from mixlib.units import to_step

__all__ = ["change_panel", "phase_panel"]

_MOST_DEG = 90.0
_ABOVE_STALL = 1.15  # speed that a change is looked at, over the faster stall of its two phases
_CAPTION = (
    "In brackets: the band to expect. Full pitch and full roll: what the stick moves from there, and its "
    "share of what it moves in cruise. Worked out from: how much of the wing by the section table; the rest "
    "by handbook values, a rough guide."
)
_AGREED = "Elevator: as worked out in every phase."
_STILL_S = 0.002  # a surface that arrives sooner has not moved
_OUT_DEG = 1.0  # an elevator that is less out than this is not noticed (judgement, no source)


def phase_panel(setup: Setup) -> Panel:
    """All phases side by side: their angles to change, the sections, and how each flies.

    Parameters
    ----------
    setup : Setup
        The reader's set-up; the phases that it has, the usual ones for the rest.

    Returns
    -------
    Panel
        Grids of angles and of roll, a picture, a sentence, a table, and a button that saves the phases.
    """
    phases, described = complete(setup), setup.model_dump_json()
    rows = rows_of(setup.aircraft, [phase.angles_deg for phase in phases])
    start = [[phase.angles_deg.get(row.names[0], 0.0) for phase in phases] for row in rows]
    names = [phase.name for phase in phases]
    grid = NumberGrid(
        "angles",
        [sentence_start(row.label) for row in rows],
        names,
        start,
        -_MOST_DEG,
        _MOST_DEG,
        0.5,
        corner="deg",
    )
    aim = Pick(
        "aim",
        {"keeps the speed": False, "flies its own speed hands off": True},
        label="Elevator worked out so that it",
    )
    trims = Airframe.from_aircraft(setup.aircraft).pitch_names
    for_all = roll_in_force(setup, Phase(name="all", angles_deg={}))
    in_force = [roll_in_force(setup, phase) for phase in phases]
    rolls = [[own[name] for own in in_force] for name in for_all]
    labels = [sentence_start(name) for name in for_all]
    roll = NumberGrid("roll", labels, names, rolls, -100, 100, corner="%", ranges={"Roll rate": (0, 150)})

    def typed(values: dict[str, Any]) -> tuple[Phase, ...]:
        typed_rolls = values.get("roll", rolls)
        found = []
        for place, phase in enumerate(phases):
            own = {  # what was not touched stays, of its own or not
                name: None if row[place] == for_all[name] else row[place]
                for name, row, start in zip(for_all, typed_rolls, rolls, strict=True)
                if row[place] != start[place]
            }
            column = [row[place] for row in values["angles"]]
            found.append(_checked(setup, rows, phase, column).with_roll(own))
        return tuple(found)

    def known(values: dict[str, Any]) -> list[tuple[FlownPhase, str]]:
        return [_flown(described, phase.model_dump_json()) for phase in typed(values)]

    def update(values: dict[str, Any]) -> Told:
        flown, levers = zip(*known(values), strict=True)
        notes = {
            item.phase.name: marked(
                f"{speed_words(item.glide.speed_m_s)}, sinks {speed_words(item.glide.sink_m_s, 2)}",
                item.glide,
            )
            for item in flown
        }
        picture = partial(phase_columns, setup.aircraft, [item.phase for item in flown], notes)
        apart = [disagrees(setup.aircraft, item, values["aim"]) for item in flown]
        told = f"Elevator: {'; '.join(filter(None, apart))}." if any(apart) else _AGREED
        said = f"{' '.join(map(_sentence, flown))}\n{told}"
        rows_said = phase_rows(setup.aircraft, flown, levers)
        caption = f"{launch_words(setup, names)} {_CAPTION}"
        numbers = [measure for item in flown for measure in phase_measures(item)]
        return Seen(picture, said, html_table(["", *names], rows_said, caption), numbers=numbers), flown

    def save(values: dict[str, Any]) -> Kept:
        kept = typed(values)
        return keep(setup, "phases", lambda newest: newest.replace(phases=kept))

    def take() -> None:
        angles = [list(row) for row in grid.value]
        for column, (item, _) in enumerate(known({"angles": angles})):
            for row, parts in zip(angles, rows, strict=True):
                if parts.names[0] in trims:
                    row[column] = _within(setup, parts, worked_out_deg(item, aim.value))
        grid.value = angles

    def take_roll() -> None:
        usual = (with_usual_roll(setup, phase) for phase in typed({"angles": grid.value}))
        roll.value = list(zip(*(roll_in_force(setup, phase).values() for phase in usual), strict=True))

    title = f"Flight phases of {setup.aircraft.name}"
    task = "Degrees, trailing edge down is plus. The elevator counts from its place in cruise. "
    task += own_roll_words(setup)
    savers = {"Keep these phases as my own": save}
    more = [action_button("Take the worked-out elevator", take)]
    more += [action_button("Take the usual roll", take_roll)] if for_all else []
    return air_panel(
        setup,
        title,
        [grid, *([roll] if for_all else []), aim],
        update,
        task=task,
        savers=savers,
        beside=False,
        more=more,
    )


def change_panel(setup: Setup) -> Panel:
    """The change from one phase to another in time, with the servos' speed.

    Parameters
    ----------
    setup : Setup
        The reader's set-up; its phases, the usual ones for the rest.

    Returns
    -------
    Panel
        Choices of both phases, the time that the radio takes, a chart of the angles and a sentence.
    """
    phases = {phase.name: phase for phase in complete(setup)}
    rows = rows_of(setup.aircraft, [phase.angles_deg for phase in phases.values()])
    trims = Airframe.from_aircraft(setup.aircraft).pitch_names
    trim_label = setup.aircraft.surface(trims[0]).kind
    trim_room = _room(phases.values(), trims)
    wing_room = _room(phases.values(), [row.names[0] for row in rows if row.names[0] not in trims])
    title = f"{setup.aircraft.name} from phase to phase"
    if not any(angle for phase in phases.values() for angle in phase.angles_deg.values()):
        still = f"On {setup.aircraft.name} no phase moves a surface, so there is no change to follow."
        return Panel(title, [], lambda _: Seen(None, still))

    def update(values: dict[str, Any]) -> Told:
        start, end = phases[values["from"]], phases[values["to"]]
        stalls = [
            float(known_performance(setup.aircraft, wing_angles(setup, phase)).stall.speed_m_s)
            for phase in (start, end)
        ]
        seen = change(setup, start, end, values["over"], _ABOVE_STALL * max(stalls))
        time = seen.transition.time_s
        angles = dict(zip(seen.transition.names, seen.transition.surface_deg.T, strict=True))
        said = _change_words(seen, rows, start.name, end.name)
        wing = [Curve(row.label, time, angles[row.names[0]]) for row in rows if row.names[0] not in trims]
        elevator = [
            Curve(f"{trim_label} as set", time, seen.set_deg),
            Curve(f"{trim_label} needed", time, np.where(seen.glides.converged, seen.needed_deg, np.nan)),
        ]
        charts = (("The wing", wing, wing_room), (f"The {trim_label}", elevator, trim_room))
        pictures = [
            partial(
                line_chart,
                part,
                curves,
                "seconds after switching",
                "angle, deg (down is plus)",
                description=said if number == 0 else "",
                x_range=(0.0, float(time[-1])),
                y_range=y_range,
            )
            for number, (part, curves, y_range) in enumerate(chart for chart in charts if chart[1])
        ]
        shown = Seen(partial(together, title, pictures), said)
        return shown, [seen, seen.at_once] if seen.transition.arrives_s.max() > _STILL_S else []

    controls = [
        Pick("from", list(phases), "landing"),
        Pick("to", list(phases), "cruise"),
        Slider("over", 0, 4, 0.25, 0, "s", "slowed to", decimals=2),
    ]
    return air_panel(setup, title, controls, update)


@lru_cache(maxsize=64)
def _flown(setup_json: str, phase_json: str) -> tuple[FlownPhase, str]:
    """Typing into one column leaves the others as they are; they are not worked out again."""
    setup, phase = Setup.model_validate_json(setup_json), Phase.model_validate_json(phase_json)
    return fly_phase(setup, phase), lever_words(setup, phase)


def _checked(setup: Setup, rows: Sequence[Row], phase: Phase, column: Sequence[float]) -> Phase:
    """The phase with the typed angles, within the stops of the surfaces."""
    angles = dict(phase.angles_deg)
    for row, angle in zip(rows, column, strict=True):
        surface = setup.aircraft.surface(row.names[0])
        if not -surface.stop_up_deg <= angle <= surface.stop_down_deg:
            raise ValueError(
                f"{sentence_start(row.label)}, {phase.name}, is {angle:g} deg. Accepted: "
                f"{-surface.stop_up_deg:g} to {surface.stop_down_deg:g} deg, the stops"
            )
        angles |= dict.fromkeys(row.names, float(angle))
    return phase.replace(angles_deg=angles)


def _within(setup: Setup, row: Row, angle_deg: float) -> float:
    """An angle to a tenth, no further than the stop."""
    surface = setup.aircraft.surface(row.names[0])
    return to_step(min(max(angle_deg, -surface.stop_up_deg), surface.stop_down_deg), 0.1)


def _room(phases: Iterable[Phase], names: Iterable[str]) -> tuple[float, float]:
    """Angles that a chart must hold, so that its axis keeps still whatever is chosen."""
    angles = [phase.angles_deg.get(name, 0.0) for phase in phases for name in names] or [0.0]
    return min(-3.0, 1.3 * min(angles)), max(3.0, 1.3 * max(angles))


def _sentence(item: FlownPhase) -> str:
    glide = marked(
        f"{speed_words(item.glide.speed_m_s)}, sink {speed_words(item.glide.sink_m_s, 2)}", item.glide
    )
    lets_go = marked(speed_words(item.performance.stall.speed_m_s), item.performance.stall)
    return f"{sentence_start(item.phase.name)}: {glide}; lets go at: {lets_go}."


def _change_words(seen: Change, rows: Sequence[Row], start: str, end: str) -> str:
    arrives = dict(zip(seen.transition.names, seen.transition.arrives_s, strict=True))
    moved = [f"{row.label} {arrives[row.names[0]]:.2f} s" for row in rows if arrives[row.names[0]] > _STILL_S]
    if not moved:
        return f"From {start} to {end} nothing moves."
    at, out = seen.worst
    way = "down, so the nose wants to drop" if out > 0 else "up, so the nose wants to rise"
    out_words = (
        f"at most {abs(out):.1f}° too far {way} (after {at:.2f} s); it is more than {_OUT_DEG:g}° out for "
        f"{seen.out_for_s(_OUT_DEG):.2f} s"
        if abs(out) >= _OUT_DEG
        else f"never more than {_OUT_DEG:g}° out"
    )
    carries = f"{100 * seen.lift_share:.0f} % of what it carried"
    first, last = _sink_words(seen.sink_m_s[0]), _sink_words(seen.sink_m_s[-1])
    sinks = (
        f"the {first} turns into a {last}, and in the new steady glide it is "
        f"{speed_words(seen.settled_sink_m_s, 2)}"
    )
    ends = every(seen.glides.doubts[[0, -1]])
    return (
        f"Time taken: {listed(moved)}. The elevator: {marked(out_words, seen)}. At "
        f"{speed_words(seen.speed_m_s)}, at the incidence it had, the wing then carries: "
        f"{marked(carries, ends, seen.at_once)}. With the nose kept where it points: {marked(sinks, ends)}."
    )


def _sink_words(sink_m_s: float) -> str:
    return f"{'sink' if sink_m_s >= 0 else 'climb'} of {speed_words(abs(sink_m_s), 2)}"
