"""Lifting line against closed forms, and its conduct past the stall."""

import numpy as np
import pytest
from air_reference import (
    IdealSections,
    StallingSections,
    elliptic_wing,
    line,
    plain_flap_effectiveness,
    surface,
    wing,
)

from mixlib.air.wing.lifting_line import section_curves, solve
from mixlib.air.wing.strips import from_stations, of_wing
from mixlib.describe import shipped

IDEAL = IdealSections()
ONE_DEGREE = np.radians(1.0)
PAIRS = [
    surface("right aileron", 600, 1000, 50),
    surface("left aileron", 600, 1000, 50, "left"),
    surface("right flap", 0, 500, 50),
    surface("left flap", 0, 500, 50, "left"),
]


@pytest.mark.parametrize("aspect_ratio, slope", [(6, 4.7124), (10, 5.2360), (20, 5.7120)])
def test_elliptic_wing(aspect_ratio, slope):
    """Slope 2 pi AR/(AR + 2), drag CL^2/(pi AR), even downwash; e.g. Houghton & Carpenter, chapter 5."""
    result = solve(line(elliptic_wing(aspect_ratio)), IDEAL, 1.0)
    assert result.lift / ONE_DEGREE == pytest.approx(slope, rel=2e-4)
    assert result.induced_drag == pytest.approx(result.lift**2 / (np.pi * aspect_ratio), rel=1e-3)
    induced_deg = result.alpha_deg - result.incidence_deg
    assert np.ptp(induced_deg) < 0.01 * induced_deg.mean()
    assert abs(result.roll) < 1e-12
    assert abs(result.yaw) < 1e-12


@pytest.mark.parametrize("aspect_ratio, damping", [(6, -0.4712), (10, -0.5610), (20, -0.6545)])
def test_elliptic_roll_damping(aspect_ratio, damping):
    """-(pi/4) AR/(AR + 4) per pb/2V; R. S. Swanson and E. L. Priddy, NACA ARR L5F23, lifting-line part."""
    result = solve(line(elliptic_wing(aspect_ratio)), IDEAL, 0.0, helix=0.05)
    assert result.roll / 0.05 == pytest.approx(damping, rel=2e-3)


@pytest.mark.parametrize("aspect_ratio, slope, damping", [(6, 4.5287, -0.4203), (10, 5.1510, -0.5317)])
def test_elliptic_lifting_surface(aspect_ratio, slope, damping):
    """Slope 2 pi A/(A E + 2), E = sqrt(1 + 4/A^2) (H. B. Helmbold, from memory).

    Damping -(pi/4) A/(A E' + 4), E' that of half the aspect ratio (E. C. Polhamus, NACA TN 1862, from
    memory).  By hand: 6 / (6 x 1.0541 + 2) x 2 pi, 6 / (6 x 1.2019 + 4) x pi / 4.
    """
    plain = elliptic_wing(aspect_ratio)
    assert solve(plain, IDEAL, 1.0).lift / ONE_DEGREE == pytest.approx(slope, rel=1e-3)
    assert solve(plain, IDEAL, 0.0, helix=0.05).roll / 0.05 == pytest.approx(damping, rel=2e-3)


@pytest.mark.parametrize(
    "aspect_ratio, taper, slope, factor, damping",
    [
        (6, 1.0, 4.5304, 0.0483, -0.5233),
        (10, 1.0, 5.0468, 0.0859, -0.6421),
        (20, 1.0, 5.5443, 0.1617, -0.7803),
        (10, 0.4, 5.1878, 0.0172, -0.5661),
    ],
)
def test_rectangular_and_tapered_wing(aspect_ratio, taper, slope, factor, damping):
    """Glauert's series for straight tapered wings, converged with many terms (his own table has four)."""
    plain = line(wing(aspect_ratio, taper))
    result = solve(plain, IDEAL, 1.0)
    assert result.lift / ONE_DEGREE == pytest.approx(slope, rel=5e-4)
    ratio = np.pi * aspect_ratio * result.induced_drag / result.lift**2 - 1
    assert ratio == pytest.approx(factor, abs=6e-4)
    assert solve(plain, IDEAL, 0.0, 0.05).roll / 0.05 == pytest.approx(damping, rel=1e-3)


