"""Weather of the tests: a real record, and made forecasts for a small site."""

from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

import numpy as np

from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.climate.series import Record, Station
from maintenance.exchange.weather.record_file import read_record
from maintenance.models import Account
from maintenance.services.inventory.store import store_site
from maintenance.services.weather.site_weather import attach_station
from maintenance.services.weather.stations import keep_station
from tests.services.inventory.files import SPRING, read, rich_file

CLIMATE = Path(__file__).resolve().parents[3] / "fixtures" / "climate"
SITE = "example-lateral"
STATION = Station("CHAMPION", "Champion", 40.47, -101.75, 1036.0)
NOW = datetime(2026, 10, 5, 18, 20, tzinfo=UTC)
HOUR = timedelta(hours=1)


@cache
def champion() -> Record:
    return read_record((CLIMATE / "champion.csv").read_bytes())


def degf(value: float) -> float:
    return (value + 459.67) / 1.8


def forecast(low_degf: float, *, now: datetime = NOW, hours: int = 160) -> Forecast:
    """A forecast that falls to the same low each night at 12 UTC, 20 K above at noon."""
    begin = now.replace(minute=0, second=0, microsecond=0)
    at = begin.hour + np.arange(hours)
    swing = 0.5 * (1.0 - np.cos(2.0 * np.pi * (at - 12) / 24.0))
    return Forecast(
        begin=begin,
        temperature_k=degf(low_degf) + 20.0 * swing,
        wind_m_per_s=np.full(hours, 1.0),
        sky_cover=np.zeros(hours),
        issued_at=now,
        source="made for tests",
    )


def keep_site(account: Account, **changes: object) -> None:
    file = rich_file()
    file |= changes
    store_site(read(file), account=account, now=SPRING)


def keep_champion(account: Account, site: str = SITE) -> None:
    keep_station(
        champion(),
        account=account,
        station=STATION,
        file_name="champion.csv",
        now=NOW,
        actor="Robin",
    )
    attach_station(
        account, site_key=site, station_key=STATION.id, now=NOW, actor="Robin"
    )
