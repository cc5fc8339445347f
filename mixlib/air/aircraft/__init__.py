"""The whole aircraft: trim, glide, roll, elevator, flight phases."""

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.flight import Performance, performance, polar, trimmed_at
from mixlib.air.aircraft.settings import flyable, wing_setting

__all__ = ["Airframe", "Performance", "flyable", "performance", "polar", "trimmed_at", "wing_setting"]