def _series(aspect_ratio, *incidences, terms=150):
    """Glauert's series by Galerkin's method: (CL, Cl) of a rectangular wing, by no code of ours."""
    theta = (np.arange(8000) + 0.5) * np.pi / 8000
    order = np.arange(1, terms + 1)
    waves = np.sin(order * theta[:, None])
    mu = np.pi / (2 * aspect_ratio)
    matrix = waves.T @ (waves * (mu * order + np.sin(theta)[:, None]))
    rows = np.stack([incidence(-np.cos(theta)) for incidence in incidences], axis=-1)
    coefficient = np.linalg.solve(matrix, waves.T @ (mu * rows * np.sin(theta)[:, None]))
    # With y = -(b/2) cos theta the rolling moment, right wing down +, is +pi AR A2 / 4.
    return np.pi * aspect_ratio * coefficient[0], np.pi * aspect_ratio * coefficient[1] / 4


def test_aileron_and_flap_edges():
    """Rectangular wing of aspect ratio 10, E = 0.25: a jump of incidence must not depend on the strips."""
    lift_per_flap = np.radians(5) * plain_flap_effectiveness(0.25)
    flying = line(wing(10, surfaces=PAIRS))
    turned = plain_flap_effectiveness(0.25) * flying.surface_angles_deg([[-5, 5, 0, 0], [0, 0, 5, 5]])
    found = solve(flying, IDEAL, np.zeros(2), local_deg=turned)
    lift, roll = _series(
        10,
        lambda y: np.where(np.abs(y) > 0.6, -np.sign(y) * lift_per_flap, 0),
        lambda y: np.where(np.abs(y) < 0.5, lift_per_flap, 0),
    )
    assert found.roll[0] == pytest.approx(roll[0], rel=0.006)
    assert found.lift[1] == pytest.approx(lift[1], rel=0.005)
    assert found.lift[1] == pytest.approx(0.1474, rel=0.005)


def test_three_times_the_strips_change_little():
    angles = [-8, 12, 15, 15]
    coarse, fine = (
        solve(w, section_curves(w, angles, 10.0), 3.0)
        for w in (wing(10, 0.6, surfaces=PAIRS, per_half=count) for count in (20, 60))
    )
    for name in ("lift", "induced_drag", "profile_drag", "roll", "yaw"):
        assert getattr(coarse, name) == pytest.approx(getattr(fine, name), rel=0.015), name


@pytest.mark.parametrize("aspect_ratio", [6, 10, 20])
def test_adverse_yaw_of_an_elliptic_load(aspect_ratio):
    """Load of the first two terms of Glauert's series: Cn/Cl = -3 CL/(pi AR); nose left rolling right."""
    plain = elliptic_wing(aspect_ratio)
    right_up_load = -2.0 * plain.y_m / (plain.span_m / 2)
    result = solve(plain, IDEAL, 6.0, local_deg=right_up_load)
    assert result.roll > 0
    assert result.yaw / result.roll == pytest.approx(-3 * result.lift / (np.pi * aspect_ratio), rel=2e-3)


def test_yaw_of_a_steady_roll():
    """Rolling moment balanced: the lift tilted by the roll alone gives Cn = -CL (pb/2V)/8."""
    plain = line(elliptic_wing(10))
    helix = 0.1
    balanced = -np.degrees(helix) * 2 * plain.y_m / plain.span_m
    result = solve(plain, IDEAL, 6.0, helix=helix, local_deg=balanced)
    assert abs(result.roll) < 1e-9
    assert result.yaw == pytest.approx(-result.lift * helix / 8, rel=2e-3)


