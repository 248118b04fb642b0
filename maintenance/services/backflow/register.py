"""The register: every assembly that stands or stood at the sites of an account."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from maintenance.models import Account, AssemblyEvent, Device
from maintenance.services.backflow.assembly_rows import assemblies, facts_row
from maintenance.services.backflow.events import MOVED
from maintenance.services.backflow.facts import StatedFacts, stated_facts


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisterLine:
    """One assembly; ``former`` and ``next_one`` stood, or stand, at the same link.

    ``out_since`` and ``stored_at`` tell of one that is taken out for winter; ``until``
    is when one that is gone for good was recorded as such.
    """

    device_id: int
    site_key: str
    site_name: str
    site_retired: bool
    link: str
    kind: str
    size: str
    serial: str
    installed: date | None
    since: datetime
    until: datetime | None
    zone: str
    stated: StatedFacts
    out_since: date | None
    stored_at: str
    former: Device | None
    next_one: Device | None


def register_lines(
    account: Account, *, site_key: str | None = None
) -> list[RegisterLine]:
    """Return the register of an account or of one site, in two queries.

    Those of a link follow each other, the one that stands first.
    """
    rows = assemblies(account)
    if site_key is not None:
        rows = rows.filter(site__key=site_key)
    return lines_of(account, list(rows))


def lines_of(account: Account, rows: list[Device]) -> list[RegisterLine]:
    """Return the lines of all assemblies of some links, in one query more."""
    out = _out(account, rows)
    by_link: dict[int, list[Device]] = {}
    for row in rows:
        by_link.setdefault(row.link_id, []).append(row)
    return [
        _line(row, here, out)
        for here in by_link.values()
        for row in sorted(here, key=lambda each: (each.until is not None, -each.pk))
    ]


def _line(
    row: Device, here: list[Device], out: dict[int, AssemblyEvent]
) -> RegisterLine:
    order = sorted(here, key=lambda each: (each.since, each.pk))
    at = order.index(row)
    removal = out.get(row.pk)
    return RegisterLine(
        device_id=row.pk,
        site_key=row.site.key,
        site_name=row.site.name,
        site_retired=row.site.retired_at is not None,
        link=row.link.key,
        kind=row.kind,
        size=row.size,
        serial=row.serial,
        installed=row.installed,
        since=row.since,
        until=row.until,
        zone=row.site.time_zone,
        stated=stated_facts(facts_row(row)),
        out_since=removal.on if removal else None,
        stored_at=removal.stored_at if removal else "",
        former=order[at - 1] if at else None,
        next_one=order[at + 1] if at + 1 < len(order) else None,
    )


def _out(account: Account, rows: Iterable[Device]) -> dict[int, AssemblyEvent]:
    moves = AssemblyEvent.objects.for_account(account).filter(
        device__in=list(rows), kind__in=MOVED, undone_at=None
    )
    last: dict[int, AssemblyEvent] = {}
    for event in moves.order_by("on", "reported_at", "pk"):
        last[event.device_id] = event
    return {pk: event for pk, event in last.items() if event.kind == "removed"}
