"""Commands to the demand of each output: mixing is addition, with one gain for each side of a command.

``demand = shift + sum over commands of (gain above x max(u, 0) + gain below x min(u, 0))``, where the
gains of an output's own control, of ready-made functions and of all free mixes into it add up.  A control
that does not give its output the command itself, as a throttle stick that runs from end to end, adds
``gain above x max(g, 0) + gain below x min(g, 0)`` for what it gives, g; a mix that it leads counts from 0.

Trims add to the commands of own controls and ready-made functions (the latter: common practice, no source);
of mixes only where the radio's mixes carry them.  A mix that takes a mixed output takes its trim along.

In a phase with a differential of its own, what roll adds to an aileron's output on its way down is so much
less than what it adds there on the way up, by whatever controls and mixes it comes.
"""

from __future__ import annotations

from graphlib import CycleError, TopologicalSorter

import numpy as np
import numpy.typing as npt

from mixlib.describe import READY_MADE, Command, FreeMix, Output, Phase, Setup
from mixlib.units import COMMAND_RANGES, COMMANDS

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

    Controls that are not plain, mixes with a curve or a centre, and mixes that take a mixed output, are not
    in the tables: `Mixer` adds them.

    Returns
    -------
    above, below : numpy.ndarray
        Shape (6, outputs of the radio), percent of the output per full command, for the command's positive
        and negative side.
    """
    above, below = _own_gains(setup) + _mixed_gains(setup)
    return above, below


class Mixer:
    """The mixing of one set-up with its gains and the order of its mixes worked out once.

    Parameters
    ----------
    phase : Phase, optional
        Whose differential is kept, if it has one of its own.

    Raises
    ------
    MixLoopError
        If mixes that take mixed outputs lead round in a circle.
    """

    def __init__(self, setup: Setup, phase: Phase | None = None):
        self.setup = setup
        kept = phase is not None and "differential" in setup.roll_kept
        self._less_percent = phase.differential_percent if phase is not None and kept else None
        self._gains, self._mix_gains = _own_gains(setup), _mixed_gains(setup)
        self._trims = _trims(setup) if any(setup.trims.values()) else None
        self._mixes_apart = self._trims is not None and not setup.radio.mixes_carry_trim
        if not self._mixes_apart:
            self._gains = self._gains + self._mix_gains
        self._uneven = [output for output in setup.outputs if _is_uneven(setup, output)]
        self._shifts = _shifts(setup)
        self._mixes = _in_order(setup)

    def demand_percent(self, shaped: npt.ArrayLike) -> np.ndarray:
        """What every output is asked for, before its limits.

        Parameters
        ----------
        shaped : array_like
            Shape (..., 6): commands after rate and expo, without trims.

        Returns
        -------
        numpy.ndarray
            Shape (..., outputs of the radio), percent.
        """
        shaped = np.asarray(shaped, dtype=float)
        demand = self._summed(shaped)
        if self._less_percent is not None:
            roll = COMMANDS.index("roll")
            still, turned = (shaped * np.where(np.arange(len(COMMANDS)) == roll, way, 1) for way in (0, -1))
            rest, up = self._summed(still), self._summed(turned)
            for part in self.setup.aircraft.of_kind("aileron"):
                place = self.setup.wiring[part.name] - 1
                goes_down = shaped[..., roll] * (1 if part.side == "left" else -1) > 0
                less = rest - (1 - self._less_percent / 100) * (up - rest)
                demand[..., place] = np.where(goes_down, less[..., place], demand[..., place])
        return demand

    def _summed(self, shaped: np.ndarray) -> np.ndarray:
        """Demand with the gains as they are set, percent."""
        own = shaped if self._trims is None else shaped + self._trims
        mixed = shaped if self._mixes_apart else own
        demand = _added(self._gains, own)
        if self._mixes_apart:
            demand += _added(self._mix_gains, mixed)
        demand += self._shifts
        for output in self._uneven:
            demand[..., output.number - 1] += _own_share(self.setup, output, own)
        for mix in self._mixes:
            leader = _leader_percent(self.setup, mix, mixed, demand)
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
        Name and share in percent, shape (...), of the constant shift, the output's own control, each
        ready-made function and each mix into it; what is not set is left out.  Their sum is the output's
        demand.
    """
    shaped = np.asarray(shaped, dtype=float)
    output, trims = setup.output(number), _trims(setup)
    own, mixed = shaped + trims, shaped + trims * setup.radio.mixes_carry_trim
    shares = []
    if output.shift_percent:
        shares.append(("shift", np.full(shaped.shape[:-1], output.shift_percent)))
    if output.control is not None:
        shares.append((f"{output.control}, direct", _own_share(setup, output, own)))
    for made in setup.ready_made:
        if number in (made.first, made.second):
            opposite = made.opposite_percent * (1 if number == made.first else -1)
            for command, gain in zip(READY_MADE[made.kind], (made.alike_percent, opposite), strict=True):
                shares.append((f"{command}, {made.kind}", gain * own[..., COMMANDS.index(command)]))
    into = [mix for mix in setup.free_mixes if mix.on and mix.follower == number]
    demand = Mixer(setup).demand_percent(shaped)
    for mix in into:
        if leading_command(setup, mix) is not None or setup.radio.mix_takes == "output":
            share = _share_percent(mix, _leader_percent(setup, mix, mixed, demand))
            shares.append((f"{mix.leader_words}, mixed in", share))
    return tuple(shares)


