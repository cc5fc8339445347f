"""What stands on the bench card: settings, what must move, what runs out, cautions and checks."""

from __future__ import annotations

import re
from dataclasses import dataclass

from mixlib.bench.card import manners, sections
from mixlib.bench.card.phases import phases
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
    """The whole card; a section without content is empty, not absent.

    Attributes
    ----------
    movements, phases, wanted, limits : Section
        What each surface must do, where it rests in each flight phase, the wanted throws beside it, and what
        runs out.
    """

    setup: Setup
    title: str
    head: tuple[str, ...]
    outputs: Section
    mixes: Section
    shaping: Section
    trims: Section
    dials: Section
    movements: Section
    phases: Section
    wanted: Section
    limits: Section
    cautions: Section
    bench_checks: Section
    flight_checks: Section

    @property
    def sections(self) -> tuple[Section, ...]:
        """The sections that have content, in the order of the work."""
        parts = (
            self.cautions,
            self.outputs,
            self.mixes,
            self.shaping,
            self.dials,
            self.movements,
            self.phases,
            self.trims,
            self.limits,
            self.wanted,
            self.bench_checks,
            self.flight_checks,
        )
        return tuple(part for part in parts if not part.empty)


def bench_card(setup: Setup, notes: str = "") -> Card:
    """Put the bench card of a set-up together.

    Returns
    -------
    Card
        All that the card says; movements are computed with the whole chain at the ends of every command.

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
        outputs=sections.outputs(setup),
        mixes=sections.mixes(setup),
        shaping=sections.shaping(setup),
        trims=manners.trims(setup),
        dials=manners.dials(setup),
        movements=sections.movements(setup, rig),
        phases=phases(setup),
        wanted=sections.wanted(setup, rig),
        limits=sections.limits(setup, rig),
        cautions=Section("Before you start", lines=cautions(setup)),
        bench_checks=Section(
            "Checks on the bench", boxes=BENCH_CHECKS + (MOTOR_CHECKS if setup.aircraft.motor else ())
        ),
        flight_checks=Section("First flight", boxes=FLIGHT_CHECKS),
    )


def as_markdown(card: Card) -> str:
    """Write the card as Markdown.

    Returns
    -------
    str
        Markdown with pipe tables and task lists; what the reader typed cannot act as markup.
    """
    blocks = [f"# {_escaped(card.title)}", *(_escaped(line) for line in card.head)]
    for section in card.sections:
        blocks.append(f"## {_escaped(section.title)}")
        if section.lines:
            blocks.append("\n".join(f"- {_escaped(line)}" for line in section.lines))
        if section.rows:
            table = (section.columns, ("---",) * len(section.columns), *section.rows)
            escaped = [tuple(map(_escaped, row)) if row is not table[1] else row for row in table]
            blocks.append("\n".join(f"| {' | '.join(row)} |" for row in escaped))
        if section.boxes:
            blocks.append("\n".join(f"- [ ] {_escaped(box)}" for box in section.boxes))
    return "\n\n".join(blocks) + "\n"


def _escaped(text: str) -> str:
    """Text in which no letter acts as Markdown or HTML (CommonMark 0.31, 2.4: backslash escapes)."""
    inside = "".join(f"\\{letter}" if letter in "\\`*_[]<>|#~$&!" else letter for letter in text)
    return re.sub(r"^(\d*)([-+=.)])", r"\1\\\2", inside)  # at the start it could begin a list or a rule
