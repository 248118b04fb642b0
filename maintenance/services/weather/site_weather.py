"""What a person states of the weather at a site: its station, offset and worth."""

from dataclasses import dataclass
from datetime import datetime
from math import isfinite
from typing import Any

from django.db import transaction

from maintenance.engine.climate.alert import Terms, stated_terms
from maintenance.engine.climate.series import MOST_OFFSET_K
from maintenance.models import (
    Account,
    KeptDates,
    ObservedNight,
    Site,
    SiteWeather,
    WeatherStation,
)
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.claims import get_row
from maintenance.services.inventory.rows import Act, change_rows
from maintenance.services.weather.observations import observe_from_station
from maintenance.services.weather.station_rows import record_of

Worth = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Stated:
    """The crew's delay [d], and what watering, damage and hurrying out are worth."""

    crew_days: int | None = None
    worth: Worth | None = None

    @property
    def terms(self) -> Terms:
        """The terms that an outlook goes by, defaults for what nobody stated."""
        return stated_terms(self.crew_days, self.worth)


@transaction.atomic
def attach_station(
    account: Account, *, site_key: str, station_key: str, now: datetime, actor: str
) -> None:
    """Let a station stand for a site; the one before stays in the list.

    What the one before saw of the forecast nights gives way to what this one saw.

    Raises
    ------
    NotFoundError
        If there is no such site or station.
    ServiceError
        If the station is retired.
    """
    station = get_row(WeatherStation, account, station_key)
    # Held until all is stored: nobody retires it meanwhile.
    held = WeatherStation.objects.filter(pk=station.pk, retired_at=None)
    if not held.update(retired_at=None):
        raise ServiceError(
            f'The station "{station.name}" is retired: give its file again first.'
        )
    _stand(account, site_key, station, Act(actor, now))


@transaction.atomic
def detach_station(
    account: Account, *, site_key: str, now: datetime, actor: str
) -> None:
    """Let no station stand for a site; what it saw goes with it."""
    _stand(account, site_key, None, Act(actor, now))


def state_offset(
    account: Account, *, site_key: str, offset_k: float, now: datetime, actor: str
) -> None:
    """State how much warmer the site is than its station and its forecast [K].

    Raises
    ------
    ServiceError
        If that would be another climate.
    """
    if not (isfinite(offset_k) and abs(offset_k) <= MOST_OFFSET_K):
        raise ServiceError(
            f"A site {offset_k:g} K off its station has the wrong station: write at most "
            f"{MOST_OFFSET_K:g} K ({1.8 * MOST_OFFSET_K:g} °F), or choose another."
        )
    _state(account, site_key, {"offset_k": offset_k}, Act(actor, now))


def state_terms(
    account: Account, *, site_key: str, stated: Stated, now: datetime, actor: str
) -> None:
    """State how soon the crew comes, and what watering and damage are worth.

    Raises
    ------
    InputError
        If a number is not possible.
    """
    stated.terms  # noqa: B018  (refuses what is not possible, before anything is kept)
    value, cost, share = stated.worth or (None, None, None)
    columns = {
        "crew_days": stated.crew_days,
        "value_of_a_day": value,
        "cost_of_damage": cost,
        "share_saved": share,
    }
    _state(account, site_key, columns, Act(actor, now))


def stated_of(row: SiteWeather | None) -> Stated:
    """Return what a row states."""
    if row is None:
        return Stated()
    worth = (row.value_of_a_day, row.cost_of_damage, row.share_saved)
    known = tuple(each for each in worth if each is not None)
    return Stated(
        row.crew_days, (known[0], known[1], known[2]) if len(known) == 3 else None
    )


def _stand(
    account: Account, site_key: str, station: WeatherStation | None, act: Act
) -> None:
    row, changed = _state(account, site_key, {"station": station}, act)
    if not changed:
        return
    KeptDates.objects.filter(site=row.site_id).delete()
    ObservedNight.objects.filter(site=row.site_id, seen_at="station").delete()
    if station is not None:
        observe_from_station([row.site], record_of(station).series)


@transaction.atomic
def _state(
    account: Account, site_key: str, columns: dict[str, Any], act: Act
) -> tuple[SiteWeather, bool]:
    site = get_row(Site, account, site_key)
    # Two people who state something for the first time meet here, not in an error.
    SiteWeather.objects.bulk_create([SiteWeather(site=site)], ignore_conflicts=True)
    row = SiteWeather.objects.select_related("site").get(site=site)
    if all(getattr(row, name) == value for name, value in columns.items()):
        return row, False
    for name, value in columns.items():
        setattr(row, name, value)
    change_rows(SiteWeather, [row], list(columns), act)
    return row, True
