"""Rolls and adverse yaw: signs, symmetry, closed forms and the roll criterion."""

import numpy as np
import pytest

from mixlib.air.aircraft import Airframe, balance, handling, performance, trimmed_at
from mixlib.describe import shipped

TWO = Airframe.from_aircraft(shipped("aircraft", "orchard_two"))
THREE = Airframe.from_aircraft(shipped("aircraft", "orchard_three"))
VEE = Airframe.from_aircraft(shipped("aircraft", "orchard_vee"))
TAILLESS = Airframe.from_aircraft(shipped("aircraft", "orchard_wing"))


def test_a_club_glider_meets_the_roll_criterion():
    """pb/2V of 0.07 and more; Gilruth, Turner, NACA TR 715 (0.07 from memory).  15 deg of aileron reach it
    with room to spare, but not out of this world."""
    assert 0.07 < handling.roll(TWO, handling.roll_to_right(TWO, 15, 15), 10.0).helix < 0.16


@pytest.mark.parametrize("airframe", [TWO, THREE, VEE, TAILLESS], ids=lambda item: item.aircraft.name)
def test_right_stick_rolls_right_and_mirrors(airframe):
    right = handling.roll(airframe, handling.roll_to_right(airframe, 10, 6), 10.0)
    left_movement = {}
    for name, angle in handling.roll_to_right(airframe, 10, 6).items():
        partner = name.replace("right", "RIGHT").replace("left", "right").replace("RIGHT", "left")
        left_movement[partner] = angle
    left = handling.roll(airframe, left_movement, 10.0)
    assert right.helix > 0
    assert right.converged
    assert left.helix == pytest.approx(-float(right.helix), rel=1e-3)
    assert left.yaw == pytest.approx(-float(right.yaw), rel=1e-2, abs=1e-5)


def test_a_roll_ends_where_the_first_surface_meets_its_stop():
    """The ailerons' stops are at 35 deg: from 30 deg of reflex 5 are left up, and 65 down."""
    at = {"left aileron": -30.0, "right aileron": -30.0}
    assert {TWO.aircraft.surface(name).stop_up_deg for name in at} == {35.0}
    assert handling.roll_room_deg(TWO, at) == (5.0, 65.0)
    assert handling.roll_room_deg(TWO, at | {"right aileron": -10.0}) == (25.0, 65.0)
    assert handling.roll_room_deg(TWO, dict.fromkeys(at, 40.0)) == (75.0, 0.0)
    assert handling.roll_room_deg(TAILLESS, {}) == (35.0, 35.0)


def test_no_movement_no_roll():
    still = handling.roll(THREE, {}, 10.0)
    assert abs(still.helix) < 1e-9
    assert abs(still.yaw) < 1e-9


def test_even_ailerons_yaw_the_wrong_way_most_when_slow():
    even = handling.roll_to_right(TWO, 12, 12)
    slow, fast = (handling.roll(TWO, even, speed) for speed in (7.5, 13.0))
    assert slow.yaw < fast.yaw < 0
    assert slow.nose_swing_deg < fast.nose_swing_deg < 0


def test_yaw_is_not_less_than_what_the_tilted_lift_gives():
    """Cn = -CL (pb/2V)/8 of the tilted lift alone, elliptic load; what the ailerons add comes on top."""
    turning = handling.roll(TWO, handling.roll_to_right(TWO, 12, 12), 9.0)
    lift = float(trimmed_at(TWO, {}, 9.0).lift)
    assert turning.yaw < 0.8 * -lift * float(turning.helix) / 8


def test_droop_makes_adverse_yaw_worse_and_differential_better():
    even, less_down = handling.roll_to_right(TWO, 15, 15), handling.roll_to_right(TWO, 15, 6)
    droop = {"left aileron": 6.0, "right aileron": 6.0}
    plain, drooped = handling.roll(TWO, even, 9.0), handling.roll(TWO, even, 9.0, droop)
    assert drooped.yaw < plain.yaw
    assert handling.roll(TWO, less_down, 9.0).yaw > plain.yaw
    assert handling.roll(TWO, less_down, 9.0).helix < plain.helix


def test_differential_can_cancel_the_yaw_when_fast_and_not_when_slow():
    """With less down the yaw falls and turns its sign; near the stall not even the lone up-going one does."""
    movement = handling.roll_to_right(TWO, 15.0, 15.0 * (1 - np.array([0.0, 0.3, 0.95, 1.0])))
    fast, slow = (handling.roll(TWO, movement, speed).yaw for speed in (12.0, 7.0))
    assert np.all(np.diff(fast) > 0)
    assert fast[1] < 0 < fast[2]
    assert slow[-1] < 0


def test_flaps_can_help_to_roll():
    alone = handling.roll_to_right(THREE, 15, 15)
    together = handling.roll_to_right(THREE, 15, 15, ("aileron", "flap"))
    assert set(together) == {"left aileron", "right aileron", "left flap", "right flap"}
    assert handling.roll(THREE, together, 10.0).helix > 1.2 * handling.roll(THREE, alone, 10.0).helix


def test_tailless_has_no_fin_to_hold_the_nose():
    assert np.isnan(handling.roll(TAILLESS, handling.roll_to_right(TAILLESS, 10, 10), 10.0).nose_swing_deg)


def test_an_unknown_surface_is_told():
    with pytest.raises(ValueError, match="no surface is called 'aileron'"):
        handling.roll(TWO, {"aileron": 5}, 10.0)


def leaning(airframe, dihedral_deg):
    wing = airframe.aircraft.wing
    stations = [station.replace(dihedral_deg=dihedral_deg) for station in wing.stations[:-1]]
    return Airframe.from_aircraft(
        airframe.aircraft.replace(wing=wing.replace(stations=(*stations, wing.stations[-1])))
    )


def test_with_dihedral_the_wing_rolls_to_where_the_rudder_points_the_nose():
    """A glider without ailerons is flown so. Twice the dihedral, twice the roll; hanging tips roll back."""
    swings = np.array([-10.0, 0.0, 5.0, 10.0])
    helix = handling.roll(leaning(TWO, 5.0), {}, 10.0, nose_deg=swings).helix
    assert helix[1] == pytest.approx(0.0, abs=1e-9)
    assert helix[3] > 0.02
    assert helix[[0, 2]] == pytest.approx([-helix[3], helix[3] / 2], rel=0.02)
    doubled, hanging = (
        handling.roll(leaning(TWO, angle), {}, 10.0, nose_deg=10.0).helix for angle in (10, -5)
    )
    assert [doubled, hanging] == pytest.approx([2 * helix[3], -helix[3]], rel=0.05)
    assert handling.roll(TWO, {}, 10.0, nose_deg=10.0).helix == pytest.approx(0.0, abs=1e-9)


def test_dihedral_leaves_pitch_and_ailerons_nearly_as_they_are():
    flat, up = TWO, leaning(TWO, 5.0)
    right = handling.roll_to_right(TWO, 15, 15)
    assert handling.roll(up, right, 10.0).helix == pytest.approx(
        handling.roll(flat, right, 10.0).helix, rel=0.01
    )
    speeds = [performance(frame).stall.speed_m_s for frame in (flat, up)]
    assert 1.0 < speeds[1] / speeds[0] < 1.005  # less lift points up
    assert balance(up).neutral_mm == pytest.approx(balance(flat).neutral_mm, abs=1.5)
