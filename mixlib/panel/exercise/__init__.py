"""Questions that are answered before the answer is seen."""

from mixlib.panel.exercise.exercises import choice, movement, number

__all__ = ["choice", "movement", "number"]
