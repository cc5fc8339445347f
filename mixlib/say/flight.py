"""Flight numbers in words: always with a unit, a band and where they come from."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from mixlib.air.aircraft.bands import band
from mixlib.air.aircraft.doubt import Doubt, every
from mixlib.air.aircraft.elevator import Compensation, HeldCurve
from mixlib.air.aircraft.flight import Performance
from mixlib.air.aircraft.glide import Trimmed
from mixlib.air.aircraft.handling import Roll
from mixlib.describe import Aircraft
from mixlib.describe.words import number, sentence_start, signed
from mixlib.draw.phases import rows_of
from mixlib.say.doubt import marked
from mixlib.say.speeds import in_speed_unit, speed_unit, speed_words

__all__ = [
    "LEAST_DEG",
    "angle_words",
    "banded",
    "elevator_size",
    "elevator_words",
    "glide_cell",
    "glide_doubts",
    "glide_words",
    "helix_cell",
    "lets_go_cell",
    "mix_words",
    "origin_words",
    "range_words",
    "share_words",
    "speed_range",
    "stall_range",
    "swing_words",
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


def speed_range(
    speed_m_s: float | np.ndarray,
    low_m_s: float | np.ndarray,
    high_m_s: float | np.ndarray,
    decimals: int = 1,
) -> str:
    """Write a speed of so many m/s with its band, as `range_words`, in the reader's unit without its name."""
    said, low, high = (in_speed_unit(float(end)) for end in (speed_m_s, low_m_s, high_m_s))
    return range_words(said, low, high, decimals)


def glide_cell(glide: Trimmed) -> str:
    """Glide ratio of a steady glide with its band, as in a table."""
    return marked(range_words(glide.glide_ratio, *glide.glide_ratio_band), glide)


def stall_range(speed_m_s: float) -> str:
    """Write a stalling or approach speed of so many m/s with its band, as `speed_range`."""
    return speed_range(speed_m_s, *band("stall speed", speed_m_s))


def lets_go_cell(found: Performance) -> str:
    """Speed at which the wing begins to let go, with its band, as in a table."""
    return marked(stall_range(float(found.stall.speed_m_s)), found.stall)


def helix_cell(turned: Roll) -> str:
    """Helix angle in rad of one steady roll, with its band, as in a table."""
    return marked(banded("helix", float(turned.helix), 2), turned)


def swing_words(turned: Roll, nose_deg: float, rate_deg_s: float) -> str:
    """Say how a wing with dihedral rolls while the rudder holds the nose to one side.

    Parameters
    ----------
    turned : Roll
        The roll with the nose so many degrees, `nose_deg`, to the right.
    """
    rate = marked(f"{banded('helix', rate_deg_s, 0)}° a second", turned)
    return (
        f"With the nose held {nose_deg:.0f}° to one side by the rudder, dihedral rolls it that way by {rate}."
    )


def glide_words(found: Performance) -> str:
    """Say how a setting glides, each number with its band.

    Parameters
    ----------
    found : Performance
        The setting's performance.
    """
    stall, slowest, best = found.stall, found.slowest, found.best_glide
    least, approach = found.least_sink, found.approach
    lets_go = (
        f"{stall_range(float(stall.speed_m_s))} {speed_unit()}, first {abs(stall.first_to_stall_m):.2f} m "
        f"from the middle; {speed_words(found.banked_m_s)} in a turn of 30° of bank"
    )
    glide = range_words(best.glide_ratio, *best.glide_ratio_band)
    sink = f"{speed_range(least.sink_m_s, *least.sink_band_m_s, 2)} {speed_unit()}"
    landing = range_words(approach.glide_ratio, *approach.glide_ratio_band)
    return (
        f"Stall, where the wing begins to let go: {marked(lets_go, stall)}. "
        f"Held, partly stalled, down to: {marked(speed_words(slowest.speed_m_s), _held(slowest))}. "
        f"Best glide: {marked(f'{glide} at {speed_words(best.speed_m_s)}', best)}. "
        f"Least sink: {marked(f'{sink} at {speed_words(least.speed_m_s)}', least)}. "
        f"Approach: {marked(f'{speed_words(approach.speed_m_s)}, glide {landing}', approach)}. "
        f"{sentence_start(origin_words(float(approach.table_share)))}."
    )


def glide_doubts(found: Performance) -> int:
    """What casts doubt on the numbers of `glide_words`, as flags of `Doubt` (no unit)."""
    return found.doubts | _held(found.slowest)


def _held(slowest: Trimmed) -> int:
    """Doubts on the slowest glide, of which it is said that a part of the wing has let go."""
    return int(slowest.doubts) & ~int(Doubt.PART_STALLED)


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


def elevator_words(wanted: Compensation) -> str:
    """Say how far and which way the elevator must go with the lever at its last place, with the band.

    Returns
    -------
    str
        Such as ``"3.0° (2.0 to 4.0) down elevator"``.
    """
    said = _elevator(wanted)
    return marked("no elevator" if said == "none" else f"{said} elevator", _doubts(wanted))


def elevator_size(wanted: Compensation) -> str:
    """Say the same as `elevator_words` where the word elevator stands already.

    Returns
    -------
    str
        Such as ``"3.0° (2.0 to 4.0) down"``, ``"0.3° up to 0.2° down"`` where not even the way is sure, or
        ``"none"``.
    """
    return marked(_elevator(wanted), _doubts(wanted))


def _elevator(wanted: Compensation) -> str:
    degrees = float(wanted.change_deg[-1])
    low, high = (float(end[-1]) for end in wanted.band_deg)
    if max(-low, high) < LEAST_DEG:
        return "none"
    if low < 0 < high:
        return f"{-low:.1f}° up to {high:.1f}° down"
    nearest, furthest = sorted((abs(low), abs(high)))
    return f"{abs(degrees):.1f}° ({nearest:.1f} to {furthest:.1f}) {'down' if degrees > 0 else 'up'}"


def _doubts(wanted: Compensation) -> int:
    """Those of the first and the last place, whose difference is told."""
    return every(wanted.doubts[0], wanted.doubts[-1])


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
