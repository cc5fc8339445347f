"""Flight phases in the air: the angles of launch, thermal, cruise, speed and landing, and how each flies.

Two elevators belong to a phase.  One goes with its switch or lever: it takes away the pitch change of flap,
reflex and brake at one speed, no more.  The other is its trim: with it the aircraft flies the phase's own
speed hands off.  Both count from the elevator's place in cruise.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.doubt import every
from mixlib.air.aircraft.elevator import Compensation, compensation
from mixlib.air.aircraft.flight import Performance, trimmed_at
from mixlib.air.aircraft.from_setup import angles_at, known_performance
from mixlib.air.aircraft.glide import Trimmed
from mixlib.air.aircraft.handling import Roll, roll
from mixlib.air.aircraft.trim import at_incidence
from mixlib.bench.fit.wants import DROOP_DEG
from mixlib.bench.surface.left import Left
from mixlib.bench.surface.levers import PHASE_NAMES, added
from mixlib.bench.surface.own_roll import with_usual_roll
from mixlib.chain import Rig, commands
from mixlib.chain.transition import Transition, transition
from mixlib.describe import Aircraft, Phase, Setup
from mixlib.units import HALF_MM, throw_mm_from_angle, to_step

__all__ = [
    "Change",
    "FlownPhase",
    "change",
    "complete",
    "elevator_over_lever",
    "fly_phase",
    "held_speed_m_s",
    "phase_at",
    "phase_speed_m_s",
    "usual_phases",
    "wing_angles",
]

SPEED_FACTOR = 2.0
"""Speed of the phase "speed" over the clean wing's speed of best glide; common practice, no source."""

_DIAL = np.linspace(0.0, 1.0, 101)
_STICKS = {"roll": ("aileron", "elevon"), "pitch": ("elevator", "v-tail", "elevon")}
_SLOWEST = 1.1  # times the stalling speed: slower than this no elevator is compared
_STILL_DEG = 0.05  # a surface that turns by less has not moved
_MOMENTS = 13


@dataclass(frozen=True)
class FlownPhase:
    """How a phase flies.

    Attributes
    ----------
    glide, cruise : Trimmed
        The glide at the phase's own speed, and the clean wing's best glide.
    elevator : Compensation
        Elevator that holds one speed, from the clean wing to the phase.
    set_deg : float
        The elevator of the phase, trailing edge down +.
    roll : Roll
        The roll that full roll command gives at that speed, as far as travel is left.
    left : dict of str to Left
        What full roll and pitch commands move there, of the right-hand or only surface.
    """

    phase: Phase
    performance: Performance
    glide: Trimmed
    cruise: Trimmed
    elevator: Compensation
    set_deg: float
    roll: Roll
    left: dict[str, Left]

    @property
    def doubts(self) -> int:
        """What casts doubt on the stall, glide, elevator or roll, as flags of `Doubt` (no unit)."""
        return every(self.performance.stall.doubts, self.trim_doubts, self.elevator.doubts, self.roll.doubts)

    @property
    def trim_doubts(self) -> int:
        """What casts doubt on the trim, as flags of `Doubt` (no unit)."""
        return every(self.glide.doubts, self.cruise.doubts)

    @property
    def elevator_deg(self) -> float:
        """Elevator that goes with the switch or lever, trailing edge down +."""
        return float(self.elevator.change_deg[-1])

    @property
    def trim_deg(self) -> float:
        """Elevator with which it flies its own speed hands off, trailing edge down +."""
        return float(self.glide.elevator_deg - self.cruise.elevator_deg)

    @property
    def stick_deg(self) -> float:
        """What the stick must hold at the phase's own speed, beside the elevator as set, down +."""
        return self.trim_deg - self.set_deg


