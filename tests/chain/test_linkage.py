"""Pushrod geometry against closed cases and against the rod's length solved by a general root finder."""

import numpy as np
import pytest
from description_strategies import linkages, numbers
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

from mixlib.chain.linkage import (
    Geometry,
    LinkageError,
    arm_for_surface_deg,
    arm_range_deg,
    rod_length_mm,
    surface_angle_deg,
)
from mixlib.describe import Linkage


def linkage(arm, horn, distance, arm_side="below", horn_side="below", **more):
    return Linkage(
        arm_mm=arm, horn_mm=horn, distance_mm=distance, arm_side=arm_side, horn_side=horn_side, **more
    )


def solved(part, arm_deg):
    """Surface angle from the rod's length alone: put both holes in the plane and let scipy find the horn
    for which they are one rod apart, going from neutral in small steps so as to stay in the same closure."""
    above = {"above": 1, "below": -1}
    rod = rod_length_mm(part)

    def hole(length, angle, side, x):
        radians = np.radians(angle)
        return np.array([x + length * np.cos(radians), above[side] * length * np.sin(radians)])

    def miss(turn, arm):
        start = hole(part.arm_mm, part.arm_angle_deg + arm, part.arm_side, 0)
        end = hole(part.horn_mm, part.horn_angle_deg + turn, part.horn_side, part.distance_mm)
        return np.linalg.norm(end - start) - rod

    turn = 0.0
    for arm in np.linspace(0, arm_deg, 2 + int(abs(arm_deg))):
        turn = brentq(miss, turn - 4, turn + 4, args=(arm,), xtol=1e-12)
    return turn if part.horn_side == "below" else -turn


@pytest.mark.parametrize("arm", [-40, -20, 0, 20, 40])
def test_parallelogram_passes_the_angle_on(arm):
    """Opposite sides equal: the horn stays parallel to the arm (Euclid, Elements I.33-34)."""
    part = linkage(12, 12, 100)
    assert rod_length_mm(part) == pytest.approx(100)
    assert surface_angle_deg(part, arm) == pytest.approx(arm, abs=1e-9)


TABLE = [
    # horn = atan2(P - O) - acos((b^2 + d^2 - L^2)/(2 b d)), the circle-circle intersection of any geometry
    # text; the servo's angle grows away from the hinge, both arms on the same side
    *[((10, 20, 100, 90, None, 100.4987562112), *row)
      for row in [(-45, -20.138207), (-30, -14.255609), (-15, -7.384510), (0, 0),
                  (15, 7.485104), (30, 14.687679), (45, 21.225500)]],
    *[((10, 15, 100, 110, None, 103.571871183), *row)
      for row in [(-40, -27.465213), (-20, -13.375485), (0, 0), (20, 11.903578), (40, 21.415992)]],
]  # fmt: skip


@pytest.mark.parametrize("measures, arm, horn", TABLE)
def test_closed_cases(measures, arm, horn):
    a, b, d, neutral, rod, length = measures
    part = linkage(a, b, d, arm_angle_deg=neutral, rod_mm=rod)
    assert rod_length_mm(part) == pytest.approx(length, abs=1e-8)
    assert surface_angle_deg(part, arm) == pytest.approx(horn, abs=1e-3)


@pytest.mark.parametrize("arm", [-45, -15, 15, 45])
@pytest.mark.parametrize(
    "sides", [("below", "below"), ("above", "above"), ("below", "above"), ("above", "below")]
)
@pytest.mark.parametrize("angles", [(90, 90), (110, 90), (90, 75), (105, 100)])
def test_against_a_root_finder(sides, angles, arm):
    """scipy.optimize.brentq on the distance of the two holes."""
    part = linkage(10, 16, 70, *sides, arm_angle_deg=angles[0], horn_angle_deg=angles[1])
    assert surface_angle_deg(part, arm) == pytest.approx(solved(part, arm), abs=1e-6)


