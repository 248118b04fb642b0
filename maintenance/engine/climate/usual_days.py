"""The temperatures that are usual on each day of the year at a station."""

from dataclasses import dataclass
from datetime import date
from typing import Final

import numpy as np
from numpy.typing import NDArray

from maintenance.engine.climate.degrees import Array
from maintenance.engine.climate.series import DailySeries

YEAR: Final = 365
NEAR_DAYS: Final = 7
"""Days on either side that speak for a day too; project choice."""

DECIMALS: Final = 2
"""A mean of some hundred days is known no better than this [K]."""

_YEAR_OF_365: Final = 2001


@dataclass(frozen=True, slots=True)
class UsualDays:
    """Mean minimum and maximum by day of a year of 365 days, 1 January first [K]."""

    tmin_k: tuple[float, ...]
    tmax_k: tuple[float, ...]


def usual_days(series: DailySeries) -> UsualDays | None:
    """Work out what is usual on each day of the year.

    Parameters
    ----------
    series : DailySeries
        A record, cleaned. [K]

    Returns
    -------
    UsualDays or None
        None where minima or maxima are not known all round the year. [K]

    Notes
    -----
    The mean of all years over the fifteen days around a day; 29 February counts as 28
    February.
    """
    at = np.array(
        [place_in_year(series.day(index)) for index in range(len(series.tmin_k))]
    )
    means = [_means(at, values) for values in (series.tmin_k, series.tmax_k)]
    if not all(np.isfinite(mean).all() for mean in means):
        return None
    tmin_k, tmax_k = (
        tuple(round(float(value), DECIMALS) for value in mean) for mean in means
    )
    return UsualDays(tmin_k, tmax_k)


def place_in_year(day: date) -> int:
    """Return the place of a day in a year of 365 days.

    Parameters
    ----------
    day : date
        A day; 29 February counts as the day before. [-]

    Returns
    -------
    int
        0 for 1 January. [d]
    """
    if (day.month, day.day) == (2, 29):
        day = day.replace(day=28)
    return day.replace(year=_YEAR_OF_365).timetuple().tm_yday - 1


def _means(at: NDArray[np.int_], values: Array) -> Array:
    known = np.isfinite(values)
    total = np.bincount(at[known], values[known], minlength=YEAR)
    count = np.bincount(at[known], minlength=YEAR)
    sums = [_around(each.astype(np.float64)) for each in (total, count)]
    result: Array = np.where(sums[1] > 0.0, sums[0] / np.maximum(sums[1], 1.0), np.nan)
    return result


def _around(values: Array) -> Array:
    """Sum each day with those near it, round the turn of the year."""
    ring = np.concatenate([values[-NEAR_DAYS:], values, values[:NEAR_DAYS]])
    result: Array = np.convolve(ring, np.ones(2 * NEAR_DAYS + 1), "valid")
    return result
