"""Heat: what compression gives the air, what the hose takes, what the pipe feels."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.air.properties import conductivity, viscosity
from maintenance.engine.constants import HEAT_RATIO_AIR, SPECIFIC_HEAT_AIR

Array = NDArray[np.float64]

RUBBER_CONDUCTIVITY = 0.2
HOSE_WALL_M = 0.005
OUTSIDE_FILM = 12.0
"""Heat transfer from a hose to still or slightly moving air [W/m2/K], from memory."""

PVC_DENSITY = 1400.0
PVC_SPECIFIC_HEAT = 1000.0
"""Density [kg/m3] and specific heat [J/kg/K] of rigid PVC, from memory."""

CAUTION_TEMPERATURE_K = 310.95
"""37.8 degC, 100 degF: from here on a caution is shown; project's choice."""

STOP_TEMPERATURE_K = 333.15
"""60 degC, 140 degF: highest temperature of PVC and PE pressure pipe."""


def discharge_temperature(
    inlet_temperature_k: ArrayLike,
    pressure_ratio: ArrayLike,
    efficiency: ArrayLike = 1.0,
    exponent: ArrayLike = HEAT_RATIO_AIR,
) -> Array:
    """Temperature of air leaving a compressor stage, before any cooler.

    Parameters
    ----------
    inlet_temperature_k : array_like
        Temperature of the air taken in [K].
    pressure_ratio : array_like
        Outlet over inlet pressure, absolute, at least 1 [-].
    efficiency : array_like
        Isentropic efficiency, above 0, at most 1 [-].
    exponent : array_like
        1.4 for adiabatic, about 1.3 for a polytropic stage [-].

    Returns
    -------
    ndarray
        Temperature [K].

    Notes
    -----
    T2 = T1 {1 + [r^((n-1)/n) - 1]/eta}. Source: Couper et al., Chemical Process
    Equipment, as given in the ``fluids`` documentation of
    ``isentropic_T_rise_compression``.

    Examples
    --------
    >>> round(float(discharge_temperature(286.8, 432400 / 54050)), 2)
    519.52
    """
    n = np.asarray(exponent, dtype=np.float64)
    rise = np.asarray(pressure_ratio, dtype=np.float64) ** ((n - 1.0) / n) - 1.0
    result: Array = np.asarray(inlet_temperature_k) * (
        1.0 + rise / np.asarray(efficiency)
    )
    return result


def film_coefficient_dittus_boelter(
    mass_flow_kg_per_s: ArrayLike,
    inside_diameter_m: ArrayLike,
    temperature_k: ArrayLike,
) -> Array:
    """Heat transfer from air that cools in a pipe to its wall.

    Parameters
    ----------
    mass_flow_kg_per_s : array_like
        Mass flow of air, at least 0 [kg/s].
    inside_diameter_m : array_like
        Bore [m].
    temperature_k : array_like
        Mean temperature of the air [K].

    Returns
    -------
    ndarray
        Coefficient; never below the laminar Nu = 3.66 [W/m2/K].

    Notes
    -----
    Nu = 0.023 Re^0.8 Pr^0.4, Re above about 1e4. The exponent 0.3 (fluid cooled)
    would give 3.5 % more transfer; 0.4 keeps the air entering the pipe hotter. Source: Dittus and
    Boelter in McAdams' form, from memory; agreement with the published table of
    hose temperatures is tested.
    """
    bore = np.asarray(inside_diameter_m, dtype=np.float64)
    mu = viscosity(temperature_k)
    k = conductivity(temperature_k)
    reynolds = (
        4.0 * np.asarray(mass_flow_kg_per_s, dtype=np.float64) / (np.pi * bore * mu)
    )
    prandtl = SPECIFIC_HEAT_AIR * mu / k
    nusselt = np.maximum(0.023 * reynolds**0.8 * prandtl**0.4, 3.66)
    result: Array = nusselt * k / bore
    return result


