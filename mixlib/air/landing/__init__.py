"""From the approach to the touchdown behind the hedge."""

from mixlib.air.landing.field import landings
from mixlib.air.landing.landing import Landing, configuration, land

__all__ = ["Landing", "configuration", "land", "landings"]
