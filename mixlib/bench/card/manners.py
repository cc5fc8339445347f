"""Sections of the card on what hands find: the trim levers, and dials and sliders that no spring centres."""

from __future__ import annotations

import numpy as np

from mixlib.bench.card.sections import Section, both, plain
from mixlib.chain import Rig, commands
from mixlib.describe import Setup
from mixlib.describe.words import (
    COMMAND_ENDS,
    NEUTRAL_MM,
    command_end,
    listed,
    movement,
    sentence_start,
    signed,
)
from mixlib.units import COMMAND_RANGES

__all__ = ["dials", "trims"]


def trims(setup: Setup) -> Section:
    """Where the trim levers stand, and what else to move where a trim reaches only some of the surfaces."""
    lines = [f"{name}: the trim lever stands at {signed(by)} %" for name, by in setup.trims.items() if by]
    for command in setup.radio.trimmed_commands:
        with_trim, without = _moved_by_trim(setup, command)
        if with_trim and without:
            outputs = sorted({setup.wiring[name] for name in without})
            places = f"output{'s' * (len(outputs) > 1)} {listed(map(str, outputs))} ({listed(without)})"
            by_setting = f"the sub-trim of {places}" if setup.radio.sub_trim_max_percent else ""
            by_hand = f"the rod of the {listed(without)}"
            lines.append(
                f"How to trim {command} afterwards: the trim lever moves {listed(with_trim)} and not "
                f"{listed(without)}, since mixes leave the trim behind on this radio. Move "
                f"{by_setting}{' as well, or ' if by_setting else ''}{by_hand}."
            )
    return Section("Trims", lines=tuple(map(plain, lines)))


def _moved_by_trim(setup: Setup, command: str) -> tuple[list[str], list[str]]:
    """Surfaces that answer to a stick: those that its trim lever moves too, and those that it does not."""
    most = setup.radio.trim_max_percent
    rest = Rig(setup.replace(trims={}))
    still, by_stick = rest.run(commands(**{command: [0.0, 1.0]})).throw
    by_trim = Rig(setup.replace(trims={command: most})).run(commands()).throw
    asked_mm = np.abs(by_stick - still)
    follows = np.abs(by_trim - still) >= asked_mm * most / 100 / 2  # half of what the stick would do
    answers = (asked_mm >= NEUTRAL_MM) & (most > 0)
    with_trim, without = (
        [name for name, does in zip(rest.surface_names, chosen, strict=True) if does]
        for chosen in (answers & follows, answers & ~follows)
    )
    return with_trim, without


def dials(setup: Setup) -> Section:
    """What to know of dials and sliders in use: where they stand, and what happens past a mark."""
    rig, names, lines = Rig(setup), [], []
    for command in setup.radio.marked_commands:
        least, most = COMMAND_RANGES[command]
        throws = rig.run(commands(**{command: [0.0, least, most]})).throw
        if command == "throttle" or np.all(np.abs(throws - throws[0]) < NEUTRAL_MM):
            continue
        names.append(f"the {setup.radio.lever(command)}")
        lines += [
            _past_mark(setup, rig, command, 1 if mark.side == "above" else -1)
            for mark in setup.marks
            if mark.command == command and mark.percent < 100
        ]
        if least < 0:
            lines.append(
                f"{sentence_start(names[-1])} has no feel for its middle: mark neutral. Neutral at one end "
                f"can be felt; it costs {COMMAND_ENDS[command][0]}, and travel to bring the surfaces back."
            )
    if not names:
        return Section("The dial")
    verb = "stand" if names[1:] else "stands"
    first = f"Where {listed(names)} {verb} at switch-on is not known: look before every launch."
    title = "The dial" if any(name.endswith("dial") for name in names) else "The slider"
    return Section(title, lines=tuple(map(plain, (first, *lines))))


def _past_mark(setup: Setup, rig: Rig, command: str, way: int) -> str:
    """What the surfaces do when a dial is turned past its mark to its end."""
    marked, surfaces = setup.used_to(command, way), setup.aircraft.surfaces
    stages = rig.run(commands(**{command: [marked, COMMAND_RANGES[command][way > 0]]}))
    further = np.abs(stages.throw[1] - stages.throw[0]) >= NEUTRAL_MM
    at_mark, at_end = (
        [movement(*row) for row in zip(surfaces, angles, throws, strict=True)]
        for angles, throws in zip(stages.surface, stages.throw, strict=True)
    )
    alike: dict[str, list[str]] = {}
    for part, end, mark, more in zip(surfaces, at_end, at_mark, further, strict=True):
        if more:
            alike.setdefault(f"{end} in place of {mark}", []).append(part.name)
    goes = [f"{both(names)} {words}" for words, names in alike.items()]
    return f"From {command_end(command, marked)} on to the end: {listed(goes) or 'nothing goes further'}."
