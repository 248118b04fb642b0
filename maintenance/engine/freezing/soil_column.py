"""The ground as a column: frost and temperature by depth through a winter.

Daily temperatures go in at the surface; heat is kept as enthalpy, so that the water in
the soil gives off its latent heat. No sun, and snow only where its depth is given.
Against thermometers it has not been checked: say 30 % of the depth and 10 days.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.constants import WATER_DENSITY
from maintenance.engine.errors import InputError
from maintenance.engine.freezing.constants import (
    FREEZING_POINT_K,
    LATENT_HEAT,
    SECONDS_PER_DAY,
)

Array = NDArray[np.float64]

FREEZING_FACTORS: Final[Mapping[str, float]] = MappingProxyType(
    {"turf": 0.5, "bare": 0.7, "paved": 0.75, "snow": 1.0}
)
"""Frost at the surface over frost in the air (n-factor) [-]: US Army TM 5-852-4, table
4-1, as reprinted; paved is its concrete. Snow insulates besides: give its depth."""

SNOW_CONDUCTIVITY: Final = 0.2
"""Of settled snow [W/m/K]; from memory, 0.1 to 0.3."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Soil:
    """A soil, thawed and frozen; ``water_share`` is the volume of water in it [-]."""

    conductivity_thawed: float = 1.1
    conductivity_frozen: float = 1.5
    capacity_thawed: float = 2.2e6
    capacity_frozen: float = 1.8e6
    water_share: float = 0.22


LOAM: Final = Soil()
"""A moist loam [W/m/K, J/m3/K, -]; assumed where nothing is known of the soil."""


@dataclass(frozen=True, slots=True)
class Ground:
    """The ground at the end of each day: axes day and column, then depth.

    ``frost_depth_m`` is the depth of the deepest ice, 0 for none [m].
    """

    temperature_k: Array
    frost_depth_m: Array


def _grid() -> Array:
    fine = [0.04] * 30
    wider = [0.04 * 1.3**n for n in range(1, 11)]
    return np.array(fine + wider)


_THICK: Final = _grid()
_BOTTOM: Final = np.cumsum(_THICK)
NODE_DEPTHS_M: Final = _BOTTOM - 0.5 * _THICK
"""Depths of the middles of the layers, to 3.2 m [m]."""


def surface_temperature(air_k: ArrayLike, cover: str) -> Array:
    """Temperature of the ground's surface under daily mean air.

    Parameters
    ----------
    air_k : array_like
        Mean air of the day [K].
    cover : str
        A key of `FREEZING_FACTORS` [text].

    Returns
    -------
    ndarray
        The air above the freezing point; below it, its frost times the factor [K].

    Raises
    ------
    InputError
        For another cover.

    Examples
    --------
    >>> [float(t) for t in surface_temperature([283.15, 263.15], "turf")]
    [283.15, 268.15]
    """
    if cover not in FREEZING_FACTORS:
        raise InputError(
            f'cover: "{cover}" is not known; write one of {", ".join(FREEZING_FACTORS)}',
            input="cover",
        )
    over = np.asarray(air_k, dtype=np.float64) - FREEZING_POINT_K
    result: Array = FREEZING_POINT_K + np.where(
        over < 0.0, FREEZING_FACTORS[cover] * over, over
    )
    return result


def freeze_ground(
    surface_k: Array,
    start_k: Array,
    depths_m: ArrayLike,
    *,
    soil: Soil = LOAM,
    snow_m: ArrayLike = 0.0,
) -> Ground:
    """Follow columns of ground through a winter.

    Parameters
    ----------
    surface_k : ndarray
        Surface in each day, axes day and column [K].
    start_k : ndarray
        Temperatures at `NODE_DEPTHS_M`, or one for each column and depth [K].
    depths_m : array_like
        Depths at which the temperature is wanted, at least 0 [m].
    soil : Soil
        The soil [SI].
    snow_m : array_like
        Snow on the surface in each day, axes day and column [m].

    Returns
    -------
    Ground
        At the end of each day [SI].

    Raises
    ------
    InputError
        For a negative depth, or anything that is not a number.

    Notes
    -----
    Finite volumes 4 cm thick down to 1.2 m, explicit steps; no heat from below 3.2 m.
    """
    depths = np.asarray(depths_m, dtype=np.float64)
    snow = np.broadcast_to(np.asarray(snow_m, dtype=np.float64), surface_k.shape)
    _check(surface_k, start_k, depths, snow)
    days, columns = surface_k.shape
    latent = soil.water_share * WATER_DENSITY * LATENT_HEAT
    start = np.broadcast_to(start_k - FREEZING_POINT_K, (columns, _THICK.size))
    heat = _enthalpy(start, soil, latent)
    steps = _steps_a_day(soil)
    temperature = np.empty((days, columns, depths.size))
    frost = np.empty((days, columns))
    for day in range(days):
        above = surface_k[day][:, None] - FREEZING_POINT_K
        cover = snow[day][:, None] / SNOW_CONDUCTIVITY
        for _ in range(steps):
            heat = _step(heat, (above, cover), soil, SECONDS_PER_DAY / steps)
        temperature[day] = _at_depths(heat, above, depths, soil, latent)
        frost[day] = _deepest_ice(heat, latent)
    return Ground(temperature + FREEZING_POINT_K, frost)


