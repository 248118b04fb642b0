"""What the outlook of a site is worked out from, read for many sites at once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from maintenance.engine.climate.alert import Alert, Terms
from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.climate.forecast_errors import ForecastErrors, learn_errors
from maintenance.engine.climate.kept_dates import dates_from_json
from maintenance.engine.climate.part_dates import SiteDates, dates_of_sites
from maintenance.engine.climate.site_outlook import SiteOutlook, site_outlook
from maintenance.engine.errors import InputError
from maintenance.engine.site import Site
from maintenance.models import (
    Account,
    KeptDates,
    KeptForecast,
    PartAlert,
    SiteWeather,
    WeatherStation,
)
from maintenance.models.sites import Site as SiteRow
from maintenance.services.inventory.queries import sites_of
from maintenance.services.weather.forecast_rows import forecast_of
from maintenance.services.weather.observations import night_pairs
from maintenance.services.weather.site_time import today_at
from maintenance.services.weather.site_weather import stated_of
from maintenance.services.weather.station_rows import record_of


@dataclass(frozen=True, slots=True)
class Basis:
    """One site with all that its outlook needs.

    ``dates_kept`` tells whether the dates were read and not worked out just now;
    ``no_dates`` is why there are none although a station is attached.
    """

    row: SiteRow
    site: Site
    weather: SiteWeather | None
    forecast_row: KeptForecast | None
    forecast: Forecast | None
    dates: SiteDates | None
    dates_kept: bool
    no_dates: str
    terms: Terms
    errors: ForecastErrors
    alerts: Mapping[str, PartAlert]

    @property
    def before(self) -> dict[str, Alert]:
        """The alerts by the forecast before the one that is kept now."""
        received = self.forecast_row.received_at if self.forecast_row else None
        found = {}
        for part, row in self.alerts.items():
            if row.forecast_received_at != received:
                found[part] = Alert(row.level, row.found)
            elif row.level_before is not None and row.found_before is not None:
                found[part] = Alert(row.level_before, row.found_before)
        return found

    def outlook(self, now: datetime) -> SiteOutlook:
        """Work the outlook out."""
        return site_outlook(
            self.site,
            now,
            today_at(self.row, now),
            dates=self.dates,
            forecast=self.forecast,
            terms=self.terms,
            before=self.before,
            errors=self.errors,
        )


def read_bases(
    account: Account, rows: Sequence[SiteRow], *, now: datetime
) -> list[Basis]:
    """Read what the outlooks of sites need, in eleven queries for any number.

    One more where dates have to be worked out anew, which takes some seconds for each.
    """
    sites = sites_of(account, keys=[row.key for row in rows])
    ids = [row.pk for row in rows]
    weathers = {
        each.site_id: each
        for each in SiteWeather.objects.filter(site__in=ids)
        .select_related("station")
        .defer("station__record")
    }
    forecasts = {
        each.site_id: each for each in KeptForecast.objects.filter(site__in=ids)
    }
    kept = {each.site_id: each for each in KeptDates.objects.filter(site__in=ids)}
    alerts: dict[int, dict[str, PartAlert]] = {pk: {} for pk in ids}
    for alert in PartAlert.objects.filter(site__in=ids):
        alerts[alert.site_id][alert.part] = alert
    offsets = {pk: weathers[pk].offset_k if pk in weathers else 0.0 for pk in ids}
    pairs = night_pairs(offsets, until=now.date())
    fresh = {
        row.pk: _fresh(row, weathers.get(row.pk), kept.get(row.pk)) for row in rows
    }
    anew = _worked_out(
        {
            pk: (sites[key], weathers[pk])
            for pk, key in ((row.pk, row.key) for row in rows)
            if pk in weathers and weathers[pk].station_id and fresh[pk] is None
        }
    )
    found = []
    for row in rows:
        weather, forecast = weathers.get(row.pk), forecasts.get(row.pk)
        dates, why = fresh[row.pk], ""
        if dates is None:
            dates, why = anew.get(row.pk, (None, ""))
        found.append(
            Basis(
                row=row,
                site=sites[row.key],
                weather=weather,
                forecast_row=forecast,
                forecast=forecast_of(forecast) if forecast else None,
                dates=dates,
                dates_kept=fresh[row.pk] is not None,
                no_dates=why,
                terms=stated_of(weather).terms,
                errors=learn_errors(pairs[row.pk], offsets[row.pk]),
                alerts=alerts[row.pk],
            )
        )
    return found


def _fresh(
    row: SiteRow, weather: SiteWeather | None, kept: KeptDates | None
) -> SiteDates | None:
    """Return kept dates if they hold for the site, station and offset as they are."""
    station = weather.station if weather else None
    if weather is None or station is None or kept is None:
        return None
    holds = (kept.site_version, kept.station_id, kept.station_version, kept.offset_k)
    if holds != (row.version, station.pk, station.version, weather.offset_k):
        return None
    try:
        return dates_from_json(kept.dates)
    except InputError:
        # Kept by another version of the program: they are worked out again.
        return None


def _worked_out(
    asked: Mapping[int, tuple[Site, SiteWeather]],
) -> dict[int, tuple[SiteDates | None, str]]:
    """Work dates out anew: the ground is followed once for a station and an offset."""
    together: dict[tuple[int | None, float], list[int]] = {}
    for pk, (_, weather) in asked.items():
        together.setdefault((weather.station_id, weather.offset_k), []).append(pk)
    stations = WeatherStation.objects.in_bulk({key for key, _ in together})
    found: dict[int, tuple[SiteDates | None, str]] = {}
    for (station, offset_k), ids in together.items():
        try:
            dates = dates_of_sites(
                [asked[pk][0] for pk in ids],
                record_of(stations[station]),
                offset_k=offset_k,
            )
        except InputError as fault:
            found |= {pk: (None, str(fault)) for pk in ids}
        else:
            found |= {pk: (each, "") for pk, each in zip(ids, dates, strict=True)}
    return found
