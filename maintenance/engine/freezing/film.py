"""What a part gives to the air and the sky: film coefficients of a cylinder."""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.air.properties import conductivity, density, viscosity
from maintenance.engine.constants import (
    SPECIFIC_HEAT_AIR,
    STANDARD_GRAVITY,
    STANDARD_PRESSURE_PA,
)
from maintenance.engine.freezing.constants import STEFAN_BOLTZMANN

Array = NDArray[np.float64]

FILM_TEMPERATURE_K: Final = 270.0
"""Temperature at which the air around a freezing part is taken [K]: between 0 degC
and the frost outside. Over 230 to 290 K a coefficient changes by some 5 %."""

# The air is that of sea level. Higher up it is thinner and takes less heat, so that
# a part freezes later than is said here.
AIR_CONDUCTIVITY: Final = float(conductivity(FILM_TEMPERATURE_K))
_VISCOSITY: Final = float(viscosity(FILM_TEMPERATURE_K))
AIR_KINEMATIC_VISCOSITY: Final = _VISCOSITY / float(
    density(STANDARD_PRESSURE_PA, FILM_TEMPERATURE_K)
)
_PRANDTL: Final = SPECIFIC_HEAT_AIR * _VISCOSITY / AIR_CONDUCTIVITY
RAYLEIGH_OF_1_M_1_K: Final = (
    STANDARD_GRAVITY / FILM_TEMPERATURE_K * _PRANDTL / AIR_KINEMATIC_VISCOSITY**2
)
"""Rayleigh number of 1 m and 1 K [1/(m3 K)]."""
_FREE: Final = 0.387 * (1.0 + (0.559 / _PRANDTL) ** (9 / 16)) ** (-8 / 27)
_FORCED: Final = (
    0.62 * _PRANDTL ** (1 / 3) * (1.0 + (0.4 / _PRANDTL) ** (2 / 3)) ** -0.25
)


def free_churchill_chu(diameter_m: ArrayLike, difference_k: ArrayLike) -> Array:
    """Film coefficient of a level cylinder in still air.

    Parameters
    ----------
    diameter_m : array_like
        Outside diameter, above 0 [m].
    difference_k : array_like
        Temperature of the surface less that of the air; its sign does not matter [K].

    Returns
    -------
    ndarray
        Film coefficient [W/m2/K].

    Notes
    -----
    Nu = {0.60 + 0.387 Ra^(1/6)/[1 + (0.559/Pr)^(9/16)]^(8/27)}^2, Ra up to 1e12.
    Source: Churchill and Chu, Int. J. Heat Mass Transfer 18, 1049, 1975.

    Examples
    --------
    >>> round(float(free_churchill_chu(0.028575, 6.67)), 2)
    4.52
    """
    d = np.asarray(diameter_m, dtype=np.float64)
    difference = np.abs(np.asarray(difference_k, dtype=np.float64))
    # The sixth root in two steps: several times faster than a general power.
    root = np.cbrt(np.sqrt(difference)) * (np.sqrt(d) * RAYLEIGH_OF_1_M_1_K ** (1 / 6))
    result: Array = (0.60 + _FREE * root) ** 2 * (AIR_CONDUCTIVITY / d)
    return result


def forced_churchill_bernstein(diameter_m: ArrayLike, wind_m_per_s: ArrayLike) -> Array:
    """Film coefficient of a cylinder in a cross wind.

    Parameters
    ----------
    diameter_m : array_like
        Outside diameter, above 0 [m].
    wind_m_per_s : array_like
        Speed of the air, at least 0 [m/s].

    Returns
    -------
    ndarray
        Film coefficient [W/m2/K].

    Notes
    -----
    Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3)/[1 + (0.4/Pr)^(2/3)]^(1/4) x
    [1 + (Re/282000)^(5/8)]^(4/5), Re Pr above 0.2. Source: Churchill and Bernstein,
    J. Heat Transfer 99, 300, 1977.

    Examples
    --------
    >>> round(float(forced_churchill_bernstein(0.028575, 4.5)), 1)
    44.7
    """
    d = np.asarray(diameter_m, dtype=np.float64)
    reynolds = np.asarray(wind_m_per_s, dtype=np.float64) * d / AIR_KINEMATIC_VISCOSITY
    high = (1.0 + (reynolds / 282_000.0) ** 0.625) ** 0.8
    nusselt = 0.3 + _FORCED * np.sqrt(reynolds) * high
    result: Array = nusselt * (AIR_CONDUCTIVITY / d)
    return result


def radiation_coefficient(
    emissivity: ArrayLike, mean_temperature_k: ArrayLike
) -> Array:
    """Coefficient of the heat that a surface radiates to what is around it.

    Parameters
    ----------
    emissivity : array_like
        Of the surface, 0 to 1 [-].
    mean_temperature_k : array_like
        Mean of the surface and what is around [K].

    Returns
    -------
    ndarray
        Coefficient [W/m2/K].

    Notes
    -----
    hr = 4 eps sigma Tm^3, a small difference against Tm.

    Examples
    --------
    >>> round(float(radiation_coefficient(0.9, 270.0)), 2)
    4.02
    """
    t = np.asarray(mean_temperature_k, dtype=np.float64)
    result: Array = 4.0 * STEFAN_BOLTZMANN * np.asarray(emissivity) * (t * t * t)
    return result
