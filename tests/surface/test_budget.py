"""Exact regions of the command square, against the whole chain, a half-space solver and values by hand."""

from itertools import pairwise

import numpy as np
import pytest
from scipy.spatial import ConvexHull, HalfspaceIntersection

from mixlib.bench.surface.budget import area, budget, clip_polygon, largest_camber, roll_left
from mixlib.chain import Rig
from mixlib.describe import FreeMix, Mark, Setup, Shaping
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup


def narrow_stops() -> Setup:
    """Flaperons whose right aileron meets its stops early and whose left one has uneven end points."""
    setup = flaperon_setup()
    surfaces = tuple(
        s.replace(stop_up_deg=14.0, stop_down_deg=9.0) if s.name == "right aileron" else s
        for s in setup.aircraft.surfaces
    )
    setup = setup.replace(aircraft=setup.aircraft.replace(surfaces=surfaces))
    return setup.with_output(6, end_low_percent=60, end_high_percent=85, sub_trim_percent=6, reversed=True)


def led_by_outputs() -> Setup:
    """Mixes that take a mixed output, one after the other, with a centre and with a curve."""
    setup = four_surface_setup()
    mixes = (
        *setup.free_mixes[:4],
        FreeMix(leader=1, follower=3, gain_above_percent=90, gain_below_percent=-40, centre_percent=10),
        FreeMix(leader=3, follower=4, gain_above_percent=60, gain_below_percent=140),
        FreeMix(leader="camber", follower=2, curve_percent=(-80.0, 30.0, 0.0, -60.0, 40.0)),
        FreeMix(leader="brake", follower=3, gain_above_percent=60),
    )
    return setup.replace(free_mixes=mixes).with_output(2, shift_percent=15, end_high_percent=120)


def rated() -> Setup:
    setup = flaperon_setup()
    return setup.replace(shaping={"roll": Shaping(rate_percent=70)})


def marked() -> Setup:
    """Flaperons whose dial is stopped at 60 % of droop and 25 % of reflex."""
    marks = Mark(command="camber", percent=60), Mark(command="camber", side="below", percent=25)
    return flaperon_setup().replace(marks=marks)


def trimmed() -> Setup:
    """Uneven gains on a trimmed stick, which fold where stick and trim together are at neutral."""
    setup = four_surface_setup().replace(trims={"roll": 28}).with_mix(FreeMix.straight("camber", 1, 90))
    setup = setup.with_output(1, gain_above_percent=30, gain_below_percent=120)
    return setup.with_output(2, gain_above_percent=120, gain_below_percent=30)


def trimmed_but_for_the_mixes() -> Setup:
    """The same on a radio whose mixes leave the trim behind: they fold at the stick's own neutral."""
    setup = trimmed().with_mix(
        FreeMix(leader="roll", follower=3, gain_above_percent=20, gain_below_percent=140)
    )
    return setup.replace(radio=setup.radio.replace(mixes_carry_trim=False))


def dial_off_centre() -> Setup:
    """A dial that gives its output -40 % at one end and +100 % at the other, with uneven gains."""
    setup = four_surface_setup().with_mix(FreeMix.straight("roll", 3, 110))
    setup = setup.with_output(3, gain_above_percent=130, gain_below_percent=-130)
    controls = tuple(
        control.replace(at_low_percent=-40) if control.command == "camber" else control
        for control in setup.radio.controls
    )
    return setup.replace(radio=setup.radio.replace(controls=controls))


CASES = {
    "flaperons": (flaperon_setup, 0.0),
    "four surfaces": (four_surface_setup, 0.0),
    "four surfaces, half brake": (four_surface_setup, 0.5),
    "four surfaces, crow": (four_surface_setup, 1.0),
    "V-tail": (v_tail_setup, 0.0),
    "elevons": (elevon_setup, 0.0),
    "narrow stops": (narrow_stops, 0.0),
    "led by outputs": (led_by_outputs, 0.3),
    "rate": (rated, 0.0),
    "marks": (marked, 0.0),
    "trim": (trimmed, 0.0),
    "trim, but not for mixes": (trimmed_but_for_the_mixes, 0.0),
    "dial off centre": (dial_off_centre, 0.0),
}
each_case = pytest.mark.parametrize("case", CASES)


