"""When the parts of many sites freeze on an hourly forecast, side by side.

Arrays have the axes track, site, part: a track is one version of the forecast, such as
the forecast itself and the same some degrees colder.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from maintenance.engine.errors import InputError
from maintenance.engine.freezing.constants import FREEZING_POINT_K, SECONDS_PER_HOUR
from maintenance.engine.freezing.lumped import (
    Loss,
    advance,
    forced_film,
    heat_content,
    heat_loss,
    ice_share,
    time_to_ice,
)
from maintenance.engine.freezing.thermal import Thermal

Array = NDArray[np.float64]

SKY_SHARE: Final = 0.5
"""Share of the open sky that a part in the open sees [-]; the rest is ground and walls.
Assumed."""

BOX_AIR_SHARE: Final = 0.36
"""How far the air in a valve box follows the mean air of the day; the rest follows the
soil at 8 in [-]. From about 0.85 W/K through the lid and 1.5 W/K to the soil; assumed."""

DAY_H: Final = 24.0
"""Time over which the air in a box takes the mean [h]."""

_SHARES: Final = (0.0, 0.5, 1.0)
_BLOCK: Final = 15_000
"""Numbers worked on at once: few enough for the processor's own memory."""


@dataclass(frozen=True, slots=True)
class Exposure:
    """How the weather reaches each part, axes site and part.

    Shares of the wind, of the sky and of the air outside [-]; the rest of the last
    is the soil's, for a part in a box.
    """

    wind_share: Array
    sky_share: Array
    air_share: Array


@dataclass(frozen=True, slots=True)
class Weather:
    """An hourly forecast: what holds in each hour, axes hour, then as said.

    ``air_k`` [K] has track and site; ``wind_m_per_s`` and ``sky_k``, how much colder
    the sky radiates than the air [K], have site; ``mean_air_k``, the mean of the day
    before [K], has site, and so has ``soil_k`` at 8 in [K].
    """

    air_k: Array
    wind_m_per_s: Array
    sky_k: Array
    mean_air_k: Array
    soil_k: Array


@dataclass(frozen=True, slots=True)
class Outlook:
    """What comes of the forecast, axes track, site and part.

    Times from the start of the forecast, infinite where it ends before that [s];
    ``ice_fraction`` is the largest share of ice in the hours asked for [-];
    ``heat_j_per_m`` is what a part holds at the end.
    """

    first_ice_s: Array
    half_frozen_s: Array
    frozen_s: Array
    ice_fraction: Array
    heat_j_per_m: Array


def freeze_outlook(
    parts: Thermal,
    exposure: Exposure,
    weather: Weather,
    start_k: Array,
    *,
    night: tuple[int, int] | None = None,
) -> Outlook:
    """Follow parts through an hourly forecast.

    Parameters
    ----------
    parts : Thermal
        Parts, axes site and part [SI].
    exposure : Exposure
        How the weather reaches them, the same axes [-].
    weather : Weather
        The forecast [SI].
    start_k : ndarray
        Temperature of the water at the start, axes site and part [K].
    night : tuple of int, optional
        First hour and the hour after the last in which ``ice_fraction`` is sought; all
        if left out [h].

    Returns
    -------
    Outlook
        For each track, site and part [SI].

    Raises
    ------
    InputError
        For weather that is not a number or not possible, by name.

    Notes
    -----
    Each hour is exact: the weather holds within it, and so does the film.
    """
    _check(weather, start_k)
    hours, tracks, sites = weather.air_k.shape
    shape = (tracks, sites, start_k.shape[-1])
    first, last = night or (0, hours)
    times = tuple(np.full(shape, math.inf) for _ in _SHARES)
    most, heat = np.zeros(shape), np.zeros(shape)
    for block in _blocks(sites, tracks * shape[-1]):
        run = _Run(parts, exposure, weather, start_k, block)
        for hour in range(hours):
            run.step(hour)
            if first <= hour < last:
                np.minimum(run.least, run.heat, out=run.least)
        for kept, found in zip(times, run.times, strict=True):
            kept[:, block] = found
        most[:, block] = ice_share(run.parts, run.least)
        heat[:, block] = run.heat
    ice, half, whole = times
    return Outlook(ice, half, whole, most, heat)


