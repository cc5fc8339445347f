"""The strip for the field: every phase with its lever and speeds, what to try, what to write down."""

from __future__ import annotations

from mixlib.air.aircraft.phases import FlownPhase, complete, fly_phase
from mixlib.bench.card.measured import lever_words
from mixlib.bench.card.sections import Section, plain, table
from mixlib.bench.cautions import FLIGHT_CAUTIONS
from mixlib.describe import Setup
from mixlib.describe.words import sentence_start
from mixlib.say.doubt import Doubtful, doubt, marked, own_words
from mixlib.say.flight import elevator_size, stall_range
from mixlib.say.speeds import in_speed_unit, speed_unit

__all__ = ["TO_SEE", "TO_TRY", "field_strip"]

# Common practice, no source.
TO_TRY = (
    "Before the launch: levers where the first row says, directions seen once more, the wind looked at.",
    "High up and upwind, in cruise: slow down to the stall, twice. Which wing drops, how much height goes?",
    "Each lever a quarter, half, all of its way to its phase; back to neutral at once if anything surprises.",
    "In each phase: does the speed stay with the stick left alone? Full roll both ways, gently at first.",
    "The landing setting stalled at height before it is used near the ground.",
    "An approach at height along a line in the sky, then one to the strip, with height to go round.",
)
"""What to try with a new setting, in this order."""

TO_SEE = ("Wind, place", "Thermal", "Cruise", "Speed", "Landing", "To alter")
"""What there is room to write down."""

_BAND = (
    "In brackets: where the real number is expected. Stall: where the wing begins to let go, straight ahead; "
    "a turn needs more speed."
)
_FLOWN = {"thermal": "least sink", "cruise": "best glide", "speed": "speed", "landing": "approach"}


def field_strip(setup: Setup) -> tuple[Section, ...]:
    """Put together what is taken to the field: cautions, phases with their speeds, and what to try.

    Speeds have the band in which the real one is expected.  An aircraft that the air model cannot fly gets
    its own phases with their levers, and the reason.
    """
    try:
        flown = [fly_phase(setup, phase) for phase in complete(setup)]
        trust = [own_words(setup.aircraft)]
    except ValueError as error:
        flown, trust = [], [f"The speeds are not told: {error}."]
    columns = ["Phase", "Lever, and its miss"]
    rows = [[sentence_start(phase.name), lever_words(setup, phase)] for phase in setup.phases]
    if flown:
        columns += ["Elevator with it", "Flown at", "Stall", "Approach"]
        rows = [_row(setup, item) for item in flown]
        trust.append(_BAND)
        trust += [
            f"* {reasons}"
            for reasons in [doubt(*(part for item in flown for part in _shown(item)))]
            if reasons
        ]
    return (
        Section("Before the launch", lines=FLIGHT_CAUTIONS),
        table(f"Phases, speeds in {speed_unit()}", columns, rows, "No phase is kept in this set-up."),
        Section("How far to trust it", lines=tuple(map(plain, trust))),
        Section("What to try", boxes=TO_TRY),
    )


def _shown(item: FlownPhase) -> tuple[Doubtful, ...]:
    return item.elevator, item.glide, item.performance.stall, item.performance.approach


def _row(setup: Setup, item: FlownPhase) -> list[str]:
    found, name = item.performance, item.phase.name
    return [
        sentence_start(name),
        "; ".join(filter(None, (lever_words(setup, item.phase), item.phase.roll_words))),
        elevator_size(item.elevator),
        marked(f"{in_speed_unit(item.glide.speed_m_s):.1f}, {_FLOWN.get(name, 'best glide')}", item.glide),
        *(marked(stall_range(float(glide.speed_m_s)), glide) for glide in (found.stall, found.approach)),
    ]
