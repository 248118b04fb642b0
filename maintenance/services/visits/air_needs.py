"""What air the blow-out of each site needs, kept so that no list computes a sheet.

The blow-out sheet tells the least free air of each row; the most of a site's rows is
what must come along. It is worked out once for a version of a site, with the largest
compressor that the account keeps, since hose and regulator belong to the answer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from django.db.models import F, Q, QuerySet

from maintenance.engine.errors import EngineError
from maintenance.engine.network.drain_site import drain_site
from maintenance.engine.site import Compressor, Site
from maintenance.models import Account, SiteAirNeed
from maintenance.models.sites import Site as SiteRow
from maintenance.services.blowout import sheets_of
from maintenance.services.inventory import queries as inventory

SMALL_AT_MOST_M3_PER_S: Final = 0.0142
"""30 cfm of free air: what a compressor gives that one person wheels or carries;
common practice, no source. More than that comes on wheels behind a car."""
NOTHING_STAYS_M3: Final = 1e-6
AT_ONCE: Final = 20
"""So many sites are worked out at one press: a few seconds."""
_COLUMNS: Final = (
    *("site_version", "need", "least_free_air_m3_per_s", "why", "worked_out_at"),
)


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
    """Work out the needs that are missing or of an older site; return how many.

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
    rows = _stale(account)
    if site_keys is not None:
        rows = rows.filter(key__in=site_keys)
    chosen = list(rows.order_by("pk").defer("record", "si")[:at_most])
    if not chosen:
        return 0
    machines = inventory.compressors(account)
    largest = machines[-1] if machines else None
    sites = inventory.sites_of(account, keys=[row.key for row in chosen])
    found = [(row, air_need(sites[row.key], largest)) for row in chosen]
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


def air_needs_missing(account: Account) -> int:
    """Count the standing sites whose need is missing or of an older site; one query."""
    return _stale(account).count()


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


def _stale(account: Account) -> QuerySet[SiteRow]:
    older = Q(air_need=None) | ~Q(air_need__site_version=F("version"))
    return SiteRow.objects.for_account(account).standing().filter(older)
