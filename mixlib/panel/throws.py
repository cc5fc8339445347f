"""Panels of the lesson on throws: which hole, which stick curve, which way to less down than up."""

from __future__ import annotations

from contextlib import suppress
from functools import cache, partial
from typing import Any

import numpy as np

from mixlib.bench.surface.differential import WAYS, AileronThrows, aileron_throws, less_down
from mixlib.bench.surface.throws import (
    PLAY_MM,
    SERVO_STEP_US,
    Followed,
    ThrowEnds,
    follow,
    throw_ends,
    with_holes,
)
from mixlib.chain import LinkageError, Rig, commands
from mixlib.describe import Setup, Shaping, Surface
from mixlib.describe.words import direction, listed, movement, sentence_start, signed
from mixlib.draw.charts import Spot, throw_chart
from mixlib.draw.linkage import linkage_side
from mixlib.panel.base.aircraft import Hand
from mixlib.panel.base.controls import Pick, Slider, command_slider
from mixlib.panel.base.panel import Panel, Seen
from mixlib.say.differences import Measure, throw_measures
from mixlib.say.tables import html_table

__all__ = ["differential", "holes", "stick_curve"]

_STICK = np.linspace(-1.0, 1.0, 81)
_SPARE_HOLES_MM = (-4.0, -2.0, 0.0, 2.0, 4.0)  # where a description lists no holes


def holes(setup: Setup, surface: str, task: str = "", note: str = "") -> Panel:
    """Choose the holes of arm and horn and see what they give.

    Returns
    -------
    Panel
        Two choices, a slider for the travel, the linkage from the side, a sentence and a table.
    """
    part = setup.aircraft.surface(surface)
    link, radio = part.linkage, setup.radio
    step = min(radio.travel_step_percent, 1.0)

    def update(values: dict[str, Any]) -> Seen:
        chosen = with_holes(part, values["arm"], values["horn"])
        try:
            ends, now = throw_ends(chosen, radio), throw_ends(part, radio)
        except LinkageError as error:
            raise LinkageError(f"{surface}: {error}") from None
        here = follow(chosen, radio, values["travel"])
        held = _held(here)
        picture = partial(linkage_side, chosen, float(here.arm_deg), float(here.angle_deg), held)
        described = f"as described, {link.arm_mm:g} / {link.horn_mm:g} mm"
        head = ("arm / horn", described, f"chosen, {values['arm']:g} / {values['horn']:g} mm")
        rows = zip(_hole_words(part), _hole_cells(now), _hole_cells(ends), strict=True)
        extra = html_table(head, list(rows), "What these holes give")
        numbers = [*throw_measures([part], [float(here.throw_mm)]), *_hole_measures(part, ends)]
        return Seen(picture, _hole_sentence(part, values["travel"], ends, here, held), extra, numbers=numbers)

    controls = [
        Pick("arm", _hole_options(link.arm_mm, link.arm_holes_mm), link.arm_mm, label="arm hole"),
        Pick("horn", _hole_options(link.horn_mm, link.horn_holes_mm), link.horn_mm, label="horn hole"),
        Slider("travel", -100, 100, step, 100, "%", ends=("shorter pulse", "longer pulse")),
    ]
    title = f"Which hole? The {surface} of {setup.aircraft.name}"
    return Panel(title, controls, update, " ".join(filter(None, [note, task])))


