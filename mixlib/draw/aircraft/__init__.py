"""The whole aircraft from behind and above."""

from mixlib.draw.aircraft.view import aircraft_view

__all__ = ["aircraft_view"]
