"""Commands as arrays, rate and expo."""

import numpy as np
import pytest
from description_strategies import numbers
from hypothesis import given

from mixlib.chain.controls import commands, shape, shaped_command
from mixlib.describe import Shaping
from mixlib.units import COMMANDS


def test_each_command_has_its_place():
    for index, name in enumerate(COMMANDS):
        assert commands(**{name: 0.5}).tolist() == [0.5 if place == index else 0 for place in range(6)]


def test_commands_broadcast():
    grid = commands(roll=np.linspace(-1, 1, 5)[:, np.newaxis], camber=[0, 0.5, 1])
    assert grid.shape == (5, 3, 6)
    assert grid[4, 2].tolist() == [1, 0, 0, 1, 0, 0]


@pytest.mark.parametrize("name, value", [("roll", 1.01), ("roll", -1.01), ("brake", -0.1), ("pitch", np.nan)])
def test_command_out_of_range_is_named(name, value):
    with pytest.raises(ValueError, match=f"{name} is .*; accepted: "):
        commands(**{name: value})


def test_unknown_command_is_named():
    with pytest.raises(ValueError, match="no command is called 'flap'; use one of roll, pitch"):
        commands(flap=1)


@pytest.mark.parametrize(
    "rate, expo, u, expected",
    [
        (100, 0, 0.5, 0.5),
        (50, 0, 1, 0.5),
        (100, 100, 0.5, 0.125),  # the pure cube
        (100, 30, 0.5, 0.7 * 0.5 + 0.3 * 0.125),
        (80, 50, -0.5, -0.8 * (0.5 * 0.5 + 0.5 * 0.125)),
        (100, -100, 0.5, 2 * 0.5 - 0.125),  # livelier in the middle
        (150, 60, 1, 1.5),  # expo leaves the ends
    ],
)
def test_rate_and_expo_by_hand(rate, expo, u, expected):
    """A cubic blend of the linear and the pure cubic law; common practice, no source."""
    assert shaped_command(u, Shaping(rate_percent=rate, expo_percent=expo)) == pytest.approx(expected)


@given(numbers(-1, 1), numbers(0, 150), numbers(-100, 100))
def test_shaping_is_odd_and_keeps_the_ends(u, rate, expo):
    shaping = Shaping(rate_percent=rate, expo_percent=expo)
    assert shaped_command(-u, shaping) == pytest.approx(-shaped_command(u, shaping))
    assert shaped_command(1, shaping) == pytest.approx(rate / 100)
    assert shaped_command(0, shaping) == 0


@given(numbers(-100, 100))
def test_slope_in_the_middle(expo):
    """d/du ((1 - e) u + e u^3) at 0 is 1 - e."""
    shaping = Shaping(expo_percent=expo)
    assert shaped_command(1e-4, shaping) / 1e-4 == pytest.approx(1 - expo / 100, abs=1e-6)


@given(numbers(0, 100))
def test_stick_never_turns_back(expo):
    shaped = shaped_command(np.linspace(-1, 1, 101), Shaping(expo_percent=expo))
    assert np.all(np.diff(shaped) >= -1e-12)


def test_shape_leaves_the_given_array_and_the_other_commands_alone():
    given_ = commands(roll=0.5, pitch=0.5)
    shaped = shape(given_, {"roll": Shaping(rate_percent=50)})
    assert shaped.tolist() == [0.25, 0.5, 0, 0, 0, 0]
    assert given_.tolist() == [0.5, 0.5, 0, 0, 0, 0]
