"""How far a flight number may be off, where the model itself gives no band.

Drag carries its own band, worked out with it.  The rest are judgements: what the checks against other models
left open, and what gaps, hinges, soft wings and rough surfaces do to a real aircraft.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np

__all__ = ["BANDS", "CHECKS", "band"]

BANDS = {
    "stall speed": (0.95, 1.10),
    "helix": (0.80, 1.05),
    "nose swing": (0.70, 1.30),
    "elevator change": (0.67, 1.33),
}
"""Lowest and highest share of a number to expect; judgement, no source, upon what `CHECKS` holds.

Stall speed: where the wing begins to let go agrees with a hand calculation; the most lift is known within a
tenth, and rough or bent surfaces only take from it.  Helix: a lattice agrees within 5 % down to an aspect
ratio of 6; an open hinge gap and a wing that twists take up to a fifth.  Nose swing: the yaw is within a
tenth of a lattice's, the fin's hold is a handbook value.  Elevator change: for a little droop a turbulent
wing is within a fifth of a lattice, a smooth one up to half below it when fast, since a laminar bubble hides
part of a small flap (another section method says the same); so the band counts from both skins.  A large flap
rests on handbooks.
"""

CHECKS = {
    "stall speed": "test_stall.py::test_the_stall_is_where_a_hand_calculation_says",
    "helix": "test_wing_lattice.py::test_lift_slope_damping_aileron_and_helix",
    "nose swing": "test_wing_lattice.py::test_yaw_of_ailerons",
    "elevator change": "test_pitch_lattice.py::test_elevator_for_little_droop",
}
"""The test that holds each band."""


Number = TypeVar("Number", float, np.ndarray)


def band(kind: str, value: Number) -> tuple[Number, Number]:
    """Lowest and highest value to expect.

    Parameters
    ----------
    kind : str
        A key of `BANDS`.
    value : float or ndarray
        The computed number, in any unit.

    Returns
    -------
    low, high : float or ndarray
        In the same unit, the smaller size first whatever the sign.

    Raises
    ------
    KeyError
        If there is no band of that kind.
    """
    low, high = BANDS[kind]
    return low * value, high * value
