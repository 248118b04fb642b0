"""A station's file is stored with all that follows from it, or not at all."""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from maintenance.engine.climate.series import Record, Station
from maintenance.models import Account, Site, SiteWeather
from maintenance.services.weather.observations import observe_from_station
from maintenance.services.weather.site_weather import attach_station
from maintenance.services.weather.stations import KeptStation, keep_station


@dataclass(frozen=True, slots=True)
class StoredFile:
    """What storing a file did; ``site_keys`` are the sites that it now stands for."""

    kept: KeptStation
    site_keys: tuple[str, ...]
    nights: int


@transaction.atomic
def store_station_file(
    record: Record,
    *,
    account: Account,
    station: Station,
    file_name: str,
    now: datetime,
    actor: str,
    site_key: str | None = None,
) -> StoredFile:
    """Keep a station, let it stand for a site, and book the nights that it saw.

    Parameters
    ----------
    record : Record
        As read from a file, whole.
    account : Account
        Whose station it is.
    station : Station
        Where it stands, as far as file and person tell.
    file_name : str
        For the person who looks at it later.
    now : datetime
        When this happens.
    actor : str
        Who does it.
    site_key : str, optional
        The site that it is to stand for, beside those that it stands for already.

    Raises
    ------
    NotFoundError
        If there is no such site.
    ServiceError
        If the station has no id, or lies nowhere on Earth.
    ConflictError
        If someone else stores it at this moment.
    """
    kept = keep_station(
        record,
        account=account,
        station=station,
        file_name=file_name,
        now=now,
        actor=actor,
    )
    if site_key is not None:
        attach_station(
            account, site_key=site_key, station_key=kept.key, now=now, actor=actor
        )
    used = SiteWeather.objects.filter(
        station__account=account, station__key=kept.key
    ).order_by("site__name", "site__key")
    sites = [row.site for row in used.select_related("site")]
    nights = observe_from_station(sites, record.series)
    return StoredFile(kept, tuple(site.key for site in _first(sites, site_key)), nights)


def _first(sites: list[Site], key: str | None) -> list[Site]:
    """Put the site that was asked for first."""
    return sorted(sites, key=lambda site: site.key != key)
