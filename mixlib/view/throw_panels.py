"""Panels of the lesson on throws: which hole, which stick curve, which way to a differential."""

from __future__ import annotations

from typing import Any

import numpy as np

from mixlib.bench.throws import differential_percent, throw_ends, with_holes
from mixlib.chain import Rig, commands
from mixlib.chain.controls import shaped_command
from mixlib.chain.linkage import arm_range_deg, surface_angle_deg
from mixlib.chain.servo import arm_angle_deg
from mixlib.describe import FreeMix, Output, Setup, Shaping
from mixlib.describe.words import listed
from mixlib.view.charts import Curve, Spot, line_chart
from mixlib.view.controls import Pick, Slider, command_slider
from mixlib.view.linkage_shapes import linkage_side
from mixlib.view.parts import Panel, Seen, table
from mixlib.view.readout import limit_notes
from mixlib.view.wing_shapes import wing_from_behind

__all__ = ["WAYS", "differential", "differential_setup", "holes", "stick_curve"]

WAYS = ("unequal gains", "end points", "arm not square", "horn not square")
"""Ways to a differential without a ready-made function."""


def holes(setup: Setup, surface: str) -> Panel:
    """Choose the holes of arm and horn and see throw, step and leverage.

    Parameters
    ----------
    setup : Setup
        Whose aircraft and radio are used.
    surface : str
        Name of the surface.

    Returns
    -------
    Panel
        Two choices, a slider for the travel, the linkage and a sentence.
    """
    part = setup.aircraft.surface(surface)
    link = part.linkage
    arms = sorted({link.arm_mm, *link.arm_holes_mm})
    horns = sorted({link.horn_mm, *link.horn_holes_mm})

    def update(values: dict[str, Any]) -> Seen:
        moved = with_holes(part, values["arm"], values["horn"])
        ends = throw_ends(moved, setup.radio)
        pulse = setup.radio.centre_us + values["travel"] * setup.radio.us_per_100_percent
        asked = float(arm_angle_deg(pulse, moved.servo))
        arm = float(np.clip(asked, *arm_range_deg(moved.linkage)))
        binds = "it binds here: do not use" if arm != asked else ""
        drawing = linkage_side(moved, arm, float(surface_angle_deg(moved.linkage, arm)), binds)
        said = (
            f"Arm {values['arm']:g} mm, horn {values['horn']:g} mm. At 100 % travel {surface} goes up "
            f"{ends.up_mm:.1f} mm and down {ends.down_mm:.1f} mm. One percent of the radio is "
            f"{ends.step_mm:.2f} mm. The servo's arm turns {ends.leverage:.2f} times as far as the surface."
            + (" The linkage binds before the travel is used up: choose other holes." if binds else "")
        )
        return Seen(drawing, said)

    controls = [
        Pick("arm", {f"{hole:g} mm": hole for hole in arms}, link.arm_mm, label="arm hole"),
        Pick("horn", {f"{hole:g} mm": hole for hole in horns}, link.horn_mm, label="horn hole"),
        Slider("travel", -100, 100, 5, 100, "%", ends=("shorter pulse", "longer pulse"), scale=0.01),
    ]
    return Panel(f"Which hole? {surface}", controls, update)


def stick_curve(setup: Setup, surface: str, command: str = "roll") -> Panel:
    """Draw the throw over the stick for a rate and an expo.

    Parameters
    ----------
    setup : Setup
        What is wired and set.
    surface : str
        Name of the surface.
    command : str
        The stick.

    Returns
    -------
    Panel
        Sliders for rate, expo and the stick, a chart and a sentence.
    """
    place = setup.aircraft.surface_names.index(surface)
    stick = np.linspace(-1, 1, 81)
    rig = Rig(setup.replace(shaping={}))

    def throw_mm(u, shaping: Shaping) -> np.ndarray:
        return rig.run(commands(**{command: np.clip(shaped_command(u, shaping), -1, 1)})).throw[..., place]

    most = 1.15 * float(abs(throw_mm(stick, Shaping())).max())

    def update(values: dict[str, Any]) -> Seen:
        shaping = Shaping(rate_percent=100 * values["rate"], expo_percent=100 * values["expo"])
        here = float(throw_mm(values["stick"], shaping))
        end = float(throw_mm(1.0, shaping))
        said = (
            f"Stick at {100 * values['stick']:.0f} %: {surface} at {here:+.1f} mm. "
            f"Full stick: {end:+.1f} mm. Down is plus."
        )
        chart = line_chart(
            f"{surface} over the stick",
            [
                Curve("rate 100 %, no expo", 100 * stick, throw_mm(stick, Shaping())),
                Curve("as set", 100 * stick, throw_mm(stick, shaping)),
            ],
            f"{command} stick, %",
            "throw, mm (down is plus)",
            description=said,
            x_range=(-100, 100),
            y_range=(-most, most),
            spots=[Spot(100 * values["stick"], here, f"{here:+.1f} mm")],
        )
        return Seen(chart, said)

    controls = [
        Slider("rate", 20, 100, 5, 100, "%", scale=0.01),
        Slider("expo", 0, 80, 5, 0, "%", scale=0.01),
        Slider("stick", -100, 100, 5, 50, "%", ends=("left", "right"), scale=0.01),
    ]
    return Panel("Rate and expo", controls, update)


