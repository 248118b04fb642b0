"""Forecasts are kept with what they say of each day: the last good one stays."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from django.db import transaction

from maintenance.engine.climate.forecast import (
    NO_TRUST_AFTER_S,
    Forecast,
    forecast_age,
)
from maintenance.engine.climate.forecast_minima import coldest_hour, day_minima
from maintenance.models import Account, ForecastNight, KeptForecast, Site
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.claims import get_row
from maintenance.services.weather.forecast_rows import forecast_columns, forecast_of
from maintenance.services.weather.site_time import zone_of

Origin = Literal["file", "service"]
_COLUMNS = ("came_from", "source", "issued_at", "received_at", "begin", "hours")


@dataclass(frozen=True, slots=True)
class Received:
    """A forecast that came for a site."""

    site: Site
    forecast: Forecast
    origin: Origin


def keep_forecast(
    account: Account, *, site_key: str, forecast: Forecast, now: datetime
) -> None:
    """Keep a forecast that a person gave as a file.

    Raises
    ------
    NotFoundError
        If there is no such site.
    ServiceError
        If the forecast ends before now.
    """
    site = get_row(Site, account, site_key)
    if forecast.end <= now:
        raise ServiceError(
            f"The forecast ends on {forecast.end:%-d %b %Y at %H:%M} UTC, before now: "
            "get a newer one; the one kept stays."
        )
    keep_received([Received(site, forecast, "file")], now=now)


@transaction.atomic
def keep_received(received: Sequence[Received], *, now: datetime) -> None:
    """Keep forecasts of any number of sites, in two statements."""
    KeptForecast.objects.bulk_create(
        [
            KeptForecast(
                site=each.site,
                came_from=each.origin,
                received_at=now,
                **forecast_columns(each.forecast),
            )
            for each in received
        ],
        update_conflicts=True,
        unique_fields=["site"],
        update_fields=_COLUMNS,
    )
    ForecastNight.objects.bulk_create(
        [
            ForecastNight(
                site=each.site, day=day.day, lead=day.lead, minimum_k=day.minimum_k
            )
            for each in received
            for day in day_minima(each.forecast, zone_of(each.site), now)
        ],
        update_conflicts=True,
        unique_fields=["site", "day", "lead"],
        update_fields=["minimum_k"],
    )


def coldest_ahead(account: Account, *, site_key: str, now: datetime) -> datetime | None:
    """Return when the next 24 hours are coldest by the forecast kept, in one query.

    None where there is none, or it is too old to be trusted.
    """
    kept = KeptForecast.objects.for_account(account).filter(site__key=site_key).first()
    if kept is None:
        return None
    forecast = forecast_of(kept)
    if forecast_age(forecast, now) > NO_TRUST_AFTER_S:
        return None
    found = coldest_hour(forecast, now)
    return found[0] if found else None