class _Run:
    """A few sites on their way through the forecast."""

    def __init__(
        self,
        parts: Thermal,
        exposure: Exposure,
        weather: Weather,
        start_k: Array,
        block: slice,
    ) -> None:
        self.parts = _cut(parts, start_k.shape, block)
        self.weather = weather
        self.block = block
        self.wind, self.sky, self.open = (
            _whole(entry, start_k.shape, block)
            for entry in (exposure.wind_share, exposure.sky_share, exposure.air_share)
        )
        self.in_box = np.ascontiguousarray(self.open < 1.0)
        tracks = weather.air_k.shape[1]
        begin = heat_content(self.parts, start_k[block])
        self.heat = np.broadcast_to(begin, (tracks, *begin.shape)).copy()
        self.least = np.full_like(self.heat, math.inf)
        self.times = tuple(np.full_like(self.heat, math.inf) for _ in _SHARES)
        mean = weather.mean_air_k[block] - FREEZING_POINT_K
        self.mean_c = np.broadcast_to(mean, (tracks, mean.shape[0]))
        soil = (weather.soil_k[block] - FREEZING_POINT_K)[:, None]
        self.soil_part = (1.0 - self.open) * soil

    def step(self, hour: int) -> None:
        loss = self._loss(hour)
        after = advance(self.parts, self.heat, loss, SECONDS_PER_HOUR)
        for share, times in zip(_SHARES, self.times, strict=True):
            level = -share * self.parts.latent_j_per_m
            crossed = (after < level) & np.isinf(times)
            if crossed.any():
                times[crossed] = hour * SECONDS_PER_HOUR + self._when(
                    crossed, loss, share
                )
        self.heat = after

    def _loss(self, hour: int) -> Loss:
        air = (self.weather.air_k[hour, :, self.block] - FREEZING_POINT_K)[..., None]
        if self.in_box.any():
            air = self._in_boxes(air)
        else:
            air = np.broadcast_to(air, self.heat.shape).copy()
        wind = self.weather.wind_m_per_s[hour, self.block, None] * self.wind
        sky = self.weather.sky_k[hour, self.block, None] * self.sky
        warmth = np.maximum(self.heat, 0.0) * (0.5 / self.parts.liquid_j_per_m_k)
        return heat_loss(
            self.parts, air, forced_film(self.parts, wind), sky, warmth_k=warmth
        )

    def _in_boxes(self, air_c: Array) -> Array:
        new = 1.0 - math.exp(-1.0 / DAY_H)
        self.mean_c = self.mean_c + new * (air_c[..., 0] - self.mean_c)
        boxed = self.open * self.mean_c[..., None] + self.soil_part
        result: Array = np.where(self.in_box, boxed, air_c)
        return result

    def _when(self, crossed: NDArray[np.bool_], loss: Loss, share: float) -> Array:
        track, site, part = np.nonzero(crossed)
        these = _pick(self.parts, (site, part))
        where = (track, site, part)
        lost = Loss(loss.conductance_w_per_m_k[where], loss.surroundings_c[where])
        return time_to_ice(these, self.heat[where], lost, share)


def _cut(parts: Thermal, shape: tuple[int, ...], block: slice) -> Thermal:
    """Lay the parts of a few sites out whole: numpy is slow on short rows."""
    fields = (getattr(parts, name) for name in Thermal.__dataclass_fields__)
    return Thermal(*(_whole(field, shape, block) for field in fields))


def _whole(values: Array, shape: tuple[int, ...], block: slice) -> Array:
    return np.ascontiguousarray(np.broadcast_to(values, shape)[block])


def _pick(parts: Thermal, where: tuple[NDArray[np.intp], ...]) -> Thermal:
    return Thermal(
        *(getattr(parts, name)[where] for name in Thermal.__dataclass_fields__)
    )


def _blocks(sites: int, numbers_each: int) -> Iterator[slice]:
    width = max(1, _BLOCK // max(1, numbers_each))
    return (slice(begin, begin + width) for begin in range(0, sites, width))


_COLDEST_K: Final = 173.15
_WARMEST_K: Final = 343.15


def _check(weather: Weather, start_k: Array) -> None:
    """Refuse what is not a number or not possible, by name."""
    span = (_COLDEST_K, _WARMEST_K)
    for name, values, (low, high) in (
        ("air_k", weather.air_k, span),
        ("wind_m_per_s", weather.wind_m_per_s, (0.0, 120.0)),
        ("sky_k", weather.sky_k, (0.0, 100.0)),
        ("mean_air_k", weather.mean_air_k, span),
        ("soil_k", weather.soil_k, span),
        ("start_k", start_k, span),
    ):
        if not np.all((values >= low) & (values <= high)):
            raise InputError(
                f"{name}: every value must be a number from {low:g} to {high:g}; "
                "leave out the hours that are not known",
                input=name,
                low=low,
                high=high,
            )
