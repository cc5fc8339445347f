"""Flight numbers in words: which way, how far, and with which band."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np

from mixlib.air.aircraft.doubt import Doubt
from mixlib.air.aircraft.elevator import Compensation
from mixlib.describe.demo import four_surface_setup
from mixlib.say.flight import angle_words, elevator_size, elevator_words, range_words

GLIDER = four_surface_setup().aircraft


def test_the_wing_is_told_in_pairs_where_left_and_right_stand_alike():
    angles = {"left flap": 8.0, "right flap": 8.0, "left aileron": 3.1, "right aileron": 3.1, "elevator": 5.0}
    assert angle_words(GLIDER, angles) == "Both flaps 8.0° down, both ailerons 3.1° down."
    angles |= {"left aileron": -2.0}
    assert (
        angle_words(GLIDER, angles) == "Both flaps 8.0° down, left aileron 2.0° up, right aileron 3.1° down."
    )
    assert angle_words(GLIDER, dict.fromkeys(angles, 0.0)) == "Wing clean."


def test_the_wing_is_not_called_clean_whatever_its_surfaces_are_called():
    """The side is a field of the surface, not a part of its name."""
    names = {"left flap": "inner port", "right flap": "inner starboard"}
    parts = tuple(part.replace(name=names.get(part.name, part.name)) for part in GLIDER.surfaces)
    said = angle_words(GLIDER.replace(surfaces=parts), {"inner port": 30.0, "inner starboard": 30.0})
    assert said == "Inner port and inner starboard 30.0° down."


def test_a_number_stands_between_its_ends():
    assert range_words(4.8, 5.9, 4.0) == "4.8 (4.0 to 5.9)"


def wanted(degrees, low, high, doubts=0):
    ends = (np.array([0.0, low]), np.array([0.0, high]))
    glides = SimpleNamespace(doubts=np.array([0, int(doubts)]))
    return Compensation(np.array([0.0, 1.0]), np.array([0.0, degrees]), ends, glides)


def test_the_elevator_says_which_way_and_what_is_too_little_to_see():
    assert elevator_words(wanted(3.0, 2.0, 4.0)) == "3.0° (2.0 to 4.0) down elevator"
    assert elevator_size(wanted(-3.0, -4.0, -2.0)) == "3.0° (2.0 to 4.0) up"
    assert elevator_words(wanted(0.1, 0.05, 0.12)) == "no elevator"
    assert elevator_size(wanted(-0.1, -0.12, -0.05)) == "none"


def test_where_smooth_and_foam_differ_in_sign_no_way_is_told():
    assert elevator_size(wanted(0.1, -0.3, 0.2)) == "0.3° up to 0.2° down"


def test_a_doubtful_elevator_is_marked_or_withheld():
    assert elevator_size(wanted(3.0, 2.0, 4.0, Doubt.HANDBOOK)) == "3.0° (2.0 to 4.0) down*"
    assert elevator_size(wanted(3.0, 2.0, 4.0, Doubt.NOT_CONVERGED)) == "no answer*"
    assert elevator_size(wanted(3.0, 2.0, 4.0, Doubt.ELEVATOR_STOP)) == "cannot be flown*"
