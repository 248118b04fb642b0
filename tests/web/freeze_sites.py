"""Larkmoor with a station and a forecast, put in through the services."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

from maintenance.engine.climate.forecast import Forecast, full_hour
from maintenance.engine.climate.part_dates import SiteDates, site_dates
from maintenance.engine.climate.series import Record, Station
from maintenance.engine.site import Site
from maintenance.exchange.weather.forecast_file import read_forecast
from maintenance.exchange.weather.record_file import read_record
from maintenance.models import Account
from maintenance.services.weather.forecasts import keep_forecast
from maintenance.services.weather.outlooks import keep_outlook
from maintenance.services.weather.site_weather import attach_station
from maintenance.services.weather.stations import keep_station

CLIMATE = Path(__file__).resolve().parents[2] / "fixtures" / "climate"
NOW = datetime(2026, 10, 5, 18, 30, tzinfo=UTC)
"""12:30 at Larkmoor, half an hour after the forecast begins."""

TO_THE_COLD_NIGHT = 52
"""Hours of the forecast before the evening of its first damaging night."""


_WORKED_OUT: dict[tuple[str, float], SiteDates] = {}


def dates_once(
    sites: Sequence[Site], record: Record, *, offset_k: float = 0.0
) -> tuple[SiteDates, ...]:
    """Work the dates of sites of the demonstration out once for all tests.

    They take seconds; every test here uses the same record.
    """
    for site in sites:
        if (site.id, offset_k) not in _WORKED_OUT:
            found = site_dates(site, record, offset_k=offset_k)
            _WORKED_OUT[site.id, offset_k] = found
    return tuple(_WORKED_OUT[site.id, offset_k] for site in sites)


@cache
def champion() -> Record:
    return read_record((CLIMATE / "champion.csv").read_text("utf-8"))


def forecast(*, now: datetime = NOW, skip: int = 0) -> Forecast:
    """The forecast of the demonstration, beginning in this hour, ``skip`` hours in."""
    read = read_forecast((CLIMATE / "larkmoor_forecast.csv").read_text("utf-8"))
    return replace(
        read,
        begin=full_hour(now),
        temperature_k=read.temperature_k[skip:],
        wind_m_per_s=read.wind_m_per_s[skip:],
        sky_cover=read.sky_cover[skip:],
    )


def keep_champion(account: Account, *, now: datetime = NOW) -> None:
    keep_station(
        champion(),
        account=account,
        station=Station("champion", "Champion", 43.5, -105.0, 1000.0),
        file_name="champion.csv",
        now=now,
        actor="Ann",
    )


def attach(account: Account, key: str, *, now: datetime = NOW) -> None:
    attach_station(account, site_key=key, station_key="champion", now=now, actor="Ann")


def weathered(
    account: Account, key: str, *, now: datetime = NOW, skip: int = 0
) -> None:
    """Give a site all that its outlook needs, and keep its outlook."""
    keep_champion(account, now=now)
    attach(account, key, now=now)
    keep_forecast(account, site_key=key, forecast=forecast(now=now, skip=skip), now=now)
    keep_outlook(account, site_key=key, now=now + timedelta(seconds=1))
