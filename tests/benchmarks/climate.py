"""A hundred years of invented days, and everything that a record is asked for."""

from datetime import date
from functools import cache
from typing import Final

from maintenance.engine.climate.completeness import completeness
from maintenance.engine.climate.freeze_dates import FreezeDates, freeze_dates
from maintenance.engine.climate.seasons import Season
from maintenance.exchange.weather.record_file import read_record
from tests.exchange.weather.weather_files import WRITERS, some_days

YEARS: Final = 100
THRESHOLDS_K: Final = tuple(
    (degf + 459.67) / 1.8 for degf in (36.0, 32.0, 28.0, 24.0, 20.0, 16.0)
)
SEASONS: Final[tuple[Season, ...]] = ("fall", "spring")


@cache
def hundred_years(name: str) -> str:
    """Return a file of one of the formats, written once."""
    days = some_days(36_525, first=date(1920, 1, 1))
    return WRITERS[name](days)


def summarise(text: str) -> tuple[FreezeDates, ...]:
    """Read, clean and report a record; dates of all thresholds, fall and spring."""
    series = read_record(text).series
    completeness(series)
    return tuple(
        freeze_dates(series, threshold_k, season)
        for threshold_k in THRESHOLDS_K
        for season in SEASONS
    )