def _own_gains(setup: Setup) -> np.ndarray:
    """Gains of own controls and ready-made functions, shape (2, 6, outputs): above and below, percent."""
    gains = np.zeros((2, len(COMMANDS), setup.radio.outputs))
    for output in setup.outputs:
        if output.control is not None and not _is_uneven(setup, output):
            place = COMMANDS.index(output.control), output.number - 1
            gains[:, *place] += output.gain_above_percent, output.gain_below_percent
    for made in setup.ready_made:
        alike, opposite = (COMMANDS.index(command) for command in READY_MADE[made.kind])
        gains[:, alike, [made.first - 1, made.second - 1]] += made.alike_percent
        gains[:, opposite, made.first - 1] += made.opposite_percent
        gains[:, opposite, made.second - 1] -= made.opposite_percent
    return gains


def _mixed_gains(setup: Setup) -> np.ndarray:
    """Gains of the straight mixes that a command leads, shape (2, 6, outputs): above and below, percent."""
    gains = np.zeros((2, len(COMMANDS), setup.radio.outputs))
    for mix in setup.free_mixes:
        command = leading_command(setup, mix)
        if command is not None and _is_straight(mix):
            place = COMMANDS.index(command), mix.follower - 1
            gains[:, *place] += mix.gain_above_percent, mix.gain_below_percent
    return gains


def _added(gains: np.ndarray, commands: np.ndarray) -> np.ndarray:
    above, below = gains
    if np.array_equal(above, below):
        return commands @ above
    return np.maximum(commands, 0.0) @ above + np.minimum(commands, 0.0) @ below


def _trims(setup: Setup) -> np.ndarray:
    """Where the trim levers stand, as commands, shape (6,)."""
    trims = np.zeros(len(COMMANDS))
    for command, percent in setup.trims.items():
        trims[COMMANDS.index(command)] = percent / 100
    return trims


def _is_uneven(setup: Setup, output: Output) -> bool:
    """Whether an output's own control gives it something else than the command."""
    control = None if output.control is None else setup.radio.control(output.control)
    return control is not None and not control.plain


def _own_share(setup: Setup, output: Output, commands: np.ndarray) -> np.ndarray:
    """Share of an output's own control, percent; it must have one."""
    assert output.control is not None
    given = 100 * commands[..., COMMANDS.index(output.control)]
    control = setup.radio.control(output.control)
    if control is not None and not control.plain:
        (low, high), (least, most) = control.ends_percent, COMMAND_RANGES[output.control]
        given = low + (given / 100 - least) / (most - least) * (high - low)
    return _sided(output, given)


def _sided(gains: Output | FreeMix, percent: np.ndarray) -> np.ndarray:
    """Gain above of what is positive, gain below of what is negative, percent."""
    above, below = gains.gain_above_percent, gains.gain_below_percent
    return (above * np.maximum(percent, 0) + below * np.minimum(percent, 0)) / 100


def _leader_percent(setup: Setup, mix: FreeMix, commands: np.ndarray, demand: np.ndarray) -> np.ndarray:
    command = leading_command(setup, mix)
    if command is None:
        return demand[..., int(mix.leader) - 1]
    return 100 * commands[..., COMMANDS.index(command)]


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
    return _sided(mix, leader - mix.centre_percent)


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
