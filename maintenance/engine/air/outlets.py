"""Air through an opening: a sprinkler head, a drain, an open end.

A head is known by its water coefficient K (q = K sqrt(p)). For air it is taken as
a nozzle with the same effective area; the control-valve equation with the same K
is a second, independent route that gives more, and the two bracket the truth.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.constants import (
    GAS_CONSTANT_AIR,
    HEAT_RATIO_AIR,
    WATER_DENSITY,
)

Array = NDArray[np.float64]

_K = HEAT_RATIO_AIR
_CRITICAL = (2.0 / (_K + 1.0)) ** (_K / (_K - 1.0))
_NOZZLE = 2.0 * _K / ((_K - 1.0) * GAS_CONSTANT_AIR)


def outlet_coefficient(flow_m3_per_s: ArrayLike, pressure_pa: ArrayLike) -> Array:
    """Coefficient K of an outlet from one point of its water flow.

    Parameters
    ----------
    flow_m3_per_s : array_like
        Water flow, at least 0 [m3/s].
    pressure_pa : array_like
        Gauge pressure at which it flows, above 0 [Pa].

    Returns
    -------
    ndarray
        K in q = K sqrt(p) [m3/s/Pa^0.5].

    Notes
    -----
    The exponent 0.5 is that of a nozzle; EPANET's documentation says the same of
    sprinklers and nozzles. A pressure-regulated head has no single K.
    """
    result: Array = np.asarray(flow_m3_per_s, dtype=np.float64) / np.sqrt(
        np.asarray(pressure_pa, dtype=np.float64)
    )
    return result


def water_flow_from_k(k_si: ArrayLike, pressure_pa: ArrayLike) -> Array:
    """Water flow of an outlet at a pressure.

    Parameters
    ----------
    k_si : array_like
        K in q = K sqrt(p) [m3/s/Pa^0.5].
    pressure_pa : array_like
        Gauge pressure, at least 0 [Pa].

    Returns
    -------
    ndarray
        Water flow [m3/s].

    Notes
    -----
    The inverse of `outlet_coefficient`, with the same exponent.

    Examples
    --------
    >>> float(water_flow_from_k(2e-6, 250_000.0))
    0.001
    """
    result: Array = np.asarray(k_si, dtype=np.float64) * np.sqrt(
        np.asarray(pressure_pa, dtype=np.float64)
    )
    return result


def effective_area_from_k(k_si: ArrayLike) -> Array:
    """Effective area of an outlet from its water coefficient.

    Parameters
    ----------
    k_si : array_like
        K in q = K sqrt(p) [m3/s/Pa^0.5].

    Returns
    -------
    ndarray
        Discharge coefficient times area [m2].

    Notes
    -----
    q = C_d A sqrt(2 p/rho) and q = K sqrt(p) give C_d A = K sqrt(rho/2).

    Examples
    --------
    >>> k = 6.30902e-5 / 6894.757**0.5  # 1 gpm per square root of psi
    >>> round(float(effective_area_from_k(k)) * 1e6, 2)
    16.99
    """
    result: Array = np.asarray(k_si, dtype=np.float64) * np.sqrt(WATER_DENSITY / 2.0)
    return result


def critical_pressure(
    pressure_abs_pa: ArrayLike, heat_ratio: ArrayLike = HEAT_RATIO_AIR
) -> Array:
    """Pressure in the throat of a nozzle when it chokes.

    Parameters
    ----------
    pressure_abs_pa : array_like
        Absolute stagnation pressure upstream [Pa].
    heat_ratio : array_like
        Ratio of specific heats, above 1 [-].

    Returns
    -------
    ndarray
        Absolute pressure; 0.5283 of the upstream one for air [Pa].

    Examples
    --------
    >>> round(float(critical_pressure(1.4e6, 1.289)))
    766813
    """
    k = np.asarray(heat_ratio, dtype=np.float64)
    ratio = (2.0 / (k + 1.0)) ** (k / (k - 1.0))
    result: Array = np.asarray(pressure_abs_pa, dtype=np.float64) * ratio
    return result


def mass_flow_nozzle(
    effective_area_m2: ArrayLike,
    pressure_abs_pa: ArrayLike,
    back_pressure_abs_pa: ArrayLike,
    temperature_k: ArrayLike,
) -> Array:
    """Mass flow of air through an isentropic nozzle, choked where it must be.

    Parameters
    ----------
    effective_area_m2 : array_like
        Discharge coefficient times area, at least 0 [m2].
    pressure_abs_pa : array_like
        Absolute stagnation pressure upstream [Pa].
    back_pressure_abs_pa : array_like
        Absolute pressure downstream [Pa].
    temperature_k : array_like
        Stagnation temperature upstream [K].

    Returns
    -------
    ndarray
        Mass flow; 0 where the pressure upstream is not the higher [kg/s].

    Notes
    -----
    m = C_d A p0 sqrt{2k/[(k-1) R T0] (r^(2/k) - r^((k+1)/k))}, r = max(p_b/p0,
    0.5283). Source: standard gas dynamics; the critical pressure ratio is checked
    against Cengel and Cimbala, example 12.4, as given in the ``fluids``
    documentation.

    Examples
    --------
    >>> flow = mass_flow_nozzle(16.99e-6, 446063.0, 101325.0, 293.15)
    >>> round(float(flow), 5)
    0.01789
    """
    p0 = np.asarray(pressure_abs_pa, dtype=np.float64)
    back = np.asarray(back_pressure_abs_pa, dtype=np.float64)
    r = np.clip(back / np.where(p0 > 0.0, p0, 1.0), _CRITICAL, 1.0)
    a = r ** (1.0 / _K)
    # r^(2/k) - r^((k+1)/k) = a (a - r): one power instead of two.
    inner = _NOZZLE * a * np.maximum(a - r, 0.0) / np.asarray(temperature_k)
    flow: Array = np.asarray(effective_area_m2) * p0 * np.sqrt(inner)
    result: Array = np.where(p0 > back, flow, 0.0)
    return result


def mass_flow_valve_iec(
    k_si: ArrayLike,
    pressure_abs_pa: ArrayLike,
    back_pressure_abs_pa: ArrayLike,
    temperature_k: ArrayLike,
    x_t: ArrayLike = 0.7,
    *,
    heat_ratio: float = HEAT_RATIO_AIR,
    gas_constant: float = GAS_CONSTANT_AIR,
    compressibility: float = 1.0,
) -> Array:
    """Mass flow of a gas through a valve of known water coefficient.

    Parameters
    ----------
    k_si : array_like
        K in q = K sqrt(p) for water [m3/s/Pa^0.5].
    pressure_abs_pa : array_like
        Absolute pressure upstream [Pa].
    back_pressure_abs_pa : array_like
        Absolute pressure downstream [Pa].
    temperature_k : array_like
        Temperature upstream [K].
    x_t : array_like
        Pressure-drop ratio factor of the opening, 0.6 to 0.8 for heads [-].
    heat_ratio : float
        Ratio of specific heats [-].
    gas_constant : float
        Specific gas constant [J/kg/K].
    compressibility : float
        Compressibility factor upstream [-].

    Returns
    -------
    ndarray
        Mass flow; 0 where the pressure upstream is not the higher [kg/s].

    Notes
    -----
    W = C Y sqrt(x p1 rho1), Y = 1 - x/(3 F x_T), F = k/1.4, x at most F x_T,
    turbulent, without reducers. Source: IEC 60534-2-1 / ISA-75.01 as coded in
    ``fluids`` 1.3.1 (``size_control_valve_g``).
    """
    p1 = np.asarray(pressure_abs_pa, dtype=np.float64)
    positive = np.where(p1 > 0.0, p1, 1.0)
    drop = 1.0 - np.asarray(back_pressure_abs_pa, dtype=np.float64) / positive
    limit = heat_ratio / 1.4 * np.asarray(x_t, dtype=np.float64)
    x = np.clip(drop, 0.0, limit)
    expansion = 1.0 - x / (3.0 * limit)
    rho = positive / (compressibility * gas_constant * np.asarray(temperature_k))
    flow = np.asarray(k_si) * expansion * np.sqrt(WATER_DENSITY * x * positive * rho)
    result: Array = np.where(p1 > 0.0, flow, 0.0)
    return result


def second_route_ratio(
    pressure_abs_pa: ArrayLike,
    back_pressure_abs_pa: ArrayLike,
    x_t: ArrayLike = 0.7,
) -> Array:
    """Air by the control-valve equation over air by the nozzle law, same K.

    Parameters
    ----------
    pressure_abs_pa : array_like
        Absolute pressure upstream [Pa].
    back_pressure_abs_pa : array_like
        Absolute pressure downstream [Pa].
    x_t : array_like
        Pressure-drop ratio factor of the opening [-].

    Returns
    -------
    ndarray
        Ratio, 1 where nothing flows; about 1.07 to 1.25 above 20 psi [-].
    """
    p = np.asarray(pressure_abs_pa, dtype=np.float64)
    nozzle = mass_flow_nozzle(
        effective_area_from_k(1.0), p, back_pressure_abs_pa, 300.0
    )
    valve = mass_flow_valve_iec(1.0, p, back_pressure_abs_pa, 300.0, x_t)
    result: Array = np.where(
        nozzle > 0.0, valve / np.where(nozzle > 0, nozzle, 1.0), 1.0
    )
    return result
