"""The questions about the inventory; each tells how many queries it takes."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Count, Q

from maintenance.engine.site import Compressor, Site
from maintenance.engine.site.record import from_record
from maintenance.models import Account, Controller, Device, Link, Point, Zone
from maintenance.models.compressors import Compressor as CompressorRow
from maintenance.models.sites import Site as SiteRow
from maintenance.services.inventory.changes import HistoryLine, site_history
from maintenance.services.inventory.claims import get_row
from maintenance.services.inventory.plan import join_record

__all__ = [
    "DeviceLine",
    "HistoryLine",
    "SiteLine",
    "compressor",
    "compressor_version",
    "compressors",
    "devices",
    "retired_compressors",
    "site",
    "site_history",
    "site_version",
    "sites",
    "sites_of",
]


@dataclass(frozen=True, slots=True)
class SiteLine:
    """A site in the list; ``card`` where it is known from one card only."""

    key: str
    name: str
    zones: int
    version: int
    demo: bool
    card: bool
    retired: bool
    time_zone: str


@dataclass(frozen=True, slots=True)
class DeviceLine:
    """A backflow assembly; ``until`` is empty for the one that stands there now."""

    link: str
    kind: str
    serial: str
    installed: date | None
    since: datetime
    until: datetime | None


def sites(account: Account) -> list[SiteLine]:
    """Return all sites by name, retired ones last, in one query."""
    rows: Any = SiteRow.objects.for_account(account).annotate(
        zone_count=Count("zones", filter=Q(zones__retired_at=None))
    )
    lines = [_line(row, row.zone_count) for row in rows]
    return sorted(lines, key=lambda line: (line.retired, line.name.lower(), line.key))


def _line(row: SiteRow, zones: int) -> SiteLine:
    card = row.record.get("card")
    return SiteLine(
        key=row.key,
        name=row.name,
        zones=zones or (card["zones"] if card else 0),
        version=row.version,
        demo=row.demo,
        card=card is not None,
        retired=row.retired_at is not None,
        time_zone=row.time_zone,
    )


def site(account: Account, *, key: str) -> Site:
    """Return a site as it was entered, retired or not, in five queries."""
    return _whole(account, [get_row(SiteRow, account, key)])[key]


def sites_of(account: Account, *, keys: Collection[str]) -> dict[str, Site]:
    """Return sites by key, retired or not, in five queries for any number."""
    rows = SiteRow.objects.for_account(account).filter(key__in=keys)
    return _whole(account, list(rows))


def _whole(account: Account, rows: Sequence[SiteRow]) -> dict[str, Site]:
    """Return sites with all their standing parts, in four queries."""
    parts: dict[int, dict[str, list[Any]]] = {row.pk: {} for row in rows}
    for name, found in (
        ("points", Point.objects.for_account(account)),
        ("links", Link.objects.for_account(account)),
        ("zones", Zone.objects.for_account(account)),
        ("controllers", Controller.objects.for_account(account)),
    ):
        of_rows = found.standing().filter(site__in=list(parts))
        for pk, record in of_rows.values_list("site_id", "record"):
            parts[pk].setdefault(name, []).append(record)
    return {
        row.key: from_record(Site, join_record(row.record, parts[row.pk]))
        for row in rows
    }


def site_version(account: Account, *, key: str) -> int:
    """Return the version to hand to `store_site` with a change, in one query."""
    return get_row(SiteRow, account, key).version


def compressors(account: Account) -> list[Compressor]:
    """Return the standing compressors, smallest free air first, in one query."""
    rows = CompressorRow.objects.for_account(account).standing()
    return _values(rows.order_by("free_air_m3_per_s", "receiver_m3", "key"))


def retired_compressors(account: Account) -> list[Compressor]:
    """Return the retired compressors by id, in one query."""
    rows = CompressorRow.objects.for_account(account).exclude(retired_at=None)
    return _values(rows.order_by("key"))


def compressor(account: Account, *, key: str) -> Compressor:
    """Return a compressor, retired or not, in one query."""
    return from_record(Compressor, get_row(CompressorRow, account, key).record)


def compressor_version(account: Account, *, key: str) -> int:
    """Return the version to hand to `store_compressor`, in one query."""
    return get_row(CompressorRow, account, key).version


def devices(account: Account, *, key: str) -> list[DeviceLine]:
    """Return all backflow assemblies of a site, the oldest first, in two queries."""
    row = get_row(SiteRow, account, key)
    rows = Device.objects.for_account(account).filter(site=row)
    return [
        DeviceLine(
            link=device.link.key,
            kind=device.kind,
            serial=device.serial,
            installed=device.installed,
            since=device.since,
            until=device.until,
        )
        for device in rows.select_related("link").order_by("link__rank", "since", "pk")
    ]


def _values(rows: Iterable[CompressorRow]) -> list[Compressor]:
    return [from_record(Compressor, row.record) for row in rows]
