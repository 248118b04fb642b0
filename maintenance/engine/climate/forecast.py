"""An hourly forecast as a value, and what it says of the days from now on."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final

import numpy as np

from maintenance.engine.climate.degrees import Array

HOURS_A_DAY: Final = 24
LEADS: Final = 7
"""Days ahead that a forecast is looked at; beyond it no error is known."""

LESS_TRUST_AFTER_S: Final = 12 * 3600.0
NO_TRUST_AFTER_S: Final = 36 * 3600.0
"""Age from which a forecast counts as a day further ahead, and as none [s]; choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """A forecast hour by hour, NaN where it says nothing.

    ``begin`` is the first full hour, UTC. Each value holds for the hour that begins
    then: air [K], wind [m/s], share of the sky under cloud [-]. ``issued_at`` is None
    where the file does not tell; ``rejected`` are sentences on values that cannot be.
    """

    begin: datetime
    temperature_k: Array
    wind_m_per_s: Array
    sky_cover: Array
    issued_at: datetime | None
    source: str
    rejected: tuple[str, ...] = ()

    @property
    def end(self) -> datetime:
        """The end of its last hour."""
        return self.begin + timedelta(hours=len(self.temperature_k))


def forecast_age(forecast: Forecast, now: datetime) -> float:
    """Return how old a forecast is.

    Parameters
    ----------
    forecast : Forecast
        The forecast; where it does not tell when it was issued, its first hour
        stands for that. [-]
    now : datetime
        Aware. [-]

    Returns
    -------
    float
        Age, 0 for one that is issued later than now. [s]
    """
    issued = forecast.issued_at or forecast.begin
    return max(0.0, (now - issued).total_seconds())


def hours_of(values: Array, forecast: Forecast, first: datetime, count: int) -> Array:
    """Cut a span of hours out of one of a forecast's rows.

    Parameters
    ----------
    values : ndarray
        One of its rows. [any]
    forecast : Forecast
        The forecast that it is of. [-]
    first : datetime
        Any time within the first hour wanted. [-]
    count : int
        Hours wanted. [h]

    Returns
    -------
    ndarray
        As many hours, NaN outside the forecast. [as given]
    """
    at = int((full_hour(first) - forecast.begin) // timedelta(hours=1))
    wanted = np.arange(at, at + count)
    inside = (wanted >= 0) & (wanted < len(values))
    cut = np.full(count, np.nan)
    cut[inside] = values[wanted[inside]]
    return cut


def full_hour(time: datetime) -> datetime:
    """Return the full hour at or before a time.

    Parameters
    ----------
    time : datetime
        Aware. [-]

    Returns
    -------
    datetime
        In UTC. [-]
    """
    return time.astimezone(UTC).replace(minute=0, second=0, microsecond=0)


@dataclass(frozen=True, slots=True)
class Days:
    """Air in each of the days of 24 hours from now on, NaN where nothing is known.

    The first entry is lead 1, which holds the coming night. ``hours`` counts the
    hours known in each.
    """

    minimum_k: Array
    mean_k: Array
    hours: Array


def days_ahead(forecast: Forecast, now: datetime) -> Days:
    """Gather a forecast into days of 24 hours from now on.

    Parameters
    ----------
    forecast : Forecast
        The forecast. [K]
    now : datetime
        Aware. [-]

    Returns
    -------
    Days
        `LEADS` of them. [K]

    Notes
    -----
    The days run from this hour, not from noon: so every hour ahead lies in one, and a
    crew that comes in n days protects what comes after lead n.
    """
    air = hours_of(forecast.temperature_k, forecast, now, LEADS * HOURS_A_DAY)
    air = air.reshape(LEADS, HOURS_A_DAY)
    known = np.isfinite(air)
    count = known.sum(axis=1)
    lowest = np.where(known, air, np.inf).min(axis=1)
    total = np.where(known, air, 0.0).sum(axis=1)
    nothing = count == 0
    return Days(
        np.where(nothing, np.nan, lowest),
        np.where(nothing, np.nan, total / np.maximum(count, 1)),
        count.astype(np.float64),
    )
