"""First and last days agree with xclim (0.62, `op="<="`), season by season.

Its functions take a calendar, not our rule of missing days; the records are complete,
so only seasons that the record spans are compared.
"""

import warnings
from datetime import date, timedelta

import numpy as np
import pytest

from maintenance.engine.climate.degrees import whole_degf
from maintenance.engine.climate.seasons import complete_seasons, season_events
from tests.reference.climate_records import degf, record

pytestmark = pytest.mark.reference


def days_of_xclim(series, threshold_degf, season):
    """Return its day in each season, by the year in which the season begins."""
    with warnings.catch_warnings():
        # Imported here, since it takes seconds; it tells of plotting not installed.
        warnings.simplefilter("ignore")
        import xarray  # noqa: PLC0415
        from xclim import indices  # noqa: PLC0415

    days = np.datetime64(series.first) + np.arange(len(series.tmin_k))
    minima = xarray.DataArray(
        whole_degf(series.tmin_k),
        coords={"time": days.astype("datetime64[ns]")},
        dims="time",
        attrs={"units": "degF"},
    )
    asked = {"thresh": f"{threshold_degf} degF", "op": "<=", "freq": "YS-AUG"}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        if season == "fall":
            found = indices.first_day_temperature_below(
                minima, after_date="08-01", **asked
            )
        else:
            found = indices.last_spring_frost(minima, before_date="07-31", **asked)
    years = found.time.dt.year.values
    return {
        int(year): None if np.isnan(number) else dated(int(year), int(number))
        for year, number in zip(years, found.values, strict=True)
    }


def dated(begin: int, day_of_year: int) -> date:
    """Return the day of a season that begins in August, from its day of the year."""
    day = date(begin, 1, 1) + timedelta(days=day_of_year - 1)
    if day < date(begin, 8, 1):
        day = date(begin + 1, 1, 1) + timedelta(days=day_of_year - 1)
    return day


@pytest.mark.parametrize("season", ["fall", "spring"])
@pytest.mark.parametrize("threshold", [36, 32, 28, 24, 20, 16])
@pytest.mark.parametrize("name", ["champion", "cambridge", "seattle"])
def test_the_same_day_in_every_season(name, threshold, season):
    series = record(name).series
    years = complete_seasons(series, season)
    assert years is not None
    ours = season_events(series, degf(threshold), season, years)
    theirs = days_of_xclim(series, threshold, season)
    later = 0 if season == "fall" else 1
    assert len(ours) > 2
    assert {event.season: event.day for event in ours} == {
        event.season: theirs[event.season - later] for event in ours
    }
