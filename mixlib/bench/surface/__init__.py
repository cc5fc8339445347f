"""One set-up at the bench: throws, limits, differential, levers, and what is left of the travel."""

from mixlib.bench.surface.budget import largest_camber
from mixlib.bench.surface.differential import WAYS, aileron_throws, less_down
from mixlib.bench.surface.limits import travel_for_angle_percent
from mixlib.bench.surface.throws import follow, throw_ends, with_holes

__all__ = [
    "WAYS",
    "aileron_throws",
    "follow",
    "largest_camber",
    "less_down",
    "throw_ends",
    "travel_for_angle_percent",
    "with_holes",
]
