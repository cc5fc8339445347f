"""From what was seen at the bench to what is wrong."""

from mixlib.bench.faults.finder import Finder
from mixlib.bench.faults.practice import Practice

__all__ = ["Finder", "Practice"]
