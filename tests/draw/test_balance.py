"""The picture of the balance point: readable in every room, true to scale, and the same in words."""

from __future__ import annotations

import pytest
from rooms import TYPICAL, faults

from mixlib.air.aircraft import known_balance
from mixlib.describe import shipped, shipped_names
from mixlib.draw.flight.balance import balance_side_view
from mixlib.draw.shapes import Circle, Polygon, every_shape


def drawn(aircraft, cg_mm, **rest):
    found = known_balance(aircraft)
    ends = (found.usual_cg_mm[0] - 20, found.neutral_mm[1] + 20)
    return balance_side_view(aircraft, found.at(cg_mm), ends, **rest)


@pytest.mark.parametrize("name", shipped_names("aircraft"))
@pytest.mark.parametrize("room", TYPICAL, ids=str)
def test_it_can_be_read_in_every_room(name, room):
    aircraft = shipped("aircraft", name)
    found = known_balance(aircraft)
    for cg_mm in (found.usual_cg_mm[0] - 20, aircraft.cg_mm, *found.neutral_mm, found.neutral_mm[1] + 20):
        drawing = drawn(aircraft, cg_mm, room=room)
        assert faults(drawing, room, high=True) == []


def test_places_stand_to_scale_along_the_chord():
    aircraft = shipped("aircraft", "orchard_three")
    found = known_balance(aircraft)
    shapes = list(every_shape(drawn(aircraft, aircraft.cg_mm).shapes))
    section = [p for s in shapes if isinstance(s, Polygon) and s.role == "fixed" for p in s.points]
    nose, tail = min(x for x, _ in section), max(x for x, _ in section)
    chord = aircraft.wing.stations[0].chord_mm

    def mm(x):
        return (x - nose) / (tail - nose) * chord

    spot = next(s for s in shapes if isinstance(s, Circle))
    assert mm(spot.x) == pytest.approx(aircraft.cg_mm, abs=0.5)
    for meaning, ends in (("usual", found.usual_cg_mm), ("neutral point", found.neutral_mm)):
        band = next(s for s in shapes if isinstance(s, Polygon) and s.meaning == meaning)
        places = [mm(x) for x, _ in band.points]
        assert (min(places), max(places)) == pytest.approx(ends, abs=0.5)


def test_it_says_on_which_side_of_the_neutral_point():
    aircraft = shipped("aircraft", "orchard_three")
    low, high = known_balance(aircraft).neutral_mm
    assert "mm ahead of the neutral point" in drawn(aircraft, low - 10).description
    assert "mm behind the neutral point" in drawn(aircraft, high + 10).description
    assert "behind to" in drawn(aircraft, (low + high) / 2).description
