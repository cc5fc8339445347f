"""Commands to the demand of each output: mixing is addition, with one gain for each side of a command.

``demand = shift + sum over commands of (gain above x max(u, 0) + gain below x min(u, 0))``, where the
gains of an output's own control and of all free mixes into it add up.
"""

from __future__ import annotations

from graphlib import CycleError, TopologicalSorter

import numpy as np
import numpy.typing as npt

from mixlib.describe import FreeMix, Setup
from mixlib.describe.setup import Command
from mixlib.units import COMMANDS

__all__ = ["Mixer", "MixLoopError", "demand_shares", "gain_tables", "leading_command"]


class MixLoopError(ValueError):
    """Free mixes that lead round in a circle; the text names the outputs of the loop."""


def leading_command(setup: Setup, mix: FreeMix) -> Command | None:
    """Command that a mix listens to; None when it takes a mixed output, or an output without a control."""
    if isinstance(mix.leader, str):
        return mix.leader
    return setup.output(mix.leader).control if setup.radio.mix_takes == "command" else None


def gain_tables(setup: Setup) -> tuple[np.ndarray, np.ndarray]:
    """Gains of all that adds up straight from the commands.

    Mixes with a curve or a centre, and mixes that take a mixed output, are not in the tables:
    `Mixer` adds them.

    Returns
    -------
    above, below : numpy.ndarray
        Shape (6, outputs of the radio), percent of the output per full command, for the command's positive
        and negative side.
    """
    above = np.zeros((len(COMMANDS), setup.radio.outputs))
    below = np.zeros_like(above)
    for output in setup.outputs:
        if output.control is not None:
            row, column = COMMANDS.index(output.control), output.number - 1
            above[row, column] += output.gain_above_percent
            below[row, column] += output.gain_below_percent
    for mix in setup.free_mixes:
        leader = leading_command(setup, mix)
        if leader is not None and _is_straight(mix):
            row, column = COMMANDS.index(leader), mix.follower - 1
            above[row, column] += mix.gain_above_percent
            below[row, column] += mix.gain_below_percent
    return above, below


class Mixer:
    """The mixing of one set-up with its gains and the order of its mixes worked out once.

    Raises
    ------
    MixLoopError
        If mixes that take mixed outputs lead round in a circle.
    """

    def __init__(self, setup: Setup):
        self.setup = setup
        self._above, self._below = gain_tables(setup)
        self._even = np.array_equal(self._above, self._below)
        self._shifts = _shifts(setup)
        self._mixes = _in_order(setup)

    def demand_percent(self, shaped: npt.ArrayLike) -> np.ndarray:
        """What every output is asked for, before its limits.

        Parameters
        ----------
        shaped : array_like
            Shape (..., 6): commands after rate and expo.

        Returns
        -------
        numpy.ndarray
            Shape (..., outputs of the radio), percent.
        """
        shaped = np.asarray(shaped, dtype=float)
        if self._even:
            demand = shaped @ self._above
        else:
            demand = np.maximum(shaped, 0.0) @ self._above + np.minimum(shaped, 0.0) @ self._below
        demand += self._shifts
        for mix in self._mixes:
            leader = _leader_percent(self.setup, mix, shaped, demand)
            demand[..., mix.follower - 1] += _share_percent(mix, leader)
        return demand


def demand_shares(setup: Setup, shaped: npt.ArrayLike, number: int) -> tuple[tuple[str, np.ndarray], ...]:
    """Parts that add up to the demand of one output.

    Parameters
    ----------
    shaped : numpy.ndarray
        Shape (..., 6): commands after rate and expo.
    number : int
        The output, from 1.

    Returns
    -------
    tuple of (str, numpy.ndarray)
        Name and share in percent, shape (...), of the constant shift, the output's own control and each
        mix into it; what is not set is left out.  Their sum is the output's demand.
    """
    shaped = np.asarray(shaped, dtype=float)
    output = setup.output(number)
    shares = []
    if output.shift_percent:
        shares.append(("shift", np.full(shaped.shape[:-1], output.shift_percent)))
    if output.control is not None:
        u = shaped[..., COMMANDS.index(output.control)]
        own = output.gain_above_percent * np.maximum(u, 0) + output.gain_below_percent * np.minimum(u, 0)
        shares.append((f"{output.control}, direct", own))
    into = [mix for mix in setup.free_mixes if mix.on and mix.follower == number]
    demand = Mixer(setup).demand_percent(shaped)
    for mix in into:
        if leading_command(setup, mix) is not None or setup.radio.mix_takes == "output":
            share = _share_percent(mix, _leader_percent(setup, mix, shaped, demand))
            shares.append((f"{mix.leader_words}, mixed in", share))
    return tuple(shares)


def _leader_percent(setup: Setup, mix: FreeMix, shaped: np.ndarray, demand: np.ndarray) -> np.ndarray:
    command = leading_command(setup, mix)
    return demand[..., int(mix.leader) - 1] if command is None else 100 * shaped[..., COMMANDS.index(command)]


def _is_straight(mix: FreeMix) -> bool:
    return mix.on and not mix.curve_percent and mix.centre_percent == 0


def _shifts(setup: Setup) -> np.ndarray:
    shifts = np.zeros(setup.radio.outputs)
    for output in setup.outputs:
        shifts[output.number - 1] = output.shift_percent
    return shifts


def _share_percent(mix: FreeMix, leader: np.ndarray) -> np.ndarray:
    if mix.curve_percent:
        places = np.linspace(-100, 100, len(mix.curve_percent))
        return np.interp(leader, places, mix.curve_percent)
    away = leader - mix.centre_percent
    return (mix.gain_above_percent * np.maximum(away, 0) + mix.gain_below_percent * np.minimum(away, 0)) / 100


def _in_order(setup: Setup) -> list[FreeMix]:
    """Mixes that are not in the gain tables, each after all that its leader depends on."""
    live = [mix for mix in setup.free_mixes if mix.on]
    from_command = [mix for mix in live if leading_command(setup, mix) is not None and not _is_straight(mix)]
    if setup.radio.mix_takes == "command":
        # An output without a control has no command to pass on, so its mixes add nothing.
        return from_command
    from_output = [(mix.leader, mix) for mix in live if isinstance(mix.leader, int)]
    needs: dict[int, set[int]] = {}
    for leader, mix in from_output:
        needs.setdefault(mix.follower, set()).add(leader)
    try:
        rank = {number: place for place, number in enumerate(TopologicalSorter(needs).static_order())}
    except CycleError as error:
        loop = " -> ".join(f"output {number}" for number in error.args[1])
        raise MixLoopError(
            f"the free mixes go round in a loop: {loop}. This radio's mixes take what an output ends up "
            "with, so no output may lead itself: switch one of these mixes off or let a command lead it."
        ) from None
    return from_command + [mix for _, mix in sorted(from_output, key=lambda pair: rank[pair[0]])]
