"""Pictures of the flight: the landing from the side, and where the balance point lies."""

from mixlib.draw.flight.approach import landing_side_view, landing_words, tracks
from mixlib.draw.flight.balance import balance_side_view

__all__ = ["balance_side_view", "landing_side_view", "landing_words", "tracks"]
