"""The standard atmosphere up to 11 km, a warm or cold day, and what thin air does to a glider.

Source: ISO 2533:1975, Standard atmosphere (below 11 km the same as the U.S. Standard Atmosphere 1976);
viscosity by Sutherland's formula as given there.  Heights are geopotential, which differs from a tape measure
by less than 0.05 % at 3000 m.
"""

from __future__ import annotations

import numpy as np

from mixlib.units import GRAVITY_M_S2

__all__ = [
    "density_altitude_m",
    "density_kg_m3",
    "pressure_pa",
    "speed_factor",
    "standard_temperature_c",
    "viscosity_m2_s",
]

_GAS_J_KG_K = 287.05287
_LAPSE_K_M = 0.0065
_SEA_LEVEL_K = 288.15
_SEA_LEVEL_PA = 101325.0
_ZERO_C_K = 273.15
_POWER = GRAVITY_M_S2 / (_LAPSE_K_M * _GAS_J_KG_K)
_HIGHEST_M = 11000.0
_LOWEST_M = -1000.0


def standard_temperature_c(height_m):
    """Temperature of the standard atmosphere.

    Parameters
    ----------
    height_m : array_like
        Height above mean sea level, -1000 to 11000 m.

    Returns
    -------
    numpy.ndarray
        Temperature in degrees Celsius.

    Raises
    ------
    ValueError
        If a height is outside its range.
    """
    return _SEA_LEVEL_K - _LAPSE_K_M * _checked(height_m) - _ZERO_C_K


def pressure_pa(height_m):
    """Pressure of the standard atmosphere.

    Parameters
    ----------
    height_m : array_like
        Height above mean sea level, -1000 to 11000 m.

    Returns
    -------
    numpy.ndarray
        Pressure in Pa.

    Raises
    ------
    ValueError
        If a height is outside its range.
    """
    return _SEA_LEVEL_PA * (1 - _LAPSE_K_M * _checked(height_m) / _SEA_LEVEL_K) ** _POWER


def density_kg_m3(height_m=0.0, temperature_c=None):
    """Density of the air at a field.

    Parameters
    ----------
    height_m : array_like
        Height of the field above mean sea level, -1000 to 11000 m.
    temperature_c : array_like, optional
        Temperature there; the standard one when left out.

    Returns
    -------
    numpy.ndarray
        Density in kg/m^3.

    Raises
    ------
    ValueError
        If a height or a temperature is outside its range (-60 to 60 degrees Celsius).
    """
    return pressure_pa(height_m) / (_GAS_J_KG_K * _kelvin(height_m, temperature_c))


def density_altitude_m(height_m, temperature_c):
    """Height in the standard atmosphere at which the air is as thin as at the field.

    Parameters
    ----------
    height_m : array_like
        Height of the field above mean sea level, m.
    temperature_c : array_like
        Temperature there, degrees Celsius.

    Returns
    -------
    numpy.ndarray
        Density altitude in m.

    Raises
    ------
    ValueError
        If a height or a temperature is outside its range.
    """
    share = density_kg_m3(height_m, temperature_c) / density_kg_m3(0.0)
    return _SEA_LEVEL_K / _LAPSE_K_M * (1 - share ** (1 / (_POWER - 1)))


def viscosity_m2_s(height_m=0.0, temperature_c=None):
    """Kinematic viscosity of the air at a field, for Reynolds numbers.

    Parameters
    ----------
    height_m : array_like
        Height above mean sea level, m.
    temperature_c : array_like, optional
        Temperature there; the standard one when left out.

    Returns
    -------
    numpy.ndarray
        Kinematic viscosity in m^2/s.

    Raises
    ------
    ValueError
        If a height or a temperature is outside its range.
    """
    kelvin = _kelvin(height_m, temperature_c)
    dynamic = 1.458e-6 * kelvin**1.5 / (kelvin + 110.4)
    return dynamic / density_kg_m3(height_m, temperature_c)


def speed_factor(height_m, temperature_c=None):
    """How much faster every speed of a glider becomes in the thinner air; the glide angle stays the same.

    Parameters
    ----------
    height_m : array_like
        Height above mean sea level, m.
    temperature_c : array_like, optional
        Temperature there; the standard one when left out.

    Raises
    ------
    ValueError
        If a height or a temperature is outside its range.
    """
    return np.sqrt(density_kg_m3(0.0) / density_kg_m3(height_m, temperature_c))


def _checked(height_m):
    height = np.asarray(height_m, float)
    if not np.all((height >= _LOWEST_M) & (height <= _HIGHEST_M)):
        raise ValueError(f"height_m is {height_m}; give {_LOWEST_M:g} to {_HIGHEST_M:g} m")
    return height


def _kelvin(height_m, temperature_c):
    if temperature_c is None:
        return standard_temperature_c(height_m) + _ZERO_C_K
    celsius = np.asarray(temperature_c, float)
    if not np.all((celsius >= -60) & (celsius <= 60)):
        raise ValueError(f"temperature_c is {temperature_c}; give -60 to 60 degrees Celsius")
    return celsius + _ZERO_C_K
