"""The questions about the weather of sites; each tells how many queries it takes."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from maintenance.engine.climate.completeness import Completeness, completeness
from maintenance.engine.climate.series import Record
from maintenance.engine.climate.stations import nearest_stations
from maintenance.models import (
    Account,
    ForecastSource,
    KeptForecast,
    ObservedNight,
    SiteWeather,
    WeatherStation,
)
from maintenance.models.outlooks import SiteOutlook
from maintenance.models.sites import Site as SiteRow
from maintenance.services.inventory.claims import get_row
from maintenance.services.weather.site_weather import Stated, stated_of
from maintenance.services.weather.station_rows import record_of, station_of

NIGHTS_SHOWN: Final = 7
"""Nights that a thermometer at the site showed, so many of the last ones are told."""

_NEVER: Final = date.max


@dataclass(frozen=True, slots=True)
class StationLine:
    """A station in the list.

    Seen from a site, ``distance_m`` and ``higher_m`` (the site above the station) are
    known where both positions are.
    """

    key: str
    name: str
    first_day: date
    last_day: date
    elevation_m: float | None
    file_name: str
    read_at: datetime
    retired: bool = False
    distance_m: float | None = None
    higher_m: float | None = None


@dataclass(frozen=True, slots=True)
class StationReport:
    """A station with its record and how complete that is."""

    line: StationLine
    record: Record
    complete: Completeness


@dataclass(frozen=True, slots=True)
class SiteWeatherLine:
    """What is stated of a site's weather, and how its forecast comes."""

    station: StationLine | None
    offset_k: float
    stated: Stated
    forecast: KeptForecast | None
    source: ForecastSource | None
    nights: tuple[ObservedNight, ...]


@dataclass(frozen=True, slots=True)
class NamedSite:
    """A site that a station stands for."""

    key: str
    name: str


@dataclass(frozen=True, slots=True)
class OutlookLine:
    """A site in the list by exposure; ``outlook`` is None until it is worked out."""

    key: str
    name: str
    time_zone: str
    station: str
    outlook: SiteOutlook | None
    stale: bool


def stations(account: Account) -> list[StationLine]:
    """Return the standing stations by name, in one query."""
    return [_line(row) for row in _standing(account)]


def stations_for(account: Account, *, site_key: str) -> list[StationLine]:
    """Return the standing stations, nearest to a site first, in two queries.

    Those without a position come last; all do where the site has none.
    """
    site = get_row(SiteRow, account, site_key)
    return _seen_from(site, _standing(account))


def sites_by_station(account: Account) -> dict[str, list[NamedSite]]:
    """Return what each station in use stands for, by its id, in one query."""
    found: dict[str, list[NamedSite]] = {}
    rows = SiteWeather.objects.filter(station__account=account)
    for station, key, name in rows.order_by("site__name", "site__key").values_list(
        "station__key", "site__key", "site__name"
    ):
        found.setdefault(station, []).append(NamedSite(key, name))
    return found


def station_report(account: Account, *, key: str) -> StationReport:
    """Return a station with its record, retired or not, in one query."""
    row = get_row(WeatherStation, account, key)
    record = record_of(row)
    return StationReport(_line(row), record, completeness(record.series))


def site_weather(account: Account, *, site_key: str) -> SiteWeatherLine:
    """Return what is stated of a site's weather, in five queries."""
    site = get_row(SiteRow, account, site_key)
    row = (
        SiteWeather.objects.filter(site=site)
        .select_related("station")
        .defer("station__record")
        .first()
    )
    attached = [row.station] if row is not None and row.station is not None else []
    station = next(iter(_seen_from(site, attached)), None)
    return SiteWeatherLine(
        station=station,
        offset_k=row.offset_k if row else 0.0,
        stated=stated_of(row),
        forecast=KeptForecast.objects.filter(site=site).first(),
        source=ForecastSource.objects.filter(site=site).first(),
        nights=tuple(
            ObservedNight.objects.filter(site=site, seen_at="site").order_by("-day")[
                :NIGHTS_SHOWN
            ]
        ),
    )


def outlook_lines(account: Account) -> list[OutlookLine]:
    """Return the standing sites, most exposed first, in two queries.

    By the level, then by when ice comes tonight, by the chance of a damaging night
    that the crew can still meet, and by the planning date; what is not known comes
    after what is, and is not calm.
    """
    rows = (
        SiteRow.objects.for_account(account)
        .standing()
        .select_related("outlook")
        .defer("record", "si")
    )
    named = dict(
        SiteWeather.objects.filter(site__in=rows, station__isnull=False).values_list(
            "site_id", "station__name"
        )
    )
    lines = [_outlook_line(row, named.get(row.pk, "")) for row in rows]
    return sorted(lines, key=_exposure)


def _outlook_line(row: SiteRow, station: str) -> OutlookLine:
    outlook = getattr(row, "outlook", None)
    return OutlookLine(
        key=row.key,
        name=row.name,
        time_zone=row.time_zone,
        station=station,
        outlook=outlook,
        stale=outlook is not None and outlook.site_version != row.version,
    )


def _exposure(line: OutlookLine) -> tuple[object, ...]:
    found = line.outlook
    if found is None:
        return (1, 0, 0.0, 0.0, _NEVER, line.name.lower(), line.key)
    ice = found.first_ice_at.timestamp() if found.first_ice_at else float("inf")
    chance = -1.0 if found.chance is None else found.chance
    planned = found.planning_date or _NEVER
    return (0, -found.level, ice, -chance, planned, line.name.lower(), line.key)


def _seen_from(site: SiteRow, found: Iterable[WeatherStation]) -> list[StationLine]:
    rows = {row.key: row for row in found}
    placed = []
    if site.latitude is not None and site.longitude is not None:
        for near in nearest_stations(
            site.latitude,
            site.longitude,
            site.elevation_m,
            [station_of(row) for row in rows.values()],
        ):
            row = rows.pop(near.station.id)
            placed.append(_line(row, near.distance_m, near.elevation_difference_m))
    return placed + [_line(row) for row in rows.values()]


def _standing(account: Account) -> Iterable[WeatherStation]:
    rows = WeatherStation.objects.for_account(account).standing()
    return rows.defer("record").order_by("name", "key")


def _line(
    row: WeatherStation,
    distance_m: float | None = None,
    higher_m: float | None = None,
) -> StationLine:
    return StationLine(
        key=row.key,
        name=row.name,
        first_day=row.first_day,
        last_day=row.last_day,
        elevation_m=row.elevation_m,
        file_name=row.file_name,
        read_at=row.read_at,
        retired=row.retired_at is not None,
        distance_m=distance_m,
        higher_m=higher_m,
    )
