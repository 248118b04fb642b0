"""What one person, or a crew, does on one day."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from maintenance.models import Account, Finding, Visit
from maintenance.models.visits import OPEN_STATES
from maintenance.services.visits.one_visit import Before

_TIME: Final = re.compile(r"(\d{1,2})(?::(\d{2}))?", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine:
    """A visit on the sheet of a day.

    ``access`` and ``site_notes`` tell how to get in: whoever prints decides whether
    they stand on paper. ``before`` is the last visit of the same kind.
    """

    visit: Visit
    access: str
    site_notes: tuple[str, ...]
    open_findings: tuple[str, ...]
    before: Before | None
    air: str


def day_lines(account: Account, *, on: date, worker: str) -> list[DayLine]:
    """Return the open visits of a day in the order of their windows, in three queries.

    An empty worker asks for the visits that nobody has yet.
    """
    rows = list(
        Visit.objects.for_account(account)
        .filter(worker=worker, planned_on=on, state__in=OPEN_STATES)
        .select_related("site", "call", "compressor", "site__air_need")
        .order_by("window", "site__name", "pk")
    )
    rows.sort(key=lambda row: first_minute(row.window))
    sites = [row.site_id for row in rows]
    findings: dict[int, list[str]] = {}
    for site, about, what in (
        Finding.objects.filter(site__in=sites, closed_at=None)
        .order_by("found_at", "pk")
        .values_list("site_id", "about", "what")
    ):
        findings.setdefault(site, []).append(f"{about}: {what}" if about else what)
    before = _before(sites)
    return [
        DayLine(
            visit=row,
            access=(row.site.record.get("card") or {}).get("access") or "",
            site_notes=tuple(row.site.record.get("notes") or ()),
            open_findings=tuple(findings.get(row.site_id, ())),
            before=before.get((row.site_id, row.kind)),
            air=row.site.air_need.need if hasattr(row.site, "air_need") else "",
        )
        for row in rows
    ]


def first_minute(window: str) -> int:
    """Return the minute of the day that a window begins with; without one, the last.

    Examples
    --------
    >>> first_minute("8:30 to 10"), first_minute("10 to 12"), first_minute("any time")
    (510, 600, 1440)
    """
    found = _TIME.search(window)
    if found is None:
        return 24 * 60
    return int(found[1]) * 60 + int(found[2] or 0)


def workers_on(account: Account, *, on: date) -> list[tuple[str, int]]:
    """Return who has visits on a day, and how many, in one query."""
    rows = Visit.objects.for_account(account).filter(
        planned_on=on, state__in=OPEN_STATES
    )
    count: dict[str, int] = {}
    for name in rows.order_by("worker").values_list("worker", flat=True):
        count[name] = count.get(name, 0) + 1
    return list(count.items())


def _before(sites: Sequence[int]) -> dict[tuple[int, str], Before]:
    found: dict[tuple[int, str], Before] = {}
    rows = Visit.objects.filter(site__in=sites, state="ended")
    for site, kind, *told in rows.order_by("left_at", "pk").values_list(
        *("site_id", "kind", "pk", "outcome", "outcome_note", "notes", "worker"),
        "left_at",
    ):
        found[site, kind] = Before(*told)
    return found
