"""The bench tests of a set-up, and what is seen of each surface in a word."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from mixlib.chain import Rig, commands
from mixlib.describe import Setup, Surface
from mixlib.describe.words import COMMAND_ENDS, command_end, number, sentence_start
from mixlib.units import COMMANDS

__all__ = [
    "BOTH_ENDS",
    "HARD_TO_JUDGE",
    "STILL_DEG",
    "TOO_LITTLE",
    "TOO_LITTLE_SHARE",
    "BenchTest",
    "bench_tests",
    "both_ends",
    "codes",
    "every_test",
    "moved_deg",
    "readings",
    "starts_and_ends",
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


@dataclass(frozen=True)
class BenchTest:
    """One control moved to where it is used to, from neutral or while another one stays there.

    Attributes
    ----------
    name : str
        Such as ``"stick right"`` or ``"stick right with droop"``.
    words : str
        What to do, as a sentence.
    moved, held : (str, float)
        A command and its value at the end of the test; nothing is held in a test from neutral.
    """

    name: str
    words: str
    moved: tuple[str, float]
    held: tuple[str, float] | None = None

    @cached_property
    def start(self) -> np.ndarray:
        """The six commands before."""
        return commands(**dict([self.held] if self.held else []))

    @cached_property
    def end(self) -> np.ndarray:
        """The six commands after."""
        return self.start + commands(**dict([self.moved]))


def bench_tests(setup: Setup) -> tuple[BenchTest, ...]:
    """The usual tests: both ends of each command that moves a surface, and the stick to both sides at droop.

    No test moves the throttle: none needs the motor.
    """
    tests = [_test(setup, end) for end in _ends(setup)]
    moves = np.any(np.abs(moved_deg(setup, tests)) >= STILL_DEG, axis=1)
    used = {test.moved[0] for test, any_moves in zip(tests, moves, strict=True) if any_moves}
    return tuple(_with_droop(setup, [test for test in tests if test.moved[0] in used]))


def every_test(setup: Setup) -> tuple[BenchTest, ...]:
    """Each control alone, also those that should move nothing, and each while another one is held."""
    ends = _ends(setup)
    tests = _with_droop(setup, [_test(setup, end) for end in ends])
    pairs = (_test(setup, moved, held) for held in ends for moved in ends if held[0] != moved[0])
    return tuple(dict.fromkeys([*tests, *pairs]))


def _ends(setup: Setup) -> list[tuple[str, float]]:
    return [(command, value) for command, value in setup.ends if command != "throttle"]


def _with_droop(setup: Setup, tests: list[BenchTest]) -> list[BenchTest]:
    """The tests and, with roll and camber among them, roll to both sides at droop."""
    droop = [test.moved for test in tests if test.moved[0] == "camber" and test.moved[1] > 0]
    rolls = [test.moved for test in tests if test.moved[0] == "roll"]
    return [*tests, *(_test(setup, roll, held) for held in droop for roll in rolls)]


def _test(setup: Setup, moved: tuple[str, float], held: tuple[str, float] | None = None) -> BenchTest:
    (command, value), name = moved, command_end(*moved)
    end = COMMAND_ENDS[command][value > 0]
    way = end.removeprefix("stick ") if end.startswith("stick ") else f"to {end}"
    move = f"move the {setup.radio.lever(command)} {way},"
    far = "as far as it goes" if abs(value) == 1 else f"as far as the mark at {number(100 * abs(value))} %"
    if held is None:
        return BenchTest(name, sentence_start(f"{move} from neutral {far}."), moved)
    kept = command_end(*held)
    return BenchTest(f"{name} with {kept}", f"Keep {kept} and {move} {far}.", moved, held)


def both_ends(tests: Sequence[BenchTest]) -> dict[str, tuple[int, ...]]:
    """Places of the two tests of each control that can be moved both ways from neutral."""
    ends: dict[str, tuple[int, ...]] = {}
    for place, test in enumerate(tests):
        if test.held is None:
            ends[test.moved[0]] = (*ends.get(test.moved[0], ()), place)
    return {command: places for command, places in ends.items() if len(places) == 2}


def starts_and_ends(tests: Sequence[BenchTest]) -> np.ndarray:
    """Commands before and after each test, shape (2, tests, 6)."""
    rows = [[test.start for test in tests], [test.end for test in tests]]
    return np.array(rows).reshape(2, len(tests), len(COMMANDS))


def moved_deg(setup: Setup, tests: Sequence[BenchTest]) -> np.ndarray:
    """How far each surface moves in each test, trailing edge down (rudder: left) positive.

    Returns
    -------
    numpy.ndarray
        Shape (tests, surfaces), degrees.
    """
    start, end = Rig(setup).run(starts_and_ends(tests)).surface
    return end - start


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
    """Every word that a careful eye may find for each movement, deg; see `codes`.

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
    """Words for what is seen of a surface, in the order of `codes`."""
    ways = ("left", "right") if surface.kind == "rudder" else ("down", "up")
    return ("still", *ways, TOO_LITTLE)
