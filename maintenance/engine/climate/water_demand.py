"""How thirsty turf is through the year, from the temperatures that are usual."""

import math
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from maintenance.engine.climate.degrees import Array
from maintenance.engine.climate.usual_days import YEAR, UsualDays

SOLAR_CONSTANT: Final = 0.0820e6 / 60.0
"""Radiation above the air, square to the sun [W/m2]; FAO-56, 0.0820 MJ/m2/min."""

M_PER_J_M2: Final = 0.408e-9
"""Water that one J/m2 evaporates [m/(J/m2)]; FAO-56 eq. 20."""

DORMANT_BELOW_K: Final = (40.0 + 459.67) / 1.8
"""Mean air of the day below which turf rests and watering is worth nothing [K]: about
where cool-season grass stops growing; assumed, from memory."""

_DAY_S: Final = 86_400.0
_ZERO_C: Final = 273.15


def extraterrestrial_radiation(latitude_deg: float, day_of_year: ArrayLike) -> Array:
    """Return the sun's radiation above the air on a day.

    Parameters
    ----------
    latitude_deg : float
        North positive, -90 to 90. [deg]
    day_of_year : array_like
        1 for 1 January. [d]

    Returns
    -------
    ndarray
        Over the day. [J/m2]

    Notes
    -----
    FAO Irrigation and Drainage Paper 56 (Allen et al. 1998), eq. 21 to 25.

    Examples
    --------
    >>> round(float(extraterrestrial_radiation(-20.0, 246)) / 1e6, 1)
    32.2
    """
    turn = 2.0 * math.pi / YEAR * np.asarray(day_of_year, dtype=np.float64)
    nearness = 1.0 + 0.033 * np.cos(turn)
    declination = 0.409 * np.sin(turn - 1.39)
    latitude = math.radians(latitude_deg)
    # Beyond the polar circles the sun does not set, or does not rise.
    sunset = np.arccos(np.clip(-math.tan(latitude) * np.tan(declination), -1.0, 1.0))
    height = sunset * math.sin(latitude) * np.sin(declination)
    height = height + math.cos(latitude) * np.cos(declination) * np.sin(sunset)
    result: Array = _DAY_S / math.pi * SOLAR_CONSTANT * nearness * height
    return result


def reference_evapotranspiration(
    tmin_k: ArrayLike, tmax_k: ArrayLike, radiation_j_per_m2: ArrayLike
) -> Array:
    """Return what short grass evaporates in a day, by Hargreaves and Samani.

    Parameters
    ----------
    tmin_k, tmax_k : array_like
        Minimum and maximum of the day. [K]
    radiation_j_per_m2 : array_like
        Above the air, over the day. [J/m2]

    Returns
    -------
    ndarray
        Depth of water over the day, at least 0. [m]

    Notes
    -----
    0.0023 (Tmean + 17.8) (Tmax - Tmin)^0.5 Ra, in °C: FAO-56 eq. 52 (Allen et al.
    1998). For want of humidity, wind and sun; made for spans of some days.

    Examples
    --------
    >>> round(float(reference_evapotranspiration(287.95, 299.75, 40.6e6)) * 1000, 1)
    5.0
    """
    low, high = np.asarray(tmin_k), np.asarray(tmax_k)
    mean_c = 0.5 * (low + high) - _ZERO_C
    swing = np.sqrt(np.maximum(high - low, 0.0))
    water = np.asarray(radiation_j_per_m2) * M_PER_J_M2
    result: Array = np.maximum(0.0023 * (mean_c + 17.8) * swing * water, 0.0)
    return result


def demand_shares(latitude_deg: float, usual: UsualDays) -> Array:
    """Return the water that turf asks for on each day over the most of the year.

    Parameters
    ----------
    latitude_deg : float
        North positive, -90 to 90. [deg]
    usual : UsualDays
        Temperatures by day of the year. [K]

    Returns
    -------
    ndarray
        By day of the year, 1 January first; 0 where turf rests. [-]

    Notes
    -----
    max(0, ETc - rain)/ETmax: the factor of the turf is taken as the same all year, so
    it falls out; rain is not in these records and counts as 0.
    """
    tmin_k, tmax_k = np.array(usual.tmin_k), np.array(usual.tmax_k)
    radiation = extraterrestrial_radiation(latitude_deg, np.arange(1, YEAR + 1))
    water = reference_evapotranspiration(tmin_k, tmax_k, radiation)
    most = float(water.max())
    awake = 0.5 * (tmin_k + tmax_k) >= DORMANT_BELOW_K
    result: Array = np.where(awake, water / most if most > 0.0 else 0.0, 0.0)
    return result
