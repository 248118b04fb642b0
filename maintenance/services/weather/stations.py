"""Stations are kept, replaced by a newer file, and retired."""

from dataclasses import dataclass
from datetime import datetime
from math import isfinite
from typing import Any, Final

from django.db import IntegrityError, transaction

from maintenance.engine.climate.series import Record, Station
from maintenance.models import Account, SiteWeather, WeatherStation
from maintenance.models.fields import record_text
from maintenance.services.errors import ConflictError, ServiceError
from maintenance.services.inventory.claims import (
    claim_row,
    find_row,
    get_row,
    retire_row,
)
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.weather.replaced import Replaced, what_changed
from maintenance.services.weather.station_rows import record_columns, record_of

NAMED: Final = 3
"""So many sites are named in a refusal."""

LOWEST_M: Final = -450.0
HIGHEST_M: Final = 9000.0
"""Ground on Earth lies between the shore of the Dead Sea and the top of Everest."""


@dataclass(frozen=True, slots=True)
class KeptStation:
    """What keeping a station did; ``replaced`` where a newer file took a place."""

    key: str
    version: int
    created: bool
    changed: bool
    replaced: Replaced | None = None


@transaction.atomic
def keep_station(
    record: Record,
    *,
    account: Account,
    station: Station,
    file_name: str,
    now: datetime,
    actor: str,
    demo: bool = False,
) -> KeptStation:
    """Keep a record under its station; a newer file takes the place of the last one.

    Parameters
    ----------
    record : Record
        As read from a file, whole.
    account : Account
        Whose station it is.
    station : Station
        Where it stands, as far as file and person tell; of a station that is here
        already its name and place stay where nothing newer is told.
    file_name : str
        For the person who looks at it later.
    now : datetime
        When this happens.
    actor : str
        Who does it.
    demo : bool
        Whether a station that is new here goes away with the demonstration.

    Raises
    ------
    ServiceError
        If the station has no id, or lies nowhere on Earth.
    ConflictError
        If someone else stores it at this moment.
    """
    _refuse_nowhere(station)
    key = station.id.strip()
    act = Act(actor, now)
    row = find_row(WeatherStation, account, key)
    columns = {
        **_place_columns(station, row),
        "file_name": file_name,
        **record_columns(record),
    }
    if row is None:
        row = WeatherStation(
            account=account, key=key, demo=demo, read_at=now, **columns
        )
        _add(row, act)
        return KeptStation(row.key, row.version, created=True, changed=True)
    if not _differs(row, columns):
        return KeptStation(row.key, row.version, created=False, changed=False)
    if demo and not row.demo:
        raise ConflictError(
            f'You keep a station of your own under the id "{station.id}", which the '
            "demonstration uses: nothing was stored."
        )
    replaced = what_changed(record_of(row).series, record.series)
    claim_row(WeatherStation, row)
    for name, value in {**columns, "read_at": now, "retired_at": None}.items():
        setattr(row, name, value)
    change_rows(WeatherStation, [row], [*columns, "read_at", "retired_at"], act)
    return KeptStation(row.key, row.version, False, True, replaced)


@transaction.atomic
def retire_station(account: Account, *, key: str, now: datetime, actor: str) -> None:
    """Take a station out of the lists.

    Raises
    ------
    NotFoundError
        If there is no such station.
    ServiceError
        If it still stands for a site.
    """
    row = get_row(WeatherStation, account, key)
    # Retired first: from here on nobody can attach it until this is settled.
    retire_row(WeatherStation, row, Act(actor, now))
    used = SiteWeather.objects.filter(station=row).order_by("site__name")
    names = list(used.values_list("site__name", flat=True)[: NAMED + 1])
    if names:
        more = " and others" if len(names) > NAMED else ""
        raise ServiceError(
            f'The station "{row.name}" stands for {", ".join(names[:NAMED])}{more}: '
            "give each another station first."
        )


def _refuse_nowhere(station: Station) -> None:
    if not station.id.strip():
        raise ServiceError("The station has no id: give it one, such as its number.")
    here = (station.latitude_deg, station.longitude_deg)
    if (here[0] is None) != (here[1] is None):
        raise ServiceError(
            "A place needs both latitude and longitude: give both, or neither."
        )
    latitude, longitude = here[0] or 0.0, here[1] or 0.0
    # Asked this way round, what is no number is refused too.
    if not (abs(latitude) <= 90.0 and abs(longitude) <= 180.0):
        raise ServiceError(
            f"Latitude {latitude:g} and longitude {longitude:g} are nowhere on Earth: "
            "write at most 90 and 180 degrees, north and east positive."
        )
    height = station.elevation_m
    if height is not None and not (
        isfinite(height) and LOWEST_M <= height <= HIGHEST_M
    ):
        raise ServiceError(
            f"No ground on Earth lies at {height:g} m: look at the station's elevation "
            "and its unit."
        )


def _place_columns(station: Station, row: WeatherStation | None) -> dict[str, Any]:
    """Return name and place, those of the kept row where nothing else is told."""
    name = station.name.strip()
    latitude, longitude = station.latitude_deg, station.longitude_deg
    elevation_m = station.elevation_m
    if row is not None:
        name = name or row.name
        if latitude is None:
            latitude, longitude = row.latitude, row.longitude
        if elevation_m is None:
            elevation_m = row.elevation_m
    return {
        "name": name or station.id.strip(),
        "latitude": latitude,
        "longitude": longitude,
        "elevation_m": elevation_m,
    }


def _differs(row: WeatherStation, columns: dict[str, object]) -> bool:
    return row.retired_at is not None or any(
        record_text(getattr(row, name)) != record_text(value)  # type: ignore[arg-type]
        if name == "record"
        else getattr(row, name) != value
        for name, value in columns.items()
    )


def _add(row: WeatherStation, act: Act) -> None:
    try:
        with transaction.atomic():
            add_rows(WeatherStation, [row], act)
    except IntegrityError as fault:
        raise ConflictError(
            f'The station "{row.key}" was stored by someone else at this moment: look '
            "at theirs first; nothing of yours was stored."
        ) from fault
