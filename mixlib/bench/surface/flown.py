"""Whether a set-up can be flown: every stick with every lever and phase in, through the whole chain.

A left/right pair is one thing.  Seen in a mirror, a stick to the right is a stick to the left; so the left
surface must do for it what the right one does for the other side, wherever the levers stand.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

import numpy as np

from mixlib.bench.surface.rests import STEERED, Rests, end_words, pair_words, where_words
from mixlib.chain import commands
from mixlib.describe import Setup
from mixlib.describe.words import sentence_start

__all__ = ["KEEP_SHARE", "NEAR_SHARE", "Fault", "Flown", "Kept", "flyable"]

KEEP_SHARE = 0.5
"""Share of roll and pitch that is to be left wherever droop and brake stand; common practice, no source."""

NEAR_SHARE = 0.01
"""What is kept may be short of what is wanted by this share."""

_ALIKE_MM, _ALIKE_SHARE = 1.0, 0.1  # left and right may differ by this or by this share of the movement
_DEAD_SHARE = 0.1  # of a stick's way

_STICKS = np.array([-1.0, -0.5, 0.0, 0.5, 1.0])
_SWEEP = np.linspace(0, 1, 41)


@dataclass(frozen=True)
class Kept:
    """What is left of a stick's movement.

    Attributes
    ----------
    where : str
        Where levers and the other sticks stand, in words.
    share : float
        Of the movement with everything at neutral, at the roll rate of the phase, 0 to 1.
    due : tuple of (str, str)
        Command and side of what stands out of neutral.
    """

    command: str
    where: str
    share: float
    due: tuple[tuple[str, str], ...] = ()


class Fault(NamedTuple):
    """A broken condition.

    Attributes
    ----------
    ratio : float
        How far out it is, in times of what is allowed.
    words : str
        One sentence.
    sort : str
        ``"mirror"``, ``"kept"`` or ``"dead"``.
    command : str
        The stick that keeps too little or is dead.
    unit : tuple of int
        Places of the surfaces that part or stand still.
    due : tuple of (str, str)
        Command and side of the levers, and for what is kept of the other sticks, that stand out of neutral.
    """

    ratio: float
    words: str
    sort: str
    command: str = ""
    unit: tuple[int, ...] = ()
    due: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Flown:
    """What a flyer finds who moves every stick with every lever.

    Attributes
    ----------
    asymmetry_mm : float
        Largest difference between left and the mirror of right, mm.
    kept : tuple of Kept
        For each stick and each place of the levers.
    beyond : tuple of Kept
        The same with a dial turned past its mark to its end.
    broken : tuple of Fault
        The worst of each sort of broken condition, the worst first.
    """

    asymmetry_mm: float
    kept: tuple[Kept, ...]
    beyond: tuple[Kept, ...]
    broken: tuple[Fault, ...]

    @property
    def faults(self) -> tuple[str, ...]:
        """What breaks a condition, one sentence each; empty when the set-up can be flown."""
        return tuple(fault.words for fault in self.broken)

    @property
    def worst_ratio(self) -> float:
        """The broken condition furthest out, in times of what is allowed; 1 when none is broken."""
        return max((fault.ratio for fault in self.broken), default=1.0)

    def least_kept(self, command: str, where: str = "") -> float:
        """Least share of a stick's movement, 0 to 1, wherever those words stand; 1 where nothing is told."""
        found = (kept.share for kept in self.kept if kept.command == command and where in kept.where)
        return min(found, default=1.0)


def flyable(setup: Setup, keep: float = KEEP_SHARE) -> Flown:
    """Judge a set-up through the whole chain, at neutral, half and full stick, with every lever and phase in.

    Parameters
    ----------
    keep : float
        Share of roll and pitch that is to be left wherever droop and brake stand, 0 to 1.

    Raises
    ------
    LinkageError
        If a linkage cannot close at neutral; the text names the surface.
    """
    judge = _Judge(setup, keep)
    asymmetry_mm = judge.mirror()
    kept, beyond = judge.shares()
    judge.sweep()
    return Flown(
        asymmetry_mm=asymmetry_mm,
        kept=tuple(kept),
        beyond=tuple(beyond),
        broken=tuple(sorted(judge.faults.values(), reverse=True)),
    )


