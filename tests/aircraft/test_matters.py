"""What a small miss of a number does in the air, against the textbook's first-order changes."""

import pytest

from mixlib.air.aircraft import known_performance
from mixlib.air.aircraft.matters import AIR_NUMBERS, air_matters
from mixlib.describe import flaperon_setup, shipped

AIRCRAFT = flaperon_setup().aircraft


def found(field):
    return air_matters(AIRCRAFT, [field])[0]


def test_drag_of_the_body_takes_glide_and_leaves_stall_and_neutral_point():
    drag = found("body_drag_area_cm2")
    assert drag.stall_m_s < 0.01
    assert drag.neutral_mm == 0
    # At best glide parasite and induced drag are alike, so with more parasite area f the glide falls as
    # sqrt(1 / CD0) (J. D. Anderson, Aircraft Performance and Design, eq. 5.30): d(L/D) = L/D df / (2 S CD0).
    # CD0 of this wing at its best glide is half of its drag.
    best = known_performance(AIRCRAFT).best_glide
    half = float(best.lift) / float(best.glide_ratio) / 2
    expected = float(best.glide_ratio) * 5e-4 / (2 * AIRCRAFT.wing.area_dm2 / 100 * half)
    assert drag.glide == pytest.approx(expected, rel=0.35)


def test_a_longer_tail_moves_the_neutral_point_and_not_the_stall():
    tail = found("tail.arm_mm")
    assert tail.stall_m_s < 0.02
    assert 0.3 < tail.neutral_mm < 2.0
    assert tail.neutral_mm / 10 < 1


def test_the_most_telling_comes_first_and_what_is_not_there_is_left_out():
    all_ = air_matters(AIRCRAFT, AIR_NUMBERS)
    assert all_[0].field in ("body_drag_area_cm2", "wing.stations.0.thickness_mm")
    assert [one.weight for one in all_] == sorted((one.weight for one in all_), reverse=True)
    tailless = shipped("aircraft", "orchard_wing")
    assert not [one for one in air_matters(tailless, AIR_NUMBERS) if one.field.startswith("tail")]