def hose_outlet_temperature(
    discharge_temperature_k: ArrayLike,
    ambient_temperature_k: ArrayLike,
    mass_flow_kg_per_s: ArrayLike,
    inside_diameter_m: ArrayLike,
    length_m: ArrayLike,
    *,
    wall_m: ArrayLike = HOSE_WALL_M,
    conductivity_w_per_m_k: ArrayLike = RUBBER_CONDUCTIVITY,
    outside_film: ArrayLike = OUTSIDE_FILM,
) -> Array:
    """Temperature of the air at the far end of a hose lying in the open.

    Parameters
    ----------
    discharge_temperature_k : array_like
        Temperature of the air entering the hose [K].
    ambient_temperature_k : array_like
        Temperature of the air around the hose [K].
    mass_flow_kg_per_s : array_like
        Mass flow of air; at 0 the result is the ambient temperature [kg/s].
    inside_diameter_m : array_like
        Bore of the hose [m].
    length_m : array_like
        Length of the hose [m].
    wall_m : array_like
        Wall thickness of the hose [m].
    conductivity_w_per_m_k : array_like
        Conductivity of the hose [W/m/K].
    outside_film : array_like
        Heat transfer outside [W/m2/K].

    Returns
    -------
    ndarray
        Temperature; an estimate within about 10 K [K].

    Notes
    -----
    T_a + (T_in - T_a) exp(-L/(R' m c_p)), R' the sum of inside film, wall and
    outside film per length. Standard heat-exchanger form; wall, conductivity and
    outside film from memory.
    """
    ambient = np.asarray(ambient_temperature_k, dtype=np.float64)
    excess = np.asarray(discharge_temperature_k, dtype=np.float64) - ambient
    flow = np.asarray(mass_flow_kg_per_s, dtype=np.float64)
    bore = np.asarray(inside_diameter_m, dtype=np.float64)
    outside = bore + 2.0 * np.asarray(wall_m)
    film = film_coefficient_dittus_boelter(flow, bore, ambient + 0.5 * excess)
    resistance = (
        1.0 / (np.pi * bore * film)
        + np.log(outside / bore) / (2.0 * np.pi * np.asarray(conductivity_w_per_m_k))
        + 1.0 / (np.pi * outside * np.asarray(outside_film))
    )
    capacity = np.where(flow > 0.0, flow, np.inf) * SPECIFIC_HEAT_AIR
    decay = np.exp(-np.asarray(length_m) / (resistance * capacity))
    result: Array = ambient + excess * np.where(flow > 0.0, decay, 0.0)
    return result


def pipe_time_constant(
    mass_flow_kg_per_s: ArrayLike,
    inside_diameter_m: ArrayLike,
    outside_diameter_m: ArrayLike,
    air_temperature_k: ArrayLike,
    *,
    density_kg_per_m3: float = PVC_DENSITY,
    specific_heat_j_per_kg_k: float = PVC_SPECIFIC_HEAT,
) -> Array:
    """Time constant with which a dry pipe wall takes the temperature of the air.

    Parameters
    ----------
    mass_flow_kg_per_s : array_like
        Mass flow of air [kg/s].
    inside_diameter_m : array_like
        Bore of the pipe [m].
    outside_diameter_m : array_like
        Outside diameter of the pipe [m].
    air_temperature_k : array_like
        Temperature of the air [K].
    density_kg_per_m3 : float
        Density of the wall [kg/m3].
    specific_heat_j_per_kg_k : float
        Specific heat of the wall [J/kg/K].

    Returns
    -------
    ndarray
        Time constant; soil and water film are ignored, so real walls warm more
        slowly [s].

    Notes
    -----
    Wall mass times specific heat over film coefficient times inner perimeter.
    """
    bore = np.asarray(inside_diameter_m, dtype=np.float64)
    outside = np.asarray(outside_diameter_m, dtype=np.float64)
    wall = 0.25 * np.pi * (outside**2 - bore**2)
    film = film_coefficient_dittus_boelter(mass_flow_kg_per_s, bore, air_temperature_k)
    heat = density_kg_per_m3 * specific_heat_j_per_kg_k * wall
    result: Array = heat / (film * np.pi * bore)
    return result


def seconds_to_wall_temperature(
    target_k: ArrayLike,
    start_temperature_k: ArrayLike,
    air_temperature_k: ArrayLike,
    time_constant_s: ArrayLike,
) -> Array:
    """Time until a dry pipe wall reaches a temperature.

    Parameters
    ----------
    target_k : array_like
        Temperature in question [K].
    start_temperature_k : array_like
        Temperature of the wall at the start [K].
    air_temperature_k : array_like
        Temperature of the air in the pipe [K].
    time_constant_s : array_like
        Result of `pipe_time_constant` [s].

    Returns
    -------
    ndarray
        Time; 0 where the wall starts there, infinite where it never gets there [s].

    Notes
    -----
    Wall as one lump: T = T_air + (T_start - T_air) exp(-t/tau).

    Examples
    --------
    >>> round(float(seconds_to_wall_temperature(333.15, 283.15, 369.0, 23.0)))
    20
    """
    target = np.asarray(target_k, dtype=np.float64)
    start = np.asarray(start_temperature_k, dtype=np.float64)
    air = np.asarray(air_temperature_k, dtype=np.float64)
    reaches = air > target
    share = np.where(reaches, (air - start) / np.where(reaches, air - target, 1.0), 1.0)
    time = np.asarray(time_constant_s) * np.log(np.maximum(share, 1.0))
    result: Array = np.where(start >= target, 0.0, np.where(reaches, time, np.inf))
    return result