def first_day_frozen(ground: Ground, depth_m: float) -> Array:
    """Find the first day on which the frost stands as deep as a pipe.

    Parameters
    ----------
    ground : Ground
        A winter [SI].
    depth_m : float
        Depth of the top of the pipe, at least 0 [m].

    Returns
    -------
    ndarray
        Number of the day for each column, 0 for the first; infinite for never [d].

    Raises
    ------
    InputError
        For a depth that is negative or not a number.
    """
    _check_depths(np.asarray(depth_m))
    deep = ground.frost_depth_m >= max(depth_m, 1e-6)
    result: Array = np.where(deep.any(axis=0), deep.argmax(axis=0), math.inf)
    return result


def _step(heat: Array, top: tuple[Array, Array], soil: Soil, seconds: float) -> Array:
    latent = soil.water_share * WATER_DENSITY * LATENT_HEAT
    warm = _celsius(heat, soil, latent)
    ice = np.clip(-heat / latent, 0.0, 1.0) if latent > 0.0 else (heat < 0.0) * 1.0
    k = soil.conductivity_thawed + ice * (
        soil.conductivity_frozen - soil.conductivity_thawed
    )
    half = 0.5 * _THICK / k
    above, cover = top
    flux = np.empty((heat.shape[0], _THICK.size + 1))
    flux[:, :1] = (above - warm[:, :1]) / (cover + half[:, :1])
    flux[:, 1:-1] = (warm[:, :-1] - warm[:, 1:]) / (half[:, :-1] + half[:, 1:])
    flux[:, -1] = 0.0
    result: Array = heat + seconds * (flux[:, :-1] - flux[:, 1:]) / _THICK
    return result


def _enthalpy(celsius: Array, soil: Soil, latent: float) -> Array:
    frozen = soil.capacity_frozen * celsius - latent
    result: Array = np.where(celsius < 0.0, frozen, soil.capacity_thawed * celsius)
    return result


def _celsius(heat: Array, soil: Soil, latent: float) -> Array:
    result: Array = (
        np.maximum(heat, 0.0) / soil.capacity_thawed
        + np.minimum(heat + latent, 0.0) / soil.capacity_frozen
    )
    return result


def _steps_a_day(soil: Soil) -> int:
    """How many steps keep the explicit scheme from swinging, even at the surface."""
    quickest = max(
        soil.conductivity_frozen / soil.capacity_frozen,
        soil.conductivity_thawed / soil.capacity_thawed,
        soil.conductivity_frozen / soil.capacity_thawed,
        soil.conductivity_thawed / soil.capacity_frozen,
    )
    # The top layer loses to the surface over half its thickness, and to the next one.
    longest = float(_THICK.min()) ** 2 / (3.0 * quickest)
    return math.ceil(SECONDS_PER_DAY / longest)


def _at_depths(
    heat: Array, above: Array, depths: Array, soil: Soil, latent: float
) -> Array:
    warm = np.hstack((above, _celsius(heat, soil, latent)))
    middles = np.concatenate(([0.0], NODE_DEPTHS_M))
    return np.array([np.interp(depths, middles, column) for column in warm])


def _deepest_ice(heat: Array, latent: float) -> Array:
    share = np.clip(-heat / latent, 0.0, 1.0) if latent > 0.0 else (heat < 0.0) * 1.0
    top = _BOTTOM - _THICK
    result: Array = np.max(np.where(share > 0.0, top + share * _THICK, 0.0), axis=1)
    return result


def _check(surface_k: Array, start_k: Array, depths: Array, snow: Array) -> None:
    for name, values in (("surface_k", surface_k), ("start_k", start_k)):
        if not np.all((values > 150.0) & (values < 350.0)):
            raise InputError(
                f"{name}: every temperature must be a number from 150 to 350 K; leave "
                "out the days that are not known",
                input=name,
                low=150.0,
                high=350.0,
            )
    if not np.all((snow >= 0.0) & np.isfinite(snow)):
        raise InputError("snow_m: give finite depths, 0 or more", input="snow_m")
    _check_depths(depths)


def _check_depths(depths: Array) -> None:
    if not np.all((depths >= 0.0) & (depths <= float(NODE_DEPTHS_M[-1]))):
        raise InputError(
            "depth: give a number from 0 to "
            f"{NODE_DEPTHS_M[-1]:.1f} m, measured down from the surface",
            input="depth",
            low=0.0,
            high=float(NODE_DEPTHS_M[-1]),
        )
