"""How flight phases fly, as rows of a table: trim, elevator with the switch, what the sticks have left."""

from __future__ import annotations

from collections.abc import Sequence

from mixlib.air.aircraft.bands import band
from mixlib.air.aircraft.phases import FlownPhase, complete
from mixlib.bench.surface.left import Left
from mixlib.bench.surface.levers import nearest_lever
from mixlib.describe import Aircraft, Phase, Setup
from mixlib.describe.words import COMMAND_ENDS, listed, movement
from mixlib.draw.phases import rows_of
from mixlib.say.doubt import marked
from mixlib.say.flight import glide_cell, helix_cell, lets_go_cell, share_words, speed_range
from mixlib.say.speeds import in_speed_unit, speed_unit
from mixlib.say.tables import text_table
from mixlib.units import throw_mm_from_angle

__all__ = [
    "disagrees",
    "elevons_words",
    "launch_words",
    "lever_words",
    "no_droop_words",
    "own_roll_words",
    "phase_rows",
    "rests_table",
    "worked_out_deg",
    "worked_out_doubts",
]

LEAST_MM = 0.25
"""Two elevators that differ by less are the same: half a step of what a ruler tells."""


def phase_rows(aircraft: Aircraft, flown: Sequence[FlownPhase], levers: Sequence[str]) -> list[list[str]]:
    """Write how phases fly, one row a quantity, one column a phase.

    Parameters
    ----------
    levers : sequence of str
        What `lever_words` says of each.

    Returns
    -------
    list of list of str
        Rows for `table`, each with its unit first.
    """
    glides = [item.glide for item in flown]
    return [
        [
            f"flown, {speed_unit()}",
            *(marked(f"at {in_speed_unit(glide.speed_m_s):.1f}", glide) for glide in glides),
        ],
        [
            f"sink, {speed_unit()}",
            *(marked(speed_range(glide.sink_m_s, *glide.sink_band_m_s, 2), glide) for glide in glides),
        ],
        ["glide, m for 1 m", *map(glide_cell, glides)],
        [f"lets go, {speed_unit()}", *(lets_go_cell(item.performance) for item in flown)],
        [
            "flies hands off with elevator, mm",
            *(
                marked(
                    _banded(aircraft, item.trim_deg, *band("elevator change", item.trim_deg)),
                    item.trim_doubts,
                )
                for item in flown
            ),
        ],
        [
            "keeps the speed with elevator, mm",
            *(
                marked(
                    _banded(aircraft, item.elevator_deg, *(float(end[-1]) for end in item.elevator.band_deg)),
                    item.elevator,
                )
                for item in flown
            ),
        ],
        ["elevator as set, mm", *(_mm(aircraft, item.set_deg) for item in flown)],
        [
            "the stick then holds, mm",
            *(marked(_holds(aircraft, item), item.trim_doubts) for item in flown),
        ],
        ["full pitch moves, up / down", *(_left(item, "pitch") for item in flown)],
        ["full roll moves, up / down", *(_left(item, "roll") for item in flown)],
        ["full roll, helix angle, rad", *(helix_cell(item.roll) for item in flown)],
        *(
            [["roll of its own", *(item.phase.roll_words or "none" for item in flown)]]
            if any(item.phase.own_roll for item in flown)
            else []
        ),
        ["nearest lever", *levers],
        ["glide worked out from", *(share_words(float(glide.table_share)) for glide in glides)],
        ["roll worked out from", *(share_words(float(item.roll.table_share)) for item in flown)],
    ]


def worked_out_deg(item: FlownPhase, hands_off: bool) -> float:
    """Elevator of a phase by the air model, deg, down +: for its own speed hands off, or for one speed."""
    return item.trim_deg if hands_off else item.elevator_deg


def worked_out_doubts(item: FlownPhase, hands_off: bool) -> int:
    """What casts doubt on `worked_out_deg`, as flags of `Doubt` (no unit)."""
    return item.trim_doubts if hands_off else int(item.elevator.doubts[-1] | item.elevator.doubts[0])


def disagrees(aircraft: Aircraft, item: FlownPhase, hands_off: bool) -> str:
    """Say what elevator was worked out and what is set, where they differ; nothing where they agree."""
    deg = worked_out_deg(item, hands_off)
    if abs(_throw_mm(aircraft, deg) - _throw_mm(aircraft, item.set_deg)) < LEAST_MM:
        return ""
    said = marked(_mm(aircraft, deg), worked_out_doubts(item, hands_off))
    return f"{item.phase.name}, worked out: {said}; you have {_mm(aircraft, item.set_deg)}"


def launch_words(setup: Setup, names: Sequence[str]) -> str:
    """Say what a launch wants of the wing and of the elevator.

    Parameters
    ----------
    names : sequence of str
        Phases that there are.
    """
    if "launch" not in names:
        return "Launch: no droop can be set on this wing, so it is launched as in cruise."
    if setup.aircraft.motor:
        return (
            "Launch: the climb with power, with a little droop or none. The numbers are those with the motor "
            "off. What its pull does to the nose is not worked out: find that high up, in small steps of "
            "throttle, and mix elevator to the throttle, not to this phase."
        )
    return (
        "Launch: a little droop for the winch, the bungee or the hand, no more (common practice, no source). "
        "On a winch the wing carries more than the weight, and a drooped tip lets go sooner. After the "
        "release it is flown as in cruise."
    )


