"""Wanted throws to settings that can be flown: what to type in, what comes of it, and what cannot be had.

The search goes through plugs, directions, controls, gains, rates, marks and mixes together, the best way
first.  Each way is judged through the whole chain, with every lever in; where a stick keeps too little, the
levers move less, and what then breaks a condition is not recommended.  Mixes are led by commands; a mix that
passes on a whole output is not tried, nor are shifts and mix centres.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from mixlib.bench.fit.curves import aimed_mm, bent, to_bend
from mixlib.bench.fit.phase_wants import phases_of_wants
from mixlib.bench.fit.reach import Group, Reach
from mixlib.bench.fit.result import FitResult, FitRow, worthwhile
from mixlib.bench.fit.search import Locks, Plan, mixes_for_all, plans, settled
from mixlib.bench.fit.shares import SIDES, TOUCH_MM2, UNSTEERED_MM2, Trial, Wish
from mixlib.bench.fit.typed import set_up
from mixlib.bench.fit.words import cannot_words, difference_words, note_words
from mixlib.bench.surface.flown import KEEP_SHARE, NEAR_SHARE, Fault, Flown, flyable
from mixlib.bench.surface.rests import STEERED, units_of
from mixlib.chain import Rig, commands
from mixlib.describe import MOTOR, Aircraft, Radio, Setup, Want, plain_setup
from mixlib.describe.words import listed, number
from mixlib.units import COMMAND_RANGES, HALF_MM, bisect

__all__ = ["fit"]

_BROKEN_MM2 = 1e7  # a condition that stays broken comes after everything else
_TIGHT = 0.4  # of what left and right may part by for one command, where several add up to too much
_BESIDES = 0.1  # weight of what nobody asked for and the set-up before did
_MOST_JUDGED, _MORE_JUDGED = 60, 4

Progress = Callable[[int], bool | None]
"""Is told how many ways were judged; returns True to stop at the best one so far."""


@dataclass(frozen=True)
class _Judged:
    plan: Plan
    setup: Setup
    flown: Flown
    score_mm2: float


def fit(
    aircraft: Aircraft,
    radio: Radio,
    wants: Sequence[Want],
    name: str = "fitted",
    marks: bool = True,
    keep: Setup | None = None,
    locked: Locks | None = None,
    keep_share: float = KEEP_SHARE,
    progress: Progress | None = None,
    seated: Plan | None = None,
) -> FitResult:
    """Find the settings that can be flown and come nearest to the wanted throws.

    Parameters
    ----------
    wants : sequence of Want
        One with a weight of 0 stays in the set-up's ``wanted`` and is not fitted, nor kept from before.
    marks : bool
        Whether a dial or slider may be stopped at a mark, where the radio cannot set its direct share.
    keep : Setup, optional
        The set-up before: what the fit does not set stays as it is there, and other movements that it has
        are wanted besides.
    locked : Locks, optional
        What of it stays whatever comes.
    keep_share : float
        Share of roll and pitch that is to be left wherever droop and brake stand, 0 to 1.
    seated : Plan, optional
        A plan whose plugs, controls and mixes are kept: only their values are found anew.

    Raises
    ------
    ValueError
        If there are no wants, a want is out of reach of any hinge, the same throw is wanted twice, a
        linkage cannot close, or there are too few outputs.
    """
    typed = _checked(aircraft, radio, wants)
    besides = _besides(keep, typed) if keep else ()
    wishes = tuple(wish for wish in typed if wish.want.weight > 0)
    base = _base(aircraft, radio, keep).replace(
        name=name, wanted=tuple(wants), note=f"Fitted to {len(wishes)} wanted throws."
    )
    base = base.replace(phases=phases_of_wants(base, base.wanted))
    trial = Trial(
        Reach(aircraft, radio, _sub_trims(base), base.wiring.get(MOTOR)),
        radio,
        (*wishes, *besides),
        units_of(aircraft),
        {command: shaped.rate_percent for command, shaped in base.shaping.items()},
        marks,
        locked.directions if locked else frozenset(),
        to_bend((wish.want for wish in wishes), radio, keep),
    )
    if seated:
        found, tried = (
            [_judged(trial, settled(trial, seated.options, seated.numbers), base, keep, keep_share)],
            1,
        )
    else:
        found, tried = _judged_best(trial, base, keep, locked, keep_share, progress)
    needed, results = mixes_for_all(trial), []
    for one in found:
        rows, unsteered = _rows(one.setup, trial), one.plan.unsteered(trial)
        results.append(
            FitResult(
                setup=one.setup,
                rows=rows,
                flown=one.flown,
                mixes_needed=needed,
                score_mm2=one.score_mm2 - UNSTEERED_MM2 * unsteered,
                unsteered=unsteered,
                cannot=cannot_words(trial, one.plan, rows, needed, one.flown),
                notes=note_words(trial, one.plan, one.setup, rows, one.flown),
                plan=one.plan,
                before=keep,
                locked=locked or Locks(),
                dropped=(*_dropped(rows[len(wishes) :]), *_roll_dropped(keep, one.setup)),
                words=difference_words(trial, found[0].plan, one.plan),
            )
        )
    first = replace(results[0], words="", ways_tried=tried)
    return replace(first, alternatives=worthwhile(first, results[1:]))


def _judged_best(
    trial: Trial,
    base: Setup,
    before: Setup | None,
    locked: Locks | None,
    keep: float,
    progress: Progress | None,
) -> tuple[list[_Judged], int]:
    """The best way, then others that leave out or share something else; how many were judged."""
    found: list[tuple[float, _Judged]] = []
    tried, most, best, told = 0, _MOST_JUDGED, float("inf"), set()
    for plan in plans(trial, before, locked):
        sort = plan.left_out(trial), plan.joined
        if plan.score_mm2 >= best:  # none that comes now can be better: a few more, of other sorts
            most = min(most, tried + _MORE_JUDGED)
            if sort in told:
                continue
        if tried >= most:
            break
        one = _judged(trial, plan, base, before, keep)
        tried += 1
        broken = _BROKEN_MM2 * one.flown.worst_ratio if one.flown.faults else 0.0
        found.append((one.score_mm2 + broken, one))
        best = min(best, found[-1][0])
        told.add(sort)
        if progress and progress(tried):
            break
    if not found:
        raise ValueError(
            f"{trial.radio.name} has no way to plug in {listed(trial.reach.names)} with what is locked. "
            "Accepted: fewer locks, or a radio with more outputs."
        )
    sorts: dict[tuple[object, ...], _Judged] = {}
    for _, one in sorted(found, key=lambda item: item[0]):
        sorts.setdefault((one.plan.left_out(trial), one.plan.joined), one)
    return list(sorts.values()), tried


def _judged(trial: Trial, plan: Plan, base: Setup, before: Setup | None, keep: float) -> _Judged:
    """A plan through the whole chain; where a stick keeps too little, the levers move less."""

    def tried(less: dict[tuple[Group, str, str], float], share: float | None = None) -> _Judged:
        part = apart if share is None else share
        tamed = settled(trial, plan.options, plan.numbers, less, part) if less or part < 1 else plan
        setup = bent(set_up(trial, tamed, base), before)
        widened = sum(
            TOUCH_MM2 * ((output.end_low_percent != 100) + (output.end_high_percent != 100))
            for output in setup.outputs
            if trial.radio.end_points == "clip"
        )
        return _Judged(tamed, setup, flyable(setup, keep), tamed.score_mm2 + widened)

    less: dict[tuple[Group, str, str], float] = {}
    apart = 1.0
    one = tried(less)
    if not _alike(one) and _alike(tried(less, _TIGHT)):
        apart = bisect(lambda share: _alike(tried(less, share)), _TIGHT, 1.0, 0.02)
        one = tried(less)
    for _ in range(2 * len(trial.radio.commands)):
        due = next(((fault, tame) for fault in one.flown.broken if (tame := _tame(trial, plan, fault))), None)
        if due is None:
            break
        fault, aims = due[0], {key: less.get(key, 1.0) for key in due[1]}
        sort, same = (fault.sort, fault.command, fault.unit), (fault.command, fault.due)

        def mended(
            size: float, aims: dict = aims, sort: tuple = sort, same: tuple = same, less: dict = less
        ) -> bool:
            flown = tried(less | {key: aim * size for key, aim in aims.items()}).flown
            if sort[0] == "mirror":
                return all(sort != (other.sort, other.command, other.unit) for other in flown.broken)
            return all(k.share >= keep - NEAR_SHARE for k in flown.kept if (k.command, k.due) == same)

        if not mended(0.0):
            break
        size = bisect(mended, 0.0, 1.0, 0.02)
        less = less | {key: aim * size for key, aim in aims.items()}
        one = tried(less)
    return one


def _alike(one: _Judged) -> bool:
    return all(fault.sort != "mirror" for fault in one.flown.broken)


def _tame(trial: Trial, plan: Plan, fault: Fault) -> list[tuple[Group, str, str]]:
    """What has to move less so that a condition holds: the levers; else both sticks of a shared surface."""
    levers = [(command, side) for command, side in fault.due if command not in STEERED]
    sticks = [command for command, _ in fault.due if command in STEERED]
    if sticks and not levers:
        levers = [(command, side) for command in (*sticks, fault.command) for side in SIDES]
    kinds = STEERED.get(fault.command, ())
    return [
        (option.seat.unit, command, side)
        for option in plan.options
        if option.seat.unit == fault.unit or trial.reach.surfaces[option.seat.unit[0]].kind in kinds
        for command, side in levers
        if command in option.brought
    ]


def _checked(aircraft: Aircraft, radio: Radio, wants: Sequence[Want]) -> tuple[Wish, ...]:
    if not any(want.weight > 0 for want in wants):
        raise ValueError("wanted is empty. Accepted: at least one throw with a weight above 0.")
    needed = len(units_of(aircraft)) + (aircraft.motor is not None)
    if needed > radio.outputs:
        motor = " and one for the motor" if aircraft.motor else ""
        raise ValueError(
            f"radio.outputs is {radio.outputs}. Accepted: at least {needed} for {len(aircraft.surfaces)} "
            f"surfaces, with each pair on a Y-lead{motor}."
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
        wishes.append(Wish(want, names.index(want.surface), aimed_mm(want, aircraft, radio)))
    return tuple(wishes)


def _besides(before: Setup, wishes: Sequence[Wish]) -> tuple[Wish, ...]:
    """What the surfaces do for commands for which nothing is wanted of them, as wishes."""
    rig, asked = Rig(before), {(wish.place, wish.want.command) for wish in wishes}
    still, found = rig.run(commands()).throw, []
    for command in before.radio.commands:
        for side, way in zip(SIDES, (1, -1), strict=True):
            throws = rig.run(commands(**{command: before.used_to(command, way)})).throw
            for place, mm in enumerate(throws.tolist()):
                if abs(mm - still[place]) >= HALF_MM and (place, command) not in asked:
                    surface = before.aircraft.surfaces[place]
                    want = Want(
                        surface=surface.name,
                        command=command,
                        side=side,
                        amount=round(mm, 2),
                        weight=_BESIDES,
                    )
                    found.append(Wish(want, place, mm))
    return tuple(found)


def _base(aircraft: Aircraft, radio: Radio, before: Setup | None) -> Setup:
    """The set-up before as far as it goes with this aircraft and radio, else the plainest one."""
    plain = plain_setup(aircraft, radio, "fitted")
    if before is None or before.aircraft.surface_names != aircraft.surface_names:
        return plain
    if before.radio == radio:
        return before.replace(aircraft=aircraft)
    shaping = {name: shaped for name, shaped in before.shaping.items() if name in radio.shaped_commands}
    return plain.replace(phases=tuple(phase.kept_by(radio) for phase in before.phases), shaping=shaping)


def _roll_dropped(before: Setup | None, fitted: Setup) -> Iterator[str]:
    """Roll of their own that phases had, on a radio that does not keep it."""
    for phase in before.phases if before else ():
        now = fitted.phase(phase.name)
        if now is not None and now.own_roll != phase.own_roll:
            yield f"{phase.name}: {phase.roll_words} before, roll as in all phases now"


def _sub_trims(base: Setup) -> dict[str, float]:
    trims = {name: base.output(number).sub_trim_percent for name, number in base.wiring.items()}
    return {name: percent for name, percent in trims.items() if percent}


def _rows(setup: Setup, trial: Trial) -> tuple[FitRow, ...]:
    rig, rows = Rig(setup), []
    for want, place, _ in trial.wishes:
        end = 0.0
        if want.command in setup.radio.commands:
            end = setup.used_to(want.command, 1 if want.side == "above" else -1)
        whole, half = rig.run([commands(**{want.command: way * end}) for way in (1.0, 0.5)]).throw[:, place]
        mm = [want.throw_mm(setup.aircraft, share) for share in (1.0, 0.5)]
        halves = (mm[1], float(half)) if want.bends else (None, None)
        rows.append(FitRow(want, mm[0], float(whole), *halves))
    return tuple(rows)


def _dropped(rows: Sequence[FitRow]) -> tuple[str, ...]:
    return tuple(
        f"{row.want.surface} with {row.want.command} {row.want.side}: {number(row.wanted_mm, 1)} mm before, "
        f"{number(row.got_mm, 1)} mm now"
        for row in rows
        if abs(row.miss_mm) >= 2 * HALF_MM
    )
