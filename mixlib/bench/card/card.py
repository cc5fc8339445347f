"""What stands on the bench card: settings, what must move, what runs out, cautions and checks."""

from __future__ import annotations

import re
from dataclasses import dataclass

from mixlib.bench.card import ends, manners, measured, sections
from mixlib.bench.card.sections import Section, plain
from mixlib.bench.cautions import cautions
from mixlib.chain import Rig
from mixlib.describe import Setup

__all__ = ["BENCH_CHECKS", "FLIGHT_CHECKS", "MOTOR_CHECKS", "Card", "as_markdown", "bench_card"]

# Common practice, no source.
BENCH_CHECKS = (
    "Motor disarmed or propeller off; the model held or tied down.",
    "Each servo is plugged into the output named above.",
    "At neutral every surface stands where it belongs and no servo hums.",
    "Every row of the movements is seen from behind and ticked.",
    "Throws measured at the trailing edge, at both ends of each command.",
    "With all commands at their ends together nothing binds or is forced.",
    "Fail-safe set; with the transmitter off the model does as set.",
    "Range check done, as the maker of the radio says.",
)
MOTOR_CHECKS = (
    "Before the battery is connected: the motor's plug, its direction and a closed throttle looked at.",
    "Fail-safe set with the motor off; with the transmitter off the motor stands still.",
)
FLIGHT_CHECKS = (
    "Batteries full; directions checked once more just before the launch.",
    "First flight with the new control at neutral, until trimmed.",
    "New setting tried high up, upwind, in small steps; neutral under the thumb.",
    "Stall tried at height with each setting before it is used to land.",
    "Written down: trim change, stall, roll, and what to alter.",
)


@dataclass(frozen=True)
class Card:
    """The whole card, its sections in the order of the work; one without content is empty, not absent."""

    setup: Setup
    title: str
    head: tuple[str, ...]
    cautions: Section
    outputs: Section
    mixes: Section
    shaping: Section
    dials: Section
    linkages: Section
    weighed: Section
    movements: Section
    rests: Section
    wanted: Section
    limits: Section
    left: Section
    trims: Section
    bench_checks: Section
    flight_checks: Section

    @property
    def sections(self) -> tuple[Section, ...]:
        """The sections that have content."""
        return tuple(part for part in vars(self).values() if isinstance(part, Section) and not part.empty)


def bench_card(setup: Setup, notes: str = "") -> Card:
    """Put the bench card of a set-up together.

    Raises
    ------
    LinkageError, MixLoopError
        If the set-up cannot work; the text says why.
    """
    rig = Rig(setup)
    head = (
        f"{setup.aircraft.name} on {setup.radio.name}",
        setup.note,
        notes,
        "Movements are calculated from your description: measure the model against them. Throws are the "
        "straight way of the trailing edge.",
    )
    return Card(
        setup=setup,
        title=plain(f"Bench card: {setup.name}"),
        head=tuple(filter(None, map(plain, head))),
        cautions=Section("Before you start", lines=cautions(setup)),
        outputs=sections.outputs(setup),
        mixes=sections.mixes(setup),
        shaping=sections.shaping(setup),
        dials=manners.dials(setup),
        linkages=measured.linkages(setup, rig),
        weighed=measured.weighed(setup),
        movements=measured.movements(setup, rig),
        rests=measured.rests(setup),
        wanted=measured.wanted(setup, rig),
        limits=ends.limits(setup, rig),
        left=ends.left(setup),
        trims=manners.trims(setup),
        bench_checks=Section(
            "Checks on the bench", boxes=BENCH_CHECKS + (MOTOR_CHECKS if setup.aircraft.motor else ())
        ),
        flight_checks=Section("First flight", boxes=FLIGHT_CHECKS),
    )


def as_markdown(card: Card) -> str:
    """The card as Markdown with pipe tables and task lists; what the reader typed cannot act as markup."""
    blocks = [f"# {_escaped(card.title)}", *map(_escaped, card.head)]
    for section in card.sections:
        blocks.append(f"## {_escaped(section.title)}")
        if section.lines:
            blocks.append("\n".join(f"- {_escaped(line)}" for line in section.lines))
        if section.rows:
            table = [tuple(map(_escaped, row)) for row in (section.columns, *section.rows)]
            table.insert(1, ("---",) * len(section.columns))
            blocks.append("\n".join(f"| {' | '.join(row)} |" for row in table))
        if section.boxes:
            blocks.append("\n".join(f"- [ ] {_escaped(box)}" for box in section.boxes))
    return "\n\n".join(blocks) + "\n"


def _escaped(text: str) -> str:
    """Text in which no letter acts as Markdown or HTML (CommonMark 0.31, 2.4: backslash escapes)."""
    inside = "".join(f"\\{letter}" if letter in "\\`*_[]<>|#~$&!" else letter for letter in text)
    return re.sub(r"^(\d*)([-+=.)])", r"\1\\\2", inside)  # at the start it could begin a list or a rule
