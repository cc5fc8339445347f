"""The bench tests of a set-up, and what is seen of each surface in a word."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mixlib.chain import Rig, commands
from mixlib.describe import Setup, Surface
from mixlib.units import COMMANDS

__all__ = [
    "BOTH_ENDS",
    "HARD_TO_JUDGE",
    "STILL_DEG",
    "TOO_LITTLE",
    "TOO_LITTLE_SHARE",
    "BenchTest",
    "both_ends",
    "bench_tests",
    "codes",
    "held_tests",
    "intended_reach_deg",
    "moved_deg",
    "readings",
    "seen",
    "words_for",
]

STILL_DEG = 0.5
"""A surface that moves less than this, in degrees, is seen as still.  common practice, no source."""

TOO_LITTLE_SHARE = 0.6
"""Less than this share of the intended angle, the intended way, is too little.
common practice, no source."""

HARD_TO_JUDGE = ((0.3, 0.5), (0.8, 0.7))
"""Two more pairs of these limits, below and above: between them the eye may take one word or the other.
common practice, no source."""

TOO_LITTLE = "too little"

BOTH_ENDS = ("still", "one way only", "both ways")
"""Words for a surface when a control was moved to both its ends, by the number of ends at which it moved."""

_ENDS = {
    "roll": {1: "roll right", -1: "roll left"},
    "pitch": {1: "pitch back", -1: "pitch forward"},
    "yaw": {1: "yaw right", -1: "yaw left"},
    "camber": {1: "camber to droop", -1: "camber to reflex"},
    "brake": {1: "brake on"},
}
"""Tests by command and end.  Throttle is never moved: no bench test needs the motor."""


@dataclass(frozen=True)
class BenchTest:
    """One movement of one control, from where it starts to its end.

    Attributes
    ----------
    name : str
        What is moved and which way, such as ``"roll right"``.
    start, end : tuple of float
        The six commands before and after, in the order of `mixlib.units.COMMANDS`.
    """

    name: str
    start: tuple[float, ...]
    end: tuple[float, ...]
    words: str

    @property
    def from_neutral(self) -> bool:
        """Whether everything stands at neutral before."""
        return not any(self.start)


def bench_tests(setup: Setup, unused: bool = False) -> tuple[BenchTest, ...]:
    """Tests of a set-up: both ends of each command that moves a surface, and roll at full droop.

    Parameters
    ----------
    unused : bool
        Whether the radio's other commands, throttle apart, are tested too; they should move nothing.

    Returns
    -------
    tuple of BenchTest
        In the order of the commands; roll with the flaps down only where both commands are used.
    """
    rig = Rig(setup)
    neutral = rig.run(commands()).surface
    tests = []
    for command, ends in _ENDS.items():
        if command not in setup.radio.commands:
            continue
        rows = {end: commands(**{command: end}) for end in ends}
        moved = [np.abs(rig.run(row).surface - neutral) for row in rows.values()]
        if np.all(np.array(moved) < STILL_DEG) and not unused:
            continue
        for end, name in ends.items():
            words = f"From neutral, move {name} as far as it goes."
            tests.append(BenchTest(name, tuple(commands()), tuple(rows[end]), words))
    names = [test.name for test in tests]
    if "roll right" in names and "camber to droop" in names:
        for end, name in _ENDS["roll"].items():
            tests.append(
                BenchTest(
                    f"{name} at full droop",
                    tuple(commands(camber=1)),
                    tuple(commands(camber=1, roll=end)),
                    f"Leave camber at full droop and move {name} as far as it goes.",
                )
            )
    return tuple(tests)


def held_tests(tests: Sequence[BenchTest]) -> tuple[BenchTest, ...]:
    """Tests that move one control while another is held at its end.

    Parameters
    ----------
    tests : sequence of BenchTest
        The tests of a set-up; those from neutral are put together two by two.

    Returns
    -------
    tuple of BenchTest
        All pairs of different controls that are not among `tests` already.
    """
    alone = [test for test in tests if test.from_neutral]
    known = {(test.start, test.end) for test in tests}
    found = []
    for held in alone:
        for moved in alone:
            if np.any(np.array(held.end) * np.array(moved.end)):  # the same control
                continue
            end = tuple((np.array(held.end) + np.array(moved.end)).tolist())
            if (held.end, end) not in known:
                words = f"Hold {held.name} at its end and move {moved.name} as far as it goes."
                found.append(BenchTest(f"{moved.name}, holding {held.name}", held.end, end, words))
    return tuple(found)


def both_ends(tests: Sequence[BenchTest]) -> dict[str, tuple[int, int]]:
    """Controls that can be moved both ways from neutral."""
    ends: dict[str, list[int]] = {}
    for place, test in enumerate(tests):
        if test.from_neutral:
            command = COMMANDS[int(np.flatnonzero(test.end)[0])]
            ends.setdefault(command, []).append(place)
    return {command: (places[0], places[1]) for command, places in ends.items() if len(places) == 2}


def moved_deg(setup: Setup, tests: Sequence[BenchTest]) -> np.ndarray:
    """How far each surface moves in each test.

    Returns
    -------
    numpy.ndarray
        Shape (tests, surfaces), degrees, trailing edge down (rudder: left) positive.
    """
    rig = Rig(setup)
    ends = rig.run(np.array([test.end for test in tests]).reshape(len(tests), 6)).surface
    return ends - rig.run(np.array([test.start for test in tests]).reshape(len(tests), 6)).surface


def intended_reach_deg(setup: Setup) -> dict[str, tuple[float, float]]:
    """How far each surface goes up and down at the most in the tests, from the middle of its stops.

    Returns
    -------
    dict of str to (float, float)
        Surface name to the largest angle up (rudder: right) and down (rudder: left), positive degrees.
    """
    tests = bench_tests(setup)
    rows = [row for test in tests for row in (test.start, test.end)]
    angles = Rig(setup).run(np.array([tuple(commands()), *rows])).surface
    pairs = zip(np.maximum(-angles.min(axis=0), 0), np.maximum(angles.max(axis=0), 0), strict=True)
    return {
        name: (float(up), float(down))
        for name, (up, down) in zip(setup.aircraft.surface_names, pairs, strict=True)
    }


def codes(
    moved: np.ndarray,
    intended: np.ndarray,
    still_deg: float = STILL_DEG,
    too_little_share: float = TOO_LITTLE_SHARE,
) -> np.ndarray:
    """Number of the word for each movement.

    Parameters
    ----------
    moved, intended : numpy.ndarray
        Movements in deg, trailing edge down positive; broadcast against each other.
    still_deg, too_little_share : float
        Limits of the words, in degrees and as a share of the intended angle.

    Returns
    -------
    numpy.ndarray of int8
        Place in `words_for`: 0 still, 1 down (left), 2 up (right), 3 too little.  Too little is said only of
        a surface that goes the intended way.
    """
    size, meant = np.abs(moved), np.abs(intended)
    short = (meant >= STILL_DEG) & (moved * intended > 0) & (size < too_little_share * meant)
    way = np.where(moved > 0, 1, 2)
    return np.where(size < still_deg, 0, np.where(short, 3, way)).astype(np.int8)


def readings(moved: np.ndarray, intended: np.ndarray) -> np.ndarray:
    """Every word that a careful eye may find for each movement.

    Parameters
    ----------
    moved, intended : numpy.ndarray
        Movements in deg, trailing edge down positive; broadcast against each other.

    Returns
    -------
    numpy.ndarray of int8
        Sum of ``1 << code`` over the codes of `codes` with its own limits and those of `HARD_TO_JUDGE`.
    """
    one = np.int8(1)
    found = one << codes(moved, intended)
    for limits in HARD_TO_JUDGE:
        found = found | (one << codes(moved, intended, *limits))
    return found


def words_for(surface: Surface) -> tuple[str, str, str, str]:
    """Words for what is seen of a surface, in the order of `codes`.

    Returns
    -------
    tuple of str
        Still, trailing edge down (rudder: left), up (right), too little.
    """
    ways = ("left", "right") if surface.kind == "rudder" else ("down", "up")
    return ("still", *ways, TOO_LITTLE)


def seen(intended: Setup, actual: Setup, test: BenchTest) -> dict[str, str]:
    """What is seen in a test.

    Parameters
    ----------
    intended : Setup
        The set-up as it should be, against which too little is judged.
    """
    found = codes(moved_deg(actual, [test]), moved_deg(intended, [test]))[0]
    surfaces = intended.aircraft.surfaces
    return {
        surface.name: words_for(surface)[code] for surface, code in zip(surfaces, found.tolist(), strict=True)
    }