def elevons_words(aircraft: Aircraft) -> str:
    """Say why nothing can droop or brake on a wing that has elevons alone; nothing of any other."""
    if not aircraft.of_kind("elevon") or aircraft.of_kind("aileron", "flap"):
        return ""
    return (
        f"{aircraft.name} has no elevator: its elevons are elevator and ailerons in one. Drooped together "
        "they put the nose down before they carry more, so they give no camber, and nothing is to be taken "
        "away again. Fly slower or faster with the pitch stick and its trim."
    )


def no_droop_words(setup: Setup) -> str:
    """Say why no mix can droop or brake on a wing: elevons alone, or one output; nothing of any other."""
    plugs = [setup.wiring[part.name] for part in setup.aircraft.of_kind("aileron")]
    if setup.aircraft.of_kind("flap") or not plugs[1:] or len(set(plugs)) > 1:
        return elevons_words(setup.aircraft)
    return (
        "One output moves both ailerons, so they cannot go down or up together apart from roll: each needs a "
        "servo and an output of its own."
    )


def rests_table(setup: Setup, names: Sequence[str]) -> str:
    """Write where the surfaces rest in some phases: those kept, the usual ones for the rest.

    Parameters
    ----------
    names : sequence of str
        Such as ``("thermal", "speed")``.
    """
    phases = [phase for phase in complete(setup) if phase.name in names]
    rows = []
    for row in rows_of(setup.aircraft, [phase.angles_deg for phase in phases]):
        part = setup.aircraft.surface(row.names[0])
        angles = (phase.angles_deg.get(part.name, 0.0) for phase in phases)
        rests = (movement(part, angle, float(throw_mm_from_angle(angle, part.chord_mm))) for angle in angles)
        rows.append([row.label, *rests])
    rows += (
        [["roll of its own", *(phase.roll_words or "none" for phase in phases)]] if setup.roll_kept else []
    )
    return text_table([setup.aircraft.name, *(phase.name for phase in phases)], rows)


def own_roll_words(setup: Setup) -> str:
    """Say what each number of roll in a phase means, and what to do where one holds for all phases."""
    one = ["roll rate"] if setup.aircraft.of_kind("aileron", "elevon") else []
    one += ["differential"] if setup.aircraft.of_kind("aileron") else []
    one = [name for name in one if name not in setup.roll_kept]
    said = [_ROLL_WORDS[name] for name in setup.roll_kept]
    if one:
        said.append(
            f"{setup.radio.name} has one {listed(one)} for all phases of this wing: set "
            f"{'them' if one[1:] else 'it'} for the landing, where roll is short, and move the stick less "
            "when fast."
        )
    return " ".join(said)


_ROLL_WORDS = {
    "roll rate": "Roll rate: the share of full roll that full stick gives.",
    "differential": "Differential: how much less an aileron goes down than up.",
}


def lever_words(setup: Setup, phase: Phase) -> str:
    """Say which place of a lever comes nearest to a phase, and what it misses.

    Returns
    -------
    str
        Such as ``"camber 20 % (droop); misses 0.4 mm (elevator)"``.
    """
    found = nearest_lever(setup, phase)
    name, missed = found.worst
    left = f"misses {abs(missed):.1f} mm ({name})" if abs(missed) >= 0.05 else "nothing missed"
    if not found.command:
        return f"all at neutral; {left}"
    end = COMMAND_ENDS[found.command][found.value > 0]
    return f"{found.command} {100 * abs(found.value):.0f} % ({end}); {left}"


def _throw_mm(aircraft: Aircraft, angle_deg: float) -> float:
    """Throw of what trims, mm; the two of a V-tail and elevons are alike."""
    (part, *_) = aircraft.of_kind("elevator", "v-tail") or aircraft.of_kind("elevon")
    return float(throw_mm_from_angle(angle_deg, part.chord_mm))


def _way(mm: float) -> str:
    return "down" if mm > 0 else "up"


def _mm(aircraft: Aircraft, angle_deg: float) -> str:
    mm = _throw_mm(aircraft, angle_deg)
    return f"{abs(mm):.1f} mm {_way(mm)}" if abs(mm) >= 0.05 else "none"


def _banded(aircraft: Aircraft, angle_deg: float, *ends_deg: float) -> str:
    """Such as ``"1.9 (1.3 to 2.6) down"``; none where no end of the band is worth a click of trim."""
    mm, low, high = (_throw_mm(aircraft, angle) for angle in (angle_deg, *sorted(ends_deg)))
    if max(abs(low), abs(high)) < LEAST_MM:
        return "none"
    if low < 0 < high:
        return f"{-low:.1f} up to {high:.1f} down"
    nearest, furthest = sorted((abs(low), abs(high)))
    return f"{abs(mm):.1f} ({nearest:.1f} to {furthest:.1f}) {_way(mm)}"


def _trim(aircraft: Aircraft, item: FlownPhase) -> str:
    return _banded(aircraft, item.trim_deg, *band("elevator change", item.trim_deg))


def _holds(aircraft: Aircraft, item: FlownPhase) -> str:
    """What the stick adds, and its share of the way that it has there."""
    mm = _throw_mm(aircraft, item.stick_deg)
    if abs(mm) < LEAST_MM:
        return "nothing"
    left = item.left.get("pitch")
    room = (left.down_mm if mm > 0 else left.up_mm) if left else 0.0
    share = f", {100 * abs(mm) / room:.0f} % of the stick" if room else ""
    return f"{abs(mm):.1f} {_way(mm)}{share}"


def _left(item: FlownPhase, command: str) -> str:
    left: Left | None = item.left.get(command)
    if left is None:
        return "does not answer"
    return f"{left.up_mm:.1f} / {left.down_mm:.1f} mm, {100 * left.share:.0f} %"
