"""What air the blow-out of each site needs, kept so that no list computes a sheet.

The blow-out sheet tells the least free air of each row; the most of a site's rows is
what must come along. It is worked out once for a version of a site, with the largest
compressor that the account keeps, since hose and regulator belong to the answer: so a
change of a compressor asks for it again too. The task of each minute keeps it up.
"""

import logging
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import Final

from django.db.models import Exists, F, OuterRef, Q, QuerySet

from maintenance.engine.errors import EngineError
from maintenance.engine.network.drain_site import drain_site
from maintenance.engine.site import Compressor, Site
from maintenance.models import Account, SiteAirNeed
from maintenance.models.compressors import Compressor as CompressorRow
from maintenance.models.sites import Site as SiteRow
from maintenance.services.blowout import sheets_of
from maintenance.services.inventory import queries as inventory

SMALL_AT_MOST_M3_PER_S: Final = 0.0142
"""30 cfm of free air: what a compressor gives that one person wheels or carries;
common practice, no source. More than that comes on wheels behind a car."""
NOTHING_STAYS_M3: Final = 1e-6
AT_ONCE: Final = 20
"""So many sites are worked out at one press: a few seconds."""
IN_A_MINUTE: Final = 10
"""And so many by the task of each minute: other tasks wait for it meanwhile."""
_COLUMNS: Final = (
    *("site_version", "need", "least_free_air_m3_per_s", "why", "worked_out_at"),
)
_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class AirNeed:
    """The need of a site: ``none``, ``small``, ``towed`` or ``unknown``, and why."""

    need: str
    least_free_air_m3_per_s: float | None
    why: str


def keep_air_needs(
    account: Account,
    *,
    now: datetime,
    site_keys: Sequence[str] | None = None,
    at_most: int = AT_ONCE,
) -> int:
    """Work out the needs that are missing or out of date; return how many.

    Parameters
    ----------
    account : Account
        Whose sites they are.
    now : datetime
        When this happens.
    site_keys : sequence of str, optional
        Only these sites; all standing ones without it.
    at_most : int
        How many at once: each takes up to a second.
    """
    rows = _stale(SiteRow.objects.for_account(account))
    if site_keys is not None:
        rows = rows.filter(key__in=site_keys)
    return _keep(account, _next(rows, at_most), now)


def keep_up_air_needs(*, now: datetime, at_most: int = IN_A_MINUTE) -> int:
    """Work out some needs of all accounts' sites; one query where none is stale.

    Two that do it at once keep the same: nothing is claimed.

    Parameters
    ----------
    now : datetime
        When this happens.
    at_most : int
        How many sites at once: each takes up to a second.
    """
    chosen = _next(_stale(SiteRow.objects.select_related("account")), at_most)
    chosen.sort(key=lambda row: row.account_id)
    groups = groupby(chosen, key=lambda row: row.account)
    return sum(_keep(account, list(rows), now) for account, rows in groups)


def air_needs_missing(account: Account) -> int:
    """Count the standing sites whose need is missing or out of date; one query."""
    return _stale(SiteRow.objects.for_account(account)).count()


def air_need(site: Site, compressor: Compressor | None) -> AirNeed:
    """Work out what air the blow-out of a site needs, in no query."""
    if not site.zones and site.card is None:
        return AirNeed("unknown", None, "No zone is described yet.")
    try:
        trapped = drain_site(site).figures["trapped_m3"].value
        if trapped is not None and trapped <= NOTHING_STAYS_M3:
            return AirNeed("none", None, "All of it drains by its slope.")
        if compressor is None:
            return AirNeed(
                "unknown", None, "No compressor is kept to work it out with."
            )
        (sheet,) = sheets_of(site, [compressor])
    except EngineError as refusal:
        return AirNeed("unknown", None, str(refusal))
    needs = {row.name: row.least_free_air_m3_per_s for row in sheet.rows}
    known = [need for need in needs.values() if need is not None]
    lost = [name for name, need in needs.items() if need is None]
    if not known:
        return AirNeed("unknown", None, "No free air that was tried is enough.")
    most = max(known)
    why = f"No free air alone is enough for: {', '.join(lost)}." if lost else ""
    return AirNeed("small" if most <= SMALL_AT_MOST_M3_PER_S else "towed", most, why)


def _stale(sites: QuerySet[SiteRow]) -> QuerySet[SiteRow]:
    machines = CompressorRow.history.filter(
        account=OuterRef("account"),
        history_date__gt=OuterRef("air_need__worked_out_at"),
    )
    other = ~Q(air_need__site_version=F("version")) | Exists(machines)
    return sites.filter(Q(air_need=None) | other, retired_at=None)


def _next(rows: QuerySet[SiteRow], at_most: int) -> list[SiteRow]:
    """Return the first of them: those of which nothing is known, then the oldest."""
    oldest = F("air_need__worked_out_at").asc(nulls_first=True)
    return list(rows.order_by(oldest, "pk").defer("record", "si")[:at_most])


def _keep(account: Account, rows: Sequence[SiteRow], now: datetime) -> int:
    if not rows:
        return 0
    machines = inventory.compressors(account)
    largest = machines[-1] if machines else None
    sites = inventory.sites_of(account, keys=[row.key for row in rows])
    found = [
        (row, _safe_need(sites[row.key], largest)) for row in rows if row.key in sites
    ]
    SiteAirNeed.objects.bulk_create(
        [
            SiteAirNeed(
                site=row,
                site_version=row.version,
                need=each.need,
                least_free_air_m3_per_s=each.least_free_air_m3_per_s,
                why=each.why,
                worked_out_at=now,
            )
            for row, each in found
        ],
        update_conflicts=True,
        unique_fields=["site"],
        update_fields=_COLUMNS,
    )
    return len(found)


def _safe_need(site: Site, compressor: Compressor | None) -> AirNeed:
    try:
        return air_need(site, compressor)
    except Exception:  # noqa: BLE001  (one site must not hold up the others)
        _log.exception("The air need of site %s could not be worked out.", site.id)
        return AirNeed("unknown", None, "The tool made a mistake; its log says more.")
