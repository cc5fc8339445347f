"""Movements in words, for the faces; the words stand with the descriptions, where the bench finds them."""

from mixlib.describe.words import (
    NEUTRAL_MM,
    direction,
    listed,
    movement,
    movement_sentence,
    sentence_start,
)

__all__ = ["NEUTRAL_MM", "direction", "listed", "movement", "movement_sentence", "sentence_start"]