def inside(corners: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Signed distance of points to the nearest side of a convex polygon, positive inside."""
    sides = np.roll(corners, -1, 0) - corners
    lengths = np.hypot(*sides.T)
    kept = lengths > 1e-9
    away = points[:, np.newaxis] - corners[kept]
    cross = sides[kept, 0] * away[..., 1] - sides[kept, 1] * away[..., 0]
    return (cross / lengths[kept]).min(axis=1)


@each_case
def test_regions_are_those_of_the_whole_chain(case):
    """20 000 random commands through the Rig: nothing is held back just where the budget says so."""
    make, brake = CASES[case]
    setup = make()
    result = budget(setup, brake)
    used = [[setup.used_to(name, way) for name in ("roll", "camber")] for way in (-1, 1)]
    points = np.random.default_rng(5).uniform(*used, (20_000, 2))
    asked = np.zeros((len(points), 6))
    asked[:, 0], asked[:, 3], asked[:, 5] = points[:, 0], points[:, 1], brake
    stages = Rig(setup).run(asked)
    wired = sorted({number - 1 for number in setup.wiring.values()})
    held = (stages.demand_clipped | stages.pulse_clipped)[:, wired].any(axis=1)
    held |= (stages.binds | stages.at_stop).any(axis=1)
    shaped = points * result.square
    assert np.allclose(result.used, used * np.array(result.square))
    depth = np.max([inside(corners, shaped) for corners in result.safe] or [np.full(len(points), -1)], axis=0)
    sure = np.abs(depth) > 1e-6
    assert sure.mean() > 0.99
    assert np.array_equal(depth[sure] > 0, ~held[sure])
    assert result.safe_share == pytest.approx((~held).mean(), abs=0.015)
    assert bool(result.lost) == bool(held.any())


@each_case
def test_every_lost_part_lies_beyond_its_limit(case):
    make, brake = CASES[case]
    setup = make()
    rig = Rig(setup)
    for part in budget(setup, brake).lost:
        corners = np.concatenate([c.mean(axis=0, keepdims=True) for c in part.polygons])
        asked = np.zeros((len(corners), 6))
        asked[:, 0], asked[:, 3] = (corners / (budget(setup, brake).square)).T
        asked[:, 5] = brake
        demand = rig.run(asked).demand[:, part.limit.output - 1]
        beyond = demand - part.limit.demand_percent
        assert np.all(beyond > 0 if part.limit.upper else beyond < 0)


def test_safe_region_of_flaperons_by_hand_and_by_half_spaces():
    """Both gains 100 %: |roll| + |camber| <= 1, half of the square; the same from Qhull."""
    result = budget(flaperon_setup())
    assert result.safe_share == pytest.approx(0.5)
    rows = np.array([[a, b, -1.0] for a in (-1, 1) for b in (-1, 1)])
    hull = ConvexHull(HalfspaceIntersection(rows, np.zeros(2)).intersections)
    assert sum(map(area, result.safe)) == pytest.approx(hull.volume)
    corners = {tuple(np.round(c, 9) + 0.0) for cell in result.safe for c in cell} - {(0.0, 0.0)}
    assert corners == {(1, 0), (-1, 0), (0, 1), (0, -1)}
    assert "50 %" in result.words[0]


def test_a_dial_is_used_to_its_marks_by_hand():
    """|roll| + |camber| <= 1 between camber -0.25 and 0.6: of 2 x 0.85 the corners of 0.6 x 0.6 / 2 and
    0.25 x 0.25 / 2 are lost, two each."""
    result = budget(marked())
    assert result.safe_share == pytest.approx(1 - (0.36 + 0.0625) / 1.7)
    assert result.used.tolist() == [[-1, -0.25], [1, 0.6]]
    whole = budget(flaperon_setup()).roll_left
    assert list(whole) == ["neutral", "half droop", "full droop", "half reflex", "full reflex"]
    assert list(result.roll_left)[1:3] == ["half the marked droop", "the marked droop"]
    assert result.roll_left["the marked droop"] == roll_left(marked(), 0.6)
    assert result.roll_left["half the marked reflex"] == roll_left(marked(), -0.125)
    assert "Roll left at the marked droop" in " ".join(result.words)


def test_a_marked_brake_is_held_at_its_mark():
    setup = four_surface_setup().replace(marks=(Mark(command="brake", percent=70),))
    assert budget(setup).roll_left["the marked brake"] == roll_left(setup, 0.0, 0.7)
    assert budget(four_surface_setup()).roll_left["full brake"] == roll_left(setup, 0.0, 1.0)


def test_largest_camber_counts_from_the_mark():
    """The same dial place, told as a multiple of 60 % of the way instead of all of it."""
    whole = largest_camber(flaperon_setup(), 0.75)
    assert 0.6 * largest_camber(marked(), 0.75) == pytest.approx(whole, abs=2e-6)


def test_clipping_against_a_half_space_solver():
    generator = np.random.default_rng(3)
    square = np.array([(-1.0, -1), (1, -1), (1, 1), (-1, 1)])
    walls = np.array([[1.0, 0, -1], [-1, 0, -1], [0, 1, -1], [0, -1, -1]])
    for _ in range(50):
        planes = np.column_stack([generator.normal(size=(3, 2)), generator.uniform(0.1, 0.9, 3)])
        corners = square
        for plane in planes:
            corners = clip_polygon(corners, plane)
        solved = HalfspaceIntersection(np.concatenate([walls, -planes]), np.zeros(2))
        assert area(corners) == pytest.approx(ConvexHull(solved.intersections).volume)


def test_roll_left_falls_with_droop_and_is_whole_at_neutral():
    setup = flaperon_setup()
    shares = [roll_left(setup, camber) for camber in (0.0, 0.25, 0.5, 0.75, 1.0)]
    assert shares[0] == pytest.approx(1)
    assert all(a > b for a, b in pairwise(shares))
    # At full droop only one half of the stick moves each aileron: half, but for the linkage's small curve.
    assert shares[-1] == pytest.approx(0.5, abs=0.02)
    assert budget(setup).roll_left["full droop"] == shares[-1]


@pytest.mark.parametrize("share", [0.6, 0.75, 0.9])
@pytest.mark.parametrize("reflex", [False, True])
def test_largest_camber_keeps_the_share_and_no_more(share, reflex):
    setup = flaperon_setup()
    times = largest_camber(setup, share, reflex=reflex)
    sense = -1 if reflex else 1
    assert roll_left(setup, sense * times) >= share
    assert roll_left(setup, sense * (times + 2e-5)) < share

    def with_gains(factor: float) -> Setup:
        """The same share by changing the settings themselves: a smaller gain of the mix and of the dial."""
        whole = round(-100 * factor)
        mixes = [
            m.replace(gain_above_percent=whole, gain_below_percent=whole) if m.leader == "camber" else m
            for m in setup.free_mixes
        ]
        return setup.replace(
            free_mixes=tuple(mixes), radio=setup.radio.replace(output_gains=True)
        ).with_output(6, gain_above_percent=-whole, gain_below_percent=-whole)

    assert roll_left(with_gains(times - 0.01), sense) > share > roll_left(with_gains(times + 0.01), sense)


def test_more_camber_than_any_gain_is_said_so():
    assert largest_camber(elevon_setup(), 0.9) == 5.0


def test_nothing_is_left_of_a_roll_that_was_never_there():
    setup = flaperon_setup()
    outputs = tuple(o.replace(control=None) if o.control == "roll" else o for o in setup.outputs)
    assert roll_left(setup.replace(outputs=outputs, free_mixes=())) == 0


def test_bad_values_get_a_sentence():
    with pytest.raises(ValueError, match=r"brake is 1\.5\. Accepted: 0 to 1\."):
        budget(flaperon_setup(), 1.5)
    for share in (0.0, 1.0, float("nan")):
        with pytest.raises(ValueError, match="Accepted: above 0 and below 1"):
            largest_camber(flaperon_setup(), share)
