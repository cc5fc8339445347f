"""Wishes that can be added: what fits, the right way round, with the elevator worked out by the air model."""

from functools import partial

import numpy as np
import pytest

from mixlib.air.aircraft import elevator_over_lever, phase_at
from mixlib.bench.fit import addable, usual_wants
from mixlib.describe import Want, shipped, shipped_names
from mixlib.describe.demo import four_surface_setup
from mixlib.units import throw_mm_from_angle

ALWAYS_IN_AIR = partial(elevator_over_lever, four_surface_setup().aircraft)


def extras(setup, elevator=None):
    return {extra.name: extra for extra in addable(setup, elevator)}


def amounts(extra):
    return {(want.surface, want.side): want.amount for want in extra.wants}


@pytest.fixture(scope="module")
def crow():
    return four_surface_setup()


def test_only_what_fits_aircraft_and_radio_is_offered(crow):
    assert set(extras(crow)) == {
        "rudder with roll",
        "a little flap with pitch",
        "elevator with droop",
        "elevator with reflex",
        "elevator with brake",
    }
    bare = crow.replace(radio=shipped("radio", "bare_four"), free_mixes=(), outputs=(), wiring={
        name: 1 + place % 4 for place, name in enumerate(crow.aircraft.surface_names)
    }, shaping={}, marks=(), phases=())  # fmt: skip
    assert set(extras(bare)) == {"rudder with roll", "a little flap with pitch"}


@pytest.mark.parametrize("name", shipped_names("aircraft"))
def test_what_is_offered_is_not_wanted_and_then_no_more(name, crow):
    aircraft, radio = shipped("aircraft", name), shipped("radio", "rich_ten")
    names = (*aircraft.surface_names, *(("motor",) if aircraft.motor else ()))
    setup = type(crow)(
        name="own", aircraft=aircraft, radio=radio, wiring={part: 1 + k for k, part in enumerate(names)}
    )
    wants = usual_wants(aircraft)
    while found := addable(setup.replace(wanted=wants)):
        asked = {(want.surface, want.command, want.side) for want in wants}
        assert not asked & {(want.surface, want.command, want.side) for want in found[0].wants}
        wants += found[0].wants


def test_a_wish_taken_away_can_be_added_again(crow):
    usual = usual_wants(crow.aircraft)
    ours = [want for want in usual if "flap" in want.surface and want.command == "roll"]
    without = tuple(want for want in usual if want not in ours)
    left_out = tuple(want.replace(weight=0) if want in ours else want for want in usual)
    for wants in (without, left_out):
        assert amounts(extras(crow.replace(wanted=wants))["flaps with roll"]) == {
            (want.surface, want.side): want.amount for want in ours
        }


def test_directions(crow):
    """Stick right: rudder right.  Stick back: flaps a little down.  Common practice, no source."""
    rudder = amounts(extras(crow)["rudder with roll"])
    assert rudder["rudder", "above"] < 0 < rudder["rudder", "below"]
    flaps = amounts(extras(crow)["a little flap with pitch"])
    assert flaps["right flap", "above"] == flaps["left flap", "above"] > 0


def test_the_elevator_is_that_of_lesson_seven(crow):
    """What `phase_at` gives the phase at the same angles is what is wished, to half a millimetre."""
    brake = extras(crow, ALWAYS_IN_AIR)["elevator with brake"]
    (want,) = brake.wants
    assert brake.source == "worked out for this aircraft"
    usual = {(w.surface, w.command, w.side): w for w in usual_wants(crow.aircraft)}
    angles = {
        part.name: usual[part.name, "brake", "above"].angle_deg(crow.aircraft)
        for part in crow.aircraft.of_kind("aileron", "flap")
    }
    (deg,) = elevator_over_lever(crow.aircraft, "landing", [angles])
    chord = crow.aircraft.surface("elevator").chord_mm
    assert want.amount == pytest.approx(throw_mm_from_angle(deg, chord), abs=0.25)
    full = phase_at(crow, "landing", brake=1.0)
    (own,) = elevator_over_lever(crow.aircraft, "landing", [
        {name: angle for name, angle in full.angles_deg.items() if name != "elevator"}
    ])  # fmt: skip
    assert full.angles_deg["elevator"] == pytest.approx(own, abs=0.1)
    assert want.half > want.amount / 2  # the first of the flap wants most of the elevator


def test_the_elevator_is_asked_for_the_phase_of_each_lever_end_at_half_and_at_full(crow):
    asked = {}

    def elevator(phase, places):
        asked[phase] = [round(place["right flap"], 1) for place in places]
        return [1.0 for _ in places]

    extras(crow, elevator)
    chord = crow.aircraft.surface("right flap").chord_mm
    usual = {(w.command, w.side): w for w in usual_wants(crow.aircraft) if w.surface == "right flap"}
    ends = {"thermal": ("camber", "above"), "speed": ("camber", "below"), "landing": ("brake", "above")}
    assert set(asked) == set(ends)
    for phase, end in ends.items():
        mm = usual[end].amount
        wanted = [2 * np.degrees(np.arcsin(share * mm / (2 * chord))) for share in (0.5, 1.0)]
        assert asked[phase] == pytest.approx(wanted, abs=0.06)


def test_an_aircraft_that_cannot_be_flown_gets_usual_amounts_marked_as_such(crow):
    def grounded(phase, places):
        raise ValueError("the weight is missing")

    brake = extras(crow, grounded)["elevator with brake"]
    assert brake.source.startswith("usual amounts")
    assert brake.wants[0].half is None


def test_no_elevator_for_what_the_wing_does_not_do(crow):
    roll = tuple(want for want in usual_wants(crow.aircraft) if want.command != "camber")
    assert "elevator with droop" not in extras(crow.replace(wanted=roll))


def test_a_throw_over_the_way():
    """With half: 0 at 0, the half at half, the amount at full, a parabola; without it straight."""
    aircraft = four_surface_setup().aircraft
    want = Want(surface="elevator", command="brake", amount=4.0, half=3.0)
    assert [want.throw_mm(aircraft, share) for share in (0, 0.5, 1)] == pytest.approx([0, 3, 4])
    assert want.throw_mm(aircraft, 0.25) == pytest.approx(1.75)  # 8 s - 4 s^2
    straight = want.replace(half=None)
    assert [straight.throw_mm(aircraft, share) for share in (0.25, 0.5, 1)] == pytest.approx([1, 2, 4])
    with pytest.raises(ValueError, match="wanted of the elevator is 200"):
        want.replace(half=200.0).throw_mm(aircraft)
