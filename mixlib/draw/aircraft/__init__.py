"""The whole aircraft from behind and above, alone or beside a chart."""

from mixlib.draw.aircraft.beside import with_aircraft, with_aircraft_aside
from mixlib.draw.aircraft.view import aircraft_view

__all__ = ["aircraft_view", "with_aircraft", "with_aircraft_aside"]
