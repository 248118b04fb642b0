"""Temperatures of daily records: their units, whole degrees, at or below."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

DEGF_PER_K: Final = 1.8
"""Degrees Fahrenheit in one kelvin; exact."""

DEGF_AT_0_K: Final = -459.67
"""Absolute zero in degrees Fahrenheit; exact."""

RECORD_UNITS: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "degF": (1.0 / DEGF_PER_K, -DEGF_AT_0_K / DEGF_PER_K),
        "degC": (1.0, 273.15),
        "tenths_degC": (0.1, 273.15),
    }
)
"""Factor [K] and offset [K] of each unit that records are kept in."""

SAME_DEGF: Final = 1e-6
"""Closer than this, a value is on the step: conversions leave it a hair off."""


def kelvin_of(values: ArrayLike, unit: str) -> Array:
    """Convert the numbers of a record.

    Parameters
    ----------
    values : array_like
        Numbers as recorded. [unit]
    unit : str
        A key of `RECORD_UNITS`. [-]

    Returns
    -------
    ndarray
        Temperatures. [K]

    Examples
    --------
    >>> float(kelvin_of(-22.0, "tenths_degC"))
    270.95
    """
    factor, offset = RECORD_UNITS[unit]
    result: Array = np.asarray(values, dtype=np.float64) * factor + offset
    return result


def degf_of(temperature_k: ArrayLike) -> Array:
    """Convert to degrees Fahrenheit.

    Parameters
    ----------
    temperature_k : array_like
        Temperatures. [K]

    Returns
    -------
    ndarray
        The same. [°F]

    Examples
    --------
    >>> round(float(degf_of(273.15)), 6)
    32.0
    """
    result: Array = np.asarray(temperature_k, dtype=np.float64) * DEGF_PER_K
    return result + DEGF_AT_0_K


def whole_degf(temperature_k: ArrayLike) -> Array:
    """Round to whole degrees Fahrenheit, half a degree up.

    Parameters
    ----------
    temperature_k : array_like
        Temperatures, NaN where unknown. [K]

    Returns
    -------
    ndarray
        Whole numbers, NaN where unknown. [°F]

    Notes
    -----
    National records are observed in whole °F and kept in tenths of °C: 28 °F stands
    there as -2.2 °C, which is 28.04 °F. Without rounding such a freeze is missed.

    Examples
    --------
    >>> whole_degf(kelvin_of([-2.2, -4.4, 2.5], "degC")).tolist()
    [28.0, 24.0, 37.0]
    """
    result: Array = np.floor(degf_of(temperature_k) + 0.5 + SAME_DEGF)
    return result


def at_or_below(
    temperature_k: ArrayLike, threshold_k: float, *, exact: bool = False
) -> NDArray[np.bool_]:
    """Tell which temperatures are at or below a threshold.

    Parameters
    ----------
    temperature_k : array_like
        Temperatures; NaN is at or below nothing. [K]
    threshold_k : float
        Threshold. [K]
    exact : bool
        Compare as recorded instead of in whole °F. [-]

    Returns
    -------
    ndarray of bool
        True where at or below. [-]

    Examples
    --------
    >>> at_or_below([270.95, 271.5], 270.9277777777778).tolist()
    [True, False]
    """
    compared = degf_of(temperature_k) if exact else whole_degf(temperature_k)
    result: NDArray[np.bool_] = compared <= degf_of(threshold_k) + SAME_DEGF
    return result
