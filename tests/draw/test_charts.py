"""Charts put points where their numbers are, cut what lies outside, and keep their words readable."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.ticker import MaxNLocator
from rooms import any_room, faults

from mixlib.draw.charts import Band, Curve, Spot, line_chart, tick_places
from mixlib.draw.shapes import Circle, Line, Text, every_shape


def chart(curves, **options):
    return line_chart("A chart", curves, "speed, m/s", "sink, m/s", description="in words", **options)


def lines(drawing, role):
    """Parts of a curve; its sample in the legend, the first, is left out."""
    return [s for s in every_shape(drawing.shapes) if isinstance(s, Line) and s.role == role][1:]


def axes(drawing):
    (line,) = [s for s in every_shape(drawing.shapes) if isinstance(s, Line) and s.role == "axis"]
    (left, top), (_, bottom), (right, _) = line.points
    return left, top, right, bottom


def test_points_stand_where_their_numbers_are():
    drawing = chart([Curve("one", [0, 5, 10], [0, 2, 1])], x_range=(0, 10), y_range=(0, 4))
    left, top, right, bottom = axes(drawing)
    (line,) = lines(drawing, "curve 1")
    expected = [
        (left, bottom),
        ((left + right) / 2, (top + bottom) / 2),
        (right, bottom - (bottom - top) / 4),
    ]
    assert np.allclose(line.points, expected)


def test_what_lies_outside_is_cut_at_the_frame():
    drawing = chart([Curve("one", [0, 10], [-4, 4])], x_range=(0, 10), y_range=(-2, 2))
    left, top, right, bottom = axes(drawing)
    (line,) = lines(drawing, "curve 1")
    third = (right - left) / 4
    assert np.allclose(line.points, [(left + third, bottom), (right - third, top)])


def test_a_missing_number_is_a_gap():
    drawing = chart([Curve("one", range(5), [0, 1, np.nan, 1, 0])], x_range=(0, 4), y_range=(0, 2))
    assert [len(line.points) for line in lines(drawing, "curve 1")] == [2, 2]


def test_curve_that_leaves_and_returns_is_in_two_parts():
    x = np.linspace(-2, 2, 81)
    drawing = chart([Curve("one", x, x**2)], x_range=(-2, 2), y_range=(1, 4))
    assert len(lines(drawing, "curve 1")) == 2


def test_spots_outside_are_left_out_and_others_have_words():
    spots = [Spot(5, 1, "best glide"), Spot(50, 1, "far away")]
    drawing = chart([Curve("one", [0, 10], [0, 2])], x_range=(0, 10), y_range=(0, 2), spots=spots)
    shapes = list(every_shape(drawing.shapes))
    assert [s.meaning for s in shapes if isinstance(s, Circle)] == ["best glide"]
    words = [s.text for s in shapes if isinstance(s, Text)]
    assert "best glide" in words
    assert "far away" not in words


def test_axes_hold_all_when_no_range_is_given():
    drawing = chart([Curve("one", [3, 4], [100, 300])], spots=[Spot(5, 50, "low")])
    left, top, right, bottom = axes(drawing)
    for line in lines(drawing, "curve 1"):
        for x, y in line.points:
            assert left < x < right
            assert top < y < bottom


def test_too_much_or_nothing_is_refused_in_words():
    with pytest.raises(ValueError, match="at most 5 curves"):
        chart([Curve(str(i), [0, 1], [0, i]) for i in range(6)])
    with pytest.raises(ValueError, match="no number to draw"):
        chart([Curve("one", [np.nan], [np.nan])])


@settings(deadline=None)
@given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4), st.integers(3, 12))
def test_ticks_are_round_numbers_inside(low, span, most):
    high = low + span
    ticks = tick_places(low, high, most)
    assert 1 <= len(ticks) <= most + 1
    assert all(low - 1e-6 * span <= tick <= high + 1e-6 * span for tick in ticks)
    if len(ticks) > 2:
        assert np.allclose(np.diff(ticks), ticks[1] - ticks[0], rtol=1e-4)


@pytest.mark.parametrize("low, high", [(0, 10), (-3, 0), (4, 20), (-120, 120), (0, 0.7)])
def test_ticks_against_matplotlib(low, high):
    # matplotlib's locator as the reference; it may step over the ends, ours stay inside.
    reference = MaxNLocator(nbins=8, steps=[1, 2, 5, 10]).tick_values(low, high)
    inside = [t for t in reference if low - 1e-9 <= t <= high + 1e-9]
    assert tick_places(low, high, 8) == pytest.approx(inside)


@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_words_can_always_be_read(data):
    name = st.text("abcdef ghW", min_size=1, max_size=40)
    number = st.floats(-50, 50)
    x = np.linspace(-20, 20, 60)
    curves = [
        Curve(label, x, a * np.sin(x / 5 + b) + a)
        for label, a, b in data.draw(st.lists(st.tuples(name, number, number), min_size=1, max_size=5))
    ]
    spots = [Spot(*spot) for spot in data.draw(st.lists(st.tuples(number, number, name), max_size=4))]
    bands = [Band(-3, 5, data.draw(name), data.draw(st.sampled_from("xy")))]
    ranges = data.draw(st.sampled_from([{}, {"x_range": (-10, 15), "y_range": (-8, 30)}]))
    drawing = line_chart(
        data.draw(name),
        curves,
        data.draw(name),
        data.draw(name),
        description="d",
        spots=spots,
        bands=bands,
        room=(room := data.draw(any_room)),
        **ranges,
    )
    assert faults(drawing, room) == []
