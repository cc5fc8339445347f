"""Results in words and tables."""

from mixlib.say.doubt import marked, own_words
from mixlib.say.flight import elevator_words, glide_words, range_words, share_words
from mixlib.say.landing import decision_table
from mixlib.say.phases import rests_table
from mixlib.say.readout import readout
from mixlib.say.settings import settings_table
from mixlib.say.speeds import speed_words
from mixlib.say.tables import show_table

__all__ = [
    "decision_table",
    "elevator_words",
    "glide_words",
    "marked",
    "own_words",
    "range_words",
    "readout",
    "rests_table",
    "settings_table",
    "share_words",
    "show_table",
    "speed_words",
]
