"""Surge when moving water is stopped, array in and array out."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.constants import STANDARD_GRAVITY

Array = NDArray[np.float64]

MODULUS_RATIOS: Final[Mapping[str, float]] = MappingProxyType({"PVC": 0.75, "PE": 2.0})
"""Bulk modulus of water, 300,000 psi, over the modulus of the pipe, by material [-].

PVC 400,000 psi, PE 150,000 psi for a short load: from memory; PE agrees with the
example in AWWA M55 (2006), p. 47, PVC with Moser, Buried Pipe Design, example 4.2.
"""

_RIGID_PIPE_M_PER_S = 4660.0 * 0.3048


def wave_speed_korteweg(dimension_ratio: ArrayLike, modulus_ratio: ArrayLike) -> Array:
    """Speed of a pressure wave in water in an elastic pipe.

    Parameters
    ----------
    dimension_ratio : array_like
        Outside diameter over wall, above 2; SIDR + 2 for pipe made to its bore [-].
    modulus_ratio : array_like
        Bulk modulus of water over the modulus of the pipe, at least 0 [-].

    Returns
    -------
    ndarray
        Wave speed [m/s].

    Notes
    -----
    4660 ft/s / sqrt(1 + (K/E)(DR - 2)), the form printed for plastic pipe (from
    memory). It gives the 11.3 psi per ft/s of AWWA M55 (2006), p. 47, for PE DR 17,
    and for PVC DR 18 lies 1.5 % under the 1311 ft/s of Moser, Buried Pipe Design,
    p. 220: print knows two constants. Trapped air slows the wave.

    Examples
    --------
    >>> round(float(wave_speed_korteweg(17.0, 2.0)) / 0.3048)
    837
    """
    stretch = np.asarray(modulus_ratio, dtype=np.float64) * (
        np.asarray(dimension_ratio, dtype=np.float64) - 2.0
    )
    result: Array = _RIGID_PIPE_M_PER_S / np.sqrt(1.0 + stretch)
    return result


def surge_head_joukowsky(
    wave_speed_m_per_s: ArrayLike,
    velocity_change_m_per_s: ArrayLike,
    gravity_m_per_s2: float = STANDARD_GRAVITY,
) -> Array:
    """Rise of head when water is stopped faster than the wave comes back.

    Parameters
    ----------
    wave_speed_m_per_s : array_like
        Speed of the pressure wave [m/s].
    velocity_change_m_per_s : array_like
        Change of the mean speed [m/s].
    gravity_m_per_s2 : float
        Acceleration of free fall; printed examples use 32 ft/s2 or 9.81 [m/s2].

    Returns
    -------
    ndarray
        Rise above the head before [m].

    Notes
    -----
    a dv/g (Joukowsky), the bound for any closing time. Source: US Army TM 5-813-9
    (1992), figure 4-5, as copied at buildingcriteria1.tpub.com.

    Examples
    --------
    >>> round(float(surge_head_joukowsky(1200.0, 2.0, 9.81)), 1)
    244.6
    """
    result: Array = (
        np.asarray(wave_speed_m_per_s, dtype=np.float64)
        * np.asarray(velocity_change_m_per_s)
        / gravity_m_per_s2
    )
    return result


def critical_time(length_m: ArrayLike, wave_speed_m_per_s: ArrayLike) -> Array:
    """Time in which the wave runs to the far end and back.

    Parameters
    ----------
    length_m : array_like
        Length of the pipe [m].
    wave_speed_m_per_s : array_like
        Speed of the pressure wave [m/s].

    Returns
    -------
    ndarray
        Time; a stop within it gives the whole surge [s].

    Notes
    -----
    2 L/a. Source: US Army TM 5-813-9 (1992), figure 4-5.

    Examples
    --------
    >>> round(float(critical_time(3400.0, 2690.0)), 2)
    2.53
    """
    result: Array = (
        2.0 * np.asarray(length_m, dtype=np.float64) / np.asarray(wave_speed_m_per_s)
    )
    return result
