"""First fall and last spring freezes of a record, as dates with their chances."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from maintenance.engine.climate.mixed_law import (
    MixedLaw,
    day_at_chance,
    fit_mixed_law,
    ranked_day,
    standard_error,
)
from maintenance.engine.climate.seasons import (
    Season,
    SeasonEvent,
    Years,
    complete_seasons,
    season_events,
    touched_seasons,
)
from maintenance.engine.climate.series import DailySeries
from maintenance.engine.errors import InputError

CHANCES: Final = (10, 20, 30, 40, 50, 60, 70, 80, 90)
"""Chances that the national tables print [%]."""

Days = Mapping[int, float | None]


@dataclass(frozen=True, slots=True)
class FreezeDates:
    """The dates of one threshold and season; days are numbers, not rounded."""

    threshold_k: float
    season: Season
    years: Years
    exact: bool
    events: tuple[SeasonEvent, ...]
    law: MixedLaw
    days: Days
    ranked_days: Days
    standard_errors: Days

    @property
    def left_out(self) -> tuple[SeasonEvent, ...]:
        """The seasons that are not valid."""
        return tuple(event for event in self.events if not event.valid)


def freeze_dates(
    series: DailySeries,
    threshold_k: float,
    season: Season = "fall",
    *,
    years: Years | None = None,
    exact: bool = False,
) -> FreezeDates:
    """Work out first-fall or last-spring freeze dates by the national method.

    Parameters
    ----------
    series : DailySeries
        A record, cleaned. [K]
    threshold_k : float
        A day at or below it counts. [K]
    season : str
        ``fall`` or ``spring``. [-]
    years : tuple of int and int, optional
        First and last season, both included; all complete ones if not given. [-]
    exact : bool
        Compare as recorded instead of in whole °F. [-]

    Returns
    -------
    FreezeDates
        Dates by chance from the mixed law, and from the ranks. [d]

    Raises
    ------
    InputError
        If the record holds nothing of those seasons.

    Notes
    -----
    Season 1 August to 31 July, whole °F at or below, mixed law, as rebuilt from the
    national freeze tables for 1971-2000 (NOAA, Climatography of the United States
    No. 20, Supplement 1).
    """
    span = _years(series, season, years)
    events = season_events(series, threshold_k, season, span, exact=exact)
    numbers = [event.number for event in events if event.valid]
    law = fit_mixed_law(numbers)
    return FreezeDates(
        threshold_k=threshold_k,
        season=season,
        years=span,
        exact=exact,
        events=events,
        law=law,
        days={c: day_at_chance(law, c / 100.0, season) for c in CHANCES},
        ranked_days={c: ranked_day(numbers, c / 100.0, season) for c in CHANCES},
        standard_errors={c: standard_error(law, c / 100.0) for c in CHANCES},
    )


def _years(series: DailySeries, season: Season, years: Years | None) -> Years:
    first, last = touched_seasons(series, season)
    if years is None:
        found = complete_seasons(series, season)
        if found is None:
            raise InputError(
                f"The record runs from {series.first} to {series.last} and holds no "
                "whole season (1 August to 31 July): give a longer one, or name the "
                f"seasons with --years {first}-{last}",
                input="years",
            )
        return found
    if years[0] > years[1]:
        raise InputError(
            f"--years {years[0]}-{years[1]} ends before it begins: write the earlier "
            "year first",
            input="years",
        )
    if years[1] < first or years[0] > last:
        raise InputError(
            f"The record holds no day of the seasons {years[0]} to {years[1]}: it runs "
            f"from {first} to {last}",
            input="years",
            low=first,
            high=last,
        )
    return years
