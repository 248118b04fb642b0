"""What the next 24 hours of a forecast do to the parts of a site."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

import numpy as np

from maintenance.engine.climate.alert import lead_chances
from maintenance.engine.climate.degrees import Array
from maintenance.engine.climate.forecast import (
    HOURS_A_DAY,
    Days,
    Forecast,
    full_hour,
    hours_of,
)
from maintenance.engine.climate.forecast_errors import ForecastErrors
from maintenance.engine.freezing.outlook import Weather, freeze_outlook
from maintenance.engine.freezing.part_at_risk import (
    PartAtRisk,
    box_threshold,
    side_by_side,
)

FEWEST_HOURS: Final = 18
"""With fewer of the next 24 hours known, the night is not followed; project choice."""

FEWEST_BEFORE: Final = 12
"""With fewer of the last 24 hours known, the hours ahead stand for them; choice."""

CALM_WIND_M_PER_S: Final = 1.0
"""Wind where the forecast tells none [m/s]: that of a calm clear night; assumed."""

CLEAR_SKY_K: Final = 15.0
"""How much colder than the air a clear sky radiates [K], 10 to 20; assumed. Clouds
take their share off; the sun is left out, so days come out cold."""


CAUTIOUS: Final = 1.645
"""Deviations below the forecast that one night in twenty still passes [-]."""

TRACKS: Final = (0.0, 1.0, CAUTIOUS)
"""How many deviations colder than the forecast, its bias taken off, each track is."""


@dataclass(frozen=True, slots=True)
class Tonight:
    """The next 24 hours of a part: times from now [s], None for not within them.

    Shares of its water that are ice at most [-]: by the forecast, by one a standard
    deviation colder, and at the cautious end, which one night in twenty passes. The
    last is told and raises no level.
    """

    first_ice_s: float | None
    half_frozen_s: float | None
    ice_fraction: float
    ice_colder: float
    ice_coldest: float


def tonight(
    parts: Sequence[PartAtRisk],
    forecast: Forecast,
    now: datetime,
    errors: ForecastErrors,
    soil_k: float,
) -> dict[str, Tonight]:
    """Follow the parts above ground and in boxes through the next 24 hours.

    Parameters
    ----------
    parts : sequence of PartAtRisk
        The parts; buried ones are passed over. [SI]
    forecast : Forecast
        The forecast. [SI]
    now : datetime
        Aware. [-]
    errors : ForecastErrors
        Of a forecast of this age. [K]
    soil_k : float
        Soil at 8 in, for what stands in a box. [K]

    Returns
    -------
    dict of str and Tonight
        By part; empty where too few hours are known. [SI]

    Notes
    -----
    An hour that is unknown takes the colder of its neighbours. The water begins at
    the mean air of the last 24 hours, or of the hours ahead where those are unknown.
    The bias of the first night is taken off every hour.
    """
    in_air = [part for part in parts if part.threshold_of != "soil"]
    air_k = hours_of(forecast.temperature_k, forecast, now, HOURS_A_DAY)
    if not in_air or np.isfinite(air_k).sum() < FEWEST_HOURS:
        return {}
    bias_k, sigma_k = errors.bias_k[0], errors.sigma_k[0]
    air_k = _bridged(air_k) - bias_k
    mean_k = _mean_before(forecast, now, air_k, bias_k)
    thermal, exposure = side_by_side(in_air)
    found = freeze_outlook(
        thermal,
        exposure,
        Weather(
            air_k=(air_k[:, None] - sigma_k * np.array(TRACKS))[:, :, None],
            wind_m_per_s=_known_or(forecast, forecast.wind_m_per_s, now)[:, None],
            sky_k=CLEAR_SKY_K * (1.0 - _cover(forecast, now))[:, None],
            mean_air_k=np.array([mean_k]),
            soil_k=np.array([soil_k]),
        ),
        np.full((1, len(in_air)), mean_k),
    )
    gone_s = (now - full_hour(now)).total_seconds()
    return {
        part.part: Tonight(
            _from_now(found.first_ice_s[0, 0, at], gone_s),
            _from_now(found.half_frozen_s[0, 0, at], gone_s),
            *(float(share) for share in found.ice_fraction[:, 0, at]),
        )
        for at, part in enumerate(in_air)
    }


def part_chances(
    part: PartAtRisk, days: Days, errors: ForecastErrors, soil_k: float
) -> Array:
    """Return the chances that a part comes to harm at leads 1 to 7.

    Parameters
    ----------
    part : PartAtRisk
        Not a buried one. [SI]
    days : Days
        The forecast by days. [K]
    errors : ForecastErrors
        Of a forecast of this age. [K]
    soil_k : float
        Soil at 8 in. [K]

    Returns
    -------
    ndarray
        Chances, NaN where unknown; for a part in a box by the mean of the day. [-]
    """
    if part.threshold_of == "box_air":
        return lead_chances(days.mean_k, box_threshold(soil_k), errors)
    return lead_chances(days.minimum_k, part.threshold_k, errors)


def _bridged(air_k: Array) -> Array:
    """Give an unknown hour the colder of its neighbours."""
    known = np.flatnonzero(np.isfinite(air_k))
    hours = np.arange(len(air_k))
    before = known[np.maximum(np.searchsorted(known, hours, "right") - 1, 0)]
    after = known[np.minimum(np.searchsorted(known, hours), len(known) - 1)]
    result: Array = np.minimum(air_k[before], air_k[after])
    return result


def _mean_before(
    forecast: Forecast, now: datetime, ahead_k: Array, bias_k: float
) -> float:
    day_before = now - timedelta(hours=HOURS_A_DAY)
    air_k = hours_of(forecast.temperature_k, forecast, day_before, HOURS_A_DAY)
    known = air_k[np.isfinite(air_k)] - bias_k
    return float(known.mean() if len(known) >= FEWEST_BEFORE else ahead_k.mean())


def _known_or(forecast: Forecast, values: Array, now: datetime) -> Array:
    cut = hours_of(values, forecast, now, HOURS_A_DAY)
    return np.where(np.isnan(cut), CALM_WIND_M_PER_S, cut)


def _cover(forecast: Forecast, now: datetime) -> Array:
    """Clouds; a sky that nobody forecasts is taken as clear, which is colder."""
    cut = hours_of(forecast.sky_cover, forecast, now, HOURS_A_DAY)
    return np.where(np.isnan(cut), 0.0, cut)


def _from_now(time_s: float, gone_s: float) -> float | None:
    return max(0.0, float(time_s) - gone_s) if math.isfinite(time_s) else None
