"""What single and double faults look like in all bench tests, worked out through the chain in one go.

Two faults change one surface only as far as both concern it: its output, its servo, its linkage or its
stops.  So every surface is worked out once for each set of faults that concern it, all of them in one array,
and the looks of thousands of pairs are put together from those.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import NamedTuple

import numpy as np

from mixlib.bench.faults.edits import Fault, apply_faults
from mixlib.bench.faults.observe import (
    BenchTest,
    bench_tests,
    codes,
    every_test,
    moved_deg,
    readings,
    starts_and_ends,
)
from mixlib.chain import controls
from mixlib.chain.linkage import LinkageError
from mixlib.chain.mixing import Mixer, MixLoopError
from mixlib.chain.outputs import pulse_us, travels_percent
from mixlib.chain.surfaces import SurfaceRow, arm_range_of
from mixlib.describe import Output, Setup, Surface

__all__ = ["Signatures", "signatures_of", "tests_that_tell"]


@dataclass(frozen=True)
class Signatures:
    """Looks of every cause.

    Attributes
    ----------
    causes : tuple of tuple of int
        Places of the faults in the list given: none, one or two each; the first is nothing wrong.
    codes, readings : numpy.ndarray of int8
        Shape (tests, surfaces, causes), see `mixlib.bench.faults.observe.codes` and `readings` there.
    outcomes : numpy.ndarray of int
        Shape (tests, causes): all that is seen in a test as one number, from 0; equal looks, equal numbers.
    class_of : numpy.ndarray of int
        Shape (causes,): causes with the same number look the same in every test.
    """

    causes: tuple[tuple[int, ...], ...]
    codes: np.ndarray
    readings: np.ndarray
    outcomes: np.ndarray
    class_of: np.ndarray


def tests_that_tell(setup: Setup, faults: Sequence[Fault]) -> tuple[BenchTest, ...]:
    """The usual tests, and all others that tell single faults apart.

    The others are of controls that should move nothing, and of one control while another is held.  Each time
    the one comes next that sets the most looks apart, until none sets any two single faults apart.

    Returns
    -------
    tuple of BenchTest
        Empty if no control moves a surface.
    """
    tests = bench_tests(setup)
    if not tests:
        return ()
    every = tuple(dict.fromkeys([*tests, *every_test(setup)]))
    outcomes = signatures_of(setup, every, faults, most_faults=1).outcomes
    chosen = list(range(len(tests)))
    look = _numbered(outcomes[chosen])
    while True:
        finer = [_numbered(np.stack([look, outcome])) for outcome in outcomes]
        best = int(np.argmax([numbers.max() for numbers in finer]))
        if finer[best].max() == look.max():
            return tuple(every[place] for place in chosen)
        chosen.append(best)
        look = finer[best]


def signatures_of(
    setup: Setup, tests: Sequence[BenchTest], faults: Sequence[Fault], most_faults: int = 2
) -> Signatures:
    """Work out the looks of nothing wrong, of each fault and of each pair of faults at different places.

    Returns
    -------
    Signatures
        In the order none, single, double.  Pairs that lead mixes round in a circle or leave a linkage that
        cannot close are left out.
    """
    causes: list[tuple[int, ...]] = [(), *((place,) for place in range(len(faults)))]
    if most_faults > 1:
        pairs = combinations(range(len(faults)), 2)
        causes += [(a, b) for a, b in pairs if not faults[a].places & faults[b].places]
    chain = _SurfacesInTests(setup, tests, faults)
    rows = [(cause, chain.places(cause)) for cause in causes]
    kept = tuple(cause for cause, places in rows if places is not None)
    states = np.array([places for _, places in rows if places is not None]).T
    looks, may_be = (part[:, states] for part in chain.looks())
    outcomes = np.stack([_numbered(look) for look in looks])
    return Signatures(kept, looks, may_be, outcomes, _numbered(outcomes))


def _numbered(columns: np.ndarray) -> np.ndarray:
    """One number for each different row of some columns, from 0; shape (columns, rows) to (rows,)."""
    numbers = np.zeros(columns.shape[1], dtype=np.int64)
    for column in columns:  # column by column, so that the numbers stay below (rows) x (values of a column)
        mixed = numbers * (int(column.max()) + 1) + column
        numbers = np.unique(mixed, return_inverse=True)[1]
    return numbers


class _State(NamedTuple):
    """One surface with its output in all tests: its place, and the demand in %, shape (2, tests)."""

    place: int
    output: Output
    demand: np.ndarray
    surface: Surface


class _SurfacesInTests:
    """Collects each different state of a surface once, then works all of them out together."""

    def __init__(self, setup: Setup, tests: Sequence[BenchTest], faults: Sequence[Fault]) -> None:
        self.setup, self.tests, self.faults = setup, tests, faults
        self._shaped = controls.shape(starts_and_ends(tests), setup.shaping)
        self._wiring = [(name, setup.wiring[name]) for name in setup.aircraft.surface_names]
        self._plugs = [fault.plugs() for fault in faults]
        self._about_output = [_outputs_of(setup, fault) for fault in faults]
        self._about_surface = [fault.surfaces() for fault in faults]
        self._faulty: dict[tuple[int, ...], Setup] = {}
        self._demands: dict[tuple[int, ...], np.ndarray | None] = {}
        self._place: dict[tuple[object, ...], int | None] = {}
        self._states: list[_State] = []

    def places(self, cause: tuple[int, ...]) -> list[int] | None:
        """Place of each surface's state in `looks`; None if the cause cannot be."""
        found = []
        for name, number in self._wiring:
            for fault in cause:
                number = self._plugs[fault].get(name, number)
            about_output = tuple([fault for fault in cause if number in self._about_output[fault]])
            about_surface = tuple([fault for fault in cause if name in self._about_surface[fault]])
            key = name, number, about_output, about_surface
            if key not in self._place:
                self._place[key] = self._add(*key)
            place = self._place[key]
            if place is None:
                return None
            found.append(place)
        return found

    def looks(self) -> tuple[np.ndarray, np.ndarray]:
        """Codes and readings of all states, shape (tests, states) each."""
        which, outputs, demands, surfaces = zip(*self._states, strict=True)
        travel, _ = travels_percent(np.stack(demands, axis=-1), outputs, self.setup.radio)
        pulse, _ = pulse_us(travel, self.setup.radio)
        start, end = SurfaceRow(surfaces).follow(pulse).angle_deg
        moved, meant = end - start, moved_deg(self.setup, self.tests)[:, list(which)]
        return codes(moved, meant), readings(moved, meant)

    def _add(
        self, name: str, number: int, about_output: tuple[int, ...], about_surface: tuple[int, ...]
    ) -> int | None:
        """Place of a new state; None if mixes run in a circle or the linkage cannot close."""
        surface, demand = self._with(about_surface).aircraft.surface(name), self._demand(about_output)
        try:
            arm_range_of(surface)
        except LinkageError:
            return None
        if demand is None:
            return None
        here = number <= demand.shape[-1]  # beyond the receiver's sockets nothing is asked for
        asked = demand[..., number - 1] if here else np.zeros(demand.shape[:2])
        place = self.setup.aircraft.surface_names.index(name)
        self._states.append(_State(place, self._with(about_output).output(number), asked, surface))
        return len(self._states) - 1

    def _with(self, about: tuple[int, ...]) -> Setup:
        """The set-up with some faults."""
        if about not in self._faulty:
            self._faulty[about] = apply_faults(self.setup, [self.faults[fault] for fault in about])
        return self._faulty[about]

    def _demand(self, about: tuple[int, ...]) -> np.ndarray | None:
        """Demands of all outputs with some faults, shape (2, tests, outputs), if mixes run in no circle."""
        if about not in self._demands:
            try:
                self._demands[about] = Mixer(self._with(about)).demand_percent(self._shaped)
            except MixLoopError:
                self._demands[about] = None
        return self._demands[about]


def _outputs_of(setup: Setup, fault: Fault) -> frozenset[int]:
    """Outputs whose demand or settings a fault changes; all of them where one output may lead another."""
    about: set[int] = set()
    linked = any(isinstance(mix.leader, int) for mix in setup.free_mixes)
    for edit in fault.edits:
        if edit.part in ("output", "mix") and linked:
            return frozenset(range(1, setup.radio.outputs + 1))
        if edit.part == "output":
            about.add(int(edit.which))
        elif edit.part == "mix":
            about.add(setup.free_mixes[int(edit.which)].follower)
            if edit.field == "follower" and isinstance(edit.value, int):
                about.add(edit.value)
    return frozenset(about)
