"""Sections of the card on what runs out, and what is left of every stick with the levers out, in mm."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations

import numpy as np

from mixlib.bench.card.sections import Section, plain, table
from mixlib.bench.surface.left import RunsOut, left_in_phases, runs_out
from mixlib.chain import Rig, commands
from mixlib.describe import MOTOR, Setup
from mixlib.describe.words import command_end, sentence_start
from mixlib.units import HALF_MM

__all__ = ["left", "limits"]

_ALL = 0.995  # a share that is written as 100 %


def limits(setup: Setup, rig: Rig) -> Section:
    """What cuts movements short, the worst first, in mm; dead points; a throttle that does not reach full."""
    told = []
    if MOTOR in setup.wiring and (power := float(rig.run(commands(throttle=1)).power[0])) < 100:
        told.append(f"Motor: full throttle gives {power:.0f} % of its power.")
    pairs = (pair for pair in combinations(setup.ends, 2) if pair[0][0] != pair[1][0])
    cases = [*((end,) for end in setup.ends), *pairs]
    binds = rig.run(np.array([commands(**dict(case)) for case in cases])).binds
    for name, bound in zip(rig.surface_names, binds.T, strict=True):
        if bound.any():  # the first has the fewest commands
            case = " with ".join(command_end(*end) for end in cases[int(np.argmax(bound))])
            told.append(
                f"{sentence_start(name)}: {case} takes the linkage to its dead point; use less travel."
            )
    # a movement and its mirror image are told as one
    alike: dict[tuple[frozenset[str], str, str, str], list[RunsOut]] = {}
    for one in runs_out(setup):
        case = f"{one.where}: {one.surface}"
        loses = f"{one.lost_mm:.1f} mm", one.reason, f"{100 * one.roll_share:.0f} %"
        alike.setdefault((frozenset((case, _mirrored(case))), *loses), []).append(one)
    rows = (
        (
            sentence_start(ones[0].where) + ", or mirrored" * (len(ones) > 1),
            ones[0].surface,
            lost,
            reason,
            roll,
        )
        for (_, lost, reason, roll), ones in alike.items()
    )
    columns = ("With", "Surface", "Loses", "At", "Roll left")
    made = table("What runs out", columns, rows)
    nothing = () if made.rows or told else ("Nothing: every movement has its whole way.",)
    return replace(made, lines=(*map(plain, told), *nothing))


def _mirrored(text: str) -> str:
    return re.sub(r"\b(left|right)\b", lambda found: {"left": "right", "right": "left"}[found[0]], text)


def left(setup: Setup) -> Section:
    """What every stick moves where a lever takes something from it, beside what it moves at neutral."""
    found = left_in_phases(setup)
    less = [one for one in found if (one.up_mm + one.down_mm) * (1 / one.share - 1) >= HALF_MM]
    short = {(one.command, one.surface) for one in less}
    rows = []
    for one in found:
        if one in less or (one.where == "neutral" and (one.command, one.surface) in short):
            kind = setup.aircraft.surface(one.surface).kind
            up, down = ("right", "left") if kind == "rudder" else ("up", "down")
            ways = (f"{up} {one.up_mm:.1f} mm", f"{down} {one.down_mm:.1f} mm")
            rows.append(
                (one.command, one.surface, sentence_start(one.where), *ways, f"{100 * one.share:.0f} %")
            )
    columns = ("Stick", "Surface", "With", "One way", "Other way", "Of that at neutral")
    return table("What is left of each stick", columns, rows)
