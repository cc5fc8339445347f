"""What a fit gives back, and which of several results is worth showing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from mixlib.bench.fit.search import Locks, Plan
from mixlib.bench.fit.typed import Change, Entry, changes, entries
from mixlib.bench.surface.flown import Flown
from mixlib.describe import Setup, Want
from mixlib.describe.words import listed
from mixlib.units import HALF_MM

__all__ = ["FitResult", "FitRow", "worthwhile"]

_WORTH = 0.25  # what an alternative gains against what it costs, in mm (judgement, no source)


@dataclass(frozen=True)
class FitRow:
    """One wanted throw and what comes of it, in mm, trailing edge down (rudder: left) positive.

    Attributes
    ----------
    half_wanted_mm, half_got_mm : float or None
        At half of the way, where something of its own is wanted there, mm.
    """

    want: Want
    wanted_mm: float
    got_mm: float
    half_wanted_mm: float | None = None
    half_got_mm: float | None = None

    @property
    def miss_mm(self) -> float:
        """Got less wanted, mm."""
        return self.got_mm - self.wanted_mm

    @property
    def half_miss_mm(self) -> float:
        """The same at half of the way, mm; 0 where nothing of its own is wanted there."""
        return (self.half_got_mm or 0.0) - (self.half_wanted_mm or 0.0)

    @property
    def worst_mm(self) -> float:
        """The larger of the two misses, mm without sign."""
        return max(abs(self.miss_mm), abs(self.half_miss_mm))


@dataclass(frozen=True)
class FitResult:
    """What to dial in.

    Attributes
    ----------
    setup : Setup
        All settings, ready for the bench card; the wants stand in ``wanted``.
    rows : tuple of FitRow
        In the order of the wants; after them what the reader had besides.
    flown : Flown
        The judge's view of it.
    mixes_needed : int
        How many free mixes would bring all that the controls can ask for.
    score_mm2 : float
        Weighted sum of squared misses and of differences between left and right, and what touching settings
        counts; what the search makes least, once every stick steers what it can.
    unsteered : int
        Pairs and surfaces that a stick should steer and does not.
    alternatives : tuple of FitResult
        Other plans for the same aircraft and radio that are worth it, the best first.
    words : str
        How an alternative differs, what it gains and what it costs.
    brakes_with : str
        The command that does what was wanted of the brake, in an alternative for a radio without one.
    ways_tried : int
        Ways that were judged through the whole chain.
    dropped : tuple of str
        What the set-up before did and this one does not.
    """

    setup: Setup
    rows: tuple[FitRow, ...]
    flown: Flown
    mixes_needed: int
    score_mm2: float
    unsteered: int
    cannot: tuple[str, ...]
    notes: tuple[str, ...]
    plan: Plan
    before: Setup | None = None
    locked: Locks = field(default_factory=Locks)
    dropped: tuple[str, ...] = ()
    alternatives: tuple[FitResult, ...] = ()
    words: str = ""
    brakes_with: str = ""
    ways_tried: int = 0

    @property
    def mixes_used(self) -> int:
        """Number of free mixes set."""
        return len(self.setup.free_mixes)

    @property
    def worst_miss_mm(self) -> float:
        """Largest miss in mm, at the end or at half of a way."""
        return max(row.worst_mm for row in self.rows)

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Everything to plug and to type, in the order one would do it."""
        return entries(self.setup)

    @property
    def changes(self) -> tuple[Change, ...]:
        """What differs from the set-up before, old beside new."""
        return changes(self.before, self.setup) if self.before else ()


def worthwhile(first: FitResult, others: Iterable[FitResult]) -> tuple[FitResult, ...]:
    """Those of other results that bring some throw nearer than the first and than better ones of their sort.

    None steers less or breaks a condition that the first keeps, or costs many times what it gains.  Their
    words tell both.
    """
    kept: list[FitResult] = []
    for other in sorted(others, key=lambda one: (bool(one.flown.faults), one.unsteered, one.score_mm2)):
        poorer = other.unsteered > first.unsteered or len(other.flown.faults) > len(first.flown.faults)
        gains, costs = _nearer_mm(first, other), _nearer_mm(other, first)
        worth = max(gains.values(), default=0.0) > _WORTH * max(costs.values(), default=0.0)
        alike = [better for better in kept if better.brakes_with == other.brakes_with]
        if worth and not poorer and all(_nearer_mm(better, other) for better in alike):
            kept.append(replace(other, words=f"{other.words}: {_gain_words(gains, costs)}"))
    return tuple(kept)


def _nearer_mm(one: FitResult, other: FitResult) -> dict[str, float]:
    """What comes nearer from one result to another, in words, and by how many mm: half of one at least."""
    before, after = _misses_mm(one, other), _misses_mm(other, one)
    return {words: mm - after[words] for words, mm in before.items() if mm - after[words] >= HALF_MM}


def _misses_mm(result: FitResult, beside: FitResult) -> dict[str, float]:
    """The largest miss of each kind of surface with each command; what is asked only beside it is missed."""
    misses: dict[tuple[str, str, str], float] = {}
    for each in (beside, result):
        for row in each.rows:
            want = row.want
            brakes = (want.command, want.side) == (each.brakes_with, "above")
            miss = row.worst_mm if each is result else abs(row.wanted_mm)
            misses[want.surface, "brake" if brakes else want.command, want.side] = miss
    found: dict[str, float] = {}
    for (name, command, _), miss in misses.items():
        words = f"{result.setup.aircraft.surface(name).kind} with {command}"
        found[words] = max(found.get(words, 0.0), miss)
    return found


def _gain_words(gains: Mapping[str, float], costs: Mapping[str, float]) -> str:
    parts = [
        f"{title}: {listed(f'{what} by {mm:.1f} mm' for what, mm in some.items())}"
        for title, some in (("nearer", gains), ("further off", costs))
        if some
    ]
    return "; ".join(parts)
