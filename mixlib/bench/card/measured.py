"""Sections of the card on what a ruler and a scale find, each number with a place for what was measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from mixlib.bench.card.sections import TICK, Section, both, plain, table
from mixlib.bench.surface.levers import nearest_lever
from mixlib.bench.surface.rests import units_of
from mixlib.chain import Rig, commands
from mixlib.describe import Phase, Setup, Surface, Want
from mixlib.describe.words import NEUTRAL_MM, command_end, listed, movement, number, sentence_start, signed
from mixlib.units import MM_PER_INCH, throw_mm_from_angle

__all__ = ["lever_words", "linkages", "movements", "rests", "wanted", "weighed"]

_SEEN_MM = 0.05  # a miss that is written as 0.0 is none
_MEASURED = "Measured"


def weighed(setup: Setup) -> Section:
    """Balance point, mass and date, with what the description says of them."""
    rows = [
        ("Balance point behind the root's leading edge", f"{number(setup.aircraft.cg_mm)} mm", ""),
        ("Mass, ready to fly", f"{setup.aircraft.mass_kg:.2f} kg", ""),
        ("Date", "", ""),
        ("Checked by", "", ""),
    ]
    return table("Weighed, balanced and dated", ("What", "Described", _MEASURED), rows)


def linkages(setup: Setup, rig: Rig) -> Section:
    """Holes of arm and horn, and where arm and trailing edge stand with all commands at neutral."""
    rest = rig.run(commands())
    words = map(movement, setup.aircraft.surfaces, rest.surface.tolist(), rest.throw.tolist())
    places = zip(setup.aircraft.surfaces, rest.arm, rig.outputs_of_surfaces, words, strict=True)
    rows = (
        [
            sentence_start(part.name),
            f"{number(part.linkage.arm_mm)} / {number(part.linkage.horn_mm)} mm",
            f"{part.linkage.arm_angle_deg + arm:.0f}°, {rest.pulse[output]:.0f} us",
            word,
            "",
        ]
        for part, arm, output, word in places
    )
    columns = ("Surface", "Holes, arm / horn", "Arm at neutral (square is 90°), pulse", "Edge at neutral")
    return table("Holes and neutral places", (*columns, _MEASURED), rows)


def movements(setup: Setup, rig: Rig) -> Section:
    """What each surface must do at both ends of each command, and with a lever half way.

    The throttle is nothing to try: what it does to a surface by a mix is told, without a box to tick.
    """
    surfaces, rest, units = setup.aircraft.surfaces, rig.run(commands()), units_of(setup.aircraft)
    rows, told = [], []
    for command, value in setup.ends:
        ways = rig.run(commands(**{command: np.array([value / 2, value])}))
        moves = np.abs(ways.throw - rest.throw) >= NEUTRAL_MM
        half, end = (
            [movement(*row) for row in zip(surfaces, *at, strict=True)]
            for at in zip(ways.surface, ways.throw, strict=True)
        )
        hand = setup.radio.held_by(command)
        if command == "throttle" and moves[1].any():
            goes = listed(f"{p.name} {word}" for p, word, m in zip(surfaces, end, moves[1], strict=True) if m)
            told.append(plain(f"Full throttle, calculated and not to be tried here: {goes}."))
        elif command != "throttle":
            words = sentence_start(command_end(command, value)) + (f" ({hand})" if hand != "stick" else "")
            seen: dict[tuple[Sequence[int], str, str], list[str]] = {}
            for place in np.flatnonzero(moves[hand == "stick" :].any(axis=0)):
                unit = next(unit for unit in units if place in unit)
                way = unit, half[place] if hand != "stick" else "", end[place]
                seen.setdefault(way, []).append(surfaces[place].name)
            rows += [(TICK, words, sentence_start(both(names)), *way[1:], "") for way, names in seen.items()]
    columns = ("Seen", "Command", "Surface", "Half way", "To the end", _MEASURED)
    nothing = "Nothing moves: no control reaches a surface."
    made = table("What must move, seen from behind", columns, rows, nothing)
    return replace(made, lines=(*told, *made.lines))


def rests(setup: Setup) -> Section:
    """Where every surface must rest in each flight phase, and which lever comes nearest."""
    named = {name for phase in setup.phases for name in phase.angles_deg}
    surfaces = [part for part in setup.aircraft.surfaces if part.name in named]
    rows = []
    for phase in setup.phases:
        angles = [phase.angles_deg.get(part.name, 0.0) for part in surfaces]
        cells = (
            movement(part, angle, float(throw_mm_from_angle(angle, part.chord_mm)))
            for part, angle in zip(surfaces, angles, strict=True)
        )
        rows.append((TICK, sentence_start(phase.name), *cells, lever_words(setup, phase)))
    names = (sentence_start(part.name) for part in surfaces)
    columns = ("Seen", "Phase", *names, "Nearest lever, and its miss")
    return table("Where it rests in each phase", columns, rows)


def lever_words(setup: Setup, phase: Phase) -> str:
    """Which place of a lever comes nearest to a phase, and what it misses."""
    found = nearest_lever(setup, phase)
    name, missed = found.worst
    place = "all at neutral"
    if found.command:
        end = command_end(found.command, 1 if found.value > 0 else -1)
        place = f"{100 * abs(found.value):.0f} % of the way to {end}"
    return f"{place}; {abs(missed):.1f} mm ({name})" if abs(missed) >= _SEEN_MM else f"{place}; none"


def wanted(setup: Setup, rig: Rig) -> Section:
    """Wanted throws beside those that the settings give, on the way too where that is wanted."""
    rows = []
    for want in (one for one in setup.wanted if one.weight > 0):
        end = setup.used_to(want.command, 1 if want.side == "above" else -1)
        if end:  # throttle and brake have no other side
            words = command_end(want.command, end)
            rows.append(_got(setup, rig, want, want.amount, end, words))
            for share, way, amount in ((0.5, "half", want.half), (0.25, "a quarter", want.quarter)):
                if amount is not None:
                    rows.append(_got(setup, rig, want, amount, share * end, f"{way} of the way to {words}"))
    columns = ("Surface", "Command", "Wanted", "Got", "Difference, down (rudder: left) positive")
    return table("Wanted and got", columns, rows)


def _got(setup: Setup, rig: Rig, want: Want, amount: float, value: float, words: str) -> tuple[str, ...]:
    stages = rig.run(commands(**{want.command: value}))
    place = rig.surface_names.index(want.surface)
    throw = float(stages.throw[place])
    got = {"deg": float(stages.surface[place]), "mm": throw, "inch": throw / MM_PER_INCH}[want.unit]
    digits = 2 if want.unit == "inch" else 1
    given = (_amount(setup.aircraft.surfaces[place], each, want.unit, digits) for each in (amount, got))
    return want.surface, words, *given, f"{signed(got - amount, digits)} {want.unit}"


def _amount(surface: Surface, value: float, unit: str, digits: int) -> str:
    if round(value, digits) == 0:
        return "neutral"
    down, up = ("left", "right") if surface.kind == "rudder" else ("down", "up")
    return f"{down if value > 0 else up} {number(abs(value), digits)} {unit}"