@dataclass(frozen=True)
class Change:
    """A change of phase in time, at one speed.

    Attributes
    ----------
    set_deg : numpy.ndarray
        Shape (moments,): where the elevator is.
    clean : Trimmed
        The clean wing's glide at that speed.
    glides : Trimmed
        Shape (moments,): the glide that every moment would settle to.
    at_once : Trimmed
        The last phase at the incidence of the first.
    """

    transition: Transition
    speed_m_s: float
    set_deg: np.ndarray
    clean: Trimmed
    glides: Trimmed
    at_once: Trimmed

    @property
    def doubts(self) -> int:
        """What casts doubt on a moment of it, as flags of `Doubt` (no unit)."""
        return every(self.clean.doubts, self.glides.doubts)

    @property
    def needed_deg(self) -> np.ndarray:
        """Shape (moments,): elevator that holds the speed at each moment, less what the clean wing needs."""
        return self.glides.elevator_deg - self.clean.elevator_deg

    @property
    def lift_share(self) -> float:
        """Share of the first lift that the last phase has at the incidence of the first."""
        return float(self.at_once.lift / self.glides.lift[0])

    @property
    def sink_m_s(self) -> np.ndarray:
        """Shape (moments,): sink with the nose kept where it points, once the incidence has grown to carry
        the weight again."""
        path_deg = self.glides.path_deg[0] + self.glides.alpha_deg - self.glides.alpha_deg[0]
        return self.speed_m_s * np.sin(np.radians(path_deg))

    @property
    def settled_sink_m_s(self) -> float:
        """Sink of the steady glide of the last phase at that speed."""
        return float(self.glides.sink_m_s[-1])

    @property
    def worst(self) -> tuple[float, float]:
        """Time in s, and elevator in deg that is there and not needed (down +), when it is furthest out."""
        at = int(np.argmax(np.abs(self.out_deg)))
        return float(self.transition.time_s[at]), float(self.out_deg[at])

    @property
    def out_deg(self) -> np.ndarray:
        """Shape (moments,): elevator that is there and not needed, trailing edge down +."""
        return self.set_deg - self.needed_deg

    def out_for_s(self, more_than_deg: float) -> float:
        """How long the elevator is out by more than an angle, not counted once all surfaces have arrived."""
        fine = np.linspace(0.0, float(self.transition.arrives_s.max()), 401)
        out = np.interp(fine, self.transition.time_s, self.out_deg)
        return float(np.mean(np.abs(out) > more_than_deg) * fine[-1])


def phase_speed_m_s(name: str, found: Performance, clean: Performance) -> float:
    """Speed at which a phase is flown.

    Thermal at least sink, landing at the approach speed, speed at `SPEED_FACTOR` times the clean best glide,
    all others at their best glide.
    """
    if name == "speed":
        return SPEED_FACTOR * float(clean.best_glide.speed_m_s)
    return float(_on_polar(name, found).speed_m_s)


def phase_at(setup: Setup, name: str, **values: float) -> Phase:
    """Make a phase of what the levers do, with the elevator that goes with it.

    Parameters
    ----------
    **values : float
        Commands, such as ``camber=0.3`` or ``brake=1``.

    Returns
    -------
    Phase
        Angles in deg, to a tenth, of all surfaces of the wing and of those that trim.
    """
    airframe = Airframe.from_aircraft(setup.aircraft)
    angles = angles_at(setup, **values)
    elevator = 0.0
    if _moves(angles):
        (elevator,) = elevator_over_lever(setup.aircraft, name, [angles])
    angles |= dict.fromkeys(airframe.pitch_names, elevator)
    return Phase(name=name, angles_deg={part: round(angle, 1) + 0.0 for part, angle in angles.items()})


def elevator_over_lever(
    aircraft: Aircraft, name: str, places: Sequence[Mapping[str, float]]
) -> tuple[float, ...]:
    """Elevator that holds the speed of a phase on the way there, less what the clean wing needs at it.

    Parameters
    ----------
    name : str
        Such as ``"landing"``.
    places : sequence of mapping of str to float
        Angles of flaps and ailerons, deg, at places of the lever; the last is the phase.

    Returns
    -------
    tuple of float
        Deg at each place, trailing edge down +.

    Raises
    ------
    ValueError
        If the air model cannot fly the aircraft.
    """
    speed = held_speed_m_s(aircraft, name, places[-1])
    return tuple(compensation(Airframe.from_aircraft(aircraft), [{}, *places], speed).change_deg[1:].tolist())


