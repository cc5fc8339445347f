"""Questions that are answered before the answer is seen."""

from mixlib.panel.exercise.exercises import choice, movement, number
from mixlib.panel.exercise.progress import progress

__all__ = ["choice", "movement", "number", "progress"]
