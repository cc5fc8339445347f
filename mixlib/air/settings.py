"""From the reader's set-up to the air model: the wing's surfaces at a command, and how it then glides."""

from __future__ import annotations

import numpy as np

from mixlib.air.approach import Configuration
from mixlib.air.flight import Performance
from mixlib.chain import Rig, commands
from mixlib.describe import Setup

__all__ = ["configuration", "wing_setting"]


def wing_setting(setup: Setup, **values: float) -> dict[str, float]:
    """Angles of the flaps and ailerons at some commands, as the whole chain gives them.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.
    **values : float
        Commands by name, such as ``camber=0.5`` or ``brake=1``; what is left out is 0.

    Returns
    -------
    dict of str to float
        Surface name to angle in deg, trailing edge down positive; surfaces that trim are left out, since the
        air model finds their angle itself.
    """
    angles = Rig(setup).run(commands(**values)).surface
    pairs = zip(setup.aircraft.surfaces, angles.tolist(), strict=True)
    return {surface.name: angle for surface, angle in pairs if surface.kind in ("aileron", "flap")}


def configuration(name: str, performance: Performance) -> Configuration:
    """Glide polar of a setting in the form that the landing approach takes.

    Parameters
    ----------
    name : str
        What it is called.
    performance : Performance
        The setting's performance.

    Returns
    -------
    Configuration
        Lift rising up to the stall, with its drag, and the approach speed in m/s.

    Raises
    ------
    ValueError
        If the polar has no part that can be flown.
    """
    polar = performance.polar
    flown = polar.converged & (polar.lift > 0.02) & (polar.drag > 0)
    lift, drag = polar.lift[flown], polar.drag[flown]
    rising = np.r_[True, lift[1:] > np.maximum.accumulate(lift)[:-1]] if lift.size else np.array([], bool)
    if rising.sum() < 2:
        raise ValueError(f"{name}: this setting cannot be flown, so there is no approach to show")
    return Configuration(name, lift[rising], drag[rising], float(performance.approach.speed_m_s))
