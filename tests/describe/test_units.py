"""Throws and angles: a ruler at the trailing edge, inches, and the sign convention."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixlib.units import (
    COMMAND_RANGES,
    COMMANDS,
    GRAVITY_M_S2,
    MM_PER_INCH,
    SEA_LEVEL_DENSITY_KG_M3,
    angle_from_throw_mm,
    bisect,
    throw_mm_from_angle,
    to_step,
)


def test_constants_against_their_standards():
    """Inch: the 1959 international yard and pound agreement, exactly 25.4 mm (from memory).
    Gravity: 3rd General Conference on Weights and Measures, 1901, 9.80665 m/s2 (from memory).
    Density: US Standard Atmosphere 1976, sea level, 1.2250 kg/m3 = p/(R T) of its own constants."""
    assert MM_PER_INCH == 25.4
    assert GRAVITY_M_S2 == 9.80665
    assert pytest.approx(101325 / (287.05287 * 288.15), abs=5e-5) == SEA_LEVEL_DENSITY_KG_M3


def test_throw_is_the_chord_of_the_arc():
    """Hand-worked: 60 degrees on any radius is a chord of one radius; 180 degrees is the diameter."""
    assert throw_mm_from_angle(60, 40) == pytest.approx(40)
    assert throw_mm_from_angle(180, 40) == pytest.approx(80)
    # Euclid, straight between the two ends of the trailing edge: ((c - c cos a)^2 + (c sin a)^2)^0.5
    across, along = 40 * math.sin(math.radians(17)), 40 * (1 - math.cos(math.radians(17)))
    assert throw_mm_from_angle(17, 40) == pytest.approx(math.hypot(across, along))


def test_sign_follows_the_angle():
    assert throw_mm_from_angle(10, 40) > 0 > throw_mm_from_angle(-10, 40)
    assert throw_mm_from_angle(0, 40) == 0


@given(st.floats(-180, 180), st.floats(5, 400))
def test_angle_and_throw_are_inverse(angle, chord):
    assert angle_from_throw_mm(throw_mm_from_angle(angle, chord), chord) == pytest.approx(angle, abs=1e-5)


def test_arrays_broadcast():
    throws = throw_mm_from_angle(np.array([[-10.0], [10.0]]), np.array([40.0, 50.0, 60.0]))
    assert throws.shape == (2, 3)
    assert np.allclose(throws[0], -throws[1])


@pytest.mark.parametrize(
    ("value", "step", "rounded"), [(12.26, 0.5, 12.5), (-12.26, 0.5, -12.5), (0.31, 0.1, 0.3), (-7, 5, -5)]
)
def test_a_value_goes_to_the_nearest_step(value, step, rounded):
    assert to_step(value, step) == rounded
    assert isinstance(to_step(value, step), float)
    assert to_step(np.array([value, 0.0]), step).tolist() == [rounded, 0.0]


def test_nothing_has_no_minus():
    assert math.copysign(1, to_step(-0.2, 0.5)) == 1
    assert np.copysign(1, to_step(np.array([-0.2]), 0.5)).tolist() == [1]


@pytest.mark.parametrize(("good", "bad"), [(0, 4), (4, 0), (-3, 5)])
def test_bisecting_finds_the_last_good_place(good, bad):
    edge = 2.3
    found = bisect(lambda place: (place <= edge) == (good <= edge), good, bad, 1e-6)
    assert found == pytest.approx(edge, abs=1e-6)
    assert (found <= edge) == (good <= edge)


def test_errors_name_what_was_given():
    with pytest.raises(ValueError, match="throw of 90 mm is more than twice"):
        angle_from_throw_mm(90, 40)


def test_commands_and_their_ranges():
    assert COMMANDS == ("roll", "pitch", "yaw", "camber", "throttle", "brake")
    assert COMMAND_RANGES["camber"] == (-1, 1)
    assert COMMAND_RANGES["brake"] == (0, 1)