def stick_curve(setup: Setup, surface: str = "", command: str = "roll", task: str = "") -> Panel:
    """Draw the throw over the stick for a rate and an expo.

    Parameters
    ----------
    setup : Setup
        What is wired and set; its own rates and expos are left out.
    surface : str
        Left out, the last of those that roll the aircraft, or of all.
    """
    rolling = setup.aircraft.of_kind("aileron", "elevon") or setup.aircraft.surfaces
    surface = surface or rolling[-1].name
    place = setup.aircraft.surface_names.index(surface)
    part = setup.aircraft.surfaces[place]

    @cache  # worked out at the first picture, so that a linkage that cannot close is told there
    def unshaped() -> np.ndarray:
        return Rig(setup.replace(shaping={})).run(commands(**{command: _STICK})).throw[:, place]

    def update(values: dict[str, Any]) -> Seen:
        plain = unshaped()
        shaping = Shaping(rate_percent=values["rate"], expo_percent=values["expo"])
        rig = Rig(setup.replace(shaping={command: shaping}))
        throws = rig.run(commands(**{command: _STICK})).throw[:, place]
        stick = values["stick"] / 100
        points = [commands(**{command: u}) for u in (stick, 1.0, -0.01, 0.01)]
        stages = rig.run(points)
        here, end, before, after = stages.throw[:, place].tolist()
        said = (
            f"Stick at {signed(values['stick'])} %: {movement(part, stages.surface[0, place], here)}. "
            f"Full stick, +100 %: {movement(part, stages.surface[1, place], end)}. "
            f"Round the middle, 1 % of the stick moves the trailing edge {abs(after - before) / 2:.2f} mm."
        )
        clipped = (stages.demand_clipped | stages.pulse_clipped)[1, setup.wiring[surface] - 1]
        if clipped or stages.binds[1, place] or stages.at_stop[1, place]:
            level = 100 * _STICK[np.argmax(np.abs(throws - end) < 0.01)]
            said += f" From about {level:.0f} % of the stick on nothing more comes: a limit is met."
        chart = partial(
            throw_chart,
            f"{sentence_start(surface)} over the {command} stick",
            part,
            [("rate 100 %, expo 0 %", plain), ("as set", throws)],
            command,
            said,
            1.3 * max(float(np.abs(plain).max()), 1.0),
            [Spot(values["stick"], here, "your stick")],
        )
        numbers = [
            Measure(f"at {signed(values['stick'])} % of the stick", here, more="lower", less="higher"),
            Measure("full stick", end, more="lower", less="higher"),
            Measure("1 % of the stick round the middle", abs(after - before) / 2, digits=2),
        ]
        return Seen(chart, said, numbers=numbers)

    controls = [
        Slider("rate", 20, 120, 1, 100, "%"),
        Slider("expo", -50, 100, 1, 0, "%", ends=("livelier middle", "softer middle")),
        Slider("stick", -100, 100, 1, 50, "%", label=setup.radio.lever(command)),
    ]
    return Panel("Rate and expo", controls, update, task)


def differential(setup: Setup, task: str = "", note: str = "") -> Panel:
    """Try the ways to less down than up, and see what is left of droop and reflex.

    Parameters
    ----------
    setup : Setup
        With ailerons or elevons that move with roll.

    Returns
    -------
    Panel
        A choice of the way, how much, two commands, the whole aircraft, a sentence and a table.
    """
    options, hand = {f"{way} ({unit})": way for way, unit in WAYS.items()}, Hand()

    def update(values: dict[str, Any]) -> Seen:
        changed = less_down(setup, values["way"], values["amount"])
        before, after = aileron_throws(setup), aileron_throws(changed)
        rig, moved = Rig(changed), {name: values[name] for name in ("roll", "camber")}
        picture = hand.aircraft(rig, moved, rig.run(commands(**moved)))
        said, table = _way_sentence(values, before, after), _ways_table(before, after)
        return Seen(picture, said, table, numbers=_way_measures(after))

    way = Pick("way", options, _first_way(setup))
    step = min(setup.radio.gain_step_percent, setup.radio.travel_step_percent, 1.0)
    amount = Slider("amount", 0, 60, step, 0, WAYS[way.value], ends=("none", "much"))

    def count() -> None:
        amount.unit = WAYS[way.value]

    way.on_change(count)
    controls = [
        way,
        amount,
        command_slider("roll", 1.0, radio=setup.radio),
        command_slider("camber", radio=setup.radio),
    ]
    return Panel("Ways to less down than up", controls, update, " ".join(filter(None, [note, task])))


def _first_way(setup: Setup) -> str:
    """The first way that this set-up can have, so that the panel opens on one that works."""
    for way in WAYS:
        with suppress(ValueError):
            less_down(setup, way, 10)
            return way
    return next(iter(WAYS))


def _ways_table(before: tuple[AileronThrows, ...], after: tuple[AileronThrows, ...]) -> str:
    pairs = _told_apart(before, after)
    short = len(pairs) == 1
    head = ["mm at the trailing edge"]
    columns: list[tuple[str, ...]] = [
        ("roll: up", "roll: down", "less down by", "full droop", "full reflex", "at neutral")
    ]
    for name, old, new in pairs:
        head += ["before", "now"] if short else [f"{name}, before", f"{name}, now"]
        columns += [_way_row(old), _way_row(new)]
    return html_table(head, list(zip(*columns, strict=True)), pairs[0][0] if short else "")


def _way_row(throws: AileronThrows) -> tuple[str, ...]:
    less = throws.less_down_percent
    return (
        f"{throws.up_mm:.1f}",
        f"{throws.down_mm:.1f}",
        "no up at all" if np.isnan(less) else f"{less:.0f} %".replace("-", "−"),
        _said_mm(throws.droop_mm),
        _said_mm(throws.reflex_mm),
        _said_mm(throws.rest_mm),
    )


def _way_measures(throws: tuple[AileronThrows, ...]) -> list[Measure]:
    return [
        Measure(f"{end} of the {of.name}", abs(throw_mm))
        for of in throws
        for end, throw_mm in (
            ("full roll up", of.up_mm),
            ("full roll down", of.down_mm),
            ("full droop", of.droop_mm),
            ("full reflex", of.reflex_mm),
        )
    ]