def held_speed_m_s(aircraft: Aircraft, name: str, angles: Mapping[str, float]) -> float:
    """Speed at which the elevator that goes with a phase is worked out, to a tenth.

    It is the phase's own, or the one nearest to it that the clean wing can fly too.

    Parameters
    ----------
    name : str
        Such as ``"landing"``.
    angles : mapping of str to float
        Angles of flaps and ailerons in it, deg.
    """
    clean, found = known_performance(aircraft), known_performance(aircraft, angles)
    slowest = max(_SLOWEST * float(item.stall.speed_m_s) for item in (clean, found))
    return to_step(max(phase_speed_m_s(name, found, clean), slowest), 0.1)


def usual_phases(setup: Setup) -> tuple[Phase, ...]:
    """Phases to start from, as near to the usual droop and reflex as the levers of a set-up come.

    Landing is the full brake where there is one.  Without droop there is nothing to set for a launch, and it
    is left out.  Roll is as usual in them.
    """
    levers = {name: {"camber": _place(setup, name)} for name in DROOP_DEG}
    brake = {"brake": setup.used_to("brake", 1)}
    if "brake" in setup.radio.commands and _moves(angles_at(setup, **brake)):
        levers["landing"] = brake
    levers["cruise"] = {}
    names = [name for name in PHASE_NAMES if name != "launch" or levers["launch"]["camber"]]
    return tuple(with_usual_roll(setup, phase_at(setup, name, **levers[name])) for name in names)


def complete(setup: Setup) -> tuple[Phase, ...]:
    """The phases of a set-up, with the usual ones where it has none of that name.

    Returns
    -------
    tuple of Phase
        Those of `PHASE_NAMES` first, then the reader's others.
    """
    missing = any(setup.phase(name) is None for name in PHASE_NAMES)
    known = {phase.name: phase for phase in (*(usual_phases(setup) if missing else ()), *setup.phases)}
    first = [known[name] for name in PHASE_NAMES if name in known]
    return (*first, *(phase for phase in setup.phases if phase.name not in PHASE_NAMES))


def fly_phase(setup: Setup, phase: Phase) -> FlownPhase:
    """Fly a phase at its own speed."""
    airframe = Airframe.from_aircraft(setup.aircraft)
    angles = wing_angles(setup, phase)
    clean, found = known_performance(setup.aircraft), known_performance(setup.aircraft, angles)
    speed = phase_speed_m_s(phase.name, found, clean)
    compared = held_speed_m_s(setup.aircraft, phase.name, angles)
    known = None
    if phase.name == "speed":
        glide = trimmed_at(airframe, angles, speed)
    else:
        glide = _on_polar(phase.name, found)
        known = Trimmed.row(clean.at_speed(compared), found.at_speed(compared))
    moves, left = _moved(setup, phase)
    return FlownPhase(
        phase=phase,
        performance=found,
        glide=glide,
        cruise=clean.best_glide,
        elevator=compensation(airframe, [{}, angles], compared, own=known),
        set_deg=_as_set(airframe, phase.angles_deg),
        roll=roll(airframe, moves, speed, angles, straight=glide),
        left=left,
    )


def wing_angles(setup: Setup, phase: Phase) -> dict[str, float]:
    """Angles in deg of flaps and ailerons of a phase, by name; what trims is left out."""
    parts = setup.aircraft.of_kind("aileron", "flap")
    return {part.name: phase.angles_deg.get(part.name, 0.0) for part in parts}


