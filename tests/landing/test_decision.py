"""The decision: where halving ends, what is said, and that more wind, brake and strip work their own way."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from odd_setups import short

from mixlib.air.landing import decide, decision, landings
from mixlib.describe import LandingField, Mark
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup
from mixlib.say.landing import amount_words, decision_table, decision_words

GLIDERS = {"camber": flaperon_setup(), "brake": four_surface_setup()}
LONG = LandingField(length_m=120, obstacle_m=6)


def touchdown(setup, command, lever, wind):
    return landings(setup, {"x": {command: lever}}, wind)["x"].path.touchdown_m


@pytest.mark.parametrize("command", GLIDERS)
@pytest.mark.parametrize("wind", [0.0, 3.0, 6.0])
def test_no_tenth_of_the_lever_comes_nearer_to_the_aiming_point(command, wind):
    """Against trying them all."""
    setup = GLIDERS[command]
    found = decide(setup, command, wind)
    misses = [abs(touchdown(setup, command, step / 10, wind) - setup.field.aim_m) for step in range(11)]
    assert found.lever == pytest.approx(np.argmin(misses) / 10)
    assert abs(found.flown.path.touchdown_m - setup.field.aim_m) == pytest.approx(min(misses), abs=0.05)


def test_more_wind_takes_less_and_a_mark_is_the_end():
    setup = GLIDERS["brake"]
    shares = [decide(setup, "brake", wind).share for wind in (0, 3, 6)]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] > shares[-1]
    marked = setup.replace(marks=(Mark(command="brake", percent=60),))
    found = decide(marked, "brake", 0)
    assert (found.lever, found.end, found.share) == pytest.approx((0.6, 0.6, 1.0))


def test_too_long_says_from_which_wind_it_fits():
    setup = GLIDERS["camber"]
    found = decide(setup, "camber")
    assert not found.stops
    wind = found.fits_from_m_s
    stops = [landings(setup, {"x": {"camber": 1.0}}, blow)["x"].path.stop_m for blow in (wind - 1, wind)]
    assert stops[0] > setup.field.length_m >= stops[1]
    said = decision_words(found)["Plan"]
    assert "too long" in said
    assert f"from about {wind} m/s on" in said


def test_what_is_said_when_high_and_low_is_what_the_lever_does():
    setup = GLIDERS["brake"]
    found = decide(setup, "brake", 6.0)
    assert found.room_both_ways
    assert found.all_stop
    places = [touchdown(setup, "brake", found.lever + way, 6.0) for way in (-0.1, 0.0, 0.1)]
    assert (found.further_m, found.nearer_m) == pytest.approx(
        (places[0] - places[1], places[1] - places[2]), abs=0.05
    )
    said = decision_words(found)
    assert f"takes off {found.nearer_m:.0f} m" in said["High"]
    assert f"gives {found.further_m:.0f} m" in said["Low"]
    speed = float(found.flown.performance.approach.speed_m_s)
    assert f"never slower than {speed:.1f} m/s" in said["Low"]
    assert amount_words(found) == "half of the brake"


def test_nothing_is_needed_where_the_clean_wing_lands_short_enough():
    setup = GLIDERS["camber"].replace(field=LONG)
    found = decide(setup, "camber", 6.0)
    assert found.lever == 0
    assert found.stops
    said = decision_words(found)
    assert said["Plan"].startswith("No droop")
    assert "no droop to take away" in said["Low"]


def test_a_lever_that_moves_nothing_has_no_end():
    found = decide(elevon_setup(), "brake")
    assert (found.end, found.share) == (0, 0)
    assert amount_words(found) == "the clean wing"
    assert decision_words(found)["High"].startswith("Brake does not make it shorter here.")


def test_droop_that_only_floats_is_not_recommended():
    """Three degrees on a glider with flaps: a better glide, and so a longer landing."""
    setup = four_surface_setup()
    assert touchdown(setup, "camber", 1, 0.0) > touchdown(setup, "camber", 0, 0.0)
    found = decide(setup, "camber")
    assert (found.lever, found.end) == (0, 0)
    said = decision_words(found)
    assert "even the clean wing is too long" in said["Plan"]
    assert said["High"].startswith("Droop does not make it shorter here.")


def test_places_that_cannot_be_flown_are_left_out_and_told():
    """A wing of aspect ratio 5 drops its droop's last tenths; where a place between does not fly either, the
    nearest that does is taken."""
    setup = short()
    found = decide(setup, "camber", 6.0)
    assert 0 < found.end < found.used == 1
    landings(setup, {"x": {"camber": found.end}}, 6.0)
    with pytest.raises(ValueError, match="take less of it"):
        landings(setup, {"x": {"camber": found.end + 0.1}}, 6.0)
    assert f"{100 * found.end:.0f} %, the most that can be flown" in decision_words(found)["High"]
    touchdowns = {step: 60.0 - 4 * step for step in (0, 1, 3, 6, 7, 10)}

    def at(step):
        if step not in touchdowns:
            raise ValueError("no approach")
        return SimpleNamespace(path=SimpleNamespace(touchdown_m=touchdowns[step]))

    for aim_m in np.arange(15.0, 65.0):
        best = min(abs(place - aim_m) for place in touchdowns.values())
        assert abs(touchdowns[decision._nearest(at, 10, aim_m)] - aim_m) == best


def test_the_table_has_a_row_for_each_wind_and_marks_what_is_in_doubt():
    lines = decision_table(GLIDERS["brake"], "brake", (0, 6)).splitlines()
    assert [line.split()[0] for line in lines[1:3]] == ["0", "6"]
    assert "*" in lines[1]
    assert "*" not in lines[2]
    assert lines[3].startswith("* More than half")


def test_the_lessons_recommend_what_is_worked_out():
    """Lessons 06 and 07: half only in 6 m/s, nearly all in 3, all in still air, where droop is too long."""
    droop, brake = (
        [decide(setup, command, wind) for wind in (0, 3, 6)] for command, setup in GLIDERS.items()
    )
    for found in (droop, brake):
        assert [item.room_both_ways for item in found] == [False, False, True]
        assert found[0].share == 1
        assert found[1].share >= 0.9
        assert found[2].share == 0.5
    assert [item.stops for item in (*droop, *brake)] == [False, True, True, True, True, True]


def test_a_firm_landing_is_down_about_a_tenth_sooner():
    """As lesson 07 says."""
    for command, setup in GLIDERS.items():
        for lever in (0.0, 0.5, 1.0):
            firm, normal = (
                landings(setup, {"x": {command: lever}}, flare=flare)["x"].path.touchdown_m
                for flare in ("firm", "normal")
            )
            assert firm / normal == pytest.approx(0.89, abs=0.03)
