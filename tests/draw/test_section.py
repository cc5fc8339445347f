"""A section is a published shape, its hinged part stands at its angle, and every word can be read."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rooms import any_room, faults

from mixlib.describe import SECTION_NAMES, shipped, shipped_names
from mixlib.draw.section import outline, section_from_tip
from mixlib.units import throw_mm_from_angle

AIRCRAFT = {name: shipped("aircraft", name) for name in shipped_names("aircraft")}


@pytest.mark.parametrize("section", SECTION_NAMES)
@pytest.mark.parametrize("angle", [-40.0, -7.5, 12.0, 75.0])
def test_hinged_part_is_turned_by_the_true_angle(section, angle):
    rest, now = outline(section, 0.25, 0.0), outline(section, 0.25, angle)
    assert rest.hinge == now.hinge
    a, b = (np.subtract(o.edge, o.hinge) for o in (rest, now))
    turned = np.degrees(np.arctan2(a[0] * b[1] - a[1] * b[0], a @ b))
    assert turned == pytest.approx(-angle)  # trailing edge down is clockwise with the nose to the left
    assert np.hypot(*b) == pytest.approx(np.hypot(*a))
    throw = np.hypot(*np.subtract(now.edge, rest.edge))
    assert throw == pytest.approx(abs(throw_mm_from_angle(angle, np.hypot(*a))))


def test_four_digit_thickness_is_the_published_one():
    # NACA 0012 ordinates from Abbott and von Doenhoff, Theory of Wing Sections, appendix I, scaled to 9 %
    # (half thickness in percent of the chord at 10, 30, 50 and 80 %: 4.683, 6.002, 5.294, 2.623).
    points = np.array(outline("symmetrical", 0.05, 0.0).fixed)
    upper = points[points[:, 1] >= 0]
    order = np.argsort(upper[:, 0])
    for x, half in ((10, 4.683), (30, 6.002), (50, 5.294), (80, 2.623)):
        shown = np.interp(x / 100, upper[order, 0], upper[order, 1]) * 100
        assert shown == pytest.approx(half * 9 / 12, abs=0.03), x


@pytest.mark.parametrize("section", SECTION_NAMES)
def test_section_is_closed_and_of_chord_one(section):
    shape = outline(section, 0.25, 0.0)
    xs = [x for x, _ in (*shape.fixed, *shape.hinged)]
    assert min(xs) == pytest.approx(0.0, abs=1e-9)
    assert max(xs) == pytest.approx(1.0)
    assert shape.hinge[0] == pytest.approx(0.75)


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_words_can_always_be_read(data):
    aircraft = data.draw(st.sampled_from([*AIRCRAFT.values()]))
    surface = data.draw(st.sampled_from(aircraft.surfaces))
    words = st.text("abcdefghij WM", min_size=1, max_size=34).map(lambda text: text.strip() or "x")
    room = data.draw(any_room)
    renamed = surface.replace(name=data.draw(words))
    section = section_from_tip(aircraft, renamed, data.draw(st.floats(-90, 90)), room=room)
    assert faults(section, room) == []
