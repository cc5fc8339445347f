"""The what-if panel: levers and numbers of the bench, and what they do on the ground and in the air."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import lru_cache, partial
from math import nan
from typing import Any

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.balance import Balance, balanced_at
from mixlib.air.aircraft.from_setup import known_balance, known_performance
from mixlib.air.aircraft.handling import roll
from mixlib.air.landing import landings
from mixlib.bench.surface import tried
from mixlib.bench.surface.budget import roll_left
from mixlib.chain import Rig, commands
from mixlib.describe import Setup
from mixlib.describe.words import command_end, sentence_start
from mixlib.draw.phases import rows_of
from mixlib.panel.airborne import Told, air_panel
from mixlib.panel.base.aircraft import whole_aircraft
from mixlib.panel.base.controls import NumberGrid, Pick, Slider, command_slider
from mixlib.panel.base.keep import keep
from mixlib.panel.base.panel import Kept, Panel, Seen, reason
from mixlib.panel.surfaces import moving_commands
from mixlib.say.differences import (
    Measure,
    glide_measures,
    landing_measures,
    roll_measures,
    throw_measures,
)
from mixlib.say.doubt import Doubtful
from mixlib.say.readout import readout

__all__ = ["what_if"]

_MOST = 200.0  # mm of a hole or percent of what a gain or an end point is now
_MASS, _BALANCE_MM = 0.3, 25.0  # share and mm by which the sliders go to either side
_MASS_STEP_G = 5
_MOVES_MM, _MOVES_DEG = 0.05, 0.05
_PARTS = ("aircraft", "outputs", "free_mixes", "ready_made", "marks")  # of a set-up, that can be changed here
_AIR = {"worked out": True, "left out: quicker": False}


def what_if(setup: Setup, task: str = "") -> Panel:
    """Change holes, gains, end points, a mark, mass and balance point; keep A, try B.

    Parameters
    ----------
    setup : Setup
        The reader's set-up, or a demo; it is changed by *Keep B as mine* alone.

    Returns
    -------
    Panel
        Levers, numbers of the bench, the whole aircraft, and a table of throws, roll left, glide, roll and
        landing, A beside B.
    """
    aircraft, moving = setup.aircraft, moving_commands(setup)
    pairs = rows_of(aircraft, [dict.fromkeys(aircraft.surface_names, 0.0)])
    links = [aircraft.surface(pair.names[0]).linkage for pair in pairs]
    marks = [
        (command, "above" if value > 0 else "below")
        for command, value in setup.ends
        if command in setup.radio.marked_commands and command in moving
    ]
    # A radio whose outputs have no gain of their own sets those of its mixes.
    columns = ("arm, mm", "horn, mm", "gains, %" if setup.radio.output_gains else "mixes, %", "ends, %")
    start = [(link.arm_mm, link.horn_mm, 100.0, 100.0) for link in links]
    rows = [sentence_start(pair.label) for pair in pairs]
    bench = NumberGrid("bench", rows, columns, start, 0, _MOST, corner="each pair")
    mass, stands = round(1000 * aircraft.mass_kg), round(aircraft.cg_mm)
    most = _MASS_STEP_G * round(_MASS * mass / _MASS_STEP_G)
    controls = [
        *(command_slider(name, radio=setup.radio) for name in moving),
        bench,
        *(_mark_slider(setup, command, side) for command, side in marks),
        Slider("mass", mass - most, mass + most, _MASS_STEP_G, mass, "g"),
        Slider("balance", stands - _BALANCE_MM, stands + _BALANCE_MM, 1, stands, "mm", "balance point"),
        Pick("air", _AIR, label="in the air"),
    ]

    def changed(values: dict[str, Any]) -> Setup:
        there = setup
        for pair, before, (arm, horn, gain, end) in zip(pairs, start, values["bench"], strict=True):
            try:
                if (arm, horn) != before[:2]:
                    there = tried.with_pair_holes(there, pair.names, arm, horn)
                there = tried.with_gains(there, pair.names, gain) if gain != 100 else there
                there = tried.with_end_points(there, pair.names, end) if end != 100 else there
            except ValueError as error:
                raise ValueError(f"{pair.label}: {reason(error)}") from None
        for command, side in marks:
            percent = values[_mark_name(command, side)]
            if percent != _used_percent(setup, command, side):
                there = tried.with_mark(there, command, side, percent)
        flown = balanced_at(there.aircraft, aircraft.cg_mm + values["balance"] - stands)
        heavier = (values["mass"] - mass) / 1000
        return there.replace(aircraft=flown.replace(mass_kg=aircraft.mass_kg + heavier))

    mine = [setup]  # its states, as the panel found it and as it kept them

    def save(values: dict[str, Any]) -> Kept:
        shown, last = changed(values), mine[-1]
        if shown == setup == last:
            raise ValueError(
                "only levers have moved. Type a hole, gain or end point, or move mark, mass or balance point"
            )

        def change(newest: Setup) -> Setup:
            new = {
                part: getattr(shown, part) for part in _PARTS if getattr(shown, part) != getattr(last, part)
            }
            if any(getattr(newest, part) != getattr(last, part) for part in new):
                raise ValueError(
                    f"{setup.name} was saved elsewhere since. Nothing is overwritten: "
                    "run this page again, and try B there"
                )
            return newest.replace(**new)

        kept = keep(last, "what if", change)
        if kept.new or not kept.undo:
            return kept
        mine.append(shown)
        return replace(kept, undo=partial(_undone, kept.undo, mine))

    def update(values: dict[str, Any]) -> Told:
        there = changed(values)
        stages = Rig(there).run(commands(**{name: values[name] for name in moving}))
        found, results = _in_the_air(there.model_dump_json()) if values["air"] else ([], [])
        numbers = [*_at_the_bench(there), *found]
        seen = Seen(whole_aircraft(there, stages), readout(there, stages), numbers=numbers, beside=True)
        return seen, results

    def stand(values: dict[str, Any]) -> Balance:
        return known_balance(changed(values).aircraft)

    title, savers = f"What if? {aircraft.name}", {"Keep B as mine": save}
    return air_panel(setup, title, controls, update, stands=stand, task=task, savers=savers)


def _undone(undo: Callable[[], str], states: list[Setup]) -> str:
    said = undo()
    states.pop()
    return said


def _mark_name(command: str, side: str) -> str:
    return f"mark of {_end(command, 1 if side == 'above' else -1)}"


def _mark_slider(setup: Setup, command: str, side: str) -> Slider:
    return Slider(_mark_name(command, side), 5, 100, 1, _used_percent(setup, command, side), "%")


def _used_percent(setup: Setup, command: str, side: str) -> float:
    return round(100 * abs(setup.used_to(command, 1 if side == "above" else -1)), 6)


def _end(command: str, value: float) -> str:
    """One end of a command in words, whether or not a mark stands before it."""
    return command_end(command, 1 if value > 0 else -1)


def _at_the_bench(setup: Setup) -> Iterator[Measure]:
    """Throws where each command is used to, and what is left of roll with droop and brake."""
    rig, moving = Rig(setup), moving_commands(setup)
    for command, value in setup.ends:
        stages = rig.run(commands(**{command: value}))
        measures = throw_measures(setup.aircraft.surfaces, stages.throw)
        alone = rig.run(commands()).throw
        yield from (
            measure.of_what(_end(command, value))
            for measure, far in zip(measures, abs(stages.throw - alone), strict=True)
            if command in moving and far > _MOVES_MM
        )
    for command, value in _held(setup):
        left = 100 * roll_left(setup, **{command: value})
        yield Measure("roll left", left, "%", digits=0).of_what(_end(command, value))


def _held(setup: Setup) -> list[tuple[str, float]]:
    """The ends of droop and brake that move something, as they are used."""
    moving = moving_commands(setup)
    ends = [(command, setup.used_to(command, 1)) for command in ("camber", "brake")]
    return [(command, value) for command, value in ends if command in moving]


@lru_cache(maxsize=16)
def _in_the_air(setup_json: str) -> tuple[list[Measure], list[Doubtful | int]]:
    """Glide, roll and landing, and what they were taken from; a lever that is moved changes none of them."""
    setup = Setup.model_validate_json(setup_json)
    clean = known_performance(setup.aircraft)
    results: list[Doubtful | int] = [clean.best_glide, clean.least_sink, clean.stall]
    numbers = [measure.of_what("clean") for measure in glide_measures(clean)]
    places = [commands(roll=value) for value in (0.0, setup.used_to("roll", 1))]
    rest, rolled = Rig(setup).run(places).surface
    ways = {
        part.name: by
        for part, by in zip(setup.aircraft.surfaces, (rolled - rest).tolist(), strict=True)
        if part.part == "wing" and abs(by) > _MOVES_DEG
    }
    if ways:
        speed = float(clean.approach.speed_m_s)
        turned = roll(Airframe.from_aircraft(setup.aircraft), ways, speed, straight=clean.approach)
        results.append(turned)
        numbers += [measure.of_what("full roll, approach") for measure in roll_measures(turned)]
    for command, value in _held(setup) or [("camber", 0.0)]:
        words = _end(command, value) if value else "clean"
        try:
            flown = landings(setup, {words: {command: value}})[words]
        except ValueError:  # no glide at an approach speed
            numbers.append(Measure("lands", nan, told="no approach can be flown").of_what(words))
            continue
        stall = glide_measures(flown.performance)[-1:] if value else ()
        results += [flown, *(part for measure in stall for part in measure.of)]
        numbers += [measure.of_what(words) for measure in (*stall, *landing_measures(flown))]
    return numbers, results
