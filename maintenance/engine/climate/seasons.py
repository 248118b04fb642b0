"""Freeze seasons, 1 August to 31 July: the first freeze of one, or the last."""

import math
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from maintenance.engine.climate.degrees import at_or_below
from maintenance.engine.climate.series import DailySeries

Season = Literal["fall", "spring"]
Years = tuple[int, int]
MOST_MISSING: Final = 10
"""Days that may be missing before a first freeze, or after a last one."""

FIRST_DAYS: Final = {"fall": 0, "spring": -152}
"""Number of 1 August: it is 0 in fall; in spring 1 January is 1."""

_YEAR_OF_365: Final = 2001


@dataclass(frozen=True, slots=True)
class SeasonEvent:
    """What one season brought: a date, no freeze (None), or not enough days.

    ``season`` is the year in which it begins (fall) or ends (spring); ``day`` counts
    from 1 August = 0 (fall) or 1 January = 1 (spring). ``why`` is set where the season
    is not valid.
    """

    season: int
    day: date | None
    number: int | None
    valid: bool = True
    why: str | None = None


def season_days(year: int, season: Season) -> tuple[date, date]:
    """Return the first and the last day of a season.

    Parameters
    ----------
    year : int
        The year in which it begins (fall) or ends (spring). [-]
    season : str
        ``fall`` or ``spring``. [-]

    Returns
    -------
    tuple of date and date
        1 August and 31 July. [-]
    """
    begin = year if season == "fall" else year - 1
    return date(begin, 8, 1), date(begin + 1, 7, 31)


def complete_seasons(series: DailySeries, season: Season) -> Years | None:
    """Return the first and the last season that the record spans from end to end.

    Parameters
    ----------
    series : DailySeries
        A record. [K]
    season : str
        ``fall`` or ``spring``. [-]

    Returns
    -------
    tuple of int and int or None
        Years, both included; None where there is no such season. [-]
    """
    first, last = touched_seasons(series, season)
    first += season_days(first, season)[0] < series.first
    last -= season_days(last, season)[1] > series.last
    return (first, last) if first <= last else None


def touched_seasons(series: DailySeries, season: Season) -> Years:
    """Return the first and the last season of which the record holds a day.

    Parameters
    ----------
    series : DailySeries
        A record. [K]
    season : str
        ``fall`` or ``spring``. [-]

    Returns
    -------
    tuple of int and int
        Years, both included. [-]
    """
    later = 0 if season == "fall" else 1
    first, last = (
        day.year + later - (day.month < 8) for day in (series.first, series.last)
    )
    return first, last


def season_events(
    series: DailySeries,
    threshold_k: float,
    season: Season,
    years: Years,
    *,
    exact: bool = False,
) -> tuple[SeasonEvent, ...]:
    """Find the first (fall) or last (spring) day at or below a threshold.

    Parameters
    ----------
    series : DailySeries
        A record, cleaned. [K]
    threshold_k : float
        Threshold. [K]
    season : str
        ``fall`` or ``spring``. [-]
    years : tuple of int and int
        First and last season, both included. [-]
    exact : bool
        Compare as recorded instead of in whole °F. [-]

    Returns
    -------
    tuple of SeasonEvent
        One for each season. [-]

    Notes
    -----
    The first event of the season may fall in January to March in mild places, the
    last one in December. A season is not valid where more than ten days are missing
    before the first event (after the last); a valid season may have none.
    """
    cold = at_or_below(series.tmin_k, threshold_k, exact=exact)
    missing = np.isnan(series.tmin_k)
    return tuple(
        _event(series, cold, missing, season, year)
        for year in range(years[0], years[1] + 1)
    )


def month_day(number: float, season: Season) -> str | None:
    """Write the number of a day as a date of a year of 365 days.

    Parameters
    ----------
    number : float
        Day, 1 August = 0 (fall) or 1 January = 1 (spring); rounded half up. [d]
    season : str
        ``fall`` or ``spring``. [-]

    Returns
    -------
    str or None
        ``MM-DD``; None where it lies outside the season. [-]

    Examples
    --------
    >>> month_day(67.06, "fall"), month_day(119.08, "spring"), month_day(-8.0, "spring")
    ('10-07', '04-29', '12-23')
    """
    after = math.floor(number + 0.5) - FIRST_DAYS[season]
    if not 0 <= after < 365:
        return None
    return f"{date(_YEAR_OF_365, 8, 1) + timedelta(days=after):%m-%d}"


def _event(
    series: DailySeries,
    cold: NDArray[np.bool_],
    missing: NDArray[np.bool_],
    season: Season,
    year: int,
) -> SeasonEvent:
    first, last = season_days(year, season)
    begin, end = series.index(first), series.index(last) + 1
    inside = slice(max(begin, 0), max(end, 0))
    hits = np.flatnonzero(cold[inside]) + inside.start
    if not len(hits):
        lacking = end - begin - int((~missing[inside]).sum())
        why = f"{lacking} of its days are missing and no freeze was found"
        return _judged(year, None, None, lacking, why)
    if season == "fall":
        hit, searched = int(hits[0]), slice(begin, int(hits[0]))
    else:
        hit, searched = int(hits[-1]), slice(int(hits[-1]) + 1, end)
    held = missing[max(searched.start, 0) : max(searched.stop, 0)]
    lacking = searched.stop - searched.start - int((~held).sum())
    day = series.day(hit)
    number = (day - first).days + FIRST_DAYS[season]
    if season == "spring":
        number = (day - date(year, 1, 1)).days + 1
    side = "before the first" if season == "fall" else "after the last"
    why = f"{lacking} days are missing {side} freeze found, {day}"
    return _judged(year, day, number, lacking, why)


def _judged(
    year: int, day: date | None, number: int | None, lacking: int, why: str
) -> SeasonEvent:
    if lacking > MOST_MISSING:
        text = f"{why}; at most {MOST_MISSING} may be"
        return SeasonEvent(year, None, None, valid=False, why=text)
    return SeasonEvent(year, day, number)