def test_rod_that_is_too_long_shifts_neutral():
    """A rod 1 mm longer than fits pushes a horn that stands 20 mm high by about 1/20 rad; exact by brentq."""
    part = linkage(10, 20, 100)
    longer = part.replace(rod_mm=rod_length_mm(part) + 1)
    assert surface_angle_deg(longer, 0) == pytest.approx(-np.degrees(1 / 20), abs=0.2)
    reach = np.array([100.0, -10.0])  # from the arm's hole to the hinge

    def miss(turn):
        horn = 20 * np.array([np.cos(np.radians(90 + turn)), np.sin(np.radians(90 + turn))])
        return np.linalg.norm(reach + horn) - longer.rod_mm

    assert surface_angle_deg(longer, 0) == pytest.approx(brentq(miss, -20, 5), abs=1e-6)


@pytest.mark.parametrize(
    "arm_side, horn_side, way",
    [
        ("below", "below", "down"),
        ("above", "above", "up"),
        ("below", "above", "up"),
        ("above", "below", "down"),
    ],
)
def test_which_way_an_arm_going_forward_moves_the_surface(arm_side, horn_side, way):
    """One sign at a time: the rod is pulled forward, and a horn pulled forward takes the trailing edge to the
    horn's own side (lever about the hinge)."""
    assert (
        np.sign(surface_angle_deg(linkage(10, 16, 200, arm_side, horn_side), 10))
        == {"down": 1, "up": -1}[way]
    )


def test_rudder_horn_on_the_left_pulled_forward_goes_left():
    assert surface_angle_deg(linkage(10, 16, 300, "left", "left"), 10) > 0
    assert surface_angle_deg(linkage(10, 16, 300, "right", "right"), 10) < 0


@given(linkages(), numbers(-30, 30))
def test_mirrored_linkage_gives_the_mirrored_angle(part, arm):
    """Upside down, the same linkage does the same to the other side."""
    other = {"above": "below", "below": "above"}
    mirror = part.replace(arm_side=other[part.arm_side], horn_side=other[part.horn_side])
    low, high = arm_range_deg(part)
    arm = float(np.clip(arm, low, high))
    assert surface_angle_deg(mirror, arm) == pytest.approx(-surface_angle_deg(part, arm), abs=1e-9)


@given(linkages(), st.floats(0, 1))
def test_arm_for_surface_is_the_inverse(part, share):
    """Within the working range, 1 % of it kept away from the dead points, where the inverse has no slope."""
    low, high = arm_range_deg(part)
    arm = low + (0.01 + 0.98 * share) * (high - low)
    assert arm_for_surface_deg(part, surface_angle_deg(part, arm)) == pytest.approx(arm, abs=1e-4)


def test_arm_for_surface_is_known_right_up_to_the_dead_points():
    part = linkage(5, 6, 27, "above", "above").replace(arm_angle_deg=65, horn_angle_deg=65)
    ends = arm_range_deg(part)
    assert arm_for_surface_deg(part, surface_angle_deg(part, ends)) == pytest.approx(ends, abs=1e-3)


@given(linkages())
def test_surface_turns_one_way_only_inside_the_working_range(part):
    angles = surface_angle_deg(part, np.linspace(*arm_range_deg(part), 60))
    steps = np.diff(angles)
    assert np.all(steps > -1e-9) or np.all(steps < 1e-9)


@given(linkages(), numbers(-25, 25))
def test_rod_keeps_its_length(part, arm):
    """The one physical constraint, checked in the plane for every angle."""
    low, high = arm_range_deg(part)
    assume(low <= arm <= high)
    turn = surface_angle_deg(part, arm) * (1 if part.horn_side == "below" else -1)
    flip = -1 if part.crossed else 1
    arm_angle, horn_angle = np.radians(part.arm_angle_deg + arm), np.radians(part.horn_angle_deg + turn)
    start = part.arm_mm * np.array([np.cos(arm_angle), np.sin(arm_angle)])
    end = np.array([part.distance_mm, 0]) + part.horn_mm * np.array(
        [np.cos(horn_angle), flip * np.sin(horn_angle)]
    )
    assert np.linalg.norm(end - start) == pytest.approx(rod_length_mm(part), abs=1e-6)


def test_angle_out_of_reach_is_not_a_number():
    part = linkage(10, 20, 100)
    reached = arm_for_surface_deg(part, np.array([0.0, 20.0, 85.0]))
    assert np.isfinite(reached[:2]).all()
    assert np.isnan(reached[2])


def test_dead_points_of_a_parallelogram():
    """A parallelogram folds flat when the arm points along the line of the pivots: 90 degrees either way."""
    low, high = arm_range_deg(linkage(12, 12, 100))
    assert low == pytest.approx(-90, abs=1e-3)
    assert high == pytest.approx(90, abs=1e-3)


