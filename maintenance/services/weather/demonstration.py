"""The weather of the demonstration: one station for several sites, forecasts dated anew.

As a contractor would, one station stands for the main site and for some of the sites in
the town below it. So the list of all sites shows exposed ones, calm ones, some that lack
a forecast, and some of which nothing is known.
"""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from maintenance.engine.climate.forecast import Forecast, full_hour
from maintenance.engine.climate.series import Record
from maintenance.models import Account, KeptForecast, SiteWeather, WeatherStation
from maintenance.models.sites import Site as SiteRow
from maintenance.services.inventory.claims import find_row
from maintenance.services.weather.forecast_rows import forecast_of
from maintenance.services.weather.forecasts import Received, keep_received
from maintenance.services.weather.refresh import refresh_sites
from maintenance.services.weather.site_weather import attach_station
from maintenance.services.weather.stations import keep_station

MAIN: Final = "larkmoor"
WITH_FORECAST: Final = (
    *(MAIN, "bramblegate-8", "crook-lane-22", "dovecote-green"),
    *("kiln-steps-31", "whin-cottage"),
)
WITH_STATION: Final = (*WITH_FORECAST, "pound-yard-3", "tollgate-40")

MILDER_K_PER_M: Final = 0.0065
"""The town lies lower, and is milder by so much for each metre [K/m]; the usual fall of
temperature with height, from memory. The forecast is invented in any case."""

INVENTED: Final = "invented forecast"
RECORD_FILE: Final = "champion.csv"


def put_station(
    account: Account, *, record: Record, now: datetime, actor: str
) -> list[str]:
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
            actor=actor,
            demo=True,
        )
        changed = [kept.key] if kept.changed else []
    elif row.retired_at is not None:
        return []
    stated = SiteWeather.objects.for_account(account).values_list("site", flat=True)
    there = set(stated)
    for site in _sites(account, WITH_STATION):
        if site.pk not in there:
            attach_station(
                account,
                site_key=site.key,
                station_key=station.id,
                now=now,
                actor=actor,
            )
    return changed


def renew_forecasts(account: Account, *, forecast: Forecast, now: datetime) -> bool:
    """Give sites their forecast where they have none, or an invented one that is over.

    Returns whether any was given; one that a person gave is left alone.

    Parameters
    ----------
    account : Account
        Whose demonstration it is.
    forecast : Forecast
        For the main site; its dates do not matter.
    now : datetime
        When the forecasts begin.
    """
    sites = _sites(account, WITH_FORECAST)
    kept = {row.site_id: row for row in KeptForecast.objects.filter(site__in=sites)}
    main_m = next((site.elevation_m for site in sites if site.key == MAIN), None)
    given = []
    for site in sites:
        if _is_wanting(kept.get(site.pk), now):
            lower_m = 0.0 if main_m is None else main_m - site.elevation_m
            own = _as_of(forecast, now, MILDER_K_PER_M * lower_m)
            given.append(Received(site, own, "file"))
    if given:
        keep_received(given, now=now)
    return bool(given)


def keep_demonstration_outlooks(account: Account, *, now: datetime) -> None:
    """Work out the outlooks of the sites that have weather, together; some seconds."""
    refresh_sites(account, site_keys=WITH_STATION, ask=None, now=now, jitter=0.0)


def _sites(account: Account, keys: tuple[str, ...]) -> list[SiteRow]:
    rows = SiteRow.objects.for_account(account).standing()
    return list(rows.filter(demo=True, key__in=keys).order_by("pk"))


def _is_wanting(row: KeptForecast | None, now: datetime) -> bool:
    return row is None or (row.source == INVENTED and forecast_of(row).end <= now)


def _as_of(forecast: Forecast, now: datetime, warmer_k: float) -> Forecast:
    """Date a forecast anew: by whole days, so that its nights stay nights."""
    first = full_hour(now)
    begin = forecast.begin + timedelta(days=(first - forecast.begin).days)
    gone = (first - begin) // timedelta(hours=1)
    return replace(
        forecast,
        begin=first,
        temperature_k=forecast.temperature_k[gone:] + warmer_k,
        wind_m_per_s=forecast.wind_m_per_s[gone:],
        sky_cover=forecast.sky_cover[gone:],
        issued_at=first,
        source=INVENTED,
    )
