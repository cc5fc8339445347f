"""A set-up with those few numbers changed that one changes at the bench."""

from __future__ import annotations

from collections.abc import Sequence

from mixlib.bench.surface.throws import with_holes
from mixlib.describe import FreeMix, Mark, Output, ReadyMade, Setup
from mixlib.units import to_step

__all__ = ["with_end_points", "with_gains", "with_mark", "with_pair_holes"]


def with_pair_holes(setup: Setup, names: Sequence[str], arm_mm: float, horn_mm: float) -> Setup:
    """Hang the rods of some surfaces into other holes, so far from shaft and hinge."""
    parts = (
        with_holes(part, arm_mm, horn_mm) if part.name in names else part for part in setup.aircraft.surfaces
    )
    return setup.replace(aircraft=setup.aircraft.replace(surfaces=tuple(parts)))


def with_gains(setup: Setup, names: Sequence[str], percent: float) -> Setup:
    """Take all that reaches the outputs of some surfaces times a share, to the steps of the radio.

    Parameters
    ----------
    percent : float
        Of what each gain, point of a curve and ready-made function is now.  A radio whose outputs have no
        gain of their own keeps those at 100 %.
    """
    reached, radio = _outputs_of(setup, names), setup.radio

    def share(now: float) -> float:
        return to_step(now * percent / 100, radio.gain_step_percent)

    def output(part: Output) -> Output:
        if part.number not in reached or not radio.output_gains:
            return part
        above, below = share(part.gain_above_percent), share(part.gain_below_percent)
        return part.replace(gain_above_percent=above, gain_below_percent=below)

    # What an output hands on whole has its share already.
    handed = reached if radio.output_gains and radio.mix_takes == "output" else set()

    def mix(part: FreeMix) -> FreeMix:
        if part.follower not in reached or part.leader in handed:
            return part
        above, below = share(part.gain_above_percent), share(part.gain_below_percent)
        curve = tuple(map(share, part.curve_percent))
        return part.replace(gain_above_percent=above, gain_below_percent=below, curve_percent=curve)

    def ready(part: ReadyMade) -> ReadyMade:
        if not {part.first, part.second} & reached:
            return part
        alike, opposite = share(part.alike_percent), share(part.opposite_percent)
        return part.replace(alike_percent=alike, opposite_percent=opposite)

    return setup.replace(
        outputs=tuple(map(output, setup.outputs)),
        free_mixes=tuple(map(mix, setup.free_mixes)),
        ready_made=tuple(map(ready, setup.ready_made)),
    )


def with_end_points(setup: Setup, names: Sequence[str], percent: float) -> Setup:
    """Take the end points of the outputs of some surfaces times a share, to the steps of the radio."""
    step = setup.radio.travel_step_percent
    for number in sorted(_outputs_of(setup, names)):
        now = setup.output(number)
        ends = {
            end: to_step(getattr(now, end) * percent / 100, step)
            for end in ("end_low_percent", "end_high_percent")
        }
        setup = setup.with_output(number, **ends)
    return setup


def with_mark(setup: Setup, command: str, side: str, percent: float) -> Setup:
    """Put the mark beside a dial or slider at another place, in percent of its way; at 100 there is none."""
    others = [mark for mark in setup.marks if (mark.command, mark.side) != (command, side)]
    here = [Mark.model_validate({"command": command, "side": side, "percent": percent})]
    return setup.replace(marks=(*others, *(here if percent < 100 else [])))


def _outputs_of(setup: Setup, names: Sequence[str]) -> set[int]:
    return {setup.wiring[name] for name in names}
