"""Pilot commands, as arrays, and how rate and expo shape them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from mixlib.describe import Command, Shaping
from mixlib.units import COMMAND_RANGES, COMMANDS

__all__ = ["commands", "shape", "shaped_command"]


def commands(**values: float | Sequence[float] | np.ndarray) -> np.ndarray:
    """Put commands into one array.

    Parameters
    ----------
    **values : array_like
        Command names of `mixlib.units.COMMANDS` with numbers in their range, [-1, 1], or [0, 1] for
        throttle and brake; they are broadcast against each other.  A command left out is 0.

    Returns
    -------
    numpy.ndarray
        Shape (..., 6), last axis in the order of `COMMANDS`.

    Raises
    ------
    ValueError
        If a name is unknown or a number is outside its range.
    """
    for name, value in values.items():
        if name not in COMMANDS:
            raise ValueError(f"no command is called {name!r}; use one of {', '.join(COMMANDS)}")
        low, high = COMMAND_RANGES[name]
        if not np.all((np.asarray(value) >= low) & (np.asarray(value) <= high)):
            raise ValueError(f"{name} is {value}; accepted: {low:g} to {high:g}")
    columns = np.broadcast_arrays(*(np.asarray(values.get(name, 0.0), dtype=float) for name in COMMANDS))
    return np.stack(columns, axis=-1)


def shaped_command(command: npt.ArrayLike, shaping: Shaping) -> np.ndarray:
    """Shape one command: ``rate x ((1 - expo) u + expo u^3)``.

    Expo softens the middle and leaves the ends; rate makes all of it smaller.  With expo e the slope at
    the middle is (1 - e) times the rate.

    Parameters
    ----------
    command : array_like
        The command u, a number in [-1, 1], any shape.

    Returns
    -------
    numpy.ndarray
        Same shape, same sign for expo up to 100 %.
    """
    u = np.asarray(command, dtype=float)
    expo = shaping.expo_percent / 100
    return shaping.rate_percent / 100 * ((1 - expo) * u + expo * u**3)


def shape(command_array: npt.ArrayLike, shapings: Mapping[Command, Shaping]) -> np.ndarray:
    """Shape every command that has a rate or an expo.

    Parameters
    ----------
    command_array : array_like
        Shape (..., 6), as `commands` makes it.
    """
    shaped = np.array(command_array, dtype=float)
    for name, shaping in shapings.items():
        column = COMMANDS.index(name)
        shaped[..., column] = shaped_command(shaped[..., column], shaping)
    return shaped
