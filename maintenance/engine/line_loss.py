"""Head that water loses in a full pipe, array in and array out."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.constants import STANDARD_GRAVITY

Array = NDArray[np.float64]

HAZEN_WILLIAMS_EXPONENT = 1.852
"""Power of the flow in the form of Hazen and Williams that EPANET uses [-]."""


def mean_velocity(flow_m3_per_s: ArrayLike, inside_diameter_m: ArrayLike) -> Array:
    """Mean speed of water in a full pipe.

    Parameters
    ----------
    flow_m3_per_s : array_like
        Flow [m3/s].
    inside_diameter_m : array_like
        Bore, above 0 [m].

    Returns
    -------
    ndarray
        Flow over the area of the bore [m/s].

    Examples
    --------
    >>> round(float(mean_velocity(0.001, 0.05)), 4)
    0.5093
    """
    bore = np.asarray(inside_diameter_m, dtype=np.float64)
    result: Array = np.asarray(flow_m3_per_s) / (0.25 * np.pi * bore**2)
    return result


def head_loss_hazen_williams(
    flow_m3_per_s: ArrayLike,
    inside_diameter_m: ArrayLike,
    length_m: ArrayLike,
    c: ArrayLike = 150.0,
) -> Array:
    """Head lost to friction by the trade's own formula.

    Parameters
    ----------
    flow_m3_per_s : array_like
        Flow, at least 0 [m3/s].
    inside_diameter_m : array_like
        Bore, above 0 [m].
    length_m : array_like
        Length [m].
    c : array_like
        Coefficient of the pipe: 150 new plastic, 130 steel, 100 old steel [-].

    Returns
    -------
    ndarray
        Head lost [m].

    Notes
    -----
    10.67 L Q^1.852 / (C^1.852 D^4.8704), for turbulent water near 60 degF. The form
    is EPANET's 4.727 L q^1.852 / (C^1.852 D^4.871) in feet (OpenWaterAnalytics,
    discussion 9). Handbooks print constants that differ by 1.1 %. Coefficients: USDA-
    NRCS 430HH, May 2002 (plastic 150), as copied at docsbay.net.

    Examples
    --------
    >>> round(float(head_loss_hazen_williams(0.001, 0.05, 100.0)), 4)
    0.6006
    """
    flow = np.asarray(flow_m3_per_s, dtype=np.float64)
    result: Array = (
        10.67
        * np.asarray(length_m)
        * (flow / np.asarray(c)) ** HAZEN_WILLIAMS_EXPONENT
        / np.asarray(inside_diameter_m, dtype=np.float64) ** 4.8704
    )
    return result


def head_loss_darcy_weisbach(
    friction_factor: ArrayLike,
    velocity_m_per_s: ArrayLike,
    inside_diameter_m: ArrayLike,
    length_m: ArrayLike,
) -> Array:
    """Head lost to friction from the Darcy friction factor.

    Parameters
    ----------
    friction_factor : array_like
        Darcy friction factor [-].
    velocity_m_per_s : array_like
        Mean speed [m/s].
    inside_diameter_m : array_like
        Bore, above 0 [m].
    length_m : array_like
        Length [m].

    Returns
    -------
    ndarray
        Head lost [m].

    Notes
    -----
    f (L/D) v^2/(2 g), by definition of f.

    Examples
    --------
    >>> round(float(head_loss_darcy_weisbach(0.02, 1.0, 0.05, 100.0)), 4)
    2.0394
    """
    speed = np.asarray(velocity_m_per_s, dtype=np.float64)
    result: Array = (
        np.asarray(friction_factor)
        * (np.asarray(length_m) / np.asarray(inside_diameter_m))
        * speed**2
        / (2.0 * STANDARD_GRAVITY)
    )
    return result


def outlet_factor_christiansen(
    outlets: ArrayLike, exponent: float = HAZEN_WILLIAMS_EXPONENT
) -> Array:
    """Share of the head loss that is left where the flow goes out along the way.

    Parameters
    ----------
    outlets : array_like
        Number of outlets of equal flow and spacing, the first one spacing in from
        the inlet and the last at the end; a whole number, at least 1 [-].
    exponent : float
        Power m of the flow in the loss, above 1 [-].

    Returns
    -------
    ndarray
        Loss over the loss of a pipe that carries the whole flow to its end [-].

    Notes
    -----
    F = 1/(m + 1) + 1/(2 N) + sqrt(m - 1)/(6 N^2); for N = 1 it gives 1.0045, where 1
    is exact and taken. Where the first outlet is half a spacing in, the factor is
    lower. Source: J. E. Christiansen, Irrigation by Sprinkling, University of
    California, Agricultural Experiment Station, bulletin 670, 1942 (equation from
    memory; a test compares it with the sum over the reaches).

    Examples
    --------
    >>> [round(float(f), 3) for f in outlet_factor_christiansen([1, 10, 36])]
    [1.0, 0.402, 0.365]
    """
    n = np.asarray(outlets, dtype=np.float64)
    factor = 1.0 / (exponent + 1.0) + 0.5 / n + np.sqrt(exponent - 1.0) / (6.0 * n**2)
    result: Array = np.where(n == 1.0, 1.0, factor)
    return result