def test_signs_one_axis_at_a_time():
    flying = wing(10, 0.6, surfaces=PAIRS)

    def with_angles(angles, **more):
        return solve(flying, section_curves(flying, angles, 10.0), 3.0, **more)

    clean = with_angles([0, 0, 0, 0])
    right_up = with_angles([-8, 8, 0, 0])
    assert right_up.roll > 0 > right_up.yaw
    assert with_angles([0, 0, 0, 0], helix=0.05).roll < 0
    flaps = with_angles([0, 0, 10, 10])
    assert flaps.lift > clean.lift
    assert flaps.pitch < clean.pitch
    assert flaps.drag > clean.drag
    assert with_angles([-10, 0, 0, 0]).yaw > clean.yaw  # a lone raised aileron drags its own side back


def test_left_and_right_mirror():
    flying = wing(10, 0.6, surfaces=PAIRS)
    one = solve(flying, section_curves(flying, [-15, 5, 10, 0], 10.0), 5.0, 0.03)
    other = solve(flying, section_curves(flying, [5, -15, 0, 10], 10.0), 5.0, -0.03)
    for name in ("lift", "drag", "pitch"):
        assert getattr(one, name) == pytest.approx(getattr(other, name), rel=1e-6)
    for name in ("roll", "yaw"):
        assert getattr(one, name) == pytest.approx(-getattr(other, name), rel=1e-6)


def test_batch_equals_one_by_one():
    flying = wing(10, 0.6, surfaces=PAIRS)
    angles = np.array([[0, 0, 0, 0], [-5, 5, 0, 0], [-20, -20, 40, 40]])
    alphas = np.array([-2.0, 4.0, 8.0])
    both = solve(flying, section_curves(flying, angles[:, None, :], 9.0), alphas)
    assert both.lift.shape == (3, 3)
    for i, setting in enumerate(angles):
        for j, alpha in enumerate(alphas):
            single = solve(flying, section_curves(flying, setting, 9.0), alpha)
            assert both.lift[i, j] == pytest.approx(single.lift, abs=2e-5)
            assert both.drag[i, j] == pytest.approx(single.drag, abs=2e-5)


def test_where_the_stall_begins():
    """A rectangular wing stalls in the middle, a pointed one far out (Houghton & Carpenter, chapter 5)."""
    sections = StallingSections()
    square = solve(wing(8, 1.0), sections, 10.0)
    pointed = solve(wing(8, 0.3), sections, 10.0)
    assert abs(square.first_to_stall[0]) < 0.2
    assert abs(pointed.first_to_stall[0]) > 0.55
    assert np.all(square.margin_deg > 0)
    assert square.stalled == 0


@pytest.mark.parametrize("fall_per_deg", [0.03, 0.06])
@pytest.mark.parametrize("taper", [1.0, 0.4])
def test_past_the_stall(fall_per_deg, taper):
    sections = StallingSections(fall_per_deg=fall_per_deg)
    alphas = np.linspace(0, 60, 121)
    result = solve(wing(10, taper), sections, alphas)
    assert np.all(np.isfinite(result.lift))
    assert result.converged[result.stalled == 0].all()
    assert result.converged.mean() > 0.93  # a few miss at the corners of the section's curve
    assert result.stalled[0] == 0
    assert result.stalled[-1] > 0.99
    assert np.all(np.diff(result.stalled) > -0.15)
    assert 0.95 < result.lift.max() < 1.2  # the section has 1.2; the wing cannot have more
    assert result.lift[-1] == pytest.approx(0.7, abs=0.06)
    assert np.max(np.abs(result.roll)) < 1e-3  # nothing makes one side stall first
    assert np.max(np.abs(np.diff(result.lift))) < 0.1


def test_answers_stay_finite_for_anything():
    flying = wing(8, 0.5, surfaces=PAIRS)
    rng = np.random.default_rng(4)
    angles = rng.uniform(-60, 60, (30, 4))
    alphas = rng.uniform(-90, 90, 30)
    result = solve(
        flying, section_curves(flying, angles, rng.uniform(3, 40, 30)), alphas, rng.uniform(-0.2, 0.2, 30)
    )
    for name in ("lift", "induced_drag", "profile_drag", "roll", "yaw", "pitch", "stalled"):
        assert np.all(np.isfinite(getattr(result, name))), name
    assert np.max(np.abs(result.lift)) < 3
    assert np.all(result.profile_drag > 0)
    assert np.all((result.stalled >= 0) & (result.stalled <= 1 + 1e-12))


