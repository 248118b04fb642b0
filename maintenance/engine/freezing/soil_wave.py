"""The yearly wave of temperature in the ground, without latent heat."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.freezing.constants import DAYS_PER_YEAR, SECONDS_PER_DAY

Array = NDArray[np.float64]

_YEAR_S = DAYS_PER_YEAR * SECONDS_PER_DAY


def damping_depth(
    diffusivity_m2_per_s: ArrayLike, period_s: ArrayLike = _YEAR_S
) -> Array:
    """Depth at which a wave of temperature has shrunk to 1/e.

    Parameters
    ----------
    diffusivity_m2_per_s : array_like
        Thermal diffusivity of the soil, above 0 [m2/s].
    period_s : array_like
        Period of the wave; a year of 365 days if left out [s].

    Returns
    -------
    ndarray
        Depth [m].

    Notes
    -----
    d = sqrt(D P/pi). Source: Hillel 1982, Introduction to Soil Physics.

    Examples
    --------
    >>> round(float(damping_depth(2e-7)), 3)
    1.417
    """
    result: Array = np.sqrt(
        np.asarray(diffusivity_m2_per_s, dtype=np.float64)
        * np.asarray(period_s)
        / np.pi
    )
    return result


def soil_temperature_kusuda(
    depth_m: ArrayLike,
    day: ArrayLike,
    mean_temperature_k: ArrayLike,
    amplitude_k: ArrayLike,
    coldest_day: ArrayLike,
    diffusivity_m2_per_s: ArrayLike,
) -> Array:
    """Temperature of the ground at a depth on a day of the year.

    Parameters
    ----------
    depth_m : array_like
        Below the surface, at least 0 [m].
    day : array_like
        Day of the year [d].
    mean_temperature_k : array_like
        Mean of the year at the surface [K].
    amplitude_k : array_like
        Half of the yearly swing at the surface [K].
    coldest_day : array_like
        Day of the year on which the surface is coldest [d].
    diffusivity_m2_per_s : array_like
        Thermal diffusivity of the soil, above 0 [m2/s].

    Returns
    -------
    ndarray
        Temperature [K].

    Notes
    -----
    T = Tm - A exp(-z/d) cos(2 pi (day - day0)/365 - z/d), d the damping depth. No
    latent heat: it freezes the ground too deep. Source: Kusuda and Achenbach, NBS
    Report 8972, 1965.

    Examples
    --------
    >>> float(soil_temperature_kusuda(0.0, 20.0, 283.15, 12.0, 20.0, 6e-7))
    271.15
    """
    shrink = np.asarray(depth_m, dtype=np.float64) / damping_depth(diffusivity_m2_per_s)
    days = np.asarray(day, dtype=np.float64) - np.asarray(coldest_day)
    phase = 2.0 * np.pi * days / DAYS_PER_YEAR - shrink
    result: Array = np.asarray(mean_temperature_k) - np.asarray(amplitude_k) * np.exp(
        -shrink
    ) * np.cos(phase)
    return result
