"""Outlooks are worked out and kept: for lists, and for the level that is held."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

import numpy as np
from django.db import transaction

from maintenance.engine.climate.kept_dates import dates_as_json
from maintenance.engine.climate.site_outlook import SiteOutlook, planning_date
from maintenance.models import Account, KeptDates, PartAlert
from maintenance.models.outlooks import SiteOutlook as OutlookRow
from maintenance.models.sites import Site as SiteRow
from maintenance.services.inventory.claims import get_row
from maintenance.services.weather.basis import Basis, read_bases

_OUTLOOK: Final = (
    "worked_out_at",
    "site_version",
    "level",
    "act",
    "reason",
    "shutdown_by",
    "planning_date",
    "chance",
    "first_ice_at",
    "parts",
    "forecast_received_at",
)
_ALERT: Final = (
    "level",
    "found",
    "level_before",
    "found_before",
    "forecast_received_at",
)
_DATES: Final = ("station", "site_version", "station_version", "offset_k", "dates")


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """A site's outlook with what it was worked out from."""

    basis: Basis
    found: SiteOutlook


def outlook_of(account: Account, *, site_key: str, now: datetime) -> WorkedOut:
    """Work out the outlook of a site as it is now; nothing is kept, for a page.

    Raises
    ------
    NotFoundError
        If there is no such site.
    """
    (basis,) = read_bases(account, [get_row(SiteRow, account, site_key)], now=now)
    return WorkedOut(basis, basis.outlook(now))


def keep_outlook(account: Account, *, site_key: str, now: datetime) -> WorkedOut:
    """Work out the outlook of a site and keep it, after something of it has changed."""
    (worked,) = keep_outlooks(account, [get_row(SiteRow, account, site_key)], now=now)
    return worked


def keep_outlooks(
    account: Account, rows: Sequence[SiteRow], *, now: datetime
) -> list[WorkedOut]:
    """Work out and keep the outlooks of sites, in four statements for any number."""
    bases = read_bases(account, rows, now=now)
    worked = [WorkedOut(basis, basis.outlook(now)) for basis in bases]
    with transaction.atomic():
        _keep_dates([each.basis for each in worked])
        OutlookRow.objects.bulk_create(
            [_outlook_row(each) for each in worked],
            update_conflicts=True,
            unique_fields=["site"],
            update_fields=_OUTLOOK,
        )
        _keep_alerts(worked)
    return worked


def _keep_dates(bases: Sequence[Basis]) -> None:
    rows = [
        KeptDates(
            site=basis.row,
            station=basis.weather.station,
            site_version=basis.row.version,
            station_version=basis.weather.station.version,
            offset_k=basis.weather.offset_k,
            dates=dates_as_json(basis.dates),
        )
        for basis in bases
        if basis.dates is not None
        and not basis.dates_kept
        and basis.weather is not None
        and basis.weather.station is not None
    ]
    if rows:
        KeptDates.objects.bulk_create(
            rows,
            update_conflicts=True,
            unique_fields=["site"],
            update_fields=_DATES,
        )


def _outlook_row(worked: WorkedOut) -> OutlookRow:
    basis, found = worked.basis, worked.found
    planned = [planning_date(each.dates, found.today) for each in found.parts]
    return OutlookRow(
        site=basis.row,
        worked_out_at=found.now,
        site_version=basis.row.version,
        level=max((each.alert.level for each in found.parts), default=0),
        act=found.advice.act,
        reason=found.advice.reason,
        shutdown_by=found.advice.shutdown_by,
        planning_date=min((day for day in planned if day), default=None),
        chance=_worst_chance(found),
        first_ice_at=_first_ice(found),
        parts=len(found.parts),
        forecast_received_at=_received(basis),
    )


def _worst_chance(found: SiteOutlook) -> float | None:
    """Return the worst chance until the first night that a crew called now protects."""
    soon = [
        float(np.nanmax(near))
        for each in found.parts
        if each.chances is not None
        and np.isfinite(near := each.chances[: found.terms.crew_days + 1]).any()
    ]
    return max(soon, default=None)


def _first_ice(found: SiteOutlook) -> datetime | None:
    times = [
        each.tonight.first_ice_s
        for each in found.parts
        if each.tonight is not None and each.tonight.first_ice_s is not None
    ]
    return found.now + timedelta(seconds=min(times)) if times else None


def _keep_alerts(worked: Sequence[WorkedOut]) -> None:
    """Keep alerts that are raised or were; a part at level 0 needs no memory."""
    rows = [row for each in worked for row in _alert_rows(each)]
    kept = {(row.site_id, row.part) for row in rows}
    gone = [
        alert.pk
        for each in worked
        for part, alert in each.basis.alerts.items()
        if (each.basis.row.pk, part) not in kept
    ]
    if gone:
        PartAlert.objects.filter(pk__in=gone).delete()
    if rows:
        PartAlert.objects.bulk_create(
            rows,
            update_conflicts=True,
            unique_fields=["site", "part"],
            update_fields=_ALERT,
        )


def _alert_rows(worked: WorkedOut) -> Iterator[PartAlert]:
    basis = worked.basis
    before = basis.before
    for each in worked.found.parts:
        last = before.get(each.part.part)
        if each.alert.level == 0 and (last is None or last.level == 0):
            continue
        yield PartAlert(
            site=basis.row,
            part=each.part.part,
            level=each.alert.level,
            found=each.alert.found,
            level_before=last.level if last else None,
            found_before=last.found if last else None,
            forecast_received_at=_received(basis),
        )


def _received(basis: Basis) -> datetime | None:
    return basis.forecast_row.received_at if basis.forecast_row else None
