"""The flapped section's table against another section method: panels with a boundary layer.

The numbers are from XFOIL 6.99 (M. Drela, "XFOIL: an analysis and design system for low Reynolds number
airfoils", 1989; the Debian package), run at a Reynolds number of 180 000 with the same bent shape, its flap
23.5 % of the chord, transition free or at a tenth of the chord.
"""

import numpy as np
import pytest

from mixlib.air.section.table import coefficients

ALPHA_DEG = np.array([-1.0, 0.0, 1.0, 2.0, 4.0])
REYNOLDS, RATIO = 180e3, 0.235
LIFT = {
    ("smooth", 0): [0.1029, 0.2880, 0.4179, 0.5116, 0.7006],
    ("smooth", 2): [0.1983, 0.3948, 0.4975, 0.6026, 0.8011],
    ("smooth", 5): [0.3253, 0.4867, 0.6200, 0.7472, 0.9559],
    ("smooth", 8): [0.4447, 0.5818, 0.7265, 0.8418, 1.0884],
    ("foam", 0): [0.0921, 0.2010, 0.3094, 0.4172, 0.6294],
    ("foam", 2): [0.2066, 0.3147, 0.4221, 0.5286, 0.7371],
    ("foam", 5): [0.3711, 0.4770, 0.5817, 0.6849, 0.8849],
    ("foam", 8): [0.5173, 0.6192, 0.7193, 0.8159, 1.0018],
}
MOMENT = {
    ("smooth", 0): [-0.0518, -0.0635, -0.0668, -0.0626, -0.0546],
    ("smooth", 2): [-0.0685, -0.0827, -0.0797, -0.0767, -0.0702],
    ("smooth", 5): [-0.0904, -0.0970, -0.0990, -0.0991, -0.0943],
    ("smooth", 8): [-0.1101, -0.1122, -0.1154, -0.1122, -0.1140],
    ("foam", 0): [-0.0463, -0.0457, -0.0450, -0.0442, -0.0421],
    ("foam", 2): [-0.0649, -0.0641, -0.0632, -0.0622, -0.0594],
    ("foam", 5): [-0.0913, -0.0901, -0.0887, -0.0870, -0.0826],
    ("foam", 8): [-0.1139, -0.1120, -0.1097, -0.1068, -0.0999],
}


def ours(finish, flap_deg):
    return coefficients("general purpose", ALPHA_DEG, flap_deg, REYNOLDS, RATIO, finish)


@pytest.mark.parametrize("finish, flap_deg", LIFT)
def test_lift_and_moment_of_a_small_flap(finish, flap_deg):
    found, near = ours(finish, flap_deg), {"smooth": (0.035, 0.007), "foam": (0.006, 0.001)}[finish]
    assert found.cl == pytest.approx(LIFT[finish, flap_deg], abs=near[0])
    assert found.cm == pytest.approx(MOMENT[finish, flap_deg], abs=near[1])


def test_a_little_flap_does_less_on_a_smooth_section_near_zero_incidence():
    """A bubble of laminar flow hides a third of 5 deg there; further up the two skins are alike."""
    for told in (LIFT, {key: ours(*key).cl for key in LIFT}):
        added = {skin: np.subtract(told[skin, 5], told[skin, 0]) for skin in ("smooth", "foam")}
        share = added["smooth"] / added["foam"]
        assert 0.65 < share[2] < 0.80
        assert 0.95 < share[4] < 1.05
