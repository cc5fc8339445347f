"""Which test to do next: the one whose outcome tells most about the causes that are left."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

__all__ = ["best_test", "expected_bits", "telling_surfaces"]

_NOTHING_BITS = 1e-9  # less than this is rounding
_WORDS = 4  # words for what is seen of a surface in one test


def expected_bits(outcomes: np.ndarray, weights: np.ndarray) -> float:
    """Information in bits that an outcome is expected to give, its entropy over the causes.

    Parameters
    ----------
    outcomes : numpy.ndarray of int
        Shape (causes,), from 0, no unit: what would be seen with each cause; equal looks, equal numbers.
    weights : numpy.ndarray
        Shape (causes,), share of each cause; their sum is 1.
    """
    shares = np.bincount(outcomes, weights)
    shares = shares[shares > 0]
    return float(-(shares * np.log2(shares)).sum())


def best_test(outcomes: np.ndarray, weights: np.ndarray, done: Collection[int] = ()) -> int | None:
    """Place of the test with the greatest expected information, the first of equal ones, if any tells more.

    Parameters
    ----------
    outcomes : numpy.ndarray of int
        Shape (tests, causes), no unit, see `expected_bits`.
    weights : numpy.ndarray
        Shape (causes,), share of each cause; their sum is 1.
    """
    best, most = None, _NOTHING_BITS
    for test, outcome in enumerate(outcomes):
        bits = 0.0 if test in done else expected_bits(outcome, weights)
        if bits > most + _NOTHING_BITS:
            best, most = test, bits
    return best


def telling_surfaces(codes: np.ndarray, weights: np.ndarray) -> tuple[int, ...]:
    """Places of surfaces that together tell all that a test can tell, each time the one that adds most.

    Parameters
    ----------
    codes : numpy.ndarray of int8
        Shape (surfaces, causes), no unit: what would be seen of each, see `observe.codes`.
    weights : numpy.ndarray
        Shape (causes,), share of each cause; their sum is 1.
    """
    chosen: list[int] = []
    known, most = np.zeros(codes.shape[1], dtype=np.int64), 0.0
    while len(chosen) < len(codes):
        tried = [_WORDS * known + row for row in codes]
        bits = [expected_bits(numbers, weights) for numbers in tried]
        best = int(np.argmax(bits))
        if bits[best] <= most + _NOTHING_BITS:
            break
        chosen.append(best)
        used = np.bincount(tried[best]) > 0  # numbered afresh, so that the numbers stay small
        known, most = (np.cumsum(used) - 1)[tried[best]], bits[best]
    return tuple(chosen)
