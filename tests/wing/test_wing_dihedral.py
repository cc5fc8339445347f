"""A wing with dihedral against the vortex lattice of AeroSandbox (P. Sharpe, MIT licence), closed forms."""

from functools import cache

import numpy as np
import pytest
from air_reference import IdealSections

from mixlib.air.wing.lifting_line import solve
from mixlib.air.wing.strips import from_stations

asb = pytest.importorskip("aerosandbox")

SPAN, ROOT, TAPER, SPEED = 2.0, 0.22, 0.6, 10.0
TIP = ROOT * TAPER
STRAIGHT_V = ((0.0, 10.0), (1.0, 10.0))  # where a piece begins in half spans, and its dihedral in deg
TIPS_UP = ((0.0, 0.0), (0.6, 20.0), (1.0, 20.0))


def _places(pieces):
    """Chord of each rib, and where it lies to the side and up, m."""
    y, z, last, rows = 0.0, 0.0, 0.0, []
    lean = [0.0, *(np.radians(angle) for _, angle in pieces[:-1])]
    for (place, _), angle in zip(pieces, lean, strict=True):
        step = (place - last) * SPAN / 2
        y, z, last = y + step * np.cos(angle), z + step * np.sin(angle), place
        rows.append((ROOT + (TIP - ROOT) * place, y, z))
    return rows


@cache
def lattice(pieces, alpha_deg, beta_deg=0.0):
    """Lift and rolling moment coefficient on the area laid flat and the span along the wing."""
    sections = [
        asb.WingXSec(xyz_le=[(ROOT - chord) / 4, y, z], chord=chord, airfoil=asb.Airfoil("naca0006"))
        for chord, y, z in _places(pieces)
    ]
    area = SPAN * (ROOT + TIP) / 2
    plane = asb.Airplane(
        wings=[asb.Wing(xsecs=sections, symmetric=True)],
        s_ref=area,
        b_ref=SPAN,
        c_ref=area / SPAN,
        xyz_ref=[0, 0, 0],
    )
    flow = asb.OperatingPoint(velocity=SPEED, alpha=alpha_deg, beta=beta_deg)
    run = asb.VortexLatticeMethod(plane, flow, spanwise_resolution=12, chordwise_resolution=8).run()
    return float(run["CL"]), float(run["Cl"])


def strips(pieces):
    places, angles = zip(*pieces, strict=True)
    chords = [ROOT + (TIP - ROOT) * place for place in places]
    level = [0.0] * len(places)
    ends = [place * SPAN / 2 for place in places]
    return from_stations(ends, chords, level, level, ["symmetrical"] * len(places), dihedral_deg=angles)


def slipping(wing, alpha_deg, nose_deg):
    """The nose held to the right: the air comes from the left."""
    under = -nose_deg * np.sign(wing.y_m) * np.tan(np.radians(wing.dihedral_deg))
    return solve(wing, IdealSections(), alpha_deg, local_deg=under)


@pytest.mark.parametrize("pieces", [STRAIGHT_V, TIPS_UP], ids=["straight V", "tips up"])
def test_lift_and_roll_from_a_swing_of_the_nose(pieces):
    """Within 3 %; the roll of steep tips within 12 %, since they have a little less arm than length."""
    lift, _ = lattice(pieces, 3.0)
    _, left = lattice(pieces, 3.0, beta_deg=5.0)
    _, right = lattice(pieces, 3.0, beta_deg=-5.0)
    ours = slipping(strips(pieces), 3.0, 5.0)
    assert ours.lift == pytest.approx(lift, rel=0.03)
    assert ours.roll == pytest.approx((right - left) / 2, rel=0.12 if pieces is TIPS_UP else 0.03)
    assert ours.roll > 0


def test_lift_falls_with_the_square_of_the_cosine():
    """P. E. Purser and J. P. Campbell, NACA Report 823 (1945), for V-tails (from memory)."""
    flat = strips(((0.0, 0.0), (1.0, 0.0)))
    share = slipping(strips(STRAIGHT_V), 3.0, 0.0).lift / solve(flat, IdealSections(), 3.0).lift
    assert share == pytest.approx(np.cos(np.radians(10.0)) ** 2, rel=1e-3)


def test_the_place_of_the_lift_stays():
    """A swept wing that leans evenly: what points up of its lift acts where it does on the flat one."""
    back = [0.0, 0.3]
    flat, leaning = (
        from_stations([0, 1], [ROOT, TIP], back, [0, 0], ["symmetrical"] * 2, dihedral_deg=[angle] * 2)
        for angle in (0.0, 20.0)
    )
    places = []
    for wing in (flat, leaning):
        found = solve(wing, IdealSections(), 4.0)
        places.append(found.pitch / found.lift)
    assert places[1] == pytest.approx(places[0], rel=1e-6)
    assert abs(places[0]) > 0.01


def test_roll_of_a_wing_so_long_that_the_air_is_not_turned():
    """Strip theory, ``Cl = a beta G (1 + 2 t) / (6 (1 + t))`` for a taper t (from memory): ours comes near on
    a very long wing, and stays below it, since the trailing vortices take their share."""
    wing = from_stations([0, 10], [0.2, 0.12], [0, 0], [0, 0], ["symmetrical"] * 2, dihedral_deg=[5.0, 5.0])
    theory = 2 * np.pi * np.radians(4.0) * np.radians(5.0) * (1 + 2 * 0.6) / (6 * 1.6)
    found = float(slipping(wing, 0.0, 4.0).roll)
    assert 0.93 * theory < found < theory
