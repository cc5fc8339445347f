"""From the reader's set-up to the air model: where the wing's surfaces stand at a command."""

from __future__ import annotations

from mixlib.chain import Rig, commands
from mixlib.describe import Setup

__all__ = ["wing_setting"]


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
