"""Lift, drag and moment of a wing section with a plain flap, from shipped tables; NumPy only.

Inside the table's trusted part a number comes from NeuralFoil with the flap bent into the section's shape
(see `mixlib.air.section.build`). Outside it is carried on by handbook increments and, past the stall, by a
bent plate (`mixlib.air.section.handbook`), with a blend about 5 deg wide. Every answer says which:
`SectionResult.origin` is 1 for the table, 0 for the handbook, between for a blend.

Incidence and flap angle are in degrees, a flap down is positive. Coefficients are for unit span and the
chord of the unflapped section, incidence is measured from its chord line (leading to trailing edge), the
moment is about its quarter chord, nose up positive. Accepted: any incidence (whole circle); flap angles
beyond +-60 deg count as 60; Reynolds numbers from 50 000 to 500 000 are tabulated, outside them only
friction drag is scaled (laminar law below, turbulent above) and lift is left alone, too good below; chord
ratios outside 0.15 to 0.35 are replaced by the flap angle of the nearest tabulated flap that gives the same
lift by thin-aerofoil theory, so a chord ratio of 0 is a section without a flap.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from mixlib.air.section.handbook import bent_plate, flap_drag, flap_theory
from mixlib.air.section.shapes import (
    DESIGNATIONS,
    EDGE_DEG,
    FINISHES,
    SHAPES,
    Section,
    between,
    tables,
)

__all__ = [
    "DESIGNATIONS",
    "SHAPES",
    "Curves",
    "Lifts",
    "SectionResult",
    "coefficients",
    "curves",
    "drag_band",
]

_Names = Section | Sequence[Section] | np.ndarray

FRICTION_AT_MOST = 0.03
"""Part of the drag that changes with the Reynolds number outside the table; the rest is pressure drag."""

_REYNOLDS_LIMITS = (1.0e4, 1.0e7)


class SectionResult(NamedTuple):
    """Coefficients of a section, arrays of one shape.

    Attributes
    ----------
    cl, cd, cm : numpy.ndarray
        Lift, drag and moment coefficient, the moment about the quarter chord (nose up positive).
    origin : numpy.ndarray
        Share of the table in the number, 0 to 1; the rest is handbook.
    """

    cl: np.ndarray
    cd: np.ndarray
    cm: np.ndarray
    origin: np.ndarray


@dataclass(frozen=True)
class Lifts:
    """Lift against incidence, one curve for each station: what a solver's inner loop needs of `Curves`.

    Attributes
    ----------
    alpha_stall_deg : numpy.ndarray
        Incidence of the first peak of lift above zero lift, interpolated between the table's nodes so that
        it never jumps.
    """

    flap_deg: np.ndarray
    chord_ratio: np.ndarray
    alpha_stall_deg: np.ndarray
    _lift: np.ndarray  # (stations * (incidences + 1),)
    _first: np.ndarray  # index of each station's first lift

    def rows(self, shape: tuple[int, ...], chosen: np.ndarray | slice) -> Lifts:
        """Take some rows of stations, for a solver that goes on with those it has not finished.

        Parameters
        ----------
        shape : tuple of int
            Shape that the stations are spread to; its last axis is a row.
        chosen : ndarray of int, ndarray of bool or slice
            Which rows, counted over all leading axes.

        Returns
        -------
        Lifts
            Shape (chosen rows, stations in a row).
        """
        flap, ratio, stall, first = (
            np.broadcast_to(each, shape).reshape(-1, shape[-1])[chosen]
            for each in (self.flap_deg, self.chord_ratio, self.alpha_stall_deg, self._first)
        )
        return Lifts(flap, ratio, stall, self._lift, first)

    def _place(self, alpha_deg):
        alpha = np.asarray(alpha_deg, dtype=float)
        place = np.minimum(np.maximum(alpha, -EDGE_DEG), EDGE_DEG) + EDGE_DEG
        step = np.minimum(place.astype(np.intp), 2 * EDGE_DEG - 1)
        return alpha, step, place - step

    def _past_edge(self, alpha, beyond, at_edge):
        """The bent plate; what the table's interpolation differs by at its edge fades out within 5 deg."""
        alpha, flap, ratio = (
            np.broadcast_to(each, beyond.shape)[beyond] for each in (alpha, self.flap_deg, self.chord_ratio)
        )
        edge = np.clip(alpha, -EDGE_DEG, EDGE_DEG)
        fade = np.maximum(1.0 - np.abs(alpha - edge) / 5.0, 0.0)
        plate, there = (bent_plate(a, flap, ratio) for a in (alpha, edge))
        return [p + fade * (v[beyond] - t) for v, p, t in zip(at_edge, plate, there, strict=False)]

    def lift(self, alpha_deg: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
        """Lift coefficient and its slope per radian, for a solver's inner loop.

        Parameters
        ----------
        alpha_deg : array_like
            Incidence, broadcast against `shape`; the slope is that of the straight piece it falls in.
        """
        alpha, step, part = self._place(alpha_deg)
        index = self._first + step
        low = self._lift[index]
        rise = self._lift[index + 1] - low
        cl, slope = np.asarray(low + part * rise), np.asarray(np.degrees(rise))
        if (beyond := np.abs(alpha) > EDGE_DEG).any():
            beyond = np.broadcast_to(beyond, cl.shape)
            here, ahead = (self._past_edge(alpha + d, beyond, (cl,))[0] for d in (0.0, 0.1))
            cl[beyond], slope[beyond] = here, np.degrees(ahead - here) / 0.1
        return cl, slope


@dataclass(frozen=True)
class Curves(Lifts):
    """Coefficients against incidence, one curve for each station; made by `curves`.

    Attributes
    ----------
    cl_max : numpy.ndarray
        Lift coefficient at `alpha_stall_deg`.
    """

    shape: tuple[int, ...]
    cl_max: np.ndarray
    _all: np.ndarray  # of the table
    _nodes: np.ndarray  # the nodes of the table that each station lies between, on a last axis
    _weights: np.ndarray
    _drag_scale: np.ndarray
    _origin_scale: np.ndarray

    def evaluate(self, alpha_deg: ArrayLike) -> SectionResult:
        """Lift, drag, moment and origin at an incidence.

        Parameters
        ----------
        alpha_deg : array_like
            Incidence, broadcast against `shape`; the whole circle is accepted.
        """
        alpha, step, part = self._place(alpha_deg)
        every = self._all.reshape(-1, self._all.shape[-1])
        place = self._nodes * self._all.shape[1] + step[..., None]
        below, above = self._weights * (1 - part[..., None]), self._weights * part[..., None]
        found = (_weighed(below, every, place) + _weighed(above, every, place + 1)).astype(float)
        cl, cd, cm, origin = (found[..., quantity] for quantity in range(4))
        if (beyond := np.abs(alpha) > EDGE_DEG).any():
            beyond = np.broadcast_to(beyond, cl.shape)
            for inside, past in zip((cl, cd, cm), self._past_edge(alpha, beyond, (cl, cd, cm)), strict=True):
                inside[beyond] = past
        cd = cd + (self._drag_scale - 1.0) * np.minimum(cd, FRICTION_AT_MOST)
        return SectionResult(cl, cd, cm, origin * self._origin_scale)


def curves(
    names: _Names,
    flap_deg: ArrayLike,
    reynolds: ArrayLike,
    chord_ratio: ArrayLike,
    other: _Names | None = None,
    share: ArrayLike = 0.0,
    finish: str = "smooth",
) -> Curves:
    """Look up one curve for each station, all inputs broadcast; then `Curves.evaluate` is cheap.

    Parameters
    ----------
    names : Section or array_like of Section
        Names out of `SHAPES`, or measured sections.
    flap_deg : array_like
        Flap angle, trailing edge down positive.
    reynolds : array_like
        Reynolds number on the local chord.
    chord_ratio : array_like
        Flap chord over local chord, 0 for no flap.
    other : Section or array_like of Section, optional
        The section at the other end, for a station between two.
    share : array_like
        Share of `other` at the station, 0 to 1.
    finish : str
        Out of `FINISHES`, for all stations.

    Raises
    ------
    ValueError
        If a section name or finish is unknown, or a number is not finite or not possible.
    """
    if finish not in FINISHES:
        raise ValueError(f"finish {finish!r} is not known; use one of {', '.join(FINISHES)}")
    ends = [np.asarray(names, object), np.asarray(names if other is None else other, object)]
    known = tuple(dict.fromkeys(name for end in ends for name in end.flat))
    table = tables(known, finish)
    flap, ratio, reduced = _as_tabulated(table, flap_deg, chord_ratio)
    speed = _checked("reynolds", reynolds, 0.0, np.inf)
    used = np.clip(speed, *np.exp(table.log_reynolds[[0, -1]]))
    far = np.clip(speed, *_REYNOLDS_LIMITS) / used
    weight = _checked("share", share, 0.0, 1.0)
    shape = np.broadcast_shapes(*(item.shape for item in (*ends, flap, used, weight)))
    nodes, weights = _corners(table, flap, used, ratio)
    if len(known) > 1:
        place = np.vectorize(lambda name: known.index(name) * len(table.all) // len(known), otypes=[np.intp])
        each = [nodes + place(end)[..., None] for end in ends]
        part = weight[..., None]
        nodes = np.concatenate(np.broadcast_arrays(*each), axis=-1)
        weights = np.concatenate(np.broadcast_arrays(weights * (1 - part), weights * part), axis=-1)
    rows = np.broadcast_to(_weighed(weights, table.lift, nodes), (*shape, table.lift.shape[-1]))
    lift, stall = rows.reshape(-1), rows[..., -1].astype(float)
    start = np.arange(stall.size).reshape(shape) * rows.shape[-1]
    step = stall.astype(np.intp) + EDGE_DEG
    low = lift[start + step]
    return Curves(
        shape=shape,
        flap_deg=flap,
        chord_ratio=ratio,
        alpha_stall_deg=stall,
        cl_max=low + (stall + EDGE_DEG - step) * (lift[start + step + 1] - low),
        _all=table.all,
        _nodes=nodes,
        _weights=weights,
        _lift=lift,
        _first=start,
        _drag_scale=np.where(far < 1.0, far**-0.5, far**-0.2),
        _origin_scale=np.clip(1.0 - np.abs(np.log2(far)), 0.0, 1.0) * reduced,
    )


def coefficients(
    name: _Names,
    alpha_deg: ArrayLike,
    flap_deg: ArrayLike,
    reynolds: ArrayLike,
    chord_ratio: ArrayLike,
    finish: str = "smooth",
) -> SectionResult:
    """Coefficients of a flapped section at an incidence in deg; the rest as for `curves`, all broadcast.

    Raises
    ------
    ValueError
        If a section name is unknown, or a number is not finite or not possible.

    Examples
    --------
    >>> r = coefficients("general purpose", 4.0, [0.0, 10.0], 150e3, 0.25)
    >>> bool(r.cl[1] > r.cl[0] and r.cd[1] > r.cd[0] and r.cm[1] < r.cm[0])
    True
    """
    return curves(name, flap_deg, reynolds, chord_ratio, finish=finish).evaluate(
        _checked("alpha_deg", alpha_deg, -np.inf, np.inf)
    )


def drag_band(
    result: SectionResult, flap_deg: ArrayLike, chord_ratio: ArrayLike
) -> tuple[np.ndarray, np.ndarray]:
    """Lowest and highest drag coefficient to expect around a computed one, not below zero.

    The section itself: +-15 %. On top of that the flap, for which handbooks disagree. Against the formula
    used here, ``1.7 E^1.38 sin^2 d``, the measured trend (J. Roskam, *Airplane Design* part VI, fig. 4.44) is
    a third higher at 15 deg and a tenth lower at 60 deg: -20 % and +40 % up to 15 deg, +-20 % at 60 deg.
    Where the number comes from the table it belongs to a smooth, sealed bend and may lack most of what a real
    hinge costs; there the upper end goes up by the whole of the formula as well.
    """
    flap = flap_drag(np.clip(flap_deg, -60.0, 60.0), chord_ratio)
    more = np.interp(np.abs(np.asarray(flap_deg, dtype=float)), [15.0, 60.0], [0.40, 0.20])
    low = 0.85 * result.cd - (1.0 - result.origin) * 0.20 * np.minimum(flap, result.cd)
    high = 1.15 * result.cd + flap * (result.origin + more)
    return low, high


def _checked(field, value, lowest, highest):
    array = np.asarray(value, dtype=float)
    if not (np.isfinite(array) & (array >= lowest) & (array <= highest)).all():
        accepted = "any number" if np.isinf(lowest) else f"{lowest:g} or more" if np.isinf(highest) else ""
        raise ValueError(f"{field} is {value}; give {accepted or f'{lowest:g} to {highest:g}'}")
    return array


def _as_tabulated(table, flap_deg, chord_ratio):
    """Flap angle and chord ratio in the table that stand for the given ones; how much origin is left."""
    flap = _checked("flap_deg", flap_deg, -np.inf, np.inf)
    ratio = _checked("chord_ratio", chord_ratio, 0.0, 1.0)
    inside = np.clip(ratio, table.chord_ratio[0], table.chord_ratio[-1])
    same_lift = flap
    if (inside != ratio).any():
        same_lift = flap * flap_theory(ratio)[0] / flap_theory(inside)[0]
    used = np.clip(same_lift, table.flap_deg[0], table.flap_deg[-1])
    trust = np.clip(1.0 - np.abs(used - flap) / 5.0, 0.0, 1.0)
    return used, inside, trust


def _weighed(weights, table, nodes):
    """Sum of some rows of a table, each with its weight; weights and nodes have them on a last axis."""
    return (weights.astype(np.float32)[..., None, :] @ table.take(nodes, axis=0))[..., 0, :]


def _corners(table, flap, reynolds, ratio):
    """Nodes around each station and their weights, on a last axis of as many as are needed, 1 to 8.

    Linear in chord ratio, flap angle and the logarithm of the Reynolds number.
    """
    nodes, weights = np.zeros((1,), np.intp), np.ones((1,))
    axes = (table.chord_ratio, ratio), (table.flap_deg, flap), (table.log_reynolds, np.log(reynolds))
    for grid, value in axes:
        low, part = (np.asarray(item)[..., None] for item in between(grid, value))
        nodes = nodes * len(grid) + low
        if part.any():
            nodes = np.concatenate([nodes, nodes + 1], axis=-1)
            weights = np.concatenate([weights * (1 - part), weights * part], axis=-1)
    return nodes, weights
