"""A dial or slider over its way: where it leaves the surfaces, and what a neutral at an end of it costs."""

from __future__ import annotations

import numpy as np

from mixlib.chain import Rig, commands
from mixlib.chain.surfaces import Followed, SurfaceRow
from mixlib.describe import Setup, Surface
from mixlib.describe.words import NEUTRAL_MM, direction, listed, number

__all__ = ["Dial"]


class Dial:
    """A dial with its neutral at a place, -1 to 1, and the servo arms put on again to suit it."""

    def __init__(self, setup: Setup, command: str, neutral: float) -> None:
        self.setup, self.command, self.neutral = setup, command, neutral
        self._rig, self._row = Rig(setup), SurfaceRow(setup.aircraft.surfaces)
        self._back_us = self._pulses([{command: neutral}])[0] - self._pulses([{}])[0]
        way = np.ptp(self.throws(np.linspace(-1, 1, 21)), axis=0)
        self.moved = [place for place, mm in enumerate(way) if mm >= NEUTRAL_MM]

    def _pulses(self, asked: list[dict[str, float]]) -> np.ndarray:
        pulses = self._rig.run([commands(**one) for one in asked]).pulse
        return pulses[:, self._rig.outputs_of_surfaces]

    def follow(self, at: np.ndarray, roll: float = 0.0) -> Followed:
        """Where the surfaces are, shape (places, surfaces), with the dial at places from -1 to 1."""
        asked = [{self.command: float(u)} | ({"roll": roll} if roll else {}) for u in at]
        return self._row.follow(self._pulses(asked) - self._back_us)

    def throws(self, at: np.ndarray, roll: float = 0.0) -> np.ndarray:
        """Throws in mm, shape (places, surfaces), with the dial at places from -1 to 1."""
        return self.follow(at, roll).throw_mm

    def words(self, at: float) -> str:
        """Where the surfaces stand, such as ``"left aileron and right aileron down 3.2 mm"``."""
        throws = self.throws(np.array([at]))[0]
        found: dict[str, list[str]] = {}
        for place in self.moved:
            part = self.setup.aircraft.surfaces[place]
            found.setdefault(_mm_words(part, throws[place]), []).append(part.name)
        return listed(f"{listed(names)} {words}" for words, names in found.items())

    def costs(self, mark: float) -> tuple[str, ...]:
        """Droop at the mark, reflex at the low end, a tenth of the dial's way from neutral, and full roll."""
        at = np.array([self.neutral, min(self.neutral + mark, 1.0), -1.0, self.neutral + 0.2])
        rest, marked, low, tenth = self.throws(at)[:, self.moved]
        rolls = [self.throws(at[:1], roll)[0][self.moved] - rest for roll in (-1.0, 1.0)]
        ways = [float(np.abs(mm).max()) for mm in (marked - rest, low - rest, tenth - rest)]
        each = [" / ".join(number(float(abs(mm)), 1) for mm in way) for way in rolls]
        return (*(f"{number(mm, 1)} mm" for mm in ways), f"stick left {each[0]}, stick right {each[1]} mm")


def _mm_words(part: Surface, throw_mm: float) -> str:
    word = direction(part, throw_mm)
    return word if word == "neutral" else f"{word} {abs(throw_mm):.1f} mm"
