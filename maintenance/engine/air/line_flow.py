"""Air through a line with friction: isothermal with choking, and Fanno."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.air.properties import viscosity
from maintenance.engine.constants import GAS_CONSTANT_AIR, HEAT_RATIO_AIR
from maintenance.engine.friction import darcy_churchill

Array = NDArray[np.float64]


def choke_ratio_isothermal(resistance: ArrayLike) -> Array:
    """Outlet over inlet pressure at which isothermal flow chokes.

    It depends on the resistance alone, so a loop computes it once.

    Parameters
    ----------
    resistance : array_like
        f L/D + sum of K, at least 0 [-].

    Returns
    -------
    ndarray
        Ratio of absolute pressures, 0 to 1 [-].

    Notes
    -----
    x - 1 - ln x = resistance with x = (p_in/p_out)^2. Newton's steps from
    1 + sqrt(2u) + u, which lies above the root (I. Chatzigeorgiou, IEEE Comm.
    Letters 17(8), 1505, 2013) so that they fall on it without overshoot.

    Examples
    --------
    >>> round(float(choke_ratio_isothermal(0.022 * 30 / 0.0266)), 4)
    0.1851
    """
    u = np.asarray(resistance, dtype=np.float64)
    x = 1.0 + np.sqrt(2.0 * u) + u
    for _ in range(6):
        slope = 1.0 - 1.0 / x
        x = x - (x - 1.0 - np.log(x) - u) / np.where(slope > 0.0, slope, 1.0)
    result: Array = 1.0 / np.sqrt(x)
    return result


def mass_flow_isothermal(
    pressure_in_abs_pa: ArrayLike,
    pressure_out_abs_pa: ArrayLike,
    *,
    temperature_k: ArrayLike,
    inside_diameter_m: ArrayLike,
    resistance: ArrayLike,
    choke_ratio: ArrayLike | None = None,
) -> Array:
    """Mass flow of air through a line at one temperature, choked where it must be.

    Parameters
    ----------
    pressure_in_abs_pa : array_like
        Absolute pressure at the inlet [Pa].
    pressure_out_abs_pa : array_like
        Absolute pressure beyond the outlet, at least 0 [Pa].
    temperature_k : array_like
        Temperature of the air [K].
    inside_diameter_m : array_like
        Bore [m].
    resistance : array_like
        f L/D + sum of K, above 0 [-].
    choke_ratio : array_like, optional
        Result of `choke_ratio_isothermal`, to spare it in a loop [-].

    Returns
    -------
    ndarray
        Mass flow; 0 where the inlet pressure is not above the outlet's [kg/s].

    Notes
    -----
    m^2 = A^2 (p1^2 - p2^2) / {R T [f L/D + K + 2 ln(p1/p2)]}.
    Source: Crane TP-410 (2009), equation 1-6, as given in the ``fluids``
    documentation of ``isothermal_gas``; that function needs the density at inlet
    pressure to agree, though its documentation says average.

    Examples
    --------
    >>> flow = mass_flow_isothermal(446064.0, 300000.0, temperature_k=293.15,
    ...     inside_diameter_m=0.0266, resistance=0.022 * 30 / 0.0266)
    >>> round(float(flow), 5)
    0.12498
    """
    p_in = np.asarray(pressure_in_abs_pa, dtype=np.float64)
    p_out = np.asarray(pressure_out_abs_pa, dtype=np.float64)
    ratio = choke_ratio_isothermal(resistance) if choke_ratio is None else choke_ratio
    flows = p_in > p_out
    p_end = np.maximum(p_out, p_in * np.asarray(ratio))
    # Where nothing flows any ratio below 1 keeps the logarithm and the root finite.
    y = np.where(flows, p_end / np.where(flows, p_in, 1.0), 0.5)
    area = 0.25 * np.pi * np.square(np.asarray(inside_diameter_m, dtype=np.float64))
    speed2 = GAS_CONSTANT_AIR * np.asarray(temperature_k, dtype=np.float64)
    inner = (1.0 - y * y) / (speed2 * (np.asarray(resistance) - 2.0 * np.log(y)))
    result: Array = np.where(flows, area * p_in * np.sqrt(inner), 0.0)
    return result


def pressure_out_isothermal(
    pressure_in_abs_pa: ArrayLike,
    mass_flow_kg_per_s: ArrayLike,
    *,
    temperature_k: ArrayLike,
    inside_diameter_m: ArrayLike,
    resistance: ArrayLike,
) -> Array:
    """Outlet pressure of a line that carries a given mass flow of air.

    Parameters
    ----------
    pressure_in_abs_pa : array_like
        Absolute pressure at the inlet, above 0 [Pa].
    mass_flow_kg_per_s : array_like
        Mass flow [kg/s].
    temperature_k : array_like
        Temperature of the air [K].
    inside_diameter_m : array_like
        Bore [m].
    resistance : array_like
        f L/D + sum of K, above 0 [-].

    Returns
    -------
    ndarray
        Absolute outlet pressure; not-a-number where the line cannot pass so
        much (it chokes first) [Pa].

    Notes
    -----
    The equation of `mass_flow_isothermal` for y = (p2/p1)^2: 1 - y - c (r - ln y)
    = 0 with c = R T (m/(A p1))^2. The root lies between c and 1 and Newton's
    steps from 1 fall on it.

    Examples
    --------
    >>> p = pressure_out_isothermal(446064.0, 0.12498, temperature_k=293.15,
    ...     inside_diameter_m=0.0266, resistance=0.022 * 30 / 0.0266)
    >>> round(float(p), -2)
    300000.0
    """
    p_in = np.asarray(pressure_in_abs_pa, dtype=np.float64)
    area = 0.25 * np.pi * np.square(np.asarray(inside_diameter_m, dtype=np.float64))
    speed2 = GAS_CONSTANT_AIR * np.asarray(temperature_k, dtype=np.float64)
    flux = np.asarray(mass_flow_kg_per_s, dtype=np.float64) / (area * p_in)
    c = speed2 * np.square(flux)
    r = np.asarray(resistance, dtype=np.float64)
    bounded = np.clip(c, 1e-300, 1.0)
    possible = (c < 1.0) & (1.0 - bounded - c * (r - np.log(bounded)) >= 0.0)
    y = np.ones_like(c * r)
    for _ in range(60):
        slope = -1.0 + c / y
        step = (1.0 - y - c * (r - np.log(y))) / np.where(slope < 0.0, slope, -1.0)
        y = np.where(possible, np.maximum(y - step, bounded), 1.0)
    result: Array = np.where(possible, p_in * np.sqrt(y), np.nan)
    return result


def mass_flow_line(
    pressure_in_abs_pa: ArrayLike,
    pressure_out_abs_pa: ArrayLike,
    *,
    temperature_k: ArrayLike,
    inside_diameter_m: ArrayLike,
    length_m: ArrayLike,
    roughness_m: ArrayLike,
    losses: ArrayLike = 0.0,
) -> tuple[Array, Array]:
    """Mass flow of air through a line whose friction follows from its roughness.

    Parameters
    ----------
    pressure_in_abs_pa : array_like
        Absolute pressure at the inlet [Pa].
    pressure_out_abs_pa : array_like
        Absolute pressure beyond the outlet [Pa].
    temperature_k : array_like
        Temperature of the air [K].
    inside_diameter_m : array_like
        Bore [m].
    length_m : array_like
        Length [m].
    roughness_m : array_like
        Roughness of the wall [m].
    losses : array_like
        Sum of the loss coefficients K of fittings [-].

    Returns
    -------
    tuple of ndarray
        Mass flow and Darcy friction factor [kg/s, -].

    Notes
    -----
    Isothermal flow with Churchill's factor at the Reynolds number of the result;
    the factor is nearly flat, so ten repetitions settle to round-off.
    """
    bore = np.asarray(inside_diameter_m, dtype=np.float64)
    rough = np.asarray(roughness_m) / bore
    scale = np.pi * bore * viscosity(temperature_k) / 4.0
    factor: Array = np.asarray(0.02, dtype=np.float64)
    for _ in range(10):
        flow = mass_flow_isothermal(
            pressure_in_abs_pa,
            pressure_out_abs_pa,
            temperature_k=temperature_k,
            inside_diameter_m=bore,
            resistance=factor * np.asarray(length_m) / bore + np.asarray(losses),
        )
        factor = darcy_churchill(np.maximum(flow / scale, 1.0), rough)
    return flow, factor


def length_parameter_fanno(
    mach: ArrayLike, heat_ratio: ArrayLike = HEAT_RATIO_AIR
) -> Array:
    """Length of duct to the sonic end in adiabatic flow with friction.

    Parameters
    ----------
    mach : array_like
        Mach number at the inlet, above 0 [-].
    heat_ratio : array_like
        Ratio of specific heats, above 1 [-].

    Returns
    -------
    ndarray
        f L*/D [-].

    Notes
    -----
    (1 - M^2)/(k M^2) + (k + 1)/(2k) ln[(k + 1) M^2/(2 + (k - 1) M^2)].
    Source: standard gas dynamics (A. H. Shapiro, 1953), from memory; the printed
    table value 1.0691 at M = 0.5 is tested.

    Examples
    --------
    >>> round(float(length_parameter_fanno(0.5)), 4)
    1.0691
    """
    m2 = np.square(np.asarray(mach, dtype=np.float64))
    k = np.asarray(heat_ratio, dtype=np.float64)
    first = (1.0 - m2) / (k * m2)
    second = (k + 1.0) / (2.0 * k)
    result: Array = first + second * np.log((k + 1.0) * m2 / (2.0 + (k - 1.0) * m2))
    return result