def differential_setup(setup: Setup, way: str, percent: float) -> Setup:
    """Give the ailerons of a set-up a differential.

    Parameters
    ----------
    setup : Setup
        Flaperons with one aileron on the roll stick and one mixed from it, or both with gains of their own.
    way : str
        One of `WAYS`.
    percent : float
        How much less down than up is aimed at, 0 to 80 %.  For the two linkage ways arm or horn leans by
        half as many degrees.

    Returns
    -------
    Setup
        The changed copy.
    """
    less = 1 - percent / 100
    ailerons = setup.aircraft.of_kind("aileron", "elevon")
    if way in (WAYS[2], WAYS[3]):
        return _leaning(setup, way, percent / 2)
    if way == WAYS[1]:
        for surface in ailerons:
            sign = Rig(setup).moves(roll=1)[surface.name]
            number = setup.wiring[surface.name]
            end = round(100 * less)
            # With roll right the demand is positive: what goes down then has its down at the long end.
            side = "end_high_percent" if sign > 0 else "end_low_percent"
            setup = setup.with_output(number, **{side: end})
        return setup
    mixes = tuple(
        _unequal(setup, mix, mix.follower, less) if mix.leader == "roll" else mix for mix in setup.free_mixes
    )
    outputs = tuple(
        _unequal(setup, output, output.number, less)
        if output.control == "roll" and setup.radio.output_gains
        else output
        for output in setup.outputs
    )
    return setup.replace(free_mixes=mixes, outputs=outputs)


def differential(setup: Setup) -> Panel:
    """Try the ways to a differential and see what is left of roll and droop.

    Parameters
    ----------
    setup : Setup
        Flaperons.

    Returns
    -------
    Panel
        A choice of the way, how much, two commands, the wing, and a table.
    """
    names = [surface.name for surface in setup.aircraft.of_kind("aileron", "elevon")]

    def update(values: dict[str, Any]) -> Seen:
        changed = differential_setup(setup, values["way"], 100 * values["amount"])
        rig = Rig(changed)
        stages = rig.run(commands(roll=values["roll"], camber=values["camber"]))
        drawing = wing_from_behind(
            changed.aircraft, stages.surface, stages.throw, limit_notes(changed, stages)
        )
        rows, said = [], []
        for name in names:
            place = changed.aircraft.surface_names.index(name)
            right, left, droop, reflex = rig.run(commands(roll=[1, -1, 0, 0], camber=[0, 0, 1, -1])).throw[
                :, place
            ]
            up, down = max(-right, -left), max(right, left, 0.0)
            share = differential_percent(up, down)
            rows.append(
                [name, f"{up:.1f}", f"{down:.1f}", f"{share:.0f} %", f"{droop:+.1f}", f"{reflex:+.1f}"]
            )
            said.append(f"{name} up {up:.1f} mm, down {down:.1f} mm, droop {droop:+.1f} mm")
        head = [
            "aileron",
            "roll up, mm",
            "roll down, mm",
            "differential",
            "full droop, mm",
            "full reflex, mm",
        ]
        return Seen(drawing, f"{values['way'].capitalize()}: {listed(said)}.", table(head, rows))

    controls = [
        Pick("way", WAYS),
        Slider("amount", 0, 80, 5, 0, "%", label="less down", scale=0.01),
        command_slider("roll", 1.0),
        command_slider("camber"),
    ]
    return Panel("Four ways to less down than up", controls, update)


def _unequal(setup: Setup, item: FreeMix | Output, number: int, less: float) -> FreeMix | Output:
    """Make a share of roll smaller on the side on which the surface of its output goes down."""
    (surface, *_) = setup.surfaces_on(number)
    if Rig(setup).moves(roll=1)[surface.name] > 0:
        return item.replace(gain_above_percent=round(item.gain_above_percent * less))
    return item.replace(gain_below_percent=round(item.gain_below_percent * less))


def _leaning(setup: Setup, way: str, degrees: float) -> Setup:
    """Lean arm or horn of both ailerons so that going up has the better lever."""
    changed = []
    for surface in setup.aircraft.surfaces:
        if surface.kind not in ("aileron", "elevon"):
            changed.append(surface)
            continue
        # With a horn below, up is rod and arm going back: the arm leans forward, or the horn back.
        link, lean = surface.linkage, degrees if surface.linkage.horn_side == "below" else -degrees
        if way == WAYS[2]:
            link = link.replace(arm_angle_deg=link.arm_angle_deg + lean, rod_mm=None)
        else:
            link = link.replace(horn_angle_deg=link.horn_angle_deg - lean, rod_mm=None)
        changed.append(surface.replace(linkage=link))
    return setup.replace(aircraft=setup.aircraft.replace(surfaces=tuple(changed)))