class _Judge(Rests):
    def __init__(self, setup: Setup, keep: float):
        super().__init__(setup)
        self.keep = keep
        self.faults: dict[tuple[object, ...], Fault] = {}  # the worst of each sort

    def mirror(self) -> float:
        """Every stick in every position, against the same with roll and yaw to the other side."""
        pairs = [unit for unit in self.units if len(unit) == 2]
        paired = [place for pair in pairs for place in pair]
        steps = {"roll": _STICKS, "pitch": _STICKS[::2], "yaw": _STICKS[::2]}
        sticks = {c: at if self.answers(c, paired) else np.zeros(1) for c, at in steps.items()}
        throws = self.throws_mm(
            **dict(zip(sticks, np.meshgrid(*sticks.values(), indexing="ij"), strict=True))
        )
        still, worst = self.rig.run(commands()).throw, 0.0
        middle = [len(at) // 2 for at in sticks.values()]
        for right, left in pairs:
            ours, theirs = throws[..., right], throws[:, ::-1, :, ::-1, left]
            moved = np.maximum(abs(ours - still[right]), abs(theirs - still[left]))
            apart = np.where(self._marked(3), abs(ours - theirs), 0.0)
            over = apart / np.maximum(_ALIKE_MM, _ALIKE_SHARE * moved)
            worst = max(worst, float(apart.max()))
            if over.max() > 1:
                rest, *place = min(
                    np.argwhere(over > over.max() - 1e-9), key=lambda at: sum(abs(at[1:] - middle))
                )
                at = [
                    end_words(name, at[index])
                    for (name, at), index in zip(sticks.items(), place, strict=True)
                ]
                where = where_words([*at, self.rests[rest].words])
                words = f"{pair_words(self.setup.aircraft, (right, left))}, {where}"
                off = apart[rest, *place]
                told = f"{sentence_start(words)}: left is not the mirror of right, by {off:.1f} mm."
                self._fault(Fault(float(over.max()), told, "mirror", "", (right, left), self.rests[rest].due))
        return worst

    def shares(self) -> tuple[list[Kept], list[Kept]]:
        """What each stick moves, with every lever, and every other stick on the same surfaces."""
        kept: tuple[list[Kept], list[Kept]] = [], []
        for command, kinds in STEERED.items():
            steered = [place for place, surface in enumerate(self.surfaces) if surface.kind in kinds]
            if not self.answers(command, steered):
                continue
            others = [name for name in STEERED if name != command and self.answers(name, steered)]
            held = [("", {}), *((end_words(o, v), {o: v}) for o in others for v in (1.0, -1.0))]
            asked = {name: np.array([[stand.get(name, 0.0)] for _, stand in held]) for name in others}
            throws = self.throws_mm(**{command: np.array([[-1.0, 1.0]])}, **asked)[..., steered]
            ways = throws[:, :, 1] - throws[:, :, 0]
            share = ways @ np.sign(ways[0, 0]) / np.abs(ways[0, 0]).sum()
            if command == "roll":  # a rate that a phase has by choice takes nothing away
                share /= np.array([[rest.roll_share] for rest in self.rests])
            for rest, (stick, (words, stand)) in product(range(len(self.rests)), enumerate(held)):
                due = (
                    *((name, "above" if at > 0 else "below") for name, at in stand.items()),
                    *self.rests[rest].due,
                )
                one = Kept(
                    command, where_words([words, self.rests[rest].words]), float(share[rest, stick]), due
                )
                kept[not self.rests[rest].marked].append(one)
                if self.rests[rest].marked and one.share < self.keep - NEAR_SHARE:
                    told = (
                        f"{sentence_start(command)} keeps {100 * one.share:.0f} % of its movement at "
                        f"{one.where}; {100 * self.keep:.0f} % are wanted."
                    )
                    self._fault(Fault(self.keep / max(one.share, 1e-3), told, "kept", command, (), due))
        return kept

    def sweep(self) -> None:
        """The ends of each stick's way over which no surface of a unit moves any more."""
        for control in (
            c for c in self.setup.radio.controls if c.held_by == "stick" and c.command in STEERED
        ):
            command = control.command
            throws = self.throws_mm(**{command: np.outer([1.0, -1.0], _SWEEP)})
            for unit in (unit for unit in self.units if self.answers(command, unit)):
                steers = self.surfaces[unit[0]].kind in STEERED[command]
                moved = throws[..., unit]
                way = np.ptp(moved, axis=(1, 2)).max(axis=-1)
                moving = (
                    abs(moved - moved[:, :, -1:]).max(axis=-1) > np.minimum(0.05, 0.02 * way)[:, None, None]
                )
                dead = (~moving)[..., ::-1].argmin(axis=-1) - 1.0
                dead = np.where(moving.any(axis=-1), dead / (len(_SWEEP) - 1), 1.0)
                for rest, side in np.argwhere(dead > _DEAD_SHARE + 1e-9):
                    if self.rests[rest].marked and (steers or not self.rests[rest].words):
                        where = where_words([end_words(command, 1.0 - 2.0 * side), self.rests[rest].words])
                        words = sentence_start(pair_words(self.setup.aircraft, unit))
                        share = dead[rest, side]
                        told = f"{words}, {where}: the last {100 * share:.0f} % of the way move nothing."
                        self._fault(Fault(float(share) / _DEAD_SHARE, told, "dead", command, unit))

    def _fault(self, fault: Fault) -> None:
        sort = fault.sort, fault.command, fault.unit
        self.faults[sort] = max(fault, self.faults.get(sort, fault))

    def _marked(self, axes: int) -> np.ndarray:
        return np.array([rest.marked for rest in self.rests]).reshape(-1, *[1] * axes)
