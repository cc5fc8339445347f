"""From rest position to rest position in time, against hand-worked servo times."""

from __future__ import annotations

import numpy as np
import pytest

from mixlib.chain.transition import SLOWEST_S, transition
from mixlib.describe import Linkage, shipped


def parallel(aircraft, name):
    """The aircraft with one linkage whose arm and horn are alike: the surface turns as far as the arm."""
    part = aircraft.surface(name)
    linkage = part.linkage.replace(
        arm_mm=10, horn_mm=10, arm_angle_deg=90, horn_angle_deg=90, distance_mm=100, rod_mm=None
    )
    changed = part.replace(linkage=linkage, servo=part.servo.replace(seconds_per_60deg=0.12))
    return aircraft.replace(
        surfaces=tuple(changed if item.name == name else item for item in aircraft.surfaces)
    )


@pytest.fixture
def glider():
    return parallel(shipped("aircraft", "orchard_two"), "elevator")


def test_a_servo_takes_its_makers_time_for_its_angle(glider):
    """The maker's figure is a time for 60 deg (common practice, no source): 0.12 s/60 deg, 15 deg: 0.03 s."""
    seen = transition(glider, {}, {"elevator": 15.0})
    assert seen.arrives_s[seen.names.index("elevator")] == pytest.approx(0.03, abs=1e-9)
    column = seen.surface_deg[:, seen.names.index("elevator")]
    half = np.interp(0.015, seen.time_s, column)
    assert half == pytest.approx(7.5, abs=1e-6)  # arm and horn alike: even in time
    assert column[0] == pytest.approx(0.0, abs=1e-9)
    assert column[-1] == pytest.approx(15.0, abs=1e-9)


@pytest.mark.parametrize(
    ("over_s", "takes_s"), [(0.0, 0.03), (0.02, 0.03), (0.5, 0.5), (SLOWEST_S, SLOWEST_S)]
)
def test_the_slower_of_radio_and_servo_counts(glider, over_s, takes_s):
    seen = transition(glider, {"elevator": -5.0}, {"elevator": 10.0}, over_s)
    assert seen.arrives_s[seen.names.index("elevator")] == pytest.approx(takes_s)
    others = [place for place, name in enumerate(seen.names) if name != "elevator"]
    assert np.all(seen.arrives_s[others] == 0)
    assert np.allclose(seen.surface_deg[:, others], 0.0, atol=1e-9)


@pytest.mark.parametrize("name", ["orchard_two", "orchard_three", "orchard_vee", "orchard_wing"])
def test_every_surface_goes_one_way_and_arrives(name):
    aircraft = shipped("aircraft", name)
    end = {part.name: 0.6 * part.stop_down_deg for part in aircraft.surfaces}
    start = {part.name: -0.6 * part.stop_up_deg for part in aircraft.surfaces}
    seen = transition(aircraft, start, end)
    assert np.all(np.diff(seen.surface_deg, axis=0) > -1e-9)
    assert np.allclose(seen.surface_deg[0], list(start.values()), atol=1e-6)
    assert np.allclose(seen.surface_deg[-1], list(end.values()), atol=1e-6)
    back = transition(aircraft, end, start)
    assert np.allclose(back.arrives_s, seen.arrives_s)


def test_nothing_to_do_takes_no_time(glider):
    seen = transition(glider, {"elevator": 5.0}, {"elevator": 5.0}, over_s=2.0)
    assert np.all(seen.arrives_s == 0)
    assert np.all(np.diff(seen.time_s) > 0)
    assert seen.time_s[-1] == 0.2  # long enough to be looked at


def test_what_cannot_be_is_told(glider):
    with pytest.raises(ValueError, match=r"over_s is 11; give 0 to 10 s"):
        transition(glider, {}, {}, over_s=11)
    short = glider.surface("elevator").replace(
        linkage=Linkage.model_validate(
            glider.surface("elevator").linkage.model_dump() | {"arm_mm": 4.0, "horn_mm": 16.0}
        )
    )
    weak = glider.replace(
        surfaces=tuple(short if item.name == "elevator" else item for item in glider.surfaces)
    )
    with pytest.raises(ValueError, match=r"the elevator cannot reach 40\.0 deg; it reaches -1\d\.\d to"):
        transition(weak, {}, {"elevator": 40.0})
