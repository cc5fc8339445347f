"""Which number of the aircraft's description matters most in the air: what a small miss of it does."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from mixlib.air.aircraft.from_setup import known_balance, known_performance
from mixlib.air.section.shapes import DESIGNATIONS
from mixlib.describe import Aircraft

__all__ = ["AIR_NUMBERS", "AirMatter", "air_matters"]

_ROOT, _TIP = "wing.stations.0", "wing.stations.-1"

AIR_NUMBERS = {
    f"{_ROOT}.thickness_mm": (0.01, "1 % of the chord in the section's thickness"),
    f"{_ROOT}.camber_mm": (0.005, "half a % of the chord in the section's camber"),
    f"{_TIP}.chord_mm": (5.0, "5 mm of chord at the tip"),
    f"{_TIP}.twist_deg": (1.0, "1° of twist at the tip"),
    "body_drag_area_cm2": (5.0, "5 cm² of the body's drag"),
    "tail.arm_mm": (10.0, "10 mm between wing and tail"),
    "tail.span_mm": (10.0, "10 mm of the tail's span"),
    "tail.chord_mm": (5.0, "5 mm of the tail's chord"),
}
"""Path of a number inside the aircraft, to by how much a flyer may miss it and what that is called."""

_CLARK_Y_PERCENT = (11.7, 3.4)  # thickness and camber, from memory


@dataclass(frozen=True)
class AirMatter:
    """What a miss of one number does, each without sign.

    Attributes
    ----------
    field : str
        A key of `AIR_NUMBERS`.
    words : str
        The miss, such as ``"10 mm between wing and tail"``.
    stall_m_s : float
        By how much the wing then lets go at another speed, m/s.
    glide : float
        By how much the best glide differs, m of way for 1 m of height.
    neutral_mm : float
        By how far the neutral point moves, mm.
    weight : float
        The largest of the three as a share of the speed, of the glide and of the mean chord.
    """

    field: str
    words: str
    stall_m_s: float
    glide: float
    neutral_mm: float
    weight: float


def air_matters(aircraft: Aircraft, fields: Collection[str]) -> tuple[AirMatter, ...]:
    """What some numbers of `AIR_NUMBERS` do in the air, the most telling first."""
    found = (_matter(aircraft, field) for field in AIR_NUMBERS if field in fields)
    return tuple(sorted(filter(None, found), key=lambda matter: -matter.weight))


@lru_cache(maxsize=64)
def _matter(aircraft: Aircraft, field: str) -> AirMatter | None:
    step, words = AIR_NUMBERS[field]
    try:
        before, after = (_flown(each) for each in _changed(aircraft, field, step))
    except ValueError:  # the changed one cannot be described or flown, so it was not missed that way
        return None
    stall, glide, neutral = np.abs(after - before).tolist()
    shares = stall / before[0], glide / before[1], neutral / known_balance(aircraft).mean_chord_mm
    return AirMatter(field, words, stall, glide, neutral, float(max(shares)))


def _flown(aircraft: Aircraft) -> np.ndarray:
    """Stalling speed (m/s), best glide, and the middle of the neutral points (mm)."""
    found = known_performance(aircraft)
    neutral = np.mean(known_balance(aircraft).neutral_mm)
    return np.array([float(found.stall.speed_m_s), float(found.best_glide.glide_ratio), neutral])


def _changed(aircraft: Aircraft, field: str, step: float) -> Iterator[Aircraft]:
    """The aircraft to compare with, and that with the number missed."""
    part, _, name = field.rpartition(".")
    if name in ("thickness_mm", "camber_mm"):
        # A kind of section has no number to change: its thickness and camber as if measured have.
        for add in (0.0, step):
            yield _with_sections(aircraft, **{name: add})
        return
    yield aircraft
    if part == _TIP:
        *others, tip = aircraft.wing.stations
        tip = tip.replace(**{name: getattr(tip, name) + step})
        yield aircraft.replace(wing=aircraft.wing.replace(stations=(*others, tip)))
    elif part == "tail" and aircraft.tail:
        tail = aircraft.tail.replace(**{name: getattr(aircraft.tail, name) + step})
        yield aircraft.replace(tail=tail)
    elif not part:
        yield aircraft.replace(**{name: getattr(aircraft, name) + step})


def _with_sections(aircraft: Aircraft, thickness_mm: float = 0.0, camber_mm: float = 0.0) -> Aircraft:
    """Every rib with measured thickness and camber, with so many shares of the chord added."""
    stations = []
    for rib in aircraft.wing.stations:
        thick, camber = rib.thickness_mm, rib.camber_mm
        if thick is None or camber is None:
            digits = DESIGNATIONS[rib.section].removeprefix("NACA ")
            percent = (int(digits[2:]), int(digits[0])) if digits.isdigit() else _CLARK_Y_PERCENT
            thick, camber = (share * rib.chord_mm / 100 for share in percent)
        more = (thick + thickness_mm * rib.chord_mm, camber + camber_mm * rib.chord_mm)
        stations.append(rib.replace(thickness_mm=more[0], camber_mm=more[1]))
    return aircraft.replace(wing=aircraft.wing.replace(stations=tuple(stations)))
