"""Air density against the standard, and what follows from it."""

import numpy as np
import pytest

from mixlib.air.aircraft import atmosphere


@pytest.mark.parametrize(
    "height, density, temperature, pressure",
    [
        (0, 1.2250, 15.0, 101325),
        (500, 1.16727, 11.75, 95461),
        (1000, 1.11164, 8.5, 89874.6),
        (1500, 1.05807, 5.25, 84555.9),
        (2000, 1.00649, 2.0, 79495.2),
        (3000, 0.90912, -4.5, 70108.5),
    ],
)
def test_standard_atmosphere(height, density, temperature, pressure):
    """ISO 2533:1975 and U.S. Standard Atmosphere 1976, by geopotential height."""
    assert atmosphere.density_kg_m3(height) == pytest.approx(density, rel=2e-5)
    assert atmosphere.standard_temperature_c(height) == pytest.approx(temperature)
    assert atmosphere.pressure_pa(height) == pytest.approx(pressure, rel=2e-5)


def test_kinematic_viscosity_at_sea_level():
    """1.4607e-5 m^2/s; ISO 2533:1975."""
    assert atmosphere.viscosity_m2_s() == pytest.approx(1.4607e-5, rel=1e-4)


def test_density_altitude():
    heights = np.array([0.0, 400.0, 1500.0])
    standard = atmosphere.standard_temperature_c(heights)
    assert atmosphere.density_altitude_m(heights, standard) == pytest.approx(heights, abs=0.01)
    # Rule of the flying schools: about 120 ft for each degree above standard, 36.6 m (from memory).
    risen = atmosphere.density_altitude_m(heights, standard + 10) - heights
    assert risen == pytest.approx(366, rel=0.06)


def test_speeds_rise_with_the_root_of_thinness():
    assert atmosphere.speed_factor(2000) == pytest.approx(np.sqrt(1.2250 / 1.00649), rel=1e-5)


@pytest.mark.parametrize(
    "call", [lambda: atmosphere.density_kg_m3(20000), lambda: atmosphere.density_kg_m3(0, 99)]
)
def test_out_of_range_names_field_and_range(call):
    with pytest.raises(ValueError, match=r"height_m is 20000; give|temperature_c is 99; give"):
        call()
