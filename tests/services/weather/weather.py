"""Sites, records and forecasts for tests of the weather that is kept."""

import threading
from datetime import UTC, date, datetime

import numpy as np
from django.apps import apps
from django.db import connection

from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.climate.series import Record, Station, frozen
from maintenance.exchange.weather.record_file import read_record
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.store import store_site
from maintenance.services.weather.stations import KeptStation, keep_station
from tests.exchange.weather.weather_files import plain_csv, some_days
from tests.services.inventory.files import SPRING, read, rich_file

SITE = "example-lateral"
NOW = datetime(2026, 10, 5, 18, 30, tzinfo=UTC)
LATER = datetime(2026, 10, 6, 18, 30, tzinfo=UTC)


def put_site(account, key=SITE, **place):
    file = rich_file() | {"id": key, "name": f"Site {key}"}
    file["place"] |= {"time_zone": "America/Denver"} | place
    store_site(read(file), account=account, now=SPRING)


def a_record(count=400, *, seed=1, first=date(2001, 3, 5)) -> Record:
    return read_record(plain_csv(some_days(count, seed=seed, first=first)))


def keep(account, key="north", *, record=None, now=NOW, actor="Ann", **station):
    kept: KeptStation = keep_station(
        record or a_record(),
        account=account,
        station=Station(key, **station),
        file_name=f"{key}.csv",
        now=now,
        actor=actor,
    )
    return kept


def a_forecast(begin, hours=168, *, k=270.0, issued=None) -> Forecast:
    """Return a forecast of one temperature, half a degree warmer each day."""
    air = k + 0.5 * (np.arange(hours) // 24)
    return Forecast(
        begin=begin,
        temperature_k=frozen(air),
        wind_m_per_s=frozen(np.full(hours, 3.0)),
        sky_cover=frozen(np.full(hours, np.nan)),
        issued_at=issued,
        source="a test",
        rejected=("hour 3 had a wind of 900 m/s",),
    )


def everything() -> dict[str, list[str]]:
    """Return all rows of all tables of the application, the histories included."""
    return {
        model.__name__: sorted(map(repr, model._default_manager.values_list()))
        for model in apps.get_app_config("maintenance").get_models()
    }


def at_once(*deeds):
    """Do each in a thread of its own; return what each gave or was told."""
    start = threading.Barrier(len(deeds))
    told: list[object] = [None] * len(deeds)

    def run(number, deed):
        try:
            start.wait(timeout=30)
            told[number] = deed()
        except ServiceError as refusal:
            told[number] = refusal
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=each) for each in enumerate(deeds)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    return told
