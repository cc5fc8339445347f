"""What a newly fitted set-up takes over from the one before: motor, phases, shapes of mix curves."""

from __future__ import annotations

import numpy as np

from mixlib.bench.fit.phase_wants import phases_of_wants
from mixlib.describe import MOTOR, FreeMix, Setup
from mixlib.units import to_step

__all__ = ["carried"]


def carried(before: Setup, fitted: Setup) -> Setup:
    """Take the motor's settings, phases and curves over into a fitted set-up, whose mixes are straight.

    The motor keeps direction and end points, which its controller has learnt, and its plug too where that is
    still free.  The phases follow the throws that were wanted.  Every mix is bent as its forerunner was, if
    the radio has curves: ends stay, points between keep their share.
    """
    for old in (mix for mix in before.free_mixes if mix.curve_percent):
        fitted = _bent(old, {part.name for part in before.surfaces_on(old.follower)}, fitted)
    fitted = _with_motor(before, fitted)
    return fitted.replace(phases=phases_of_wants(before, fitted.wanted))


def _with_motor(before: Setup, fitted: Setup) -> Setup:
    was, now = before.wiring.get(MOTOR), fitted.wiring.get(MOTOR)
    if was is None or now is None or before.radio != fitted.radio:
        return fitted
    number = now if fitted.surfaces_on(was) else was
    outputs = [output for output in fitted.outputs if output.number not in (now, number)]
    return fitted.replace(
        wiring={**fitted.wiring, MOTOR: number},
        outputs=tuple(
            sorted([*outputs, before.output(was).replace(number=number)], key=lambda output: output.number)
        ),
    )


def _bent(old: FreeMix, served: set[str], fitted: Setup) -> Setup:
    """The fitted set-up with the mix from the same leader to the same surfaces bent like an old one."""
    radio = fitted.radio
    if radio.curve_points < len(old.curve_percent):
        return fitted
    for number in fitted.servo_outputs:
        if {part.name for part in fitted.surfaces_on(number)} == served:
            fitted = _led_by_mix(fitted, number, old.leader)
            for mix in fitted.free_mixes:
                if (mix.leader, mix.follower) == (old.leader, number):
                    points = to_step(_scaled(old.curve_percent, mix), radio.gain_step_percent)
                    points = np.clip(points, radio.gain_min_percent, radio.gain_max_percent)
                    return fitted.with_mix(
                        FreeMix(leader=mix.leader, follower=number, curve_percent=tuple(points.tolist()))
                    )
    return fitted


def _led_by_mix(fitted: Setup, number: int, leader: str | int) -> Setup:
    """The same movements, but with the leader coming by a mix: it changes places with another command.

    A direct control cannot be bent.  Where its output has gains of its own, the control and the command of a
    mix may change places, and the demand stays what it was.
    """
    output = fitted.output(number)
    if output.control != leader or not fitted.radio.output_gains:
        return fitted
    for mix in fitted.free_mixes:
        if mix.follower == number and mix.leader in fitted.radio.can_drive(number):
            swapped = FreeMix(
                leader=leader,
                follower=number,
                gain_above_percent=output.gain_above_percent,
                gain_below_percent=output.gain_below_percent,
            )
            others = tuple(other for other in fitted.free_mixes if other is not mix)
            return fitted.replace(free_mixes=(*others, swapped)).with_output(
                number,
                control=mix.leader,
                gain_above_percent=mix.gain_above_percent,
                gain_below_percent=mix.gain_below_percent,
            )
    return fitted


def _scaled(curve_percent: tuple[float, ...], mix: FreeMix) -> np.ndarray:
    """The curve with its ends where the straight mix has them; a side without a curve becomes straight."""
    points = np.array(curve_percent)
    places = np.linspace(-1.0, 1.0, len(points))
    straight = np.where(places > 0, mix.gain_above_percent, mix.gain_below_percent) * places
    for side, end in ((places > 0, -1), (places < 0, 0)):
        straight[side] = straight[end] * points[side] / points[end] if points[end] else straight[side]
    return straight