def change(setup: Setup, start: Phase, end: Phase, over_s: float, speed_m_s: float) -> Change:
    """Follow the surfaces from one phase to another, and the elevator that every moment would need.

    The aircraft is taken to keep its speed, and the air to follow at once.  What is out of balance for a
    moment is told in degrees of elevator, and as the sink with the nose kept where it points; how the nose
    then swings is not worked out.

    Parameters
    ----------
    start, end : Phase
        From where to where.
    over_s : float
        Time that the radio takes for the change, s; 0 is at once.
    speed_m_s : float
        The speed that is kept, m/s; both phases must be able to fly it.

    Raises
    ------
    ValueError
        If a linkage cannot reach a phase, or a number is out of its range.
    """
    airframe = Airframe.from_aircraft(setup.aircraft)
    moved = transition(setup.aircraft, start.angles_deg, end.angles_deg, over_s, _MOMENTS)
    columns = {name: moved.surface_deg[:, place] for place, name in enumerate(moved.names)}
    wing = {part.name: columns[part.name] for part in setup.aircraft.of_kind("aileron", "flap")}
    rows = {name: np.append(0.0, angles) for name, angles in wing.items()}
    glides = trimmed_at(airframe, rows, np.full(1 + len(moved.time_s), float(speed_m_s)))
    last = {name: float(angles[-1]) for name, angles in wing.items()}
    return Change(
        transition=moved,
        speed_m_s=float(speed_m_s),
        set_deg=np.mean([columns[name] for name in airframe.pitch_names], axis=0),
        clean=glides[0],
        glides=glides[1:],
        at_once=at_incidence(airframe, airframe.angles_deg(last), glides.alpha_deg[1]),
    )


def _on_polar(name: str, found: Performance) -> Trimmed:
    """The glide of a phase, if it is one that a polar is read for."""
    return {"thermal": found.least_sink, "landing": found.approach}.get(name, found.best_glide)


def _moves(angles_deg: Mapping[str, float]) -> bool:
    return any(abs(angle) > _STILL_DEG for angle in angles_deg.values())


def _place(setup: Setup, name: str) -> float:
    """Place of the camber control at which the wing comes nearest to the droop of a phase."""
    if "camber" not in setup.radio.commands:
        return 0.0
    wanted = DROOP_DEG[name]
    places = np.round(setup.used_to("camber", 1 if wanted > 0 else -1) * _DIAL, 3)
    angles = Rig(setup).run(np.array([commands(camber=place) for place in places])).surface
    wing = [part.kind in ("aileron", "flap") for part in setup.aircraft.surfaces]
    misses = np.sum((angles[:, wing] - wanted) ** 2, axis=-1)
    return float(places[np.argmin(np.round(misses, 6))])


def _moved(setup: Setup, phase: Phase) -> tuple[dict[str, np.ndarray], dict[str, Left]]:
    """What full roll moves in a phase, deg, and what is left there of full roll and full pitch."""
    asked = {"roll": np.array([0, 1, -1, 0, 0]), "pitch": np.array([0, 0, 0, 1, -1])}
    here, clean = (added(setup, rest, **asked) for rest in (phase, Phase(name="clean", angles_deg={})))
    left = {}
    for command, kinds in _STICKS.items():
        for part in [part for part in setup.aircraft.of_kind(*kinds) if part.side != "left"][:1]:
            rows = [
                np.asarray(throw_mm_from_angle(angles[part.name], part.chord_mm)) for angles in (here, clean)
            ]
            throws, whole = ((row - row[0])[asked[command] != 0] for row in rows)
            if np.ptp(whole) >= HALF_MM:
                up, down = max(-float(throws.min()), 0.0), max(float(throws.max()), 0.0)
                share = float(np.ptp(throws) / np.ptp(whole))
                left[command] = Left(phase.name, command, part.name, up, down, share)
    return {name: angles[1] - angles[0] for name, angles in here.items()}, left


def _as_set(airframe: Airframe, angles_deg: Mapping[str, float]) -> float:
    return float(np.mean([angles_deg.get(name, 0.0) for name in airframe.pitch_names]))
