"""Lift, drag and moment of a wing section with a plain flap, from a shipped table; NumPy only.

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
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from importlib.resources import files
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from mixlib.air.section.handbook import bent_plate, flap_drag, flap_theory

__all__ = ["DESIGNATIONS", "SHAPES", "Curves", "SectionResult", "coefficients", "curves", "drag_band"]

DESIGNATIONS = {
    "symmetrical": "NACA 0009",
    "thin cambered": "NACA 2408",
    "general purpose": "NACA 2412",
    "flat-bottomed": "Clark Y",
}
"""The public shape behind each name."""

SHAPES = tuple(DESIGNATIONS)
"""Names of the four sections."""

_Names = str | Sequence[str] | np.ndarray

EDGE_DEG = 30
"""Incidence where the table ends and the bent plate alone goes on."""

FRICTION_AT_MOST = 0.03
"""Part of the drag that changes with the Reynolds number outside the table; the rest is pressure drag."""

_QUANTITIES = 4  # cl, cd, cm, origin
_REYNOLDS_LIMITS = (1.0e4, 1.0e7)
_SHARED = ("shape", "_rows", "_lift")  # what `Curves` holds for all stations; the rest has one value for each


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


class _Table(NamedTuple):
    chord_ratio: np.ndarray
    flap_deg: np.ndarray
    log_reynolds: np.ndarray
    rows: np.ndarray  # (shape, chord ratio, flap, reynolds, incidence * quantity + stall)


@lru_cache(maxsize=1)
def _table() -> _Table:
    with files("mixlib").joinpath("data/sections.npz").open("rb") as file, np.load(file) as data:
        steps = data["steps"]
        stored = [data[name] for name in ("cl", "cd", "cm", "origin")]
        parts = [whole * step for whole, step in zip(stored, steps[:-1], strict=True)]
        rows = np.stack(parts, axis=-1).astype(np.float32)
        rows = rows.reshape(*rows.shape[:4], -1)
        stall = (data["alpha_stall_deg"] * steps[-1]).astype(np.float32)[..., None]
        return _Table(
            data["chord_ratio"],
            data["flap_deg"],
            np.log(data["reynolds"]),
            np.concatenate([rows, stall], axis=-1),
        )


@dataclass(frozen=True)
class Curves:
    """Coefficients against incidence, one curve for each station; made by `curves`.

    Attributes
    ----------
    alpha_stall_deg, cl_max : numpy.ndarray
        Incidence of the first peak of lift above zero lift, interpolated between the table's nodes so that
        it never jumps, and the lift coefficient there.
    """

    shape: tuple[int, ...]
    flap_deg: np.ndarray
    chord_ratio: np.ndarray
    alpha_stall_deg: np.ndarray
    cl_max: np.ndarray
    _rows: np.ndarray  # (stations * incidences, 4)
    _lift: np.ndarray  # (stations * incidences,)
    _first: np.ndarray  # index of each station's first row, in `shape`
    _drag_scale: np.ndarray
    _origin_scale: np.ndarray

    def rows(self, shape: tuple[int, ...], chosen: np.ndarray | slice) -> Curves:
        """Take some rows of stations, for a solver that goes on with those it has not finished.

        Parameters
        ----------
        shape : tuple of int
            Shape that the stations are spread to; its last axis is a row.
        chosen : ndarray of int, ndarray of bool or slice
            Which rows, counted over all leading axes.

        Returns
        -------
        Curves
            Shape (chosen rows, stations in a row).
        """
        spread = {
            field.name: np.broadcast_to(getattr(self, field.name), shape).reshape(-1, shape[-1])[chosen]
            for field in fields(self)
            if field.name not in _SHARED
        }
        return replace(self, shape=spread["_first"].shape, **spread)

    def _place(self, alpha_deg):
        alpha = np.asarray(alpha_deg, dtype=float)
        inside = np.clip(alpha, -EDGE_DEG, EDGE_DEG)
        step = np.minimum((inside + EDGE_DEG).astype(np.intp), 2 * EDGE_DEG - 1)
        return alpha, self._first + step, inside + EDGE_DEG - step

    def _past_edge(self, alpha, at_edge):
        """The bent plate; what the table's interpolation differs by at its edge fades out within 5 deg."""
        edge = np.clip(alpha, -EDGE_DEG, EDGE_DEG)
        fade = np.maximum(1.0 - np.abs(alpha - edge) / 5.0, 0.0)
        plate, there = (bent_plate(a, self.flap_deg, self.chord_ratio) for a in (alpha, edge))
        return [p + fade * (v - t) for v, p, t in zip(at_edge, plate, there, strict=False)]

    def lift(self, alpha_deg: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
        """Lift coefficient and its slope per radian, for a solver's inner loop.

        Parameters
        ----------
        alpha_deg : array_like
            Incidence, broadcast against `shape`; the slope is that of the straight piece it falls in.
        """
        alpha, index, part = self._place(alpha_deg)
        low = self._lift[index]
        rise = self._lift[index + 1] - low
        cl, slope = low + part * rise, np.degrees(rise)
        beyond = np.abs(alpha) > EDGE_DEG
        if beyond.any():
            here, ahead = (self._past_edge(alpha + d, (cl,))[0] for d in (0.0, 0.1))
            cl, slope = np.where(beyond, here, cl), np.where(beyond, np.degrees(ahead - here) / 0.1, slope)
        return cl, slope

    def evaluate(self, alpha_deg: ArrayLike) -> SectionResult:
        """Lift, drag, moment and origin at an incidence.

        Parameters
        ----------
        alpha_deg : array_like
            Incidence, broadcast against `shape`; the whole circle is accepted.
        """
        alpha, index, part = self._place(alpha_deg)
        low = self._rows[index]
        cl, cd, cm, origin = np.moveaxis(low + part[..., None] * (self._rows[index + 1] - low), -1, 0)
        beyond = np.abs(alpha) > EDGE_DEG
        if beyond.any():
            past = self._past_edge(alpha, (cl, cd, cm))
            cl, cd, cm = (np.where(beyond, p, t) for p, t in zip(past, (cl, cd, cm), strict=True))
        cd = cd + (self._drag_scale - 1.0) * np.minimum(cd, FRICTION_AT_MOST)
        return SectionResult(cl, cd, cm, origin * self._origin_scale)


def curves(
    names: _Names,
    flap_deg: ArrayLike,
    reynolds: ArrayLike,
    chord_ratio: ArrayLike,
    other: _Names | None = None,
    share: ArrayLike = 0.0,
) -> Curves:
    """Look up one curve for each station, all inputs broadcast; then `Curves.evaluate` is cheap.

    Parameters
    ----------
    names : str or array_like of str
        Section names out of `SHAPES`.
    flap_deg : array_like
        Flap angle, trailing edge down positive.
    reynolds : array_like
        Reynolds number on the local chord.
    chord_ratio : array_like
        Flap chord over local chord, 0 for no flap.
    other : str or array_like of str, optional
        The section at the other end, for a station between two.
    share : array_like
        Share of `other` at the station, 0 to 1.

    Raises
    ------
    ValueError
        If a section name is unknown, or a number is not finite or not possible.
    """
    flap, ratio, reduced = _as_tabulated(flap_deg, chord_ratio)
    speed = _checked("reynolds", reynolds, 0.0, np.inf)
    limits = np.exp(_table().log_reynolds[[0, -1]])
    used = np.clip(speed, *limits)
    far = np.clip(speed, *_REYNOLDS_LIMITS) / used
    drag_scale = np.where(far < 1.0, far**-0.5, far**-0.2)
    rows = _interpolated(_indices(names), flap, used, ratio)
    if other is not None:
        weight = _checked("share", share, 0.0, 1.0)[..., None]
        rows = rows + weight * (_interpolated(_indices(other), flap, used, ratio) - rows)
    shape = rows.shape[:-1]
    stall = rows[..., -1].astype(float)
    count = 2 * EDGE_DEG + 1
    flat = np.ascontiguousarray(rows[..., :-1]).reshape(-1, _QUANTITIES)
    first = np.arange(stall.size).reshape(shape) * count
    lift = flat[:, 0].copy()
    step = stall.astype(np.intp) + EDGE_DEG
    low = lift[first + step]
    cl_max = low + (stall + EDGE_DEG - step) * (lift[first + step + 1] - low)
    origin_scale = np.clip(1.0 - np.abs(np.log2(far)), 0.0, 1.0) * reduced
    return Curves(shape, flap, ratio, stall, cl_max, flat, lift, first, drag_scale, origin_scale)


def coefficients(
    name: _Names, alpha_deg: ArrayLike, flap_deg: ArrayLike, reynolds: ArrayLike, chord_ratio: ArrayLike
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
    return curves(name, flap_deg, reynolds, chord_ratio).evaluate(
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
    if not np.all(np.isfinite(array) & (array >= lowest) & (array <= highest)):
        accepted = "any number" if np.isinf(lowest) else f"{lowest:g} or more" if np.isinf(highest) else ""
        raise ValueError(f"{field} is {value}; give {accepted or f'{lowest:g} to {highest:g}'}")
    return array


def _indices(names):
    array = np.asarray(names)
    index = np.full(array.shape, -1, dtype=np.intp)
    for i, name in enumerate(SHAPES):
        index[array == name] = i
    if np.any(index < 0):
        wrong = array[index < 0].flat[0]
        raise ValueError(f"section {str(wrong)!r} is not known; use one of {', '.join(SHAPES)}")
    return index


def _as_tabulated(flap_deg, chord_ratio):
    """Flap angle and chord ratio in the table that stand for the given ones; how much origin is left."""
    table = _table()
    flap = _checked("flap_deg", flap_deg, -np.inf, np.inf)
    ratio = _checked("chord_ratio", chord_ratio, 0.0, 1.0)
    inside = np.clip(ratio, table.chord_ratio[0], table.chord_ratio[-1])
    same_lift = flap * flap_theory(ratio)[0] / flap_theory(inside)[0]
    used = np.clip(same_lift, table.flap_deg[0], table.flap_deg[-1])
    trust = np.clip(1.0 - np.abs(used - flap) / 5.0, 0.0, 1.0)
    return *np.broadcast_arrays(used, inside), trust


def _cell(grid, value):
    low = np.clip(np.searchsorted(grid, value, side="right") - 1, 0, len(grid) - 2)
    return low, (value - grid[low]) / (grid[low + 1] - grid[low])


def _interpolated(index, flap, reynolds, ratio):
    """Rows of the table, linear in chord ratio, flap angle and the logarithm of the Reynolds number."""
    table = _table()
    shape = np.broadcast_shapes(index.shape, flap.shape, reynolds.shape, ratio.shape)
    e, e_part = _cell(table.chord_ratio, ratio)
    f, f_part = _cell(table.flap_deg, flap)
    r, r_part = _cell(table.log_reynolds, np.log(reynolds))
    rows = np.zeros((*shape, table.rows.shape[-1]), dtype=np.float32)
    for i in (0, 1):
        for j in (0, 1):
            for k in (0, 1):
                weight = (
                    (e_part if i else 1 - e_part)
                    * (f_part if j else 1 - f_part)
                    * (r_part if k else 1 - r_part)
                )
                if np.any(weight):
                    corner = table.rows[index, e + i, f + j, r + k]
                    rows += weight[..., None].astype(np.float32) * corner
    return rows
