"""Wished throws as lines of the form: a pair on one line, nothing lost, typed, added and taken away."""

from __future__ import annotations

from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixlib.bench.fit import usual_wants
from mixlib.bench.fit.phase_wants import wants_of_phases
from mixlib.describe import Aircraft, Setup, Want, hopper_ready, plain_setup, shipped, shipped_names
from mixlib.describe.demo import four_surface_setup
from mixlib.panel.fit.lines import lines_of, lines_to_add
from mixlib.panel.fit.wishes import Wishes

HOPPER = shipped("aircraft", "orchard_hopper")


def wishes(setup: Setup) -> Wishes:
    wants = wants_of_phases(setup)
    return Wishes(setup.aircraft, lines_of(setup.aircraft, wants), partial(lines_to_add, setup))


def same(one, other) -> bool:
    return sorted(map(repr, one)) == sorted(map(repr, other))


def in_lines(lines) -> list[Want]:
    return [want for line in lines for want in (*line.wants, *line.mates)]


@pytest.mark.parametrize("name", shipped_names("aircraft"))
def test_every_shipped_aircraft_has_one_line_for_a_pair_and_command(name):
    aircraft: Aircraft = shipped("aircraft", name)
    wants = usual_wants(aircraft)
    lines = lines_of(aircraft, wants)
    assert same(in_lines(lines), wants)
    pairs = {(line.wants[0].surface.split()[-1], line.wants[0].command) for line in lines}
    assert len(pairs) == len(lines)
    assert same(Wishes(aircraft, lines).value, wants)


def test_left_mirrors_right_on_the_roll_stick():
    """Stick right: right aileron up, left down (common practice, no source)."""
    line = lines_of(HOPPER, usual_wants(HOPPER))[0]
    assert line.title == "ailerons, roll"
    assert [(want.surface, want.side, want.amount < 0) for want in line.wants] == [
        ("right aileron", "above", True),
        ("right aileron", "below", False),
    ]
    assert [(want.surface, want.side) for want in line.mates] == [
        ("left aileron", "below"),
        ("left aileron", "above"),
    ]


@given(
    changed=st.sets(st.integers(0, 11)), weighed=st.sets(st.integers(0, 11)), gone=st.sets(st.integers(0, 11))
)
def test_whatever_is_wanted_stands_in_the_lines_once(changed, weighed, gone):
    wants = [
        want.replace(amount=want.amount + 1.0 * (n in changed), weight=want.weight * (1 + 2 * (n in weighed)))
        for n, want in enumerate(usual_wants(HOPPER))
        if n not in gone
    ]
    lines = lines_of(HOPPER, wants)
    assert same(in_lines(lines), wants)
    assert len({line.title for line in lines}) == len(lines)
    for line in lines:
        assert len({want.weight for want in (*line.wants, *line.mates)}) == 1


def test_a_pair_that_is_wanted_unlike_has_a_line_for_each_half():
    wants = [
        want.replace(amount=want.amount + 2)
        if (want.surface, want.command) == ("left aileron", "roll")
        else want
        for want in usual_wants(HOPPER)
    ]
    titles = [line.title for line in lines_of(HOPPER, wants)]
    assert {"right aileron, roll", "left aileron, roll"} <= set(titles)
    assert "ailerons, camber" in titles


def test_what_is_typed_goes_to_both_halves_and_the_rest_stays_exactly():
    form = wishes(hopper_ready())
    before = {(want.surface, want.command, want.side): want for want in form.value}
    form.entry("ailerons, roll", "stick right").value = "-1,1 cm"
    after = {(want.surface, want.command, want.side): want for want in form.value}
    moved = {place for place in after if after[place] != before[place]}
    assert moved == {("right aileron", "roll", "above"), ("left aileron", "roll", "below")}
    assert {after[place].amount for place in moved} == {-11.0}


def test_a_wish_in_degrees_that_nobody_touches_stays_in_degrees():
    (want,) = (Want(surface="elevator", command="pitch", amount=-14.0, unit="deg"),)
    assert Wishes(HOPPER, lines_of(HOPPER, [want])).value == (want,)


