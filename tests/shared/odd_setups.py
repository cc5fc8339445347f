"""Set-ups that the air model has its doubts about: balanced badly, swept, short."""

from __future__ import annotations

from mixlib.air.aircraft import Airframe, balanced_at, known_balance
from mixlib.describe import Setup
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup


def behind() -> Setup:
    """The balance point 30 mm behind the neutral point."""
    setup = four_surface_setup()
    back = known_balance(setup.aircraft).neutral_mm[1] + 30
    return setup.replace(aircraft=balanced_at(setup.aircraft, back))


def far_forward(up_deg: float = 6.0) -> Setup:
    """So nose-heavy that the elevator meets its stop."""
    setup = flaperon_setup()
    parts = [
        part.replace(stop_up_deg=up_deg) if part.kind == "elevator" else part
        for part in setup.aircraft.surfaces
    ]
    return setup.replace(aircraft=balanced_at(setup.aircraft.replace(surfaces=tuple(parts)), 30))


def swept() -> Setup:
    """A tailless wing with twice the sweep of the demo."""
    return _reshaped(elevon_setup(), 1.0, 2.0)


def short() -> Setup:
    """An aspect ratio of 5."""
    setup = flaperon_setup()
    now = Airframe.from_aircraft(setup.aircraft).wing.aspect_ratio
    return _reshaped(setup, now / 5.0, 1.0)


def _reshaped(setup: Setup, chord: float, sweep: float) -> Setup:
    wing = setup.aircraft.wing
    stations = tuple(
        station.replace(chord_mm=chord * station.chord_mm, leading_edge_mm=sweep * station.leading_edge_mm)
        for station in wing.stations
    )
    return setup.replace(aircraft=setup.aircraft.replace(wing=wing.replace(stations=stations)))
