"""A throw of its own at half of the way: a curve where the radio has curves, else the best straight line."""

import numpy as np
import pytest

from mixlib.bench.fit import fit, usual_wants
from mixlib.bench.surface.left import left_in_phases
from mixlib.chain import Rig, commands
from mixlib.describe import Want, shipped
from mixlib.describe.demo import four_surface_setup

THREE, RICH = shipped("aircraft", "orchard_three"), shipped("radio", "rich_ten")
ELEVATOR = Want(surface="elevator", command="brake", amount=4.5, half=3.0, weight=0.4)


def over_lever(setup, name="elevator"):
    """Throws at half and at full brake, from the whole chain."""
    rows = Rig(setup).run([commands(brake=0.5), commands(brake=1.0)]).throw
    return rows[:, setup.aircraft.surface_names.index(name)]


@pytest.mark.parametrize("points", [5, 8, 9])
def test_a_curve_meets_half_and_full(points):
    radio = RICH.replace(curve_points=points)
    result = fit(THREE, radio, (*usual_wants(THREE), ELEVATOR))
    half, full = over_lever(result.setup)
    step_mm = 0.25  # of a gain of 1 %, on this elevator
    assert (half, full) == pytest.approx((3.0, 4.5), abs=step_mm)
    row = result.rows[-1]
    assert (row.half_got_mm, row.got_mm) == pytest.approx((half, full))
    assert (row.half_wanted_mm, row.half_miss_mm) == (3.0, pytest.approx(half - 3.0))
    assert result.cannot == ()
    assert result.flown.faults == ()


def test_without_curves_the_line_that_misses_least():
    """The least of the larger miss at half and at full, over every gain that could be typed."""
    result = fit(THREE, RICH.replace(curve_points=0), (*usual_wants(THREE), ELEVATOR))
    setup = result.setup
    (mix,) = (m for m in setup.free_mixes if (m.leader, m.follower) == ("brake", setup.wiring["elevator"]))
    worst = {}
    for gain in np.arange(-60.0, 0.0):
        straight = setup.with_mix(mix.replace(gain_above_percent=float(gain)))
        worst[gain] = abs(over_lever(straight) - (3.0, 4.5)).max()
    assert worst[mix.gain_above_percent] == pytest.approx(min(worst.values()), abs=0.03)
    assert result.rows[-1].worst_mm == pytest.approx(worst[mix.gain_above_percent])
    assert any(
        words.startswith("Elevator, brake out: wanted 3.0 mm at half and 4.5 mm at full, gets 2.5 and 4.9 mm")
        and "straight lines" in words
        for words in result.cannot
    )


def test_with_no_mix_left_the_hand_holds_it():
    """The share of the stick is the one that moves the elevator as far, through the chain."""
    result = fit(THREE, RICH.replace(free_mixes=6), (*usual_wants(THREE), ELEVATOR))
    (words,) = (words for words in result.notes if "hold" in words)
    assert words.startswith("With brake out hold the elevator 4.5 mm down, 50 % of the way to stick forward")
    place = result.setup.aircraft.surface_names.index("elevator")
    assert Rig(result.setup).run(commands(pitch=-0.5)).throw[place] == pytest.approx(4.5, abs=0.1)
    small = fit(THREE, RICH.replace(free_mixes=6), (*usual_wants(THREE), ELEVATOR.replace(amount=2, half=1)))
    assert any("hold or trim the elevator 2.0 mm down" in words for words in small.notes)


def test_a_flap_with_a_half_comes_by_a_mix_and_bends():
    wants = tuple(
        want.replace(half=35.0) if want.command == "brake" and "flap" in want.surface else want
        for want in usual_wants(THREE)
    )
    setup = fit(THREE, RICH, wants).setup
    for name in ("left flap", "right flap"):
        assert over_lever(setup, name) == pytest.approx((35, 54), abs=0.5)
        assert setup.output(setup.wiring[name]).control != "brake"


def test_an_old_curve_keeps_its_shape_where_no_half_is_wanted():
    before = four_surface_setup()
    number = before.wiring["elevator"]
    (mix,) = (m for m in before.free_mixes if (m.leader, m.follower) == ("brake", number))
    curve = (0.0, 0.0, 0.0, 0.0, 0.0, -9.0, -14.0, -17.0, -18.0)
    before = before.with_mix(mix.replace(curve_percent=curve))
    wants = (*usual_wants(THREE), ELEVATOR.replace(half=None))
    setup = fit(before.aircraft, before.radio, wants, keep=before).setup
    (mix,) = (m for m in setup.free_mixes if (m.leader, m.follower) == ("brake", setup.wiring["elevator"]))
    assert np.array(mix.curve_percent) / mix.curve_percent[-1] == pytest.approx(
        np.array(curve) / -18, abs=0.03
    )
    assert over_lever(setup)[1] == pytest.approx(4.5, abs=0.25)


def test_the_reader_is_told_where_less_down_than_up_is_lost():
    """Crow holds the ailerons up near their stop: full roll adds less up there than at neutral."""
    result = fit(THREE, RICH, usual_wants(THREE))
    (words,) = (words for words in result.notes if words.startswith("Rate and differential are the same"))
    rows = {
        row.where: row
        for row in left_in_phases(result.setup)
        if (row.command, row.surface) == ("roll", "right aileron")
    }
    assert rows["neutral"].down_share < 0.9 < 1 < rows["brake out"].down_share
    assert (
        f"{rows['brake out'].up_mm:.1f} up and {rows['brake out'].down_mm:.1f} mm down at brake out" in words
    )


def test_a_quarter_of_its_own_is_met_straight_from_one_place_to_the_next():
    """0, 2, 3, 4.5 mm at 0, 1/4, 1/2, 1: at an eighth 1, at three quarters 3.75; half is half of the end."""
    want = ELEVATOR.replace(quarter=2.0)
    throws = [want.throw_mm(THREE, share) for share in (0.0, 0.125, 0.25, 0.5, 0.75, 1.0)]
    assert throws == pytest.approx([0, 1, 2, 3, 3.75, 4.5])
    alone = want.replace(half=None)
    assert alone.bends
    assert alone.throw_mm(THREE, 0.5) == pytest.approx(2.25)
    assert not ELEVATOR.replace(half=None).bends
