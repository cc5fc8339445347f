"""How much brake or droop: the place of the lever that touches down at the aiming point, and what is left.

Where a lever shortens a landing at all, the touchdown comes nearer the more of it is out, so the place is
found by halving.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from mixlib.air.aircraft.from_setup import angles_at
from mixlib.air.landing.field import Flown, landings
from mixlib.describe import LandingField, Setup

__all__ = ["Decision", "decide"]

_STEPS = 10  # of the lever's way: nobody sets it finer without looking
_MOST_WIND_M_S = 10
_ROOM = (
    0.25,
    0.75,
)  # share of the lever's way within which there is room to both sides (judgement, no source)


@dataclass(frozen=True)
class Decision:
    """Where a lever stands for a landing, and what else it could do.

    Attributes
    ----------
    lever, end, used : float
        Command to set, the furthest that can be flown with, and the furthest that the lever is used to, 0 to
        1; no end where none of it lands nearer: it moves nothing on the wing, or only makes it float.
    flown, least, most : Flown
        The landing with that much, with nothing, and with all of it.
    nearer_m, further_m : float
        How much nearer or further it touches down with a tenth of the lever's way more or less; 0 without.
    fits_from_m_s : int or None
        Head wind from which the plan stops on the strip, where it does not in this one; None beyond 10 m/s.
    """

    command: str
    field: LandingField
    head_wind_m_s: float
    lever: float
    end: float
    used: float
    flown: Flown
    least: Flown
    most: Flown
    nearer_m: float
    further_m: float
    fits_from_m_s: int | None = None

    @property
    def share(self) -> float:
        """The lever's place as a share of its way, 0 to 1."""
        return self.lever / self.used if self.used else 0.0

    @property
    def stops(self) -> bool:
        """Whether the plan comes to a stop on the strip."""
        return bool(self.flown.path.stop_m <= self.field.length_m)

    @property
    def all_stop(self) -> bool:
        """Whether it stops there with speed, heading and drag a little off, too."""
        stops = self.flown.landing.stop_m
        return bool(np.all(stops <= self.field.length_m) and np.all(self.flown.landing.touchdown_m >= 0))

    @property
    def room_both_ways(self) -> bool:
        """Whether enough is left to make the approach steeper and flatter."""
        return _ROOM[0] * self.end <= self.lever <= _ROOM[1] * self.end if self.end else False


def decide(setup: Setup, command: str, head_wind_m_s: float = 0.0, flare: str = "normal") -> Decision:
    """Find how much of a lever touches down nearest to the aiming point of the set-up's field.

    Parameters
    ----------
    command : str
        ``"camber"`` or ``"brake"``; its positive side, as far as it is used, is looked at.
    head_wind_m_s : float
        Head wind at 10 m height.
    flare : str
        One of `mixlib.air.landing.approach.FLARES`.

    Raises
    ------
    ValueError
        If no approach can be flown with a setting.
    """
    end = setup.used_to(command, 1)

    def at(step: int, wind_m_s: float = head_wind_m_s) -> Flown:
        lever = {command: end * step / _STEPS}
        return landings(setup, {"": lever}, wind_m_s, flare=flare)[""]

    moves = angles_at(setup, **{command: end}) != angles_at(setup)
    last = next((step for step in range(_STEPS, 0, -1) if _flies(at, step)), 0) if moves else 0
    if at(last).path.touchdown_m >= at(0).path.touchdown_m:
        last = 0  # a little droop glides further
    step = _nearest(at, last, setup.field.aim_m)
    length = setup.field.length_m
    fits_from = None
    if at(step).path.stop_m > length:
        winds = range(int(head_wind_m_s) + 1, _MOST_WIND_M_S + 1)
        fits_from = next((wind for wind in winds if at(step, wind).path.stop_m <= length), None)
    more, less = (
        next((each for each in steps if _flies(at, each)), step)
        for steps in (range(step + 1, last + 1), range(step - 1, -1, -1))
    )
    here = at(step).path.touchdown_m
    return Decision(
        command=command,
        field=setup.field,
        head_wind_m_s=head_wind_m_s,
        lever=end * step / _STEPS,
        end=end * last / _STEPS,
        used=end,
        flown=at(step),
        least=at(0),
        most=at(last),
        nearer_m=(here - at(more).path.touchdown_m) / max(more - step, 1),
        further_m=(at(less).path.touchdown_m - here) / max(step - less, 1),
        fits_from_m_s=fits_from,
    )


def _flies(at: Callable[[int], Flown], step: int) -> bool:
    try:
        at(step)
    except ValueError:
        return False
    return True


def _nearest(at: Callable[[int], Flown], last: int, aim_m: float) -> int:
    """Step of the lever that touches down nearest to a place, by halving, without those that do not fly."""
    long, short = 0, last
    if at(long).path.touchdown_m <= aim_m:
        return long
    if at(short).path.touchdown_m >= aim_m:
        return short
    while True:
        between = sorted(range(long + 1, short), key=lambda step: abs(2 * step - long - short))
        middle = next((step for step in between if _flies(at, step)), None)
        if middle is None:
            break
        short, long = (middle, long) if at(middle).path.touchdown_m <= aim_m else (short, middle)
    return min((long, short), key=lambda step: abs(at(step).path.touchdown_m - aim_m))
