"""Wanted throws to settings: what to dial in, what comes out, and what this radio cannot do.

The search tries every way of plugging in, every direct control and every use of the free mixes, with
all values that the radio can enter; see `fit_output` for what counts as a cost.  Rates, and marks beside
dials, are fitted last, to the best few plans.  Mixes are led by commands; a mix that passes on a whole
output is not tried, nor are curves, shifts and mix centres.  What is predicted comes from the whole chain,
after rounding.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from mixlib.bench.fit.ends import with_marks, with_rates
from mixlib.bench.fit.output import TOUCH_MM2, Bench
from mixlib.bench.fit.reach import Reach
from mixlib.bench.fit.wiring import Plan, mixes_for_all, search
from mixlib.bench.fit.words import cannot_words, count_of_mixes, difference_words, note_words
from mixlib.chain import LinkageError, Rig, commands
from mixlib.describe import Aircraft, FreeMix, Mark, Radio, Setup, Shaping, Want
from mixlib.describe.errors import listed
from mixlib.units import COMMAND_RANGES

__all__ = ["Alternative", "FitResult", "FitRow", "fit", "other_holes", "other_radios", "wanted_mm"]


@dataclass(frozen=True)
class FitRow:
    """One wanted throw and what comes of it.

    Attributes
    ----------
    wanted_mm, got_mm, miss_mm : float
        Throw in mm, trailing edge down (rudder: left) positive; the miss is got less wanted.
    """

    want: Want
    wanted_mm: float
    got_mm: float
    miss_mm: float


@dataclass(frozen=True)
class Alternative:
    """Another way, and what it costs.

    Attributes
    ----------
    cost_mm2 : float
        Weighted sum of squared misses, mm^2.
    worst_miss_mm : float
        Largest miss, mm.
    """

    words: str
    cost_mm2: float
    worst_miss_mm: float
    mixes_used: int
    setup: Setup


@dataclass(frozen=True)
class FitResult:
    """What to dial in.

    Attributes
    ----------
    setup : Setup
        All settings, ready for the bench card; the wants stand in ``wanted``.
    rows : tuple of FitRow
        In the order of the wants.
    mixes_used, mixes_needed : int
        Free mixes set, and how many would bring all that the controls can ask for.
    cost_mm2 : float
        Weighted sum of squared misses, mm^2, from `rows`.
    score_mm2 : float
        The same and 0.01 mm^2 for each setting touched; what the search makes least.
    alternatives : tuple of Alternative
        Other plans for the same aircraft and radio, cheapest first.
    """

    setup: Setup
    rows: tuple[FitRow, ...]
    mixes_used: int
    mixes_needed: int
    cost_mm2: float
    score_mm2: float
    cannot: tuple[str, ...]
    notes: tuple[str, ...]
    alternatives: tuple[Alternative, ...]
    ways_tried: int

    @property
    def worst_miss_mm(self) -> float:
        """Largest miss in mm."""
        return max((abs(row.miss_mm) for row in self.rows), default=0.0)


def wanted_mm(aircraft: Aircraft, want: Want, position: int = 1) -> float:
    """Wanted throw in mm.

    Parameters
    ----------
    want : Want
        What is wanted, in any unit.
    position : int
        Which want of the list it is, from 1, for the error.

    Returns
    -------
    float
        Throw in mm, trailing edge down (rudder: left) positive.

    Raises
    ------
    ValueError
        If the aircraft has no such surface, or no hinge can give such a throw.
    """
    here = f"wanted.{position}"
    if want.surface not in aircraft.surface_names:
        raise ValueError(f'{here}.surface is "{want.surface}". Accepted: {listed(aircraft.surface_names)}.')
    chord = aircraft.surface(want.surface).chord_mm
    most = {"mm": 2 * chord, "inch": 2 * chord / 25.4, "deg": 90.0}[want.unit]
    if abs(want.amount) > most:
        accepted = f"-{most:.4g} to {most:.4g} {want.unit}, for a surface of {chord:g} mm chord"
        raise ValueError(f"{here}.amount is {want.amount:g}. Accepted: {accepted}.")
    return want.throw_mm(aircraft)


def fit(
    aircraft: Aircraft,
    radio: Radio,
    wants: Sequence[Want],
    name: str = "fitted",
    rates: bool = True,
    marks: bool = False,
) -> FitResult:
    """Find the settings that come nearest to the wanted throws.

    Parameters
    ----------
    rates : bool
        Whether the rate of a stick may be used, where the radio has it.
    marks : bool
        Whether a dial or slider may be stopped at a mark, where the radio cannot set its direct share.

    Raises
    ------
    ValueError
        If there are no wants, a want is out of reach of any hinge, the same throw is wanted twice, a
        linkage cannot close, or there are too few outputs.
    """
    wants = tuple(wants)
    bench = Bench(Reach(aircraft, radio), radio, _checked(aircraft, radio, wants))
    plans, tried = search(bench)
    trials = [(bench, plan) for plan in plans]
    if rates:
        trials = [with_rates(*trial) for trial in trials]
    if marks:
        trials = [with_marks(*trial) for trial in trials]
    trials.sort(key=lambda trial: trial[1].score_mm2)
    needed = mixes_for_all(bench)
    results = [_result(aircraft, trial, plan, name, tried, needed) for trial, plan in trials]
    best = results[0]
    others = tuple(
        Alternative(
            difference_words(bench, trials[0][1], plan),
            other.cost_mm2,
            other.worst_miss_mm,
            other.mixes_used,
            other.setup,
        )
        for (_, plan), other in zip(trials[1:], results[1:], strict=True)
    )
    return replace(best, alternatives=others)


def other_holes(result: FitResult) -> tuple[Alternative, ...]:
    """What other holes in arm or horn would give, with the same plugs and mixes and newly fitted values.

    Surfaces of one kind change holes together.  The rod is made to fit at neutral.

    Returns
    -------
    tuple of Alternative
        Those that cost less than the fit, cheapest first.
    """
    setup = result.setup
    found = []
    for kind in dict.fromkeys(surface.kind for surface in setup.aircraft.surfaces):
        for field in ("arm_mm", "horn_mm"):
            kin = setup.aircraft.of_kind(kind)
            holes = sorted(
                {hole for s in kin for hole in getattr(s.linkage, field.replace("_mm", "_holes_mm"))}
            )
            for hole in holes:
                if all(getattr(s.linkage, field) == hole for s in kin):
                    continue
                alternative = _with_hole(result, kind, field, hole)
                if alternative and alternative.cost_mm2 < result.cost_mm2 - TOUCH_MM2:
                    found.append(alternative)
    return tuple(sorted(found, key=lambda item: item.cost_mm2))


def other_radios(result: FitResult, radios: Sequence[Radio]) -> tuple[Alternative, ...]:
    """What other radios would give for the same aircraft and wants.

    Parameters
    ----------
    radios : sequence of Radio
        Radios to try; those with too few outputs are left out.

    Returns
    -------
    tuple of Alternative
        Cheapest first.
    """
    found = []
    for radio in radios:
        if 2 * radio.outputs < len(result.setup.aircraft.surfaces):
            continue
        marks = bool(result.setup.marks)
        other = fit(result.setup.aircraft, radio, result.setup.wanted, result.setup.name, marks=marks)
        words = (
            f"with {radio.name}: {count_of_mixes(other.mixes_used)}, "
            f"largest miss {other.worst_miss_mm:.1f} mm"
        )
        found.append(Alternative(words, other.cost_mm2, other.worst_miss_mm, other.mixes_used, other.setup))
    return tuple(sorted(found, key=lambda item: item.cost_mm2))


def _checked(aircraft: Aircraft, radio: Radio, wants: tuple[Want, ...]) -> tuple[tuple[Want, float], ...]:
    if not wants:
        raise ValueError("wanted is empty. Accepted: at least one throw.")
    seen: dict[tuple[str, str, str], int] = {}
    for position, want in enumerate(wants, start=1):
        key = want.surface, want.command, want.side
        if key in seen:
            raise ValueError(
                f"wanted.{position} is {want.command} {want.side} on {want.surface} again. "
                f"Accepted: each throw once; it stands in wanted.{seen[key]} already."
            )
        if want.side == "below" and COMMAND_RANGES[want.command][0] == 0:
            raise ValueError(
                f'wanted.{position}.side is "below". Accepted: "above", since {want.command} goes '
                "from 0 to 1."
            )
        seen[key] = position
    if len(aircraft.surfaces) > 2 * radio.outputs:
        raise ValueError(
            f"radio.outputs is {radio.outputs}. Accepted: at least {-(-len(aircraft.surfaces) // 2)} for "
            f"{len(aircraft.surfaces)} surfaces, with two on a Y-lead."
        )
    return tuple((want, wanted_mm(aircraft, want, place)) for place, want in enumerate(wants, start=1))


def _result(aircraft: Aircraft, bench: Bench, plan: Plan, name: str, tried: int, needed: int) -> FitResult:
    wants = tuple(want for want, _ in bench.wants)
    setup = Setup(
        name=name,
        note=f"Fitted to {len(wants)} wanted throws.",
        aircraft=aircraft,
        radio=bench.radio,
        wiring={aircraft.surface_names[p]: n for n, fit in plan.outputs.items() for p in fit.surfaces},
        outputs=tuple(bench.output(plan.outputs[number], number) for number in sorted(plan.outputs)),
        free_mixes=tuple(
            FreeMix(
                leader=command,
                follower=number,
                gain_above_percent=plan.outputs[number].gains[command][0],
                gain_below_percent=plan.outputs[number].gains[command][1],
            )
            for number in sorted(plan.outputs)
            for command in plan.outputs[number].mixed
        ),
        shaping={c: Shaping(rate_percent=rate) for c, rate in bench.rates.items() if rate != 100},
        marks=tuple(
            Mark(command=command, side=side, percent=mark)
            for (command, side), mark in bench.marks.items()
            if mark != 100
        ),
        wanted=wants,
    )
    rows = _rows(setup, bench)
    misses = [(row.want, row.wanted_mm, row.got_mm) for row in rows]
    return FitResult(
        setup=setup,
        rows=rows,
        mixes_used=plan.mixes,
        mixes_needed=needed,
        cost_mm2=sum(row.want.weight * row.miss_mm**2 for row in rows),
        score_mm2=plan.score_mm2,
        cannot=cannot_words(bench, plan, misses, needed),
        notes=note_words(bench, plan, misses),
        alternatives=(),
        ways_tried=tried,
    )


def _rows(setup: Setup, bench: Bench) -> tuple[FitRow, ...]:
    rig = Rig(setup)
    rows = []
    for want, mm in bench.wants:
        full = commands(**{want.command: setup.used_to(want.command, 1 if want.side == "above" else -1)})
        got = float(rig.run(full).throw[rig.surface_names.index(want.surface)])
        rows.append(FitRow(want, mm, got, got - mm))
    return tuple(rows)


def _with_hole(result: FitResult, kind: str, field: str, hole: float) -> Alternative | None:
    """The fit with one hole changed on all surfaces of a kind; None if that linkage cannot close."""
    setup = result.setup
    surfaces = tuple(
        surface.replace(linkage=surface.linkage.replace(**{field: hole, "rod_mm": None}))
        if surface.kind == kind
        else surface
        for surface in setup.aircraft.surfaces
    )
    aircraft = setup.aircraft.replace(surfaces=surfaces)
    wants = tuple((row.want, row.wanted_mm) for row in result.rows)
    try:
        bench = Bench(Reach(aircraft, setup.radio), setup.radio, wants)
    except LinkageError:
        return None
    names = aircraft.surface_names
    outputs = {}
    for number in dict.fromkeys(setup.wiring.values()):
        group = tuple(place for place, name in enumerate(names) if setup.wiring[name] == number)
        mixed = tuple(mix.leader for mix in setup.free_mixes if mix.follower == number)
        outputs[number] = bench.settle(group, setup.output(number).control, mixed)
    plan = Plan(outputs, sum(fitted.score_mm2 for fitted in outputs.values()))
    bench, plan = with_rates(bench, plan)
    if setup.marks:
        bench, plan = with_marks(bench, plan)
    other = _result(aircraft, bench, plan, setup.name, 1, result.mixes_needed)
    part = "servo arm" if field == "arm_mm" else "horn"
    words = f"{kind}: the {hole:g} mm hole of the {part}, largest miss {other.worst_miss_mm:.1f} mm"
    return Alternative(words, other.cost_mm2, other.worst_miss_mm, other.mixes_used, other.setup)
