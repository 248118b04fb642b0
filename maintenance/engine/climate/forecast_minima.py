"""What a forecast says of the lowest air of each day at the site."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from typing import Final

import numpy as np

from maintenance.engine.climate.forecast import (
    HOURS_A_DAY,
    LEADS,
    Forecast,
    full_hour,
    hours_of,
)

FEWEST_KNOWN: Final = 0.75
"""Share of a day's hours that must be known before its minimum counts [-]; choice."""


@dataclass(frozen=True, slots=True)
class DayMinimum:
    """The lowest air that a forecast gives for a day, ``lead`` days ahead [K]."""

    day: date
    lead: int
    minimum_k: float


def day_minima(
    forecast: Forecast, zone: tzinfo, now: datetime
) -> tuple[DayMinimum, ...]:
    """Gather a forecast into days of the calendar, as stations report them.

    Parameters
    ----------
    forecast : Forecast
        The forecast. [K]
    zone : tzinfo
        Of the site. [-]
    now : datetime
        When it came; aware. [-]

    Returns
    -------
    tuple of DayMinimum
        Tomorrow is lead 1; days with too few known hours are left out. [K]

    Notes
    -----
    A day at the site has 23, 24 or 25 hours; stations book the minimum on the day on
    which they read it, which may differ by one. What is learnt evens that out.
    """
    today = now.astimezone(zone).date()
    found = []
    for lead in range(1, LEADS + 1):
        day = today + timedelta(days=lead)
        begin = datetime(day.year, day.month, day.day, tzinfo=zone)
        following = day + timedelta(days=1)
        end = datetime(following.year, following.month, following.day, tzinfo=zone)
        # Instants, not clock readings: the day on which the clock changes is not 24 h.
        count = round((end.timestamp() - begin.timestamp()) / 3600.0)
        air_k = hours_of(forecast.temperature_k, forecast, begin, count)
        known = np.isfinite(air_k)
        if known.sum() >= FEWEST_KNOWN * count:
            found.append(DayMinimum(day, lead, float(air_k[known].min())))
    return tuple(found)


def coldest_hour(forecast: Forecast, now: datetime) -> tuple[datetime, float] | None:
    """Return the coldest of the next 24 hours.

    Parameters
    ----------
    forecast : Forecast
        The forecast. [K]
    now : datetime
        Aware. [-]

    Returns
    -------
    tuple of datetime and float, or None
        When that hour begins, UTC, and its air; None where it knows no hour. [K]
    """
    air_k = hours_of(forecast.temperature_k, forecast, now, HOURS_A_DAY)
    if not np.isfinite(air_k).any():
        return None
    at = int(np.nanargmin(air_k))
    return full_hour(now) + timedelta(hours=at), float(air_k[at])
