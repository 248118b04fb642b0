"""The handbook formula for water cooling in an insulated pipe: a lower bound."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.constants import WATER_DENSITY
from maintenance.engine.freezing.constants import (
    FREEZING_POINT_K,
    HEAT_OF_ONE_BTU_PER_LB_DEGF,
)

Array = NDArray[np.float64]


def layer_resistance(
    inner_diameter_m: ArrayLike,
    outer_diameter_m: ArrayLike,
    conductivity_w_per_m_k: ArrayLike,
) -> Array:
    """Thermal resistance of a layer around a pipe, for each metre of it.

    Parameters
    ----------
    inner_diameter_m : array_like
        Inside of the layer, above 0 [m].
    outer_diameter_m : array_like
        Outside of the layer, at least the inside [m].
    conductivity_w_per_m_k : array_like
        Of the layer, above 0 [W/m/K].

    Returns
    -------
    ndarray
        Resistance; 0 without a layer [m K/W].

    Notes
    -----
    R = ln(D2/D1)/(2 pi k): steady conduction through a cylinder.

    Examples
    --------
    >>> round(float(layer_resistance(0.1, 0.2, 0.04)), 3)
    2.758
    """
    ratio = np.asarray(outer_diameter_m) / np.asarray(inner_diameter_m)
    result: Array = np.log(ratio) / (2.0 * np.pi * np.asarray(conductivity_w_per_m_k))
    return result


def cooling_time_ashrae(
    water_diameter_m: ArrayLike,
    resistance_m_k_per_w: ArrayLike,
    water_temperature_k: ArrayLike,
    air_temperature_k: ArrayLike,
) -> Array:
    """Time for still water in an insulated pipe to reach the freezing point.

    Parameters
    ----------
    water_diameter_m : array_like
        Inside diameter of the pipe [m].
    resistance_m_k_per_w : array_like
        Resistance of the insulation, from `layer_resistance` [m K/W].
    water_temperature_k : array_like
        At the start, at least the freezing point [K].
    air_temperature_k : array_like
        Of the air around [K].

    Returns
    -------
    ndarray
        Time; infinite where the air is not below the freezing point [s].

    Notes
    -----
    theta = rho cp pi (D1/2)^2 R ln[(ti - ta)/(tf - ta)]. It leaves out the film of
    air, the wall of the pipe and the latent heat, so water freezes later than this:
    a lower bound. Source: ASHRAE Handbook Fundamentals 2009, chapter 23, equation 1.

    Examples
    --------
    >>> resistance = layer_resistance(2.375, 5.375, 0.30 * 0.1442279)
    >>> hours = cooling_time_ashrae(2.067 * 0.0254, resistance, 278.706, 245.372) / 3600
    >>> round(float(hours), 2)
    1.38
    """
    area = 0.25 * np.pi * np.asarray(water_diameter_m, dtype=np.float64) ** 2
    heat = WATER_DENSITY * HEAT_OF_ONE_BTU_PER_LB_DEGF * area
    start = np.asarray(water_temperature_k, dtype=np.float64) - FREEZING_POINT_K
    below = FREEZING_POINT_K - np.asarray(air_temperature_k, dtype=np.float64)
    cold = np.where(below > 0.0, below, 1.0)
    time = heat * np.asarray(resistance_m_k_per_w) * np.log1p(start / cold)
    result: Array = np.where(below > 0.0, time, np.inf)
    return result
