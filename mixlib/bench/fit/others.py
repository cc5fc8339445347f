"""What a practitioner would do instead: another hole, a leaning arm, another control, another radio.

Each is a whole fit of its own, and its words say what it gains and what it costs against the first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from mixlib.bench.fit.recommend import fit
from mixlib.bench.fit.result import FitResult, worthwhile
from mixlib.bench.fit.search import Plan
from mixlib.bench.fit.words import count_of_mixes
from mixlib.bench.surface.differential import less_down
from mixlib.bench.surface.rests import units_of
from mixlib.bench.surface.throws import with_holes
from mixlib.chain import LinkageError
from mixlib.describe import Aircraft, Radio, Want

__all__ = ["other_holes", "other_radios", "other_ways"]

_TOOTH_DEG = 360 / 25  # a servo's shaft of 25 teeth; common practice, no source


def other_holes(result: FitResult) -> tuple[FitResult, ...]:
    """What other holes in arm or horn would give, the best first; only what is worth it.

    Plugs and mixes stay, values are found anew.  Surfaces of one kind change holes together, and the rod is
    made to fit at neutral.
    """
    aircraft, found = result.setup.aircraft, []
    free = [surface for surface in aircraft.surfaces if surface.name not in result.locked.holes]
    for kind in dict.fromkeys(surface.kind for surface in free):
        links = [surface.linkage for surface in aircraft.of_kind(kind)]
        arms = {(hole, None) for link in links for hole in link.arm_holes_mm}
        horns = {(None, hole) for link in links for hole in link.horn_holes_mm}
        for arm, horn in sorted(arms, key=str) + sorted(horns, key=str):
            if all(arm == link.arm_mm or horn == link.horn_mm for link in links):
                continue
            surfaces = tuple(
                with_holes(s, arm or s.linkage.arm_mm, horn or s.linkage.horn_mm)
                if s.kind == kind and s in free
                else s
                for s in aircraft.surfaces
            )
            part = f"{arm:g} mm hole of the servo arm" if arm else f"{horn:g} mm hole of the horn"
            other = aircraft.replace(surfaces=surfaces)
            found += _tried(result, f"{kind}: the {part}", aircraft=other, seated=result.plan)
    return worthwhile(result, found)


def other_ways(result: FitResult) -> tuple[FitResult, ...]:
    """What other controls or a leaning servo arm would give, the best first; only what is worth it.

    A throttle stick without a motor can be the air brake; a dial can be the landing flap where there is no
    brake; an arm that leans forward gives less down than up, with the rod refitted, where the radio cannot.
    """
    setup, found = result.setup, []
    held, wants = setup.radio.commands, setup.wanted
    braking = {want.surface: want for want in wants if want.command == "brake"}
    if braking and "brake" not in held:
        if "throttle" in held and setup.aircraft.motor is None:
            stick = [w.replace(command="throttle") if w.command == "brake" else w for w in wants]
            found += _tried(result, "the throttle stick as air brake", wants=stick, in_place="throttle")
        if "camber" in held:
            drooped = [
                w for w in wants if w.command != "brake" and (w.command, w.side) != ("camber", "above")
            ]
            landing = [want.replace(command="camber") for want in braking.values()]
            words = f"the {setup.radio.lever('camber')} as landing flap, in place of droop"
            found += _tried(result, words, wants=[*drooped, *landing], in_place="camber")
    if any(words.startswith("Less down than up cannot") for words in result.cannot):
        for teeth in (1, 2):
            try:
                leant = less_down(setup, "arm leans, new rod", teeth * _TOOTH_DEG).aircraft
            except ValueError:
                break
            words = f"the aileron servo arms {teeth} {'tooth' if teeth == 1 else 'teeth'} over, with new rods"
            found += _tried(result, words, aircraft=leant)
    return worthwhile(result, found)


def other_radios(result: FitResult, radios: Sequence[Radio]) -> tuple[FitResult, ...]:
    """What other radios would give for the same aircraft and wants, the best first; only what is worth it."""
    aircraft = result.setup.aircraft
    least = len(units_of(aircraft)) + (aircraft.motor is not None)
    found = []
    for radio in (radio for radio in radios if radio.outputs >= least):
        other = fit(aircraft, radio, result.setup.wanted, result.setup.name, keep=result.before)
        found.append(replace(other, words=f"with {radio.name}, {count_of_mixes(other.mixes_used)}"))
    return worthwhile(result, found)


def _tried(
    result: FitResult,
    words: str,
    aircraft: Aircraft | None = None,
    wants: Sequence[Want] | None = None,
    seated: Plan | None = None,
    in_place: str = "",
) -> list[FitResult]:
    """One other fit, or none where its linkages do not close."""
    setup = result.setup
    try:
        other = fit(
            aircraft or setup.aircraft,
            setup.radio,
            wants or setup.wanted,
            setup.name,
            keep=result.before,
            locked=result.locked,
            seated=seated,
        )
    except LinkageError:
        return []
    return [replace(other, words=words, brakes_with=in_place)]