def test_dead_point_where_the_rod_is_in_line_with_the_horn():
    """Arm 20, horn 10, distance 100, rod from (0, 20) to (100, 10): it locks where the arm's hole is
    rod + horn from the hinge, or rod - horn.  Law of cosines:
    20^2 + 100^2 - 2 x 20 x 100 cos(arm) = (rod +- horn)^2."""
    part = linkage(20, 10, 100)
    rod = np.hypot(100, 10)
    locks = [np.degrees(np.arccos((20**2 + 100**2 - reach**2) / 4000)) - 90 for reach in (rod - 10, rod + 10)]
    assert arm_range_deg(part) == pytest.approx(tuple(locks), abs=1e-4)


def test_linkage_that_cannot_close_is_refused_in_words():
    """Rod 125, arm 10, horn 20, distance 100, arm at 30 degrees: the arm's hole is 91.5 mm from the hinge and
    the rod needs 105 mm at least (triangle inequality)."""
    part = linkage(10, 20, 100, arm_angle_deg=30, rod_mm=125)
    reach = np.hypot(100 - 10 * np.cos(np.pi / 6), 10 * np.sin(np.pi / 6))
    told = f"cannot close with the arm at 30 deg.*{reach:.1f} mm.*105.0 to 145.0 mm"
    with pytest.raises(LinkageError, match=told):
        surface_angle_deg(part, 0)
    with pytest.raises(LinkageError, match="cannot close"):
        arm_for_surface_deg(part, 0)


@pytest.mark.parametrize("arm, way", [(120, "forward"), (-120, "back")])
def test_arm_past_a_dead_point_is_refused_with_its_angle(arm, way):
    with pytest.raises(LinkageError, match=rf"locks when the arm has gone 90\.0 deg {way}.*120\.0 deg"):
        surface_angle_deg(linkage(12, 12, 100), [0, arm])


def test_arm_as_long_as_the_distance_gives_no_warning():
    """At -90 degrees the arm's hole would lie on the hinge line, where no angle exists."""
    low, high = arm_range_deg(linkage(20, 20, 20))
    assert low < 0 < high


@given(st.lists(linkages(), min_size=1, max_size=4), st.lists(st.floats(0, 1), min_size=1, max_size=6))
def test_many_linkages_at_once_are_each_one_alone(parts, shares):
    low, high = np.array([arm_range_deg(part) for part in parts]).T
    arms = np.clip(low + np.array(shares)[:, np.newaxis] * (high - low), low, high)  # rounding apart
    together = Geometry.of(parts).surface_deg(arms)
    for column, part in enumerate(parts):
        assert np.allclose(together[:, column], surface_angle_deg(part, arms[:, column]), atol=1e-9)


@given(linkages(), st.sampled_from([(), (1,), (3,), (2, 3), (2, 1, 4), (0,)]))
def test_any_shape_of_arm_angles(part, shape):
    low, high = arm_range_deg(part)
    arms = np.linspace(0.9 * low, 0.9 * high, int(np.prod(shape))).reshape(shape)
    angles = surface_angle_deg(part, arms)
    assert np.shape(angles) == shape
    for place in np.ndindex(shape):
        assert angles[place] == pytest.approx(float(surface_angle_deg(part, float(arms[place]))), abs=1e-10)


def test_a_linkage_drawn_past_its_dead_point_is_refused_with_the_reason():
    """Arm leaning back at 30 deg, horn forward at 150: the horn's triangle closes on the other side only."""
    link = Linkage(arm_mm=25, horn_mm=10, distance_mm=30, arm_angle_deg=30, horn_angle_deg=150)
    with pytest.raises(
        LinkageError, match=r"drawn past its dead point: with the arm at 30 deg and the horn at 150"
    ):
        arm_range_deg(link)


def test_a_linkage_that_leans_but_works_is_not_refused():
    link = Linkage(arm_mm=10, horn_mm=14, distance_mm=70, arm_angle_deg=60, horn_angle_deg=120)
    low, high = arm_range_deg(link)
    assert low < 0 < high
    assert surface_angle_deg(link, 0.0) == pytest.approx(0, abs=1e-9)