def test_ordinary_flight_always_converges():
    flying = wing(10, 0.6, surfaces=PAIRS)
    angles = np.array([[0, 0, 0, 0], [5, 5, 5, 5], [-3, -3, -3, -3], [-12, 6, 0, 0], [-20, -20, 40, 40]])
    result = solve(flying, section_curves(flying, angles[:, None, :], 9.0), np.linspace(-4, 6, 21))
    assert result.converged.all()


def test_strips_end_at_the_surfaces():
    cut = wing(10, surfaces=PAIRS)
    for place in (0.0, 0.5, 0.6, 1.0):
        assert np.min(np.abs(cut.edge_m - place)) < 1e-9
    assert cut.width_m.sum() == pytest.approx(2.0)
    assert cut.area_m2 == pytest.approx(0.4)
    right_aileron = cut.surface == 0
    assert np.all(cut.y_m[right_aileron] > 0.6)
    assert cut.width_m[right_aileron].sum() == pytest.approx(0.4)
    assert cut.chord_ratio[right_aileron] == pytest.approx(0.25)


def test_mean_chord_of_a_tapered_wing():
    """Mean aerodynamic chord 2/3 c (1 + t + t^2)/(1 + t) of a straight taper, any textbook."""
    assert wing(10, 0.5).mean_chord_m == pytest.approx(2 / 3 * 0.2667 * 1.75 / 1.5, rel=1e-3)


def test_surfaces_in_the_same_place_are_refused():
    both = [surface("right aileron", 500, 900, 40), surface("right flap", 100, 600, 40)]
    with pytest.raises(ValueError, match=r"right aileron.*right flap.*y_inner_mm"):
        wing(10, surfaces=both)


def test_sections_change_evenly_between_stations():
    mixed = from_stations(
        [0, 0.5, 1], [0.2] * 3, [0] * 3, [0] * 3, ["general purpose", "general purpose", "symmetrical"]
    )
    low = from_stations([0, 1], [0.2] * 2, [0] * 2, [0] * 2, ["symmetrical"] * 2)
    high = from_stations([0, 1], [0.2] * 2, [0] * 2, [0] * 2, ["general purpose"] * 2)
    lifts = [solve(w, section_curves(w, np.zeros(0), 10.0), 2.0).lift for w in (low, mixed, high)]
    assert lifts[0] < lifts[1] < lifts[2]


def test_a_section_measured_with_a_ruler():
    """24 mm on a chord of 200 mm are 12 %, 4 mm of camber 2 %: nearly the kind called general purpose."""
    kind = shipped("aircraft", "orchard_three").wing
    by_ruler = kind.replace(
        stations=tuple(
            s.replace(section="symmetrical", thickness_mm=0.12 * s.chord_mm, camber_mm=0.02 * s.chord_mm)
            for s in kind.stations
        )
    )
    cut = of_wing(by_ruler)
    assert {(round(s.thickness_percent, 6), round(s.camber_percent, 6)) for s in cut.inner_section} == {
        (12, 2)
    }
    lifts = [solve(w, section_curves(w, np.zeros(0), 10.0), 3.0).lift for w in (of_wing(kind), cut)]
    assert lifts[1] == pytest.approx(float(lifts[0]), rel=0.03)


def test_a_tapered_surface_has_its_own_share_of_the_chord_at_each_place():
    plain = shipped("aircraft", "orchard_two")
    tapered = plain.surface("right aileron").replace(chord_mm=50, outer_chord_mm=20)
    strips = of_wing(plain.wing, [tapered])
    own = strips.surface == 0
    share = (1000 * strips.y_m[own] - tapered.y_inner_mm) / (tapered.y_outer_mm - tapered.y_inner_mm)
    assert strips.chord_ratio[own] * strips.chord_m[own] == pytest.approx((50 - 30 * share) / 1000)
    assert own.sum() > 4
