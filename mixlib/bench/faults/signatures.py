"""What single and double faults look like in all bench tests, worked out through the chain in one go.

Two faults change one surface only as far as both concern it: its output, its servo, its linkage or its
stops.  So every surface is worked out once for each set of faults that concern it, all of them in one array,
and the looks of thousands of pairs are put together from those.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from mixlib.bench.faults.edits import Fault, apply_faults
from mixlib.bench.faults.observe import BenchTest, bench_tests, codes, held_tests, moved_deg, readings
from mixlib.chain import controls
from mixlib.chain.linkage import LinkageError, arm_range_deg
from mixlib.chain.mixing import Mixer, MixLoopError
from mixlib.chain.outputs import pulse_us, travels_percent
from mixlib.chain.surfaces import SurfaceRow
from mixlib.describe import Output, Setup, Surface

__all__ = ["Signatures", "signatures_of", "tests_that_tell"]


@dataclass(frozen=True)
class Signatures:
    """Looks of every cause.

    Attributes
    ----------
    causes : tuple of tuple of int
        Places of the faults in the list given: none, one or two each; the first is nothing wrong.
    codes : numpy.ndarray of int8
        Shape (causes, tests, surfaces), see `mixlib.bench.faults.observe.codes`.
    readings : numpy.ndarray of int8
        Shape (causes, tests, surfaces), see `mixlib.bench.faults.observe.readings`.
    outcomes : numpy.ndarray of int
        Shape (causes, tests): all that is seen in a test as one number, from 0; equal looks, equal numbers.
    class_of : numpy.ndarray of int
        Shape (causes,): causes with the same number look the same in every test.
    """

    causes: tuple[tuple[int, ...], ...]
    codes: np.ndarray
    readings: np.ndarray
    outcomes: np.ndarray
    class_of: np.ndarray


def tests_that_tell(setup: Setup, faults: Sequence[Fault]) -> tuple[BenchTest, ...]:
    """Bench tests of a set-up, and all others that tell single faults apart.

    The others are of controls that should move nothing, and of one control while another is held.

    Returns
    -------
    tuple of BenchTest
        The usual tests first; then, one after the other, the test that sets the most looks apart, until none
        sets any two single faults apart.  Empty if no control moves a surface.
    """
    tests = bench_tests(setup)
    if not tests:
        return ()
    alone = bench_tests(setup, unused=True)
    others = [test for test in (*alone, *held_tests(alone)) if test not in tests]
    every = (*tests, *others)
    outcomes = signatures_of(setup, every, faults, most_faults=1).outcomes
    chosen = list(range(len(tests)))
    look = _numbered(outcomes[:, chosen].T)
    while True:
        finer = [_numbered(np.stack([look, outcomes[:, place]])) for place in range(len(every))]
        best = int(np.argmax([numbers.max() for numbers in finer]))
        if finer[best].max() == look.max():
            return tuple(every[place] for place in chosen)
        chosen.append(best)
        look = finer[best]


def signatures_of(
    setup: Setup, tests: Sequence[BenchTest], faults: Sequence[Fault], most_faults: int = 2
) -> Signatures:
    """Work out the looks of nothing wrong, of each fault and of each pair of faults at different places.

    Parameters
    ----------
    most_faults : int
        1 or 2.

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
    rows = [chain.places(cause) for cause in causes]
    kept = [cause for cause, row in zip(causes, rows, strict=True) if row is not None]
    states = np.array([row for row in rows if row is not None])
    looks, may_be = (part[states].transpose(0, 2, 1) for part in chain.looks())
    outcomes = np.stack([_numbered(looks[:, test].T) for test in range(len(tests))], axis=1)
    return Signatures(tuple(kept), looks, may_be, outcomes, _numbered(outcomes.T))


def _numbered(columns: np.ndarray) -> np.ndarray:
    """One number for each different row of some columns, from 0; shape (columns, rows) to (rows,)."""
    numbers = np.zeros(columns.shape[1], dtype=np.int64)
    for column in columns:  # column by column, so that the numbers stay below (rows) x (values of a column)
        mixed = numbers * (int(column.max()) + 1) + column
        numbers = np.unique(mixed, return_inverse=True)[1]
    return numbers


