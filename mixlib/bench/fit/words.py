"""The words of a fit: what can't be had and why, what the settings take away, how two plans differ."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from mixlib.bench.fit.curves import can_bend
from mixlib.bench.fit.reach import Group
from mixlib.bench.fit.result import FitRow
from mixlib.bench.fit.search import Option, Plan
from mixlib.bench.fit.shares import MARK_MIN, SIDES, Trial, Wish
from mixlib.bench.surface.flown import Flown
from mixlib.bench.surface.left import left_in_phases
from mixlib.bench.surface.rests import STEERED
from mixlib.chain import Rig, commands
from mixlib.describe import Setup
from mixlib.describe.words import COMMAND_ENDS, command_end, direction, listed, number, sentence_start
from mixlib.units import HALF_MM

__all__ = [
    "cannot_words",
    "count_of_mixes",
    "difference_words",
    "note_words",
]

_HAND_PERCENT = 5.0  # how well a hand stops a dial at a mark (judgement, no source)
_LESS_DOWN = 0.9  # less down than this share of up is a differential
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def cannot_words(
    trial: Trial, plan: Plan, rows: Sequence[FitRow], needed: int, flown: Flown
) -> tuple[str, ...]:
    """What can't be had, and why; none when all is had within half a millimetre.  First what cannot be flown.

    Parameters
    ----------
    rows : sequence of FitRow
        In the order of the trial's wishes.
    needed : int
        How many free mixes would bring everything that this radio's controls can ask for.
    """
    radio, sentences = trial.radio, list(flown.faults)
    for surface in trial.reach.surfaces:
        if surface.servo_of:
            sentences.insert(
                0,
                f"One servo moves {surface.servo_of} and {surface.name}: buy a second one first. Until then "
                "they can only do the same, whatever the radio can.",
            )
    for command, kinds in STEERED.items():
        steering = [o for o in plan.options if trial.reach.surfaces[o.seat.unit[0]].kind in kinds]
        asked = [option for option in steering if command in trial.wanted[option.seat.unit]]
        if asked and not any(command in option.brought for option in asked):
            sentences.insert(0, f"Not to be flown like this: no surface answers to {command}.")
    without = dict.fromkeys(w.want.command for w in trial.wishes if w.want.command not in radio.commands)
    for missing in without:
        names = dict.fromkeys(w.want.surface for w in trial.wishes if w.want.command == missing)
        sentences.append(
            f"{radio.name} has no control for {missing}: {listed(names)} cannot answer to it, with any mix."
        )
    left_out = plan.left_out(trial)
    for option in plan.options:
        takes = {c: option.seat.mixes(c) for c, unit in left_out if unit == option.seat.unit}
        for command, mixes in takes.items():
            spare = radio.free_mixes - plan.mixes
            left = f"{_count(spare) if spare else 'none'} {'is' if spare < 2 else 'are'} left"
            left = f"of {_count(radio.free_mixes)} {left}" if radio.free_mixes else "the radio has none"
            needs = f"it takes {count_of_mixes(mixes)}, and {left}"
            if len(option.seat.kinds) < len(option.seat.unit):
                needs = "on the Y-lead both would not move as they should"
            elif mixes <= spare:
                needs = "what it adds is not worth it, or it would break something else"
            sentences.append(f"Left out {command} into {_named(trial, option.seat.unit)}: {needs}.")
    if left_out and needed > radio.free_mixes:
        has = "none" if not radio.free_mixes else _count(radio.free_mixes)
        sentences.append(f"All of it needs {count_of_mixes(needed)}; the radio has {has}.")
    sentences += _alike_words(trial, plan, rows)
    told: set[tuple[Group, str, str]] = set()
    for wish, row in zip(trial.wishes, rows, strict=True):
        want, option = wish.want, _option_of(plan, wish.place)
        mirror = want.command in ("roll", "yaw") and wish.place != option.seat.unit[0]
        side = SIDES[SIDES.index(want.side) ^ mirror]
        if (
            row.worst_mm >= HALF_MM
            and want.command in option.brought
            and (option.seat.unit, want.command, side) not in told
        ):
            told.add((option.seat.unit, want.command, side))
            mate = [place for place in option.seat.unit if place != wish.place]
            other = f" ({_named(trial, tuple(mate))} likewise)" if mate else ""
            wanted, got = f"{number(row.wanted_mm, 1)} mm", f"{number(row.got_mm, 1)} mm"
            if row.half_wanted_mm is not None and row.half_got_mm is not None:
                wanted = f"{number(row.half_wanted_mm, 1)} mm at half and {wanted} at full"
                got = f"{number(row.half_got_mm, 1)} and {got}"
            sentences.append(
                f"{sentence_start(want.surface)}{other}, {command_end(want.command, _way(want.side))}: "
                f"wanted {wanted}, gets {got}, since {_why(trial, plan, option, wish)}."
            )
    return tuple(sentences)


def _alike_words(trial: Trial, plan: Plan, rows: Sequence[FitRow]) -> Iterator[str]:
    """Where less down than up was wanted of a pair, and both ways alike come of it."""
    for option in plan.options:
        wishes = zip(trial.wishes, rows, strict=True)
        asked = [r for w, r in wishes if w.place == option.seat.unit[0] and w.want.command == "roll"]
        if len(asked) < 2 or "roll" not in option.brought:
            continue
        wanted, got = [abs(row.wanted_mm) for row in asked], [abs(row.got_mm) for row in asked]
        if min(wanted) < _LESS_DOWN * max(wanted) and min(got) >= _LESS_DOWN * max(got):
            yield (
                f"Less down than up cannot be had on {_named(trial, option.seat.unit)}: the roll stick moves "
                "one of them without a gain, both ways alike, and the other has to match it."
            )


def note_words(
    trial: Trial, plan: Plan, setup: Setup, rows: Sequence[FitRow], flown: Flown
) -> tuple[str, ...]:
    """What the settings take away elsewhere, what depends on them, and where a dial must be stopped."""
    notes = list(_mark_words(trial, plan, rows, flown))
    for option, numbers in zip(plan.options, plan.numbers, strict=True):
        one_servo = any(trial.reach.surfaces[place].servo_of for place in option.seat.unit)
        if option.seat.unit in plan.joined and not one_servo:
            names = _named(trial, option.seat.unit)
            notes.append(f"{sentence_start(names)} share output {numbers[0]} by a Y-lead.")
        for group, control in zip(option.seat.groups, option.seat.controls, strict=True):
            kind, made = trial.reach.surfaces[group[0]].kind, option.seat.made
            mixed = [c for c in option.brought if c != control and kind in STEERED.get(c, ()) and not made(c)]
            if mixed and not setup.radio.mixes_carry_trim:
                notes.append(
                    f"{sentence_start(listed(mixed))} comes to {_named(trial, group)} by a mix alone: "
                    "its trim does not follow; trim at the rod or the sub-trim."
                )
    for command in trial.radio.shaped_commands:
        rate = 100 * plan.sizes.get((command, "above"), 1.0)
        if rate != 100:
            more = "less" if rate < 100 else "more"
            notes.append(f"The rate of {command} is {rate:g} %: all that answers to it moves {more}.")
    notes += _hold_words(trial, plan, setup, rows)
    notes += _phase_words(setup)
    for command in STEERED:
        places = {w: flown.least_kept(command, w) for w in ("droop", "reflex", "brake")}
        short = [f"{100 * share:.0f} % at {where}" for where, share in places.items() if share < 0.95]
        if short:
            notes.append(f"Wherever the other levers stand, {command} keeps {listed(short)}.")
    return tuple(notes)


def _hold_words(trial: Trial, plan: Plan, setup: Setup, rows: Sequence[FitRow]) -> Iterator[str]:
    """How much elevator the hand must give for a lever whose mix is left out."""
    left_out, rig = plan.left_out(trial), Rig(setup)
    back = np.linspace(-1, 1, 201)
    for wish, row in zip(trial.wishes, rows, strict=True):
        surface, command = trial.reach.surfaces[wish.place], wish.want.command
        unit = next(unit for unit in trial.units if wish.place in unit)
        moves = any(command in option.brought for option in plan.options)  # the lever moves something at all
        missing = (command, unit) in left_out and wish.place == unit[0] and abs(row.wanted_mm) >= HALF_MM
        if not (missing and moves) or command in STEERED or surface.kind not in STEERED["pitch"]:
            continue
        throws = rig.run(commands(pitch=back)).throw[:, wish.place]
        held = float(back[abs(throws - row.wanted_mm).argmin()])
        lever = command_end(command, setup.used_to(command, _way(wish.want.side)))
        means = "hold or trim" if 100 * abs(held) <= setup.radio.trim_max_percent else "hold"
        much = f"{abs(row.wanted_mm):.1f} mm {direction(surface, row.wanted_mm)}"
        yield (
            f"With {lever} {means} the {surface.kind} {much}, {100 * abs(held):.0f} % of the way to "
            f"{COMMAND_ENDS['pitch'][held > 0]}: no mix does it."
        )


def _phase_words(setup: Setup) -> Iterator[str]:
    """Where less down than up is lost, since rate and differential are one setting for all phases."""
    apart = ("past its mark", *(phase.name for phase in setup.phases if phase.own_roll))
    rolls = [
        row
        for row in left_in_phases(setup)
        if row.command == "roll" and not any(words in row.where for words in apart)
    ]
    for first in (row for row in rolls if row.where == "neutral" and row.down_share < _LESS_DOWN):
        lost = [row for row in rolls if row.surface == first.surface and row.down_share >= 1]
        if lost:
            ways = [
                f"{row.up_mm:.1f} up and {row.down_mm:.1f} mm down at {row.where}" for row in (first, *lost)
            ]
            yield (
                "Rate and differential are the same setting in every phase without its own: for full roll "
                f"the {first.surface} goes {listed(ways)}."
            )


def _mark_words(trial: Trial, plan: Plan, rows: Sequence[FitRow], flown: Flown) -> Iterator[str]:
    """Where to stop a dial or slider, what a hand that stops it a little off makes of it, what is beyond."""
    for (command, side), size in plan.sizes.items():
        if command in trial.radio.marked_commands and size < 1:
            mark, end = 100 * size, COMMAND_ENDS[command][side == "above"]
            got = [abs(r.got_mm) for r in rows if (r.want.command, r.want.side) == (command, side)]
            beyond = [k for k in flown.beyond if k.command == "roll" and k.due == ((command, side),)]
            left = f" At its end {100 * beyond[0].share:.0f} % of roll are left." if beyond else ""
            yield (
                f"Turn the {trial.radio.lever(command)} no further than {mark:g} % of its way "
                f"to {end}, and put a mark there. Stopped {_HAND_PERCENT:g} % of its way too far it moves a "
                f"surface {max(got, default=0.0) * _HAND_PERCENT / mark:.1f} mm more.{left}"
            )


def difference_words(trial: Trial, plan: Plan, other: Plan) -> str:
    """How another plan differs: ``"leave out camber into elevator, have roll into left aileron"``."""
    mine, its = set(plan.left_out(trial)), set(other.left_out(trial))
    parts = [f"leave out {_shares(trial, its - mine)}"] if its - mine else []
    parts += [f"have {_shares(trial, mine - its)}"] if mine - its else []
    parts += [f"{_named(trial, group)} on a Y-lead" for group in sorted(other.joined - plan.joined)]
    parts += [
        f"{_named(trial, group)} each on its own output" for group in sorted(plan.joined - other.joined)
    ]
    return ", ".join(parts) or "other plugs"


def count_of_mixes(count: int) -> str:
    """Number of free mixes in words, such as ``"one mix"`` or ``"three mixes"``."""
    return f"{_count(count)} {'mix' if count == 1 else 'mixes'}"


def _count(count: int) -> str:
    return _COUNTS[count] if count < len(_COUNTS) else str(count)


def _way(side: str) -> int:
    return 1 if side == "above" else -1


def _named(trial: Trial, group: Group) -> str:
    return listed(trial.reach.names[place] for place in group)


def _option_of(plan: Plan, place: int) -> Option:
    return next(option for option in plan.options if place in option.seat.unit)


def _shares(trial: Trial, items: Iterable[tuple[str, Group]]) -> str:
    """Shares by command, such as "camber into left aileron and right aileron"."""
    by_command: dict[str, list[int]] = {}
    for command, unit in sorted(items):
        by_command.setdefault(command, []).extend(unit)
    shares = (f"{command} into {_named(trial, tuple(places))}" for command, places in by_command.items())
    return ", and ".join(shares)


def _why(trial: Trial, plan: Plan, option: Option, wish: Wish) -> str:
    """Why a wanted throw is missed, the most binding cause first."""
    radio, reach, command, seat = trial.radio, trial.reach, wish.want.command, option.seat
    row = 0 if option.seat.unit in plan.joined else seat.unit.index(wish.place)
    fixed = command == seat.controls[row] and not radio.output_gains
    gain = max(-radio.gain_min_percent, radio.gain_max_percent)
    rate = 150.0 if command in radio.shaped_commands else 100.0
    most = radio.travel_max_percent
    if radio.end_points == "scale":
        most *= min(100.0 if fixed else gain, 100.0) / 100
    else:
        most = min(most, (100.0 if fixed else gain) * rate / 100)
    need = abs(reach.travel_percent(wish.place, seat.groups[row], wish.mm))
    low, high = reach.range_mm(wish.place)
    given = reach.throw_mm(wish.place, seat.groups[row], [-most, most])
    beyond = not low - 0.01 <= wish.mm <= high + 0.01
    if np.isnan(need) or (beyond and abs(given - (high if wish.mm > high else low)).min() < 0.01):
        return f"pulses, servo, linkage and stops reach {number(low, 1)} to {number(high, 1)} mm only"
    if seat.unit in plan.joined:
        return f"output {plan.numbers[plan.options.index(option)][0]} moves {_named(trial, seat.unit)} alike"
    if need > most:
        return f"it takes {need:.0f} % and the radio gives {most:.0f} %"
    if wish.want.bends and not can_bend(radio):
        return "its mixes are straight lines: this one misses least over the whole way"
    direct = command in seat.controls and not radio.output_gains
    if direct and command in radio.shaped_commands:
        return f"the {command} stick has no gain: only its rate can change that, both ways alike"
    if command in radio.marked_commands and plan.sizes.get((command, wish.want.side), 1.0) <= MARK_MIN:
        return (
            "a mark below a fifth of the way is too fine for a hand: hang the rod into another hole instead"
        )
    if direct and command in radio.marked_commands:
        return f"a mark at the {radio.lever(command)} is shared by all that it moves"
    if direct:
        return f"it takes {need:.0f} %, and this radio cannot set the share of its {command} control"
    if not radio.gain_sides_differ:
        return "this radio has one gain for both sides"
    return "more of it would leave too little of a stick, or part left and right"
