"""The sections that the air model knows, and their tables as they lie in files.

A section is one of four by name, or one measured with a ruler: its largest thickness and camber in percent of
the chord, for which nine four-digit shapes are mixed. Its skin is smooth, or foam: turbulent from near the
nose on. There is a file for each shape and finish, of about 0.2 MB, read when it is first used (30 ms).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

__all__ = [
    "DESIGNATIONS",
    "EDGE_DEG",
    "EVERY_SHAPE",
    "FINISHES",
    "FOLDER",
    "SHAPES",
    "Measured",
    "Section",
    "Table",
    "between",
    "designation",
    "file_name",
    "tables",
]

DESIGNATIONS = {
    "symmetrical": "NACA 0009",
    "thin cambered": "NACA 2408",
    "general purpose": "NACA 2412",
    "flat-bottomed": "Clark Y",
}
"""The public shape behind each name."""

SHAPES = tuple(DESIGNATIONS)
"""Names of the four sections."""

FINISHES = ("smooth", "foam")
"""What a skin can be like."""

FOLDER = Path(__file__).parents[2] / "data" / "sections"
"""Where the tables are kept."""

_THICKNESS_PERCENT, _CAMBER_PERCENT = np.array([7.0, 10.0, 13.0]), np.array([0.0, 2.0, 4.0])


@dataclass(frozen=True)
class Measured:
    """A section known by its largest thickness and camber, in percent of the chord.

    Mixed from four-digit shapes of 7, 10 and 13 % of thickness and 0, 2 and 4 % of camber; beyond them the
    nearest one is taken, and less of the answer counts as the table's.
    """

    thickness_percent: float
    camber_percent: float


Section = str | Measured
"""One of `SHAPES`, or a measured section."""

EVERY_SHAPE: tuple[Section, ...] = (
    *SHAPES,
    *(Measured(float(t), float(c)) for c in _CAMBER_PERCENT for t in _THICKNESS_PERCENT),
)
"""The sections that have a table of their own."""

EDGE_DEG = 30
"""Incidence where the table ends and the bent plate alone goes on."""


class Table(NamedTuple):
    """Tables of some sections; nodes count over shape, chord ratio, flap and Reynolds number."""

    chord_ratio: np.ndarray
    flap_deg: np.ndarray
    log_reynolds: np.ndarray
    lift: np.ndarray  # (node, incidence and, last, the incidence of the stall)
    all: np.ndarray  # (node, incidence, quantity)


def designation(name: Section) -> str:
    """The public shape of a section that has a table of its own, such as ``"NACA 2412"``.

    Raises
    ------
    ValueError
        If it has none.
    """
    if name in EVERY_SHAPE:
        if isinstance(name, Measured):
            camber = name.camber_percent
            return f"NACA {camber:.0f}{4 if camber else 0}{name.thickness_percent:02.0f}"
        return DESIGNATIONS[name]
    raise ValueError(f"section {str(name)!r} is not known; use one of {', '.join(SHAPES)}")


def file_name(name: Section, finish: str) -> str:
    """Name of the file that holds the table of a shape, such as ``"naca2412_foam.npz"``."""
    return f"{designation(name).lower().replace(' ', '')}_{finish}.npz"


@cache
def _table(name: Section, finish: str) -> Table:
    """The table of one section: read, or mixed from those of its neighbours in thickness and camber."""
    if isinstance(name, Measured) and name not in EVERY_SHAPE:
        return _mixed(name, finish)
    with np.load(FOLDER / file_name(name, finish)) as data:
        steps = data["steps"]
        stored = [data[part] for part in ("cl", "cd", "cm", "origin")]
        parts = [whole * step for whole, step in zip(stored, steps[:-1], strict=True)]
        rows = np.stack(parts, axis=-1).astype(np.float32).reshape(-1, 2 * EDGE_DEG + 1, 4)
        stall = (data["alpha_stall_deg"] * steps[-1]).astype(np.float32).reshape(-1, 1)
        axes = data["chord_ratio"], data["flap_deg"], np.log(data["reynolds"])
        return Table(*axes, np.concatenate([rows[..., 0], stall], axis=-1), rows)


def _mixed(name: Measured, finish: str) -> Table:
    """Table between those of the nearest thicknesses and cambers, linear in both."""
    parts, far = [], 0.0
    for grid, value in ((_THICKNESS_PERCENT, name.thickness_percent), (_CAMBER_PERCENT, name.camber_percent)):
        inside = np.clip(value, grid[0], grid[-1])
        low, part = between(grid, inside)
        parts.append(((grid[low], 1 - part), (grid[low + 1], part)))
        far += abs(value - inside) / (grid[1] - grid[0])
    corners = [
        (np.float32(thick * bent), _table(Measured(float(thickness), float(camber)), finish))
        for thickness, thick in parts[0]
        for camber, bent in parts[1]
    ]
    mixed = np.sum([weight * table.all for weight, table in corners], axis=0)
    stall = np.sum([weight * table.lift[:, -1:] for weight, table in corners], axis=0)
    # A step of the grid too far leaves nothing that is the table's.
    mixed[..., -1] *= max(0.0, 1.0 - far)
    return corners[0][1]._replace(lift=np.concatenate([mixed[..., 0], stall], axis=-1), all=mixed)


@lru_cache(maxsize=64)
def tables(names: tuple[Section, ...], finish: str) -> Table:
    """The tables of several sections, one after the other."""
    each = [_table(name, finish) for name in names]
    return each[0]._replace(
        lift=np.concatenate([table.lift for table in each]), all=np.concatenate([table.all for table in each])
    )


def between(grid: np.ndarray, value: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Index of the step of a grid that each value lies in, and its share of the step; in the grid's unit."""
    low = np.searchsorted(grid[1:-1], value, side="right")
    return low, (value - grid[low]) / (grid[low + 1] - grid[low])