def test_a_weight_that_nobody_touches_stays_exactly():
    want = Want(surface="elevator", command="pitch", amount=-8.0, weight=0.125)
    form = Wishes(HOPPER, lines_of(HOPPER, [want]))
    assert form.value == (want,)
    form.entry("elevator, pitch", "weight").value = "0,25"
    assert form.value == (want.replace(weight=0.25),)


def test_half_of_a_way_has_a_field_only_where_it_is_wanted():
    straight = Want(surface="elevator", command="camber", amount=2.0)
    form = Wishes(HOPPER, lines_of(HOPPER, [straight.replace(half=1.6)]))
    form.entry("elevator, camber", "droop, half way").value = "1.4"
    assert form.value == (straight.replace(half=1.4),)
    with pytest.raises(KeyError):
        Wishes(HOPPER, lines_of(HOPPER, [straight])).entry("elevator, camber", "droop, half way")


def test_a_wish_taken_away_weighs_nothing_and_comes_back_as_it_was_typed():
    form = wishes(hopper_ready())
    form.entry("ailerons, camber", "droop").value = "9"
    form.take_away("ailerons, camber")
    assert "ailerons, camber" in form.offered
    assert {want.weight for want in form.value if want.command == "camber"} == {0.0}
    form.add("ailerons, camber")
    amounts = {want.amount for want in form.value if (want.command, want.side) == ("camber", "above")}
    assert amounts == {9.0}
    assert all(want.weight > 0 for want in form.value if want.surface.endswith("aileron"))


def test_what_the_trade_wishes_besides_can_be_added():
    setup = four_surface_setup()
    form = wishes(setup)
    assert "rudder, roll" in form.offered
    assert not [
        want for want in form.value if (want.surface, want.command) == ("rudder", "roll") and want.weight
    ]
    form.add("rudder, roll")
    helped = [want for want in form.value if (want.surface, want.command) == ("rudder", "roll")]
    assert len(helped) == 2
    assert all(want.weight > 0 for want in helped)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "Nothing is typed"),
        ("1,234", "can be 1234 or 1.234"),
        ("200", "−150 to 150 mm"),
        ("12 kg", "in kg"),
    ],
)
def test_what_is_not_accepted_stays_and_is_named(typed, said):
    form = wishes(hopper_ready())
    field = form.entry("elevator, pitch", "stick back")
    field.value = typed
    assert field.value == typed
    assert "Elevator, pitch, stick back" in form.faults[0]
    assert said in form.faults[0]
    with pytest.raises(ValueError, match="stick back"):
        _ = form.value
    form.take_away("elevator, pitch")
    assert form.faults == ()
    assert {want.weight for want in form.value if want.command == "pitch"} == {0.0}
    form.add("elevator, pitch")
    assert field.value == typed


def test_following_the_shelf_keeps_what_the_reader_has_changed():
    """A phase kept elsewhere moves the lines that nobody touched, and only these."""
    before = plain_setup(HOPPER, shipped("radio", "simple_six"), "plain")
    form = wishes(before)
    form.entry("elevator, pitch", "stick back").value = "−9.5"
    form.take_away("rudder, yaw")
    newer = [want.replace(amount=want.amount + 1.0) for want in usual_wants(HOPPER)]
    form.follow(lines_of(HOPPER, newer))
    amounts = {(w.surface, w.command, w.side): (w.amount, w.weight) for w in form.value}
    assert amounts["elevator", "pitch", "above"][0] == -9.5
    assert amounts["rudder", "yaw", "above"][1] == 0.0
    droop = next(want for want in newer if (want.command, want.side) == ("camber", "above"))
    assert amounts[droop.surface, "camber", "above"][0] == droop.amount


def test_the_elevator_that_is_added_suits_the_brake_as_it_is_typed():
    """A smaller crow takes less elevator; half way out takes more than half of it, as lesson 07 shows."""
    amounts = {}
    for flaps_mm in ("50", "20"):
        form = wishes(four_surface_setup())
        form.entry("flaps, brake", "out").value = flaps_mm
        form.add("elevator, brake")
        (want,) = (w for w in form.value if (w.surface, w.command) == ("elevator", "brake"))
        amounts[flaps_mm] = want.amount
        assert want.half is None or abs(want.half) > abs(want.amount) / 2
    assert 0 < amounts["20"] < amounts["50"]
