"""From the approach to the touchdown behind the hedge."""

from mixlib.air.landing.field import Flown, landings
from mixlib.air.landing.landing import Landing, configuration, land

__all__ = ["Flown", "Landing", "configuration", "land", "landings"]
