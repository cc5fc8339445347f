"""How far a flight number may be off, where the model itself gives no band.

Drag carries its own band, worked out with it.  The rest are judgements: what the checks against other models
left open, and what gaps, hinges, soft wings and rough surfaces do to a real aircraft.
"""

from __future__ import annotations

__all__ = ["BANDS", "band"]

BANDS = {
    "stall speed": (0.95, 1.10),
    "helix": (0.80, 1.05),
    "nose swing": (0.70, 1.30),
    "elevator change": (0.67, 1.33),
}
"""Lowest and highest share of a number to expect; judgement, no source.

Stall speed: the most lift is known within a tenth, and rough or bent surfaces only take from it.  Helix:
the lattice agrees within 3 %; an open hinge gap and a wing that twists take up to a fifth.  Nose swing: the
yaw is within a tenth, the fin's hold is a handbook value.  Elevator change: two independent models of the
tail differed by a third.
"""


def band(kind: str, value: float) -> tuple[float, float]:
    """Lowest and highest value to expect.

    Parameters
    ----------
    kind : str
        A key of `BANDS`.
    value : float
        The computed number, in any unit.

    Returns
    -------
    low, high : float
        In the same unit, the smaller size first whatever the sign.

    Raises
    ------
    KeyError
        If there is no band of that kind.
    """
    low, high = BANDS[kind]
    return low * value, high * value
