"""Leaks: what a test may lose, and what a meter shows, array in and array out."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

_GALLON_M3 = 3.785411784e-3
_FOOT_M = 0.3048
_INCH_M = 0.0254
_PSI_PA = 6894.757293168361

_C605 = _GALLON_M3 / 3600.0 / (148_000.0 * _FOOT_M * _INCH_M * _PSI_PA**0.5)
_AMERICAN_FORK = 0.5 * _GALLON_M3 / (_INCH_M * 1000.0 * _FOOT_M)


def leak_allowance_c605(
    length_m: ArrayLike, nominal_diameter_m: ArrayLike, pressure_pa: ArrayLike
) -> Array:
    """Make-up water that the standard for gasketed PVC mains allows in a test.

    Parameters
    ----------
    length_m : array_like
        Length under test [m].
    nominal_diameter_m : array_like
        Nominal, not true, diameter [m].
    pressure_pa : array_like
        Mean gauge pressure of the test, at least 0 [Pa].

    Returns
    -------
    ndarray
        Flow of make-up water [m3/s].

    Notes
    -----
    L D sqrt(P)/148,000 gal/h with ft, in and psi. Source: AWWA C605-05, formula and
    table as copied at dnrweblink.state.co.us, document 914792, p. 52. An upper bound
    only: a solvent-welded main should lose nothing.

    Examples
    --------
    >>> ours = leak_allowance_c605(304.8, 0.254, 689475.7)
    >>> round(float(ours) * 3600.0 / 3.785411784e-3, 2)
    0.68
    """
    result: Array = (
        _C605
        * np.asarray(length_m, dtype=np.float64)
        * np.asarray(nominal_diameter_m)
        * np.sqrt(np.asarray(pressure_pa, dtype=np.float64))
    )
    return result


def leak_volume_american_fork(
    length_m: ArrayLike, nominal_diameter_m: ArrayLike
) -> Array:
    """Water that one city's code allows in its test of two hours.

    Parameters
    ----------
    length_m : array_like
        Length under test [m].
    nominal_diameter_m : array_like
        Nominal diameter [m].

    Returns
    -------
    ndarray
        Volume in the whole test [m3].

    Notes
    -----
    0.5 gal for each inch of diameter and 1000 ft. Source: American Fork (Utah), city
    code 15.01.790.

    Examples
    --------
    >>> round(float(leak_volume_american_fork(152.4, 0.0508)) / 3.785411784e-3, 3)
    0.5
    """
    result: Array = (
        _AMERICAN_FORK
        * np.asarray(length_m, dtype=np.float64)
        * np.asarray(nominal_diameter_m)
    )
    return result


def leak_from_meter(volume_m3: ArrayLike, duration_s: ArrayLike) -> Array:
    """Mean leak that a water meter shows while nothing is drawn.

    Parameters
    ----------
    volume_m3 : array_like
        Second reading less the first [m3].
    duration_s : array_like
        Time between them, above 0 [s].

    Returns
    -------
    ndarray
        Flow [m3/s].

    Examples
    --------
    >>> float(leak_from_meter(0.036, 3600.0))
    1e-05
    """
    result: Array = np.asarray(volume_m3, dtype=np.float64) / np.asarray(duration_s)
    return result
