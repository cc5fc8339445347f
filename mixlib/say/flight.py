"""Flight numbers in words: always with a unit, a band and where they come from."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from mixlib.air.aircraft.bands import band
from mixlib.air.aircraft.elevator import HeldCurve
from mixlib.air.aircraft.flight import Performance
from mixlib.describe import Aircraft
from mixlib.describe.words import number, sentence_start, signed
from mixlib.draw.phases import rows_of

__all__ = [
    "LEAST_DEG",
    "angle_words",
    "banded",
    "elevator_size",
    "elevator_words",
    "glide_words",
    "mix_words",
    "origin_words",
    "range_words",
    "share_words",
]

LEAST_DEG = 0.15
"""An elevator change below this is none: less than the play of its linkage."""


def origin_words(table_share: float) -> str:
    """Say where the section data of a result come from.

    Parameters
    ----------
    table_share : float
        Share of the wing whose data come from the table, 0 to 1.
    """
    if table_share > 0.98:
        return "section data from the table"
    return f"{100 * (1 - table_share):.0f} % of the wing by handbook values: a rough guide"


def share_words(table_share: float) -> str:
    """Say the same as `origin_words` in a cell of a table.

    Parameters
    ----------
    table_share : float
        Share of the wing whose data come from the table, 0 to 1.

    Returns
    -------
    str
        Such as ``"table 64 %"``.
    """
    return f"table {100 * table_share:.0f} %"


def range_words(
    value: float | np.ndarray, low: float | np.ndarray, high: float | np.ndarray, decimals: int = 1
) -> str:
    """Write a number with its band.

    Parameters
    ----------
    value, low, high : float or ndarray of shape ()
        The number and its ends, in any unit that all share.

    Returns
    -------
    str
        Such as ``"4.8 (4.0 to 5.9)"``.
    """
    said, *ends = (number(float(end), decimals) for end in (value, *sorted((low, high))))
    return f"{said} ({' to '.join(ends)})"


def banded(kind: str, value: float, decimals: int = 1) -> str:
    """Write a number with the band of its kind.

    Parameters
    ----------
    kind : str
        A key of `mixlib.air.aircraft.bands.BANDS`.
    value : float
        The number, in any unit.

    Returns
    -------
    str
        As `range_words` gives it.
    """
    return range_words(value, *band(kind, value), decimals)


def glide_words(found: Performance) -> str:
    """Say how a setting glides, each number with its band.

    Parameters
    ----------
    found : Performance
        The setting's performance.
    """
    best, least, approach = found.best_glide, found.least_sink, found.approach
    origin = sentence_start(origin_words(float(approach.table_share)))
    return (
        f"The wing begins to let go at {banded('stall speed', float(found.stall.speed_m_s))} m/s, "
        f"{abs(found.stall.first_to_stall_m):.2f} m from the middle; in a turn of 30° of bank at "
        f"{found.banked_m_s:.1f}. It cannot be held below {found.slowest.speed_m_s:.1f} m/s. "
        f"Best glide {range_words(best.glide_ratio, *best.glide_ratio_band)} at {best.speed_m_s:.1f} m/s. "
        f"Least sink {range_words(least.sink_m_s, *least.sink_band_m_s, 2)} m/s "
        f"at {least.speed_m_s:.1f} m/s. Approach at {approach.speed_m_s:.1f} m/s: glide "
        f"{range_words(approach.glide_ratio, *approach.glide_ratio_band)}. {origin}."
    )


def angle_words(aircraft: Aircraft, angles_deg: Mapping[str, float]) -> str:
    """Say where the wing's surfaces stand, such as ``"Both flaps 8.0° down, both ailerons 3.1° down."``.

    Parameters
    ----------
    angles_deg : mapping of str to float
        Surface name to angle, trailing edge down positive.
    """
    parts = []
    for row in rows_of(aircraft, [angles_deg]):
        angle = angles_deg[row.names[0]]
        if aircraft.surface(row.names[0]).part == "wing" and abs(angle) > 0.05:
            parts.append(f"{row.label} {abs(angle):.1f}° {'down' if angle > 0 else 'up'}")
    return sentence_start(", ".join(parts) or "wing clean") + "."


def elevator_words(degrees: float) -> str:
    """Say how far and which way the elevator must go, with the band.

    Parameters
    ----------
    degrees : float
        Change in deg, trailing edge down positive.

    Returns
    -------
    str
        Such as ``"3.0° (2.0 to 4.0) down elevator"``.
    """
    return "no elevator" if abs(degrees) < LEAST_DEG else f"{elevator_size(degrees)} elevator"


def elevator_size(degrees: float) -> str:
    """Say the same as `elevator_words` where the word elevator stands already.

    Parameters
    ----------
    degrees : float
        Change in deg, trailing edge down positive.

    Returns
    -------
    str
        Such as ``"3.0° (2.0 to 4.0) down"``, or ``"none"``.
    """
    if abs(degrees) < LEAST_DEG:
        return "none"
    low, high = band("elevator change", abs(degrees))
    return f"{abs(degrees):.1f}° ({low:.1f} to {high:.1f}) {'down' if degrees > 0 else 'up'}"


def mix_words(held: HeldCurve) -> str:
    """Say what kind of mix holds a compensation.

    Returns
    -------
    str
        Number of points, or the gain.
    """
    if held.curve_percent:
        return f"a curve of {len(held.curve_percent)} points"
    return f"a gain of {signed(held.gain_percent, 0)} %"
