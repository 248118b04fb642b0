"""One part as one lump: cooling, freezing and thawing, exact for steady weather.

The state is the heat content H [J/m], 0 where the water stands at the freezing point
without ice: above it the water is liquid, down to -M (the heat of fusion) it is ice
and water at 0 degC, below that ice. Supercooling is left out.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.freezing.constants import FREEZING_POINT_K
from maintenance.engine.freezing.film import (
    forced_churchill_bernstein,
    free_churchill_chu,
    radiation_coefficient,
)
from maintenance.engine.freezing.thermal import Thermal

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Loss:
    """How a part loses heat while the weather holds.

    ``conductance_w_per_m_k`` times (part less surroundings) is the loss;
    ``surroundings_c`` is the air, lowered by what the sky takes [degC].
    """

    conductance_w_per_m_k: Array
    surroundings_c: Array


@dataclass(frozen=True, slots=True)
class IceTimes:
    """Times from the start, infinite for never [s]."""

    first_ice_s: Array
    half_frozen_s: Array
    frozen_s: Array


def heat_content(part: Thermal, temperature_k: ArrayLike) -> Array:
    """Heat content of a part at one temperature.

    Parameters
    ----------
    part : Thermal
        The part [SI].
    temperature_k : array_like
        Of its water; at or below the freezing point it is liquid and at that point,
        since still water there needs not hold ice [K].

    Returns
    -------
    ndarray
        Heat content, at least 0 [J/m].
    """
    above = np.maximum(np.asarray(temperature_k) - FREEZING_POINT_K, 0.0)
    result: Array = part.liquid_j_per_m_k * above
    return result


def ice_share(part: Thermal, heat_j_per_m: ArrayLike) -> Array:
    """Share of the water that is ice.

    Parameters
    ----------
    part : Thermal
        The part [SI].
    heat_j_per_m : array_like
        Its heat content [J/m].

    Returns
    -------
    ndarray
        Share, 0 to 1 [-].
    """
    share = -np.asarray(heat_j_per_m) / part.latent_j_per_m
    result: Array = np.clip(share, 0.0, 1.0)
    return result


def heat_loss(
    part: Thermal,
    air_c: ArrayLike,
    wind_film: ArrayLike,
    sky_k: ArrayLike = 0.0,
    *,
    warmth_k: ArrayLike = 0.0,
) -> Loss:
    """How a part loses heat in given weather.

    Parameters
    ----------
    part : Thermal
        The part [SI].
    air_c : array_like
        Air around it [degC].
    wind_film : array_like
        Film coefficient that the wind gives, from `forced_churchill_bernstein`; the
        still-air one holds where it is larger [W/m2/K].
    sky_k : array_like
        How much colder the sky radiates than the air, times the share of the sky that
        the part sees [K].
    warmth_k : array_like
        Mean temperature of the part above the freezing point meanwhile, at least 0;
        it drives the still-air film [K].

    Returns
    -------
    Loss
        Conductance and surroundings [SI].

    Notes
    -----
    q = (T - Teff)/(R + 1/(pi D (h + hr))), Teff = Tair - hr dT F/(h + hr).
    """
    air = np.asarray(air_c, dtype=np.float64)
    perimeter = np.pi * part.surface_diameter_m
    share = _surface_share(part, perimeter)
    difference = (np.asarray(warmth_k) - air) * share
    film = np.maximum(
        wind_film, free_churchill_chu(part.surface_diameter_m, difference)
    )
    sky_film = radiation_coefficient(
        part.emissivity, FREEZING_POINT_K + air + 0.5 * difference
    )
    both = film + sky_film
    conductance = 1.0 / (part.insulation_m_k_per_w + 1.0 / (perimeter * both))
    return Loss(conductance, air - np.asarray(sky_k) * sky_film / both)


_USUAL_FILM = 10.0
"""Film by which the share of the fall in temperature outside the insulation is told
[W/m2/K]; that share only feeds the still-air film and the radiation."""


def _surface_share(part: Thermal, perimeter_m: Array) -> Array:
    outside = 1.0 / (perimeter_m * _USUAL_FILM)
    share: Array = outside / (outside + part.insulation_m_k_per_w)
    return share


def advance(part: Thermal, heat_j_per_m: Array, loss: Loss, seconds: float) -> Array:
    """Heat content after some time of steady weather.

    Parameters
    ----------
    part : Thermal
        The part [SI].
    heat_j_per_m : ndarray
        Heat content at the start [J/m].
    loss : Loss
        How it loses heat meanwhile [SI].
    seconds : float
        How long, at least 0 [s].

    Returns
    -------
    ndarray
        Heat content at the end, exact [J/m].

    Notes
    -----
    Exponential while the water is liquid or all ice, straight while it freezes.
    Thawing is the same seen in a mirror: ice takes the place of the liquid, and
    what lies above 0 degC that of what lies below.
    """
    mass = part.latent_j_per_m
    cooling = loss.surroundings_c < 0.0
    drive = np.maximum(np.abs(loss.surroundings_c), _NO_LOSS)
    rate = loss.conductance_w_per_m_k * drive
    # `warm` is the side that the part leaves, `cold` the side that it goes to.
    warm = np.where(cooling, part.liquid_j_per_m_k, part.ice_j_per_m_k)
    cold = np.where(cooling, part.ice_j_per_m_k, part.liquid_j_per_m_k)
    heat = np.where(cooling, heat_j_per_m, -mass - heat_j_per_m)
    over = np.maximum(heat, 0.0)
    reaches = warm / loss.conductance_w_per_m_k * np.log1p(over / (warm * drive))
    left = seconds - reaches
    level = np.minimum(heat, 0.0)
    # Where the latent heat is gone within the time, the rest of it cools the ice.
    after_melt = left - np.maximum(level + mass, 0.0) / rate
    solid = (left > 0.0) & (after_melt > 0.0)
    liquid = left <= 0.0
    side = np.where(solid, cold, warm)
    begin = np.where(solid, np.minimum(level + mass, 0.0), over) + side * drive
    time = np.where(solid, after_melt, seconds)
    decayed = begin * np.exp(-time * loss.conductance_w_per_m_k / side) - side * drive
    ends = np.where(
        liquid, decayed, np.where(solid, decayed - mass, level - rate * left)
    )
    result: Array = np.where(cooling, ends, -mass - ends)
    return result


_NO_LOSS = 1e-12
"""Below this a difference [K] or a loss [W/m] counts as none."""


def time_to_ice(part: Thermal, heat_j_per_m: Array, loss: Loss, share: float) -> Array:
    """Time until a share of the water is ice, in steady weather.

    Parameters
    ----------
    part : Thermal
        The part [SI].
    heat_j_per_m : ndarray
        Heat content at the start [J/m].
    loss : Loss
        How it loses heat [SI].
    share : float
        Share of ice, 0 for the first ice [-].

    Returns
    -------
    ndarray
        Time; 0 where it holds at the start, infinite for never [s].

    Notes
    -----
    C/U ln[(T - Teff)/(-Teff)] to the freezing point, then share M/(U (-Teff)).
    """
    drive = np.maximum(-loss.surroundings_c, 0.0)
    rate = loss.conductance_w_per_m_k * drive
    never = rate <= _NO_LOSS
    rate = np.where(never, 1.0, rate)
    room = part.liquid_j_per_m_k * np.where(never, 1.0, drive)
    cool = room / rate * np.log1p(np.maximum(heat_j_per_m, 0.0) / room)
    wanted = np.minimum(heat_j_per_m, 0.0) + share * part.latent_j_per_m
    time = np.where(wanted > 0.0, cool + wanted / rate, 0.0)
    if share == 0.0:
        time = np.where(heat_j_per_m > 0.0, cool, 0.0)
    result: Array = np.where(never & (wanted > 0.0), np.inf, time)
    return result


def times_in_steady_weather(
    part: Thermal, start_k: float, cooling: Loss, freezing: Loss
) -> IceTimes:
    """Work out the times to the first ice, to half and to all ice in steady weather.

    Parameters
    ----------
    part : Thermal
        The part [SI].
    start_k : float
        Temperature of its water at the start [K].
    cooling : Loss
        How it loses heat on its way to the freezing point [SI].
    freezing : Loss
        How it loses heat while it freezes [SI].

    Returns
    -------
    IceTimes
        From the start [s].
    """
    start = heat_content(part, start_k)
    cool = time_to_ice(part, start, cooling, 0.0)
    cool = np.where(freezing.surroundings_c < 0.0, cool, np.inf)
    none = np.zeros_like(start)
    return IceTimes(
        cool,
        cool + time_to_ice(part, none, freezing, 0.5),
        cool + time_to_ice(part, none, freezing, 1.0),
    )


def forced_film(part: Thermal, wind_m_per_s: ArrayLike) -> Array:
    """Film coefficient that the wind gives to a part.

    Parameters
    ----------
    part : Thermal
        The part [SI].
    wind_m_per_s : array_like
        Wind at the part [m/s].

    Returns
    -------
    ndarray
        Film coefficient [W/m2/K].
    """
    return forced_churchill_bernstein(part.surface_diameter_m, wind_m_per_s)
