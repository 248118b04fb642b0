"""The demonstration comes in whole and goes away whole.

Its files are read by a face, which hands the values in: services read no files.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from django.db import transaction

from maintenance.engine.climate.forecast import Forecast, full_hour
from maintenance.engine.climate.series import Record
from maintenance.engine.site import Compressor, Site
from maintenance.models import Account, KeptForecast, SiteWeather, WeatherStation
from maintenance.services.backflow import demonstration as register
from maintenance.services.backflow.photos import forget_files
from maintenance.services.inventory.claims import find_row
from maintenance.services.inventory.store import (
    remove_demo,
    store_compressor,
    store_site,
)
from maintenance.services.visits.demonstration import put_visits
from maintenance.services.visits.photos import demo_photo_files
from maintenance.services.weather.forecast_rows import forecast_of
from maintenance.services.weather.forecasts import keep_forecast
from maintenance.services.weather.site_weather import attach_station
from maintenance.services.weather.stations import keep_station

ACTOR = "demonstration"
WITH_WEATHER: Final = "larkmoor"
"""The site of the demonstration that has a station and a forecast."""

INVENTED: Final = "invented forecast"
RECORD_FILE: Final = "champion.csv"


@transaction.atomic
def load_demonstration(
    account: Account,
    *,
    sites: Iterable[Site],
    compressors: Iterable[Compressor],
    now: datetime,
    record: Record | None = None,
    forecast: Forecast | None = None,
) -> tuple[str, ...]:
    """Put the demonstration in, all of it or nothing; return the ids that changed.

    Loaded twice, it changes nothing the second time; only a forecast of its own that
    is over is given anew.

    Parameters
    ----------
    account : Account
        Whose demonstration it is.
    sites, compressors : iterable of Site and of Compressor
        All that it has.
    now : datetime
        When this happens; the forecast begins at this hour.
    record : Record, optional
        Of the station that stands for its main site, which it names.
    forecast : Forecast, optional
        For the main site; its dates do not matter.

    Raises
    ------
    ConflictError
        If a person keeps something of their own under one of its ids.
    """
    changed = []
    for compressor in compressors:
        kept = store_compressor(
            compressor, account=account, now=now, actor=ACTOR, demo=True
        )
        if kept.changed:
            changed.append(kept.key)
    for site in sites:
        stored = store_site(site, account=account, now=now, actor=ACTOR, demo=True)
        if stored.changed or stored.retired:
            changed.append(stored.key)
    if record is not None:
        changed += _put_station(account, record, now)
    if forecast is not None:
        renew_forecast(account, forecast=forecast, now=now)
    register.put_register(account, site_key=WITH_WEATHER, now=now, actor=ACTOR)
    put_visits(account, now=now, actor=ACTOR)
    return tuple(changed)


def renew_forecast(account: Account, *, forecast: Forecast, now: datetime) -> bool:
    """Give the main site its forecast if it has none, or an invented one that is over.

    Returns whether it was given; one that a person gave is left alone.
    """
    kept = KeptForecast.objects.for_account(account).filter(site__key=WITH_WEATHER)
    row = kept.first()
    if row is not None and (row.source != INVENTED or forecast_of(row).end > now):
        return False
    keep_forecast(
        account, site_key=WITH_WEATHER, forecast=_as_of(forecast, now), now=now
    )
    return True


def _as_of(forecast: Forecast, now: datetime) -> Forecast:
    """Date a forecast anew: by whole days, so that its nights stay nights."""
    first = full_hour(now)
    begin = forecast.begin + timedelta(days=(first - forecast.begin).days)
    gone = (first - begin) // timedelta(hours=1)
    return replace(
        forecast,
        begin=first,
        temperature_k=forecast.temperature_k[gone:],
        wind_m_per_s=forecast.wind_m_per_s[gone:],
        sky_cover=forecast.sky_cover[gone:],
        issued_at=first,
        source=INVENTED,
    )


def _put_station(account: Account, record: Record, now: datetime) -> list[str]:
    """Keep the station and attach it, unless a person did otherwise already."""
    station = record.series.station
    if station is None:
        return []
    row = find_row(WeatherStation, account, station.id)
    changed = []
    # One that became a person's own, since their site uses it, is theirs to replace.
    if row is None or row.demo:
        kept = keep_station(
            record,
            account=account,
            station=station,
            file_name=RECORD_FILE,
            now=now,
            actor=ACTOR,
            demo=True,
        )
        changed = [kept.key] if kept.changed else []
    elif row.retired_at is not None:
        return []
    stated = SiteWeather.objects.for_account(account).filter(site__key=WITH_WEATHER)
    if not stated.exists():
        attach_station(
            account,
            site_key=WITH_WEATHER,
            station_key=station.id,
            now=now,
            actor=ACTOR,
        )
    return changed


def remove_demonstration(account: Account) -> tuple[str, ...]:
    """Take the demonstration out with its history; return the ids that went."""
    files = [*demo_photo_files(account), *register.demo_photo_files(account)]
    gone = remove_demo(account)
    register.remove_kit(account, actor=ACTOR)
    forget_files(files)
    return gone