class _SurfacesInTests:
    """Collects each different state of a surface once, then works all of them out together."""

    def __init__(self, setup: Setup, tests: Sequence[BenchTest], faults: Sequence[Fault]):
        self.setup, self.tests, self.faults = setup, tests, faults
        rows = np.array([[test.start for test in tests], [test.end for test in tests]])
        self._shaped = controls.shape(rows, setup.shaping)
        self._wiring = [(name, setup.wiring[name]) for name in setup.aircraft.surface_names]
        self._plugs = [fault.plugs() for fault in faults]
        self._about_output = [_outputs_of(setup, fault) for fault in faults]
        self._about_surface = [fault.surfaces() for fault in faults]
        self._place: dict[tuple, int | None] = {}
        self._outputs: dict[tuple, tuple[Output, np.ndarray] | None] = {}
        self._surfaces: dict[tuple, Surface | None] = {}
        self._states: list[tuple[int, Output, np.ndarray, Surface]] = []

    def places(self, cause: tuple[int, ...]) -> list[int] | None:
        """Place of each surface's state in `looks`; None if the cause cannot be."""
        found = []
        for name, number in self._wiring:
            for fault in cause:
                number = self._plugs[fault].get(name, number)
            about_output = tuple([fault for fault in cause if number in self._about_output[fault]])
            about_surface = tuple([fault for fault in cause if name in self._about_surface[fault]])
            key = (name, number, about_output, about_surface)
            if key not in self._place:
                self._place[key] = self._add(*key)
            found.append(self._place[key])
        return None if None in found else found

    def looks(self) -> tuple[np.ndarray, np.ndarray]:
        """Codes and readings of all states, shape (states, tests) each."""
        intended = moved_deg(self.setup, self.tests)
        which, outputs, demands, surfaces = zip(*self._states, strict=True)
        travel, _ = travels_percent(np.stack(demands, axis=-1), outputs, self.setup.radio)
        pulse, _ = pulse_us(travel, self.setup.radio)
        start, end = SurfaceRow(surfaces).follow(pulse).angle_deg
        moved, meant = end - start, intended[:, list(which)]
        return codes(moved, meant).T, readings(moved, meant).T

    def _add(self, name: str, number: int, about_output: tuple, about_surface: tuple) -> int | None:
        output = self._output(number, about_output)
        surface = self._surface(name, about_surface)
        if output is None or surface is None:
            return None
        self._states.append((self.setup.aircraft.surface_names.index(name), *output, surface))
        return len(self._states) - 1

    def _output(self, number: int, about: tuple) -> tuple[Output, np.ndarray] | None:
        """Settings of an output and its demand at start and end of each test, shape (2, tests)."""
        if (number, about) not in self._outputs:
            faulty = apply_faults(self.setup, [self.faults[fault] for fault in about], checked=False)
            try:
                demand = Mixer(faulty).demand_percent(self._shaped)
            except MixLoopError:
                found = None
            else:
                here = number <= demand.shape[-1]  # beyond the receiver's sockets nothing is asked for
                found = faulty.output(number), demand[..., number - 1] if here else np.zeros(demand.shape[:2])
            self._outputs[number, about] = found
        return self._outputs[number, about]

    def _surface(self, name: str, about: tuple) -> Surface | None:
        if (name, about) not in self._surfaces:
            faulty = apply_faults(self.setup, [self.faults[fault] for fault in about], checked=False)
            surface = faulty.aircraft.surface(name)
            try:
                arm_range_deg(surface.linkage)
            except LinkageError:
                surface = None
            self._surfaces[name, about] = surface
        return self._surfaces[name, about]


def _outputs_of(setup: Setup, fault: Fault) -> frozenset[int]:
    """Outputs whose demand or settings a fault changes; all of them where one output may lead another."""
    about: set[int] = set()
    linked = any(isinstance(mix.leader, int) for mix in setup.free_mixes)
    for path, value in fault.edits:
        if path[0] in ("output", "mix") and linked:
            return frozenset(range(1, setup.radio.outputs + 1))
        if path[0] == "output":
            about.add(path[1])
        elif path[0] == "mix":
            about.add(setup.free_mixes[path[1]].follower)
            if path[2] == "follower":
                about.add(value)
    return frozenset(about)