def _said_mm(throw_mm: float) -> str:
    if abs(throw_mm) < 0.05:
        return "0.0"
    return f"{abs(throw_mm):.1f} {'down' if throw_mm > 0 else 'up'}"


def _way_sentence(
    values: dict[str, Any], before: tuple[AileronThrows, ...], after: tuple[AileronThrows, ...]
) -> str:
    way, amount = values["way"], values["amount"]
    parts = [
        f"{sentence_start(way)}, amount {amount:g}{WAYS[way].replace('%', ' %')}."
        if amount
        else "Nothing changed yet."
    ]
    for name, old, new in _told_apart(before, after):
        parts.append(
            f"{name}: up {new.up_mm:.1f} mm, down {new.down_mm:.1f} mm; full droop {_said_mm(new.droop_mm)} "
            f"(before: {_said_mm(old.droop_mm)}), full reflex {_said_mm(new.reflex_mm)} "
            f"(before: {_said_mm(old.reflex_mm)})."
        )
    hanging = [new.name for new in after if abs(new.rest_mm) >= 0.25]
    if hanging:
        verb = "stands" if len(hanging) == 1 else "stand"
        parts.append(f"With all sticks at neutral {listed(hanging)} no longer {verb} level.")
    held = [new.name for new in after if new.held]
    if held:
        verb = "meets its" if len(held) == 1 else "meet their"
        parts.append(f"{sentence_start(listed(held))} {verb} stop or dead point before full roll or camber.")
    return " ".join(parts)


def _told_apart(
    before: tuple[AileronThrows, ...], after: tuple[AileronThrows, ...]
) -> list[tuple[str, AileronThrows, AileronThrows]]:
    """Name, throws before and throws now; one entry for a pair whose tables read alike."""
    if len(before) == 2 and all(_way_row(pair[0]) == _way_row(pair[1]) for pair in (before, after)):
        names = listed(throws.name for throws in after)
        return [(f"{sentence_start(names)} alike", before[0], after[0])]
    return [(sentence_start(new.name), old, new) for old, new in zip(before, after, strict=True)]


def _hole_options(present: float, others: tuple[float, ...]) -> dict[str, float]:
    spare = others or [present + step for step in _SPARE_HOLES_MM if present + step >= 3]
    return {f"{hole:g} mm": hole for hole in sorted({present, *spare})}


def _both_ways(surface: Surface) -> tuple[str, str]:
    return direction(surface, -9.0), direction(surface, 9.0)


def _hole_words(surface: Surface) -> tuple[str, ...]:
    up, down = _both_ways(surface)
    return (
        f"full travel {up}",
        f"full travel {down}",
        "1 % of travel",
        f"servo step of {SERVO_STEP_US:g} µs",
        f"slop, {PLAY_MM:g} mm play in the rod",
        "force, times the servo's",
        "at the ends",
    )


def _hole_cells(ends: ThrowEnds) -> tuple[str, ...]:
    return (
        f"{ends.up_mm:.1f} mm ({ends.up_deg:.1f}°)",
        f"{ends.down_mm:.1f} mm ({ends.down_deg:.1f}°)",
        f"{ends.percent_mm:.2f} mm",
        f"{ends.servo_step_mm:.2f} mm",
        f"{ends.slop_mm:.2f} mm",
        f"{ends.leverage:.2f}",
        ends.held or "free",
    )


def _hole_measures(surface: Surface, ends: ThrowEnds) -> list[Measure]:
    up, down = _both_ways(surface)
    return [
        Measure(f"full travel {up}", ends.up_mm),
        Measure(f"full travel {down}", ends.down_mm),
        Measure("1 % of travel", ends.percent_mm, digits=2),
        Measure("slop", ends.slop_mm, digits=2),
        Measure("force", ends.leverage, "times the servo's", digits=2),
    ]


def _held(here: Followed) -> str:
    faults = {"linkage binds": here.binds, "at its stop": here.at_stop, "travel cut off": here.cut}
    return next((words for words, met in faults.items() if met), "")


def _hole_sentence(
    surface: Surface, travel_percent: float, ends: ThrowEnds, here: Followed, held: str
) -> str:
    up, down = _both_ways(surface)
    where = movement(surface, float(here.angle_deg), float(here.throw_mm))
    said = (
        f"Travel {signed(travel_percent)} %: {surface.name} {where}{', ' + held if held else ''}. "
        f"Full travel gives {ends.up_mm:.1f} mm {up} and {ends.down_mm:.1f} mm {down}. "
        f"1 % of travel is {ends.percent_mm:.2f} mm, the slop {ends.slop_mm:.2f} mm, and the hinge gets "
        f"{ends.leverage:.2f} times the servo's turning force."
    )
    if ends.held and ends.held != held:
        said += f" At one end or both: {ends.held}."
    return said
