"""The bench tests of a set-up, and what is seen of each surface in a word."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mixlib.chain import Rig, commands
from mixlib.describe import Setup, Surface

__all__ = [
    "STILL_DEG",
    "TOO_LITTLE",
    "TOO_LITTLE_SHARE",
    "BenchTest",
    "bench_tests",
    "codes",
    "intended_reach_deg",
    "moved_deg",
    "seen",
    "words_for",
]

STILL_DEG = 0.5
"""A surface that moves less than this, in degrees, is seen as still.  common practice, no source."""

TOO_LITTLE_SHARE = 0.6
"""Less than this share of the intended angle, the intended way, is too little.
common practice, no source."""

TOO_LITTLE = "too little"

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
    words : str
        What to do, as a sentence.
    """

    name: str
    start: tuple[float, ...]
    end: tuple[float, ...]
    words: str


def bench_tests(setup: Setup) -> tuple[BenchTest, ...]:
    """Tests of a set-up: both ends of each command that moves a surface, and roll at full droop.

    Parameters
    ----------
    setup : Setup
        The intended set-up.

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
        if all(np.all(np.abs(rig.run(row).surface - neutral) < STILL_DEG) for row in rows.values()):
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


def moved_deg(setup: Setup, tests: Sequence[BenchTest]) -> np.ndarray:
    """How far each surface moves in each test.

    Parameters
    ----------
    setup : Setup
        The set-up as it is on the bench.
    tests : sequence of BenchTest
        The tests.

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

    Parameters
    ----------
    setup : Setup
        The intended set-up.

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


def codes(moved: np.ndarray, intended: np.ndarray) -> np.ndarray:
    """Number of the word for each movement.

    Parameters
    ----------
    moved, intended : numpy.ndarray
        Movements in deg, trailing edge down positive; broadcast against each other.

    Returns
    -------
    numpy.ndarray of int8
        Place in `words_for`: 0 still, 1 down (left), 2 up (right), 3 too little.  Too little is said only of
        a surface that goes the intended way.
    """
    size, meant = np.abs(moved), np.abs(intended)
    short = (meant >= STILL_DEG) & (moved * intended > 0) & (size < TOO_LITTLE_SHARE * meant)
    way = np.where(moved > 0, 1, 2)
    return np.where(size < STILL_DEG, 0, np.where(short, 3, way)).astype(np.int8)


def words_for(surface: Surface) -> tuple[str, str, str, str]:
    """Words for what is seen of a surface, in the order of `codes`.

    Parameters
    ----------
    surface : Surface
        The surface.

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
    actual : Setup
        The set-up as it is.
    test : BenchTest
        The test that is done.

    Returns
    -------
    dict of str to str
        Surface name to one of its words.
    """
    found = codes(moved_deg(actual, [test]), moved_deg(intended, [test]))[0]
    surfaces = intended.aircraft.surfaces
    return {
        surface.name: words_for(surface)[code] for surface, code in zip(surfaces, found.tolist(), strict=True)
    }
