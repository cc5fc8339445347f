"""From the approach to the touchdown on the reader's field, and how much of a lever it takes."""

from mixlib.air.landing.decision import Decision, decide
from mixlib.air.landing.field import Flown, Path, landings
from mixlib.air.landing.landing import Landing, configuration, land

__all__ = ["Decision", "Flown", "Landing", "Path", "configuration", "decide", "land", "landings"]
