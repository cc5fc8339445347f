"""Wanted throws to settings: what to dial in, what comes out, and what this radio cannot do.

The search tries every way of plugging in, every direct control and every use of the free mixes, with
all values that the radio can enter; see `mixlib.bench.fit.output` for what counts as a cost.  Rates, and
marks beside dials, are fitted last, to the best few plans.  Mixes are led by commands; a mix that passes on
a whole output is not tried, nor are curves, shifts and mix centres.  What is predicted comes from the whole
chain, after rounding.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from mixlib.bench.fit.ends import with_ends
from mixlib.bench.fit.output import TOUCH_MM2, Trial, Wish
from mixlib.bench.fit.reach import Reach
from mixlib.bench.fit.wiring import Plan, mixes_for_all, search
from mixlib.bench.fit.words import FitRow, cannot_words, count_of_mixes, difference_words, note_words
from mixlib.chain import LinkageError, Rig, commands
from mixlib.describe import Aircraft, FreeMix, Mark, Radio, Setup, Shaping, Want
from mixlib.describe.words import listed
from mixlib.units import COMMAND_RANGES

__all__ = ["FitResult", "fit", "other_holes", "other_radios"]


@dataclass(frozen=True)
class FitResult:
    """What to dial in.

    Attributes
    ----------
    setup : Setup
        All settings, ready for the bench card; the wants stand in ``wanted``.
    rows : tuple of FitRow
        In the order of the wants.
    mixes_needed : int
        How many free mixes would bring all that the controls can ask for.
    score_mm2 : float
        Weighted sum of squared misses and what touching settings counts; what the search makes least.
    alternatives : tuple of FitResult
        Other plans for the same aircraft and radio, the best first.
    words : str
        How an alternative differs.
    """

    setup: Setup
    rows: tuple[FitRow, ...]
    mixes_needed: int
    score_mm2: float
    cannot: tuple[str, ...]
    notes: tuple[str, ...]
    alternatives: tuple[FitResult, ...] = ()
    words: str = ""

    @property
    def mixes_used(self) -> int:
        """Number of free mixes set."""
        return len(self.setup.free_mixes)

    @property
    def cost_mm2(self) -> float:
        """Weighted sum of squared misses, mm^2."""
        return sum(row.want.weight * row.miss_mm**2 for row in self.rows)

    @property
    def worst_miss_mm(self) -> float:
        """Largest miss in mm."""
        return max(abs(row.miss_mm) for row in self.rows)


def fit(
    aircraft: Aircraft, radio: Radio, wants: Sequence[Want], name: str = "fitted", marks: bool = False
) -> FitResult:
    """Find the settings that come nearest to the wanted throws.

    Parameters
    ----------
    marks : bool
        Whether a dial or slider may be stopped at a mark, where the radio cannot set its direct share.

    Raises
    ------
    ValueError
        If there are no wants, a want is out of reach of any hinge, the same throw is wanted twice, a
        linkage cannot close, or there are too few outputs.
    """
    trial = Trial(Reach(aircraft, radio), radio, _checked(aircraft, radio, wants))
    found = sorted(
        (with_ends(trial, plan, marks) for plan in search(trial)), key=lambda pair: pair[1].score_mm2
    )
    needed, best = mixes_for_all(trial), found[0][1]
    results = [
        replace(_result(aircraft, ended, plan, name, needed), words=difference_words(trial, best, plan))
        for ended, plan in found
    ]
    return replace(results[0], words="", alternatives=tuple(results[1:]))


def other_holes(result: FitResult) -> tuple[FitResult, ...]:
    """What other holes in arm or horn would give, with the same plugs and mixes and newly fitted values.

    Surfaces of one kind change holes together, and the rod is made to fit at neutral.  Only those that cost
    less than the fit are told, the cheapest first.
    """
    aircraft, found = result.setup.aircraft, []
    for kind in dict.fromkeys(surface.kind for surface in aircraft.surfaces):
        links = [surface.linkage for surface in aircraft.of_kind(kind)]
        for field, holes in (
            ("arm_mm", {hole for link in links for hole in link.arm_holes_mm}),
            ("horn_mm", {hole for link in links for hole in link.horn_holes_mm}),
        ):
            for hole in sorted(holes):
                if any(getattr(link, field) != hole for link in links):
                    other = _with_hole(result, kind, field, hole)
                    if other and other.cost_mm2 < result.cost_mm2 - TOUCH_MM2:
                        found.append(other)
    return tuple(sorted(found, key=lambda other: other.cost_mm2))


def other_radios(result: FitResult, radios: Sequence[Radio]) -> tuple[FitResult, ...]:
    """What other radios would give for the same aircraft and wants, the cheapest first.

    Those with too few outputs are left out.
    """
    setup, found = result.setup, []
    for radio in radios:
        if 2 * radio.outputs >= len(setup.aircraft.surfaces):
            other = fit(setup.aircraft, radio, setup.wanted, setup.name, marks=bool(setup.marks))
            mixes, miss = count_of_mixes(other.mixes_used), other.worst_miss_mm
            words = f"with {radio.name}: {mixes}, largest miss {miss:.1f} mm"
            found.append(replace(other, words=words))
    return tuple(sorted(found, key=lambda other: other.cost_mm2))


def _checked(aircraft: Aircraft, radio: Radio, wants: Sequence[Want]) -> tuple[Wish, ...]:
    if not wants:
        raise ValueError("wanted is empty. Accepted: at least one throw.")
    if len(aircraft.surfaces) > 2 * radio.outputs:
        raise ValueError(
            f"radio.outputs is {radio.outputs}. Accepted: at least {-(-len(aircraft.surfaces) // 2)} for "
            f"{len(aircraft.surfaces)} surfaces, with two on a Y-lead."
        )
    wishes: list[Wish] = []
    seen: dict[tuple[str, str, str], int] = {}
    for position, want in enumerate(wants, start=1):
        here, names = f"wanted.{position}", aircraft.surface_names
        if want.surface not in names:
            raise ValueError(f'{here}.surface is "{want.surface}". Accepted: one of {listed(names)}.')
        first = seen.setdefault((want.surface, want.command, want.side), position)
        if first != position:
            raise ValueError(
                f"{here} is {want.command} {want.side} on {want.surface} again. "
                f"Accepted: each throw once; it stands in wanted.{first} already."
            )
        if want.side == "below" and COMMAND_RANGES[want.command][0] == 0:
            raise ValueError(
                f'{here}.side is "below". Accepted: "above", since {want.command} goes from 0 to 1.'
            )
        wishes.append(Wish(want, names.index(want.surface), want.throw_mm(aircraft)))
    return tuple(wishes)


def _result(aircraft: Aircraft, trial: Trial, plan: Plan, name: str, needed: int) -> FitResult:
    outputs = sorted(plan.outputs.items())
    plugs = {place: number for number, fit in outputs for place in fit.group}
    ends = {(command, side): end for (command, side), end in trial.used_to.items() if end != 100}
    marked = trial.radio.marked_commands
    setup = Setup(
        name=name,
        note=f"Fitted to {len(trial.wishes)} wanted throws.",
        aircraft=aircraft,
        radio=trial.radio,
        wiring={name: plugs[place] for place, name in enumerate(aircraft.surface_names)},
        outputs=tuple(trial.output(fit, number) for number, fit in outputs),
        free_mixes=tuple(
            FreeMix(
                leader=command,
                follower=number,
                gain_above_percent=fit.gains[command][0],
                gain_below_percent=fit.gains[command][1],
            )
            for number, fit in outputs
            for command in fit.mixed
        ),
        shaping={c: Shaping(rate_percent=end) for (c, _), end in ends.items() if c not in marked},
        marks=tuple(Mark(command=c, side=s, percent=end) for (c, s), end in ends.items() if c in marked),
        wanted=tuple(wish.want for wish in trial.wishes),
    )
    rows = _rows(setup, trial)
    cannot, notes = cannot_words(trial, plan, rows, needed), note_words(trial, plan, rows)
    return FitResult(setup, rows, needed, plan.score_mm2, cannot, notes)


def _rows(setup: Setup, trial: Trial) -> tuple[FitRow, ...]:
    rig, rows = Rig(setup), []
    for want, place, mm in trial.wishes:
        end = setup.used_to(want.command, 1 if want.side == "above" else -1)
        rows.append(FitRow(want, mm, float(rig.run(commands(**{want.command: end})).throw[place])))
    return tuple(rows)


def _with_hole(result: FitResult, kind: str, field: str, hole: float) -> FitResult | None:
    """The fit with one hole changed on all surfaces of a kind; None if that linkage cannot close."""
    setup = result.setup
    surfaces = tuple(
        surface.replace(linkage=surface.linkage.replace(**{field: hole, "rod_mm": None}))
        if surface.kind == kind
        else surface
        for surface in setup.aircraft.surfaces
    )
    aircraft = setup.aircraft.replace(surfaces=surfaces)
    try:
        trial = Trial(
            Reach(aircraft, setup.radio), setup.radio, _checked(aircraft, setup.radio, setup.wanted)
        )
    except LinkageError:
        return None
    outputs = {}
    for number in dict.fromkeys(setup.wiring.values()):
        group = tuple(place for place, part in enumerate(surfaces) if setup.wiring[part.name] == number)
        mixed = tuple(str(mix.leader) for mix in setup.free_mixes if mix.follower == number)
        outputs[number] = trial.settle(group, setup.output(number).control, mixed)
    plan = Plan(outputs, sum(fitted.score_mm2 for fitted in outputs.values()))
    trial, plan = with_ends(trial, plan, marks=bool(setup.marks))
    other = _result(aircraft, trial, plan, setup.name, result.mixes_needed)
    part = "servo arm" if field == "arm_mm" else "horn"
    words = f"{kind}: the {hole:g} mm hole of the {part}, largest miss {other.worst_miss_mm:.1f} mm"
    return replace(other, words=words)
