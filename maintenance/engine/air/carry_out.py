"""What an air front leaves behind, and what moving air carries out afterwards."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.constants import (
    STANDARD_GRAVITY,
    SURFACE_TENSION,
    WATER_DENSITY,
)

Array = NDArray[np.float64]

TURNER_FIELD_CONSTANT = 1.912
COLEMAN_FIELD_CONSTANT = 1.593
KUTATELADZE_NUMBER = 3.2

# Field units of the droplet criteria: dyn/cm, lb/ft3, ft/s.
_DYN_PER_CM = 1e-3
_LB_PER_FT3 = 0.45359237 / 0.3048**3
_FT = 0.3048
_DROPLET_TO_SI = _FT * (_LB_PER_FT3 / _DYN_PER_CM) ** 0.25


def front_velocity(water_velocity: ArrayLike, inside_diameter: ArrayLike) -> Array:
    """Speed of an air front behind water in a nearly level pipe.

    Parameters
    ----------
    water_velocity : array_like
        Speed of the water ahead, at least 0 [m/s].
    inside_diameter : array_like
        Bore [m].

    Returns
    -------
    ndarray
        Speed of the front; it outruns the water and leaves the rest behind [m/s].

    Notes
    -----
    1.05 v + 0.54 sqrt(g D) below v/sqrt(g D) = 3.5, 1.2 v above.
    Source: K. H. Bendiksen, Int. J. Multiphase Flow 10, 467, 1984, after Nicklin
    (1962) and Benjamin (1968); constants from memory. Not compared with any
    measurement of a lateral.

    Examples
    --------
    >>> round(float(front_velocity(1.5, 0.02664)), 3)
    1.851
    """
    v = np.asarray(water_velocity, dtype=np.float64)
    wave = np.sqrt(STANDARD_GRAVITY * np.asarray(inside_diameter, dtype=np.float64))
    result: Array = np.where(v < 3.5 * wave, 1.05 * v + 0.54 * wave, 1.2 * v)
    return result


def fraction_left(water_velocity: ArrayLike, inside_diameter: ArrayLike) -> Array:
    """Share of the water that the front leaves behind.

    Parameters
    ----------
    water_velocity : array_like
        Speed of the water ahead, at least 0 [m/s].
    inside_diameter : array_like
        Bore [m].

    Returns
    -------
    ndarray
        Volume left over bore, 1/6 to 1 [-].

    Notes
    -----
    Mass balance over the front: 1 - v/v_front.

    Examples
    --------
    >>> round(float(fraction_left(1.5, 0.02664)), 3)
    0.19
    """
    v = np.asarray(water_velocity, dtype=np.float64)
    result: Array = 1.0 - v / front_velocity(v, inside_diameter)
    return result


def wallis_number(
    superficial_velocity: ArrayLike,
    air_density: ArrayLike,
    diameter: ArrayLike,
    slope_rad: ArrayLike = np.pi / 2,
) -> Array:
    """Flow-reversal number j* of air over a water film.

    Parameters
    ----------
    superficial_velocity : array_like
        Air flow over the whole bore [m/s].
    air_density : array_like
        Density of the air in the pipe [kg/m3].
    diameter : array_like
        Bore, up to about 0.05 [m].
    slope_rad : array_like
        Climb of the pipe; upright if not given [rad].

    Returns
    -------
    ndarray
        j*; the film is carried up at 1 (threshold 0.8 to 1) [-].

    Notes
    -----
    j* = j sqrt(rho_G/[g sin(slope) D (rho_L - rho_G)]). Source: G. B. Wallis,
    One-dimensional Two-phase Flow, 1969, from memory; the sine is a first-order
    extension to inclined pipe, derived, not measured.
    """
    rho = np.asarray(air_density, dtype=np.float64)
    weight = STANDARD_GRAVITY * np.sin(slope_rad) * np.asarray(diameter)
    result: Array = np.asarray(superficial_velocity, dtype=np.float64) * np.sqrt(
        rho / (weight * (WATER_DENSITY - rho))
    )
    return result


def wallis_velocity(
    diameter: ArrayLike, air_density: ArrayLike, slope_rad: ArrayLike = np.pi / 2
) -> Array:
    """Superficial air speed at which j* = 1.

    Parameters
    ----------
    diameter : array_like
        Bore, up to about 0.05 [m].
    air_density : array_like
        Density of the air in the pipe [kg/m3].
    slope_rad : array_like
        Climb of the pipe; upright if not given [rad].

    Returns
    -------
    ndarray
        Superficial speed; see `wallis_number` for equation and source [m/s].

    Examples
    --------
    >>> round(float(wallis_velocity(0.02664, 5.4895)), 2)
    6.88
    """
    rho = np.asarray(air_density, dtype=np.float64)
    weight = STANDARD_GRAVITY * np.sin(slope_rad) * np.asarray(diameter)
    result: Array = np.sqrt(weight * (WATER_DENSITY - rho) / rho)
    return result


def kutateladze_velocity(
    air_density: ArrayLike, surface_tension: float = SURFACE_TENSION
) -> Array:
    """Superficial air speed that holds water up in a wide upright pipe.

    Parameters
    ----------
    air_density : array_like
        Density of the air in the pipe [kg/m3].
    surface_tension : float
        Surface tension [N/m].

    Returns
    -------
    ndarray
        Superficial speed [m/s].

    Notes
    -----
    Ku = j sqrt(rho_G)/[sigma g (rho_L - rho_G)]^0.25 = 3.2. Source: Pushkina and
    Sorokin 1969; Taitel, Barnea and Dukler 1980; constant from memory.

    Examples
    --------
    >>> round(float(kutateladze_velocity(5.4895)), 2)
    7.08
    """
    rho = np.asarray(air_density, dtype=np.float64)
    group = surface_tension * STANDARD_GRAVITY * (WATER_DENSITY - rho)
    result: Array = KUTATELADZE_NUMBER * group**0.25 / np.sqrt(rho)
    return result


def droplet_velocity(
    air_density: ArrayLike,
    field_constant: float = TURNER_FIELD_CONSTANT,
    *,
    surface_tension: float = SURFACE_TENSION,
    water_density: float = WATER_DENSITY,
) -> Array:
    """Air speed that carries the largest stable droplet (Turner; Coleman).

    Parameters
    ----------
    air_density : array_like
        Density of the air in the pipe [kg/m3].
    field_constant : float
        1.912 for Turner, 1.593 for Coleman, in dyn/cm, lb/ft3 and ft/s [-].
    surface_tension : float
        Surface tension [N/m].
    water_density : float
        Density of the water [kg/m3].

    Returns
    -------
    ndarray
        Speed [m/s].

    Notes
    -----
    v = C [sigma (rho_L - rho_G)]^0.25/sqrt(rho_G). Made for high-pressure gas
    wells; it over-states the need at low pressure. Source: constants as listed at
    peteng.com/jmm/gwl01.html.

    Examples
    --------
    >>> round(float(droplet_velocity(5.4895)), 2)
    8.2
    """
    rho = np.asarray(air_density, dtype=np.float64)
    group = surface_tension * (water_density - rho)
    result: Array = field_constant * _DROPLET_TO_SI * group**0.25 / np.sqrt(rho)
    return result


def taitel_dukler_velocity(
    diameter: ArrayLike,
    air_density: ArrayLike,
    slope_rad: ArrayLike = 0.0,
    depth_ratio: ArrayLike = 0.2,
) -> Array:
    """Superficial air speed at which water lying in a nearly level pipe is lifted.

    Parameters
    ----------
    diameter : array_like
        Bore [m].
    air_density : array_like
        Density of the air in the pipe [kg/m3].
    slope_rad : array_like
        Slope of the pipe, within 10 degrees of level [rad].
    depth_ratio : array_like
        Depth of the water over the bore, above 0 and below 1 [-].

    Returns
    -------
    ndarray
        Superficial speed (over the whole bore); divided by the open share of the
        bore it is the speed of the air itself [m/s].

    Notes
    -----
    u_G = (1 - h/D) sqrt[(rho_L - rho_G) g cos(slope) A_G/(rho_G dA_L/dh)].
    Source: Y. Taitel and A. E. Dukler, AIChE J. 22(1), 47, 1976.

    Examples
    --------
    >>> round(float(taitel_dukler_velocity(0.02664, 5.4895)), 2)
    4.34
    """
    h = np.asarray(depth_ratio, dtype=np.float64)
    bore = np.asarray(diameter, dtype=np.float64)
    rho = np.asarray(air_density, dtype=np.float64)
    half = np.arccos(2.0 * h - 1.0)
    # Air area over D^2, and surface width over D, of a circle filled to depth h.
    air_area = 0.25 * (half - (2.0 * h - 1.0) * np.sqrt(1.0 - (2.0 * h - 1.0) ** 2))
    width = 2.0 * np.sqrt(h * (1.0 - h))
    weight = (WATER_DENSITY - rho) * STANDARD_GRAVITY * np.cos(slope_rad)
    speed = (1.0 - h) * np.sqrt(weight * air_area * bore / (rho * width))
    result: Array = speed * air_area / (0.25 * np.pi)
    return result
