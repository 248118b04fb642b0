"""Darcy friction factors, array in and array out."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

_LEAST_REYNOLDS = 1e-6


def reynolds_number(
    velocity_m_per_s: ArrayLike,
    inside_diameter_m: ArrayLike,
    kinematic_viscosity_m2_per_s: ArrayLike,
) -> Array:
    """Reynolds number of flow in a pipe.

    Parameters
    ----------
    velocity_m_per_s : array_like
        Mean speed over the bore [m/s].
    inside_diameter_m : array_like
        Bore [m].
    kinematic_viscosity_m2_per_s : array_like
        Viscosity over density, above 0 [m2/s].

    Returns
    -------
    ndarray
        Reynolds number [-].
    """
    result: Array = (
        np.asarray(velocity_m_per_s, dtype=np.float64)
        * np.asarray(inside_diameter_m)
        / np.asarray(kinematic_viscosity_m2_per_s)
    )
    return result


def darcy_churchill(reynolds: ArrayLike, relative_roughness: ArrayLike) -> Array:
    """Friction factor of all regimes in one smooth expression.

    It has no jump at the transition, which matters where a column comes to rest.

    Parameters
    ----------
    reynolds : array_like
        Reynolds number, at least 0; below 1e-6 it counts as 1e-6 [-].
    relative_roughness : array_like
        Roughness over inside diameter, 0 to 0.05 [-].

    Returns
    -------
    ndarray
        Darcy friction factor [-].

    Notes
    -----
    f = 8 [(8/Re)^12 + (A + B)^-1.5]^(1/12),
    A = [2.457 ln(1 / ((7/Re)^0.9 + 0.27 e/D))]^16, B = (37530/Re)^16.
    Source: S. W. Churchill, Chemical Engineering 84(24), 91-92, 1977, as coded in
    the open library ``fluids`` 1.3.1 (agreement to round-off is tested).

    Examples
    --------
    >>> round(float(darcy_churchill(1e5, 1e-4)), 6)
    0.018463
    """
    re = np.maximum(np.asarray(reynolds, dtype=np.float64), _LEAST_REYNOLDS)
    rough = np.asarray(relative_roughness, dtype=np.float64)
    a = (2.457 * np.log(1.0 / ((7.0 / re) ** 0.9 + 0.27 * rough))) ** 16
    b = (37530.0 / re) ** 16
    result: Array = 8.0 * ((8.0 / re) ** 12 + (a + b) ** -1.5) ** (1.0 / 12.0)
    return result


def darcy_haaland(reynolds: ArrayLike, relative_roughness: ArrayLike) -> Array:
    """Friction factor of turbulent flow, explicit.

    Parameters
    ----------
    reynolds : array_like
        Reynolds number, 4e3 to 1e8 [-].
    relative_roughness : array_like
        Roughness over inside diameter, 1e-6 to 0.05 [-].

    Returns
    -------
    ndarray
        Darcy friction factor [-].

    Notes
    -----
    1/sqrt(f) = -1.8 log10((e/3.7D)^1.11 + 6.9/Re).
    Source: S. E. Haaland, J. Fluids Eng. 105(1), 89-90, 1983, as coded in
    ``fluids`` 1.3.1.

    Examples
    --------
    >>> round(float(darcy_haaland(1e5, 1e-4)), 6)
    0.018265
    """
    re = np.asarray(reynolds, dtype=np.float64)
    rough = np.asarray(relative_roughness, dtype=np.float64)
    result: Array = (-1.8 * np.log10((rough / 3.7) ** 1.11 + 6.9 / re)) ** -2
    return result


def darcy_colebrook(reynolds: ArrayLike, relative_roughness: ArrayLike) -> Array:
    """Friction factor of turbulent flow, the implicit standard.

    Parameters
    ----------
    reynolds : array_like
        Reynolds number, 4e3 to 1e8 [-].
    relative_roughness : array_like
        Roughness over inside diameter, 0 to 0.05 [-].

    Returns
    -------
    ndarray
        Darcy friction factor [-].

    Notes
    -----
    1/sqrt(f) = -2 log10(e/3.7D + 2.51/(Re sqrt(f))), solved by Newton steps from
    Haaland's value. Source: C. F. Colebrook, J. Inst. Civ. Eng. 11, 133, 1939.

    Examples
    --------
    >>> round(float(darcy_colebrook(1e5, 1e-4)), 6)
    0.018514
    """
    re = np.asarray(reynolds, dtype=np.float64)
    rough = np.asarray(relative_roughness, dtype=np.float64) / 3.7
    slope = 2.51 / re
    x = 1.0 / np.sqrt(darcy_haaland(re, rough * 3.7))
    for _ in range(6):
        inner = rough + slope * x
        x = x - (x + 2.0 * np.log10(inner)) / (
            1.0 + 2.0 * slope / (inner * np.log(10.0))
        )
    result: Array = x**-2
    return result
