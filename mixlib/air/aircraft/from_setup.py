"""From the reader's set-up to the air model: where the wing's surfaces stand, and how it flies so."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.balance import Balance, balance
from mixlib.air.aircraft.flight import Performance, performance
from mixlib.chain import Rig, commands
from mixlib.describe import Aircraft, Setup, shelf

__all__ = ["angles_at", "flyable", "known_balance", "known_performance"]


def angles_at(setup: Setup, **values: float) -> dict[str, float]:
    """Angles of the flaps and ailerons at some commands, as the whole chain gives them.

    Parameters
    ----------
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


def known_performance(aircraft: Aircraft, angles: Mapping[str, float] | None = None) -> Performance:
    """How an aircraft glides in standard air with its surfaces at some angles (deg), worked out only once."""
    return _performance(aircraft, tuple(sorted((angles or {}).items())))


def flyable(demo: Setup) -> shelf.Chosen:
    """Set-up that the flight lessons work with: the reader's own if the air model can fly it, else the demo.

    Returns
    -------
    mixlib.describe.shelf.Chosen
        The set-up, with a sentence for the reader that also says why an own one could not be flown.
    """
    chosen = shelf.chosen(demo)
    try:
        _flown(chosen.setup.aircraft)
    except ValueError as error:
        sentence = (
            f"Your own set-up cannot be flown here: {error}. Working with {demo.aircraft.name} instead."
        )
        return shelf.Chosen(demo, sentence)
    return chosen


def _flown(aircraft: Aircraft) -> None:
    """Refuse an aircraft that finds no glide, as far as its elevator goes."""
    found = known_performance(aircraft)
    if not all(glide.converged for glide in (found.best_glide, found.least_sink, found.approach)):
        forward, back = known_balance(aircraft).usual_cg_mm
        raise ValueError(
            "no steady glide was found that its elevator can hold; its balance point is "
            f"{aircraft.cg_mm:g} mm behind the leading edge, usual would be {forward:.0f} to {back:.0f} mm"
        )


@lru_cache(maxsize=32)
def known_balance(aircraft: Aircraft) -> Balance:
    """Where the balance point of an aircraft with a clean wing lies, worked out only once."""
    return balance(Airframe.from_aircraft(aircraft))


@lru_cache(maxsize=128)
def _performance(aircraft: Aircraft, angles: tuple[tuple[str, float], ...]) -> Performance:
    return performance(Airframe.from_aircraft(aircraft), dict(angles))
