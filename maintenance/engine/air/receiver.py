"""Compressor and receiver: how much air is stored, how long it lasts, how it empties."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.air.outlets import critical_pressure, mass_flow_nozzle
from maintenance.engine.constants import GAS_CONSTANT_AIR, HEAT_RATIO_AIR

Array = NDArray[np.float64]

_K = HEAT_RATIO_AIR
_CHOKED = _K**0.5 * (2.0 / (_K + 1.0)) ** ((_K + 1.0) / (2.0 * (_K - 1.0)))
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(48)


def free_air_stored(
    volume_m3: ArrayLike,
    pressure_high_pa: ArrayLike,
    pressure_low_pa: ArrayLike,
    atmospheric_pa: ArrayLike,
) -> Array:
    """Free air that a receiver gives between two pressures.

    Parameters
    ----------
    volume_m3 : array_like
        Volume of the receiver [m3].
    pressure_high_pa : array_like
        Pressure before, gauge or absolute like the next [Pa].
    pressure_low_pa : array_like
        Pressure after [Pa].
    atmospheric_pa : array_like
        Absolute air pressure at the site [Pa].

    Returns
    -------
    ndarray
        Volume at air pressure and receiver temperature [m3].

    Notes
    -----
    V (p_high - p_low)/p_atm. Source: US Department of Energy / Oak Ridge
    compressed-air tool (AMO-Tools-Suite), receiver calculator and its unit tests.

    Examples
    --------
    >>> round(float(free_air_stored(660 / 7.48, 110, 100, 14.7)), 2)
    60.02
    """
    drop = np.asarray(pressure_high_pa, dtype=np.float64) - np.asarray(pressure_low_pa)
    result: Array = np.asarray(volume_m3) * drop / np.asarray(atmospheric_pa)
    return result


def receiver_volume_needed(
    flow_m3_per_s: ArrayLike,
    duration_s: ArrayLike,
    pressure_high_pa: ArrayLike,
    pressure_low_pa: ArrayLike,
    atmospheric_pa: ArrayLike,
) -> Array:
    """Receiver that covers a demand beyond the supply for a while.

    Parameters
    ----------
    flow_m3_per_s : array_like
        Free air taken less free air delivered [m3/s].
    duration_s : array_like
        How long [s].
    pressure_high_pa : array_like
        Pressure at the start [Pa].
    pressure_low_pa : array_like
        Lowest pressure that still serves [Pa].
    atmospheric_pa : array_like
        Absolute air pressure at the site [Pa].

    Returns
    -------
    ndarray
        Volume [m3].

    Notes
    -----
    t (Q_demand - Q_supply) p_atm/(p_high - p_low). Source: as `free_air_stored`.
    """
    drop = np.asarray(pressure_high_pa, dtype=np.float64) - np.asarray(pressure_low_pa)
    air = np.asarray(flow_m3_per_s, dtype=np.float64) * np.asarray(duration_s)
    result: Array = air * np.asarray(atmospheric_pa) / drop
    return result


def free_air_reciprocating(
    bore_m: float,
    stroke_m: float,
    speed_per_s: float,
    clearance: float,
    pressure_ratio: float,
    exponent: float = 1.3,
    density_ratio: float = 1.0,
) -> float:
    """Free air of a one-cylinder, one-stage compressor without leaks.

    Parameters
    ----------
    bore_m : float
        Bore of the cylinder [m].
    stroke_m : float
        Stroke [m].
    speed_per_s : float
        Strokes per time [1/s].
    clearance : float
        Clearance volume over swept volume [-].
    pressure_ratio : float
        Delivery over inlet pressure, absolute, above 1 [-].
    exponent : float
        Polytropic exponent of compression and re-expansion [-].
    density_ratio : float
        Density in the cylinder at intake over that of the free air [-].

    Returns
    -------
    float
        Free air delivery [m3/s].

    Notes
    -----
    Swept volume times 1 + c - c r^(1/n) times the density ratio. Source: textbook on compressors, chapter
    14, example 1, as reproduced in an open data set of mathematics pages; the
    result there, 3.814 m3/min of free air, is tested.

    Examples
    --------
    >>> flow = free_air_reciprocating(0.2, 0.3, 500 / 60, 0.05, 550 / 97,
    ...     density_ratio=97 / 101.325 * 288.15 / 293.15)
    >>> round(flow * 60, 3)
    3.814
    """
    swept = 0.25 * np.pi * bore_m**2 * stroke_m * speed_per_s
    share = 1.0 + clearance - clearance * pressure_ratio ** (1.0 / exponent)
    return float(swept * share * density_ratio)


def blowdown_time_isothermal(
    volume_m3: float,
    effective_area_m2: float,
    pressure_high_abs_pa: float,
    pressure_low_abs_pa: float,
    temperature_k: float,
    back_pressure_abs_pa: float,
) -> float:
    """Time in which a receiver empties while its air keeps its temperature.

    Parameters
    ----------
    volume_m3 : float
        Volume of the receiver [m3].
    effective_area_m2 : float
        Discharge coefficient times area of the opening [m2].
    pressure_high_abs_pa : float
        Absolute pressure at the start [Pa].
    pressure_low_abs_pa : float
        Absolute pressure at the end, not below the back pressure [Pa].
    temperature_k : float
        Temperature of the air [K].
    back_pressure_abs_pa : float
        Absolute pressure outside [Pa].

    Returns
    -------
    float
        Time [s].

    Notes
    -----
    Choked: p = p0 exp(-t/tau), tau = V/(0.6847 C_d A sqrt(R T)); below the choking
    pressure the mass balance is integrated (Gauss-Legendre in the square root of
    the pressure above the outside).
    """
    tau = _time_constant(volume_m3, effective_area_m2, temperature_k)
    border = _border(pressure_high_abs_pa, pressure_low_abs_pa, back_pressure_abs_pa)
    choked = tau * float(np.log(pressure_high_abs_pa / border))

    p, dp = _pressures(border, pressure_low_abs_pa, back_pressure_abs_pa)
    flow = mass_flow_nozzle(effective_area_m2, p, back_pressure_abs_pa, temperature_k)
    tail = np.sum(dp / flow) * volume_m3 / (GAS_CONSTANT_AIR * temperature_k)
    return choked + (float(tail) if border > pressure_low_abs_pa else 0.0)


def blowdown_time_adiabatic(
    volume_m3: float,
    effective_area_m2: float,
    pressure_high_abs_pa: float,
    pressure_low_abs_pa: float,
    temperature_k: float,
    back_pressure_abs_pa: float,
) -> float:
    """Time in which a receiver empties without taking heat from its wall.

    Parameters
    ----------
    volume_m3 : float
        Volume of the receiver [m3].
    effective_area_m2 : float
        Discharge coefficient times area of the opening [m2].
    pressure_high_abs_pa : float
        Absolute pressure at the start [Pa].
    pressure_low_abs_pa : float
        Absolute pressure at the end, not below the back pressure [Pa].
    temperature_k : float
        Temperature of the air at the start [K].
    back_pressure_abs_pa : float
        Absolute pressure outside [Pa].

    Returns
    -------
    float
        Time; the truth lies between this and the isothermal time [s].

    Notes
    -----
    Choked: p = p0 [1 + (k-1)/2 t/tau]^(-2k/(k-1)) with tau of the isothermal case;
    below the choking pressure integrated as there, the air cooling with the
    pressure.
    """
    tau = _time_constant(volume_m3, effective_area_m2, temperature_k)
    border = _border(pressure_high_abs_pa, pressure_low_abs_pa, back_pressure_abs_pa)
    exponent = (_K - 1.0) / (2.0 * _K)
    fall = (pressure_high_abs_pa / border) ** exponent - 1.0
    choked = float(2.0 * tau / (_K - 1.0) * fall)

    p, dp = _pressures(border, pressure_low_abs_pa, back_pressure_abs_pa)
    cooled = temperature_k * (p / pressure_high_abs_pa) ** (2.0 * exponent)
    flow = mass_flow_nozzle(effective_area_m2, p, back_pressure_abs_pa, cooled)
    tail = np.sum(dp / (flow * cooled)) * volume_m3 / (_K * GAS_CONSTANT_AIR)
    return choked + (float(tail) if border > pressure_low_abs_pa else 0.0)


def _time_constant(volume_m3: float, area_m2: float, temperature_k: float) -> float:
    speed = np.sqrt(GAS_CONSTANT_AIR * temperature_k)
    return float(volume_m3 / (_CHOKED * area_m2 * speed))


def _border(high: float, low: float, back: float) -> float:
    """Pressure down to which the outflow stays choked."""
    choking = back * back / float(critical_pressure(back))
    return float(min(high, max(low, choking)))


def _pressures(high: float, low: float, back: float) -> tuple[Array, Array]:
    """Nodes and weights between two pressures, dense near the outside pressure."""
    top, bottom = np.sqrt(max(high - back, 0.0)), np.sqrt(max(low - back, 0.0))
    s = bottom + 0.5 * (top - bottom) * (_NODES + 1.0)
    # A node at the outside pressure itself would divide nothing by nothing.
    s = np.maximum(s, 1e-9)
    weight = (top - bottom) * s * _WEIGHTS
    return back + s * s, weight
