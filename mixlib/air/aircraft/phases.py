"""Flight phases in the air: which angles suit thermal, cruise, speed and landing, and how each of them flies.

The elevator of a phase holds the speed that the aircraft has when the other surfaces move there: it takes
away the pitch change of flap, reflex and brake, no more.  Flying faster or slower stays with the stick.
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
from mixlib.bench.surface.levers import PHASE_NAMES, added
from mixlib.chain.transition import Transition, transition
from mixlib.describe import Aircraft, Phase, Setup

__all__ = [
    "Change",
    "FlownPhase",
    "change",
    "complete",
    "elevator_over_lever",
    "fly_phase",
    "phase_at",
    "phase_speed_m_s",
    "usual_phases",
    "wing_angles",
]

SPEED_FACTOR = 2.0
"""Speed of the phase "speed" over the clean wing's speed of best glide; common practice, no source."""

_LANDING_DROOP_DEG = 15.0  # ailerons alone: more droop than this costs more roll than it brings drag
_DIAL = np.linspace(0.0, 1.0, 11)
_SLOWEST = 1.1  # times the stalling speed: slower than this no elevator is compared
_STILL_DEG = 0.05  # a surface that turns by less has not moved
_MOMENTS = 13


@dataclass(frozen=True)
class FlownPhase:
    """How a phase flies.

    Attributes
    ----------
    glide : Trimmed
        The glide at the phase's own speed.
    elevator : Compensation
        Elevator that holds that speed, from the clean wing to the phase.
    stick_deg : float
        What the stick must add to the elevator as set, trailing edge down +.
    roll : Roll
        The roll that full roll command gives at that speed, as far as travel is left.
    """

    phase: Phase
    performance: Performance
    glide: Trimmed
    elevator: Compensation
    stick_deg: float
    roll: Roll

    @property
    def doubts(self) -> int:
        """What casts doubt on the stall, glide, elevator or roll, as flags of `Doubt` (no unit)."""
        return every(self.performance.stall.doubts, self.glide.doubts, self.elevator.doubts, self.roll.doubts)

    @property
    def elevator_deg(self) -> float:
        """Elevator that goes with the phase, trailing edge down +."""
        return float(self.elevator.change_deg[-1])


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
    clean, found = known_performance(aircraft), known_performance(aircraft, places[-1])
    speed = _comparable(phase_speed_m_s(name, found, clean), clean, found)
    return tuple(compensation(Airframe.from_aircraft(aircraft), [{}, *places], speed).change_deg[1:].tolist())


def usual_phases(setup: Setup) -> tuple[Phase, ...]:
    """Phases to start from, as the levers of a set-up reach them.

    Thermal is the droop with the least sink, speed the reflex with the least sink at speed, landing the full
    brake; on a radio without one, the droop nearest to 15 deg of aileron.

    Returns
    -------
    tuple of Phase
        One for each of `PHASE_NAMES`.
    """
    airframe = Airframe.from_aircraft(setup.aircraft)
    held = setup.radio.commands
    thermal: dict[str, float] = {}
    speed, landing = thermal, thermal
    if "camber" in held:
        droop, reflex = (setup.used_to("camber", way) * _DIAL for way in (1, -1))
        drooped = [known_performance(setup.aircraft, angles_at(setup, camber=place)) for place in droop]
        thermal = {"camber": float(droop[np.argmin([found.least_sink.sink_m_s for found in drooped])])}
        fast = SPEED_FACTOR * float(known_performance(setup.aircraft).best_glide.speed_m_s)
        reflexed = [angles_at(setup, camber=place) for place in reflex]
        rows = {name: np.array([angles[name] for angles in reflexed]) for name in reflexed[0]}
        sinks = np.broadcast_to(trimmed_at(airframe, rows, fast).sink_m_s, _DIAL.shape)
        speed = {"camber": float(reflex[np.argmin(np.round(sinks, 3))])}
        landing = {"camber": _landing_droop(setup)}
    brake = setup.used_to("brake", 1)
    if "brake" in held and _moves(angles_at(setup, brake=brake)):
        landing = {"brake": brake}
    levers = {"thermal": thermal, "cruise": {}, "speed": speed, "landing": landing}
    return tuple(phase_at(setup, name, **levers[name]) for name in PHASE_NAMES)


def complete(setup: Setup) -> tuple[Phase, ...]:
    """The phases of a set-up, with the usual ones where it has none of that name.

    Returns
    -------
    tuple of Phase
        Those of `PHASE_NAMES` first, then the reader's others.
    """
    missing = any(setup.phase(name) is None for name in PHASE_NAMES)
    usual = {phase.name: phase for phase in usual_phases(setup)} if missing else {}
    first = [setup.phase(name) or usual[name] for name in PHASE_NAMES]
    return (*first, *(phase for phase in setup.phases if phase.name not in PHASE_NAMES))


def fly_phase(setup: Setup, phase: Phase) -> FlownPhase:
    """Fly a phase at its own speed."""
    airframe = Airframe.from_aircraft(setup.aircraft)
    angles = wing_angles(setup, phase)
    clean, found = known_performance(setup.aircraft), known_performance(setup.aircraft, angles)
    speed = phase_speed_m_s(phase.name, found, clean)
    compared = _comparable(speed, clean, found)
    if phase.name != "speed":
        read = Trimmed.row(clean.at_speed(compared), found.at_speed(compared))
        elevator, glide = (
            compensation(airframe, [{}, angles], compared, own=read),
            _on_polar(phase.name, found),
        )
    else:
        elevator = compensation(airframe, [{}, angles], compared)
        glide = elevator.glides[-1] if compared == speed else trimmed_at(airframe, angles, speed)
    resting = added(setup, phase.angles_deg)
    turned = added(setup, phase.angles_deg, roll=1.0)
    movement = {name: turned[name] - resting[name] for name in airframe.names}
    return FlownPhase(
        phase=phase,
        performance=found,
        glide=glide,
        elevator=elevator,
        stick_deg=float(elevator.change_deg[-1]) - _as_set(airframe, phase.angles_deg),
        roll=roll(airframe, movement, speed, angles, straight=glide),
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


def _landing_droop(setup: Setup) -> float:
    """Place of the camber dial at which the ailerons droop most, but no more than they should for landing."""
    for place in setup.used_to("camber", 1) * _DIAL[::-1]:
        angles = angles_at(setup, camber=place)
        drooped = [angles[part.name] for part in setup.aircraft.of_kind("aileron")]
        if not drooped or max(drooped) <= _LANDING_DROOP_DEG + 1.0:
            return float(place)
    return 0.0


def _comparable(speed_m_s: float, clean: Performance, found: Performance) -> float:
    """The speed nearest to a phase's that the clean wing can fly too."""
    return max(speed_m_s, *(_SLOWEST * float(item.stall.speed_m_s) for item in (clean, found)))


def _as_set(airframe: Airframe, angles_deg: Mapping[str, float]) -> float:
    return float(np.mean([angles_deg.get(name, 0.0) for name in airframe.pitch_names]))
