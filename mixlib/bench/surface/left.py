"""What is left of every stick with the levers out, and what runs out first, in mm."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from mixlib.bench.surface.budget import first_limits
from mixlib.bench.surface.levers import lever_end
from mixlib.bench.surface.rests import STEERED, Rests, end_words, where_words
from mixlib.chain.surfaces import SurfaceRow
from mixlib.describe import Setup
from mixlib.describe.words import sentence_start
from mixlib.units import HALF_MM

__all__ = ["Left", "RunsOut", "left_in_phases", "runs_out"]

_WAYS = np.array([1.0, -1.0])


@dataclass(frozen=True)
class Left:
    """What a stick moves one pair of surfaces, or one alone, with the levers at one place.

    Attributes
    ----------
    where : str
        Where the levers stand, with the phase that this is.
    surface : str
        The right-hand one of a pair; left is its mirror.
    up_mm, down_mm : float
        From where it rests there, up and down (rudder: right and left), mm without sign.
    share : float
        Of the movement with all levers at neutral, 0 to 1.
    """

    where: str
    command: str
    surface: str
    up_mm: float
    down_mm: float
    share: float

    @property
    def down_share(self) -> float:
        """Way down as a share of the way up: below 1 is a differential; 1 where nothing goes up."""
        return self.down_mm / self.up_mm if self.up_mm >= HALF_MM else 1.0


@dataclass(frozen=True)
class RunsOut:
    """A movement that is cut short.

    Attributes
    ----------
    where : str
        Where sticks and levers stand.
    lost_mm : float
        What the surface would go further, mm without sign.
    reason : str
        What ends it, in words.
    roll_share : float
        What is left of the roll movement wherever the levers stand there, of that at neutral, 0 to 1.
    """

    where: str
    surface: str
    output: int
    lost_mm: float
    reason: str
    roll_share: float

    @property
    def words(self) -> str:
        """One sentence."""
        roll = (
            f" {100 * self.roll_share:.0f} % of the roll are left there." if self.roll_share < 0.995 else ""
        )
        return (
            f"{sentence_start(self.where)}: the {self.surface} loses {self.lost_mm:.1f} mm at {self.reason} "
            f"(output {self.output}).{roll}"
        )


def left_in_phases(setup: Setup) -> tuple[Left, ...]:
    """What every stick moves at neutral, at either end of each lever, past its mark, and in each phase.

    The brake is looked at half out too.

    Raises
    ------
    LinkageError
        If a linkage cannot close at neutral; the text names the surface.
    """
    bench, found = Rests(setup), []
    phases = {
        (end[0], setup.used_to(end[0], 1 if end[1] == "above" else -1)): f" ({phase.name})"
        for phase in setup.phases
        if not phase.own_roll and (end := lever_end(setup, phase.name))
    }
    for command, kinds in STEERED.items():
        throws = bench.throws_mm(**{command: np.array([1.0, 0.0, -1.0])})
        for unit in bench.units:
            if bench.surfaces[unit[0]].kind not in kinds or not bench.answers(command, unit):
                continue
            moved = throws[:, ::2, unit[0]] - throws[:, 1:2, unit[0]]
            way = moved[:, 0] - moved[:, 1]
            if abs(way[0]) < HALF_MM:  # the left one alone answers
                continue
            for row in _alone(bench):
                rest = bench.rests[row]
                levers = [lever for lever in rest.levers.items() if lever[1]]
                phase = phases.get(levers[0], "") if levers else ""
                found.append(
                    Left(
                        where=(rest.words or "neutral") + phase,
                        command=command,
                        surface=bench.surfaces[unit[0]].name,
                        up_mm=float(max(0.0, -moved[row].min())),
                        down_mm=float(max(0.0, moved[row].max())),
                        share=float(way[row] / way[0]),
                    )
                )
    return tuple(found)


def runs_out(setup: Setup) -> tuple[RunsOut, ...]:
    """Where end points, pulse ranges and stops cut a movement short, the worst first.

    Every stick is looked at both ways, and every two that share surfaces, with the levers at neutral, each at
    its ends, and in each phase; and the levers alone.  Told is what loses half a millimetre, and half a
    millimetre more than its parts alone do, or than with the levers at neutral.

    Raises
    ------
    LinkageError
        If a linkage cannot close at neutral; the text names the surface.
    """
    bench, found = Rests(setup), []
    rows, limits, kept = _alone(bench), first_limits(setup), _roll_kept(bench)
    sure: dict[tuple[str, ...], np.ndarray] = {}  # lost by the levers alone, and by one stick alone
    for sticks in ((), *((stick,) for stick in STEERED), *_sharing(bench)):
        ways = np.meshgrid(*[_WAYS] * len(sticks), indexing="ij") if sticks else [np.zeros(1)]
        lost, asked = _lost_mm(bench, dict(zip(sticks or ("roll",), ways, strict=True)))
        parts = np.zeros_like(lost)
        if len(sticks) == 1:
            parts = np.maximum(sure[()], lost[:1])  # the same with the levers at neutral
            parts[0] = sure[()][0]
        elif sticks:
            parts = np.maximum(sure[sticks[:1]][:, :, None], sure[sticks[1:]][:, None])
        sure[sticks] = lost
        for row, *at, place in np.argwhere(lost >= HALF_MM + parts):
            if row not in rows:
                continue
            name, demand = bench.surfaces[place].name, asked[row, *at, place]
            output = setup.wiring[name]
            (limit,) = (one for one in limits if (one.output, one.upper) == (output, demand > 0))
            held = [end_words(stick, float(_WAYS[way])) for stick, way in zip(sticks, at, strict=False)]
            found.append(
                RunsOut(
                    where=where_words([*held, bench.rests[row].words]),
                    surface=name,
                    output=output,
                    lost_mm=float(lost[row, *at, place]),
                    reason=limit.words,
                    roll_share=float(kept[row]),
                )
            )
    return tuple(sorted(found, key=lambda one: -one.lost_mm))


def _sharing(bench: Rests) -> list[tuple[str, str]]:
    """Sticks that move the same surfaces: those of elevons, those of a V-tail."""
    kinds = {surface.kind for surface in bench.surfaces}
    both = combinations(STEERED, 2)
    return [(one, other) for one, other in both if kinds & set(STEERED[one]) & set(STEERED[other])]


def _alone(bench: Rests) -> list[int]:
    """Rests with no more than one lever out."""
    return [row for row, rest in enumerate(bench.rests) if len(rest.due) < 2]


def _roll_kept(bench: Rests) -> np.ndarray:
    """Share of the roll movement at neutral that is left at each rest."""
    places = [place for place, surface in enumerate(bench.surfaces) if surface.kind in STEERED["roll"]]
    if not bench.answers("roll", places):
        return np.ones(len(bench.rests))
    throws = bench.throws_mm(roll=_WAYS)[..., places]
    ways = throws[:, 0] - throws[:, 1]
    return ways @ np.sign(ways[0]) / np.abs(ways[0]).sum()


def _lost_mm(bench: Rests, sticks: dict[str, np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
    """What surfaces would go further without any limit but their linkages, mm; the demands, percent."""
    radio, demand = bench.setup.radio, bench.demand_percent(**sticks)
    outputs = [bench.setup.output(bench.setup.wiring[surface.name]) for surface in bench.surfaces]
    moved = demand * np.array([-1.0 if output.reversed else 1.0 for output in outputs])
    if radio.end_points == "scale":
        low, high = np.array([(output.end_low_percent, output.end_high_percent) for output in outputs]).T
        moved = moved * np.where(moved > 0, high, low) / 100
    travel = moved + np.array([output.sub_trim_percent for output in outputs])
    unstopped = [
        part.replace(
            stop_up_deg=90.0, stop_down_deg=90.0, servo=part.servo.replace(min_us=500.0, max_us=2500.0)
        )
        for part in bench.surfaces
    ]
    free = SurfaceRow(unstopped).follow(radio.centre_us + travel * radio.us_per_100_percent / 100).throw_mm
    return np.abs(free - bench.throws_mm(**sticks)), demand
