"""One visit, one call, one finding, with all that their pages show."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Q

from maintenance.models import (
    Account,
    Finding,
    SeasonList,
    ServiceCall,
    Visit,
    VisitPhoto,
    ZoneOutcome,
)
from maintenance.services.visits.holding import get_one
from maintenance.services.visits.season_of_visit import find_list, zones_still_open
from maintenance.services.visits.words import SEASONS


@dataclass(frozen=True, slots=True)
class CarriedList:
    """The season's list of a visit; ``attached`` once the visit carries it."""

    id: int
    attached: bool
    closed: bool
    open_zones: tuple[ZoneOutcome, ...]


@dataclass(frozen=True, slots=True)
class Before:
    """The last visit of the same kind that ended at the site."""

    pk: int
    outcome: str
    outcome_note: str
    notes: str
    worker: str
    left_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeVisit:
    """A visit with all that its page shows.

    ``findings`` are those noted on it, ``follows`` those that it follows up, and
    ``open_here`` the others that are open at the site.
    """

    row: Visit
    list: CarriedList | None
    photos: tuple[VisitPhoto, ...]
    findings: tuple[Finding, ...]
    follows: tuple[Finding, ...]
    open_here: tuple[Finding, ...]
    before: Before | None

    @property
    def readings(self) -> Mapping[str, Mapping[str, Any]]:
        """The readings by their names."""
        readings: Mapping[str, Mapping[str, Any]] = self.row.readings
        return readings

    @property
    def of_season(self) -> bool:
        """Whether it is for a shutdown or a start-up."""
        return self.row.kind in SEASONS


@dataclass(frozen=True, slots=True)
class WholeCall:
    """A call with its visits."""

    row: ServiceCall
    visits: tuple[Visit, ...]


def whole_visit(account: Account, *, visit_id: int) -> WholeVisit:
    """Return a visit with all that its page shows, in eight queries at most."""
    visits = Visit.objects.select_related("call", "compressor", "season_list")
    row = get_one(Visit, account, visit_id)
    row = visits.select_related("site").get(pk=row.pk)
    findings = Finding.objects.filter(
        Q(visit=row) | Q(follow_up=row) | Q(site=row.site_id, closed_at=None)
    )
    here = list(findings.select_related("follow_up").order_by("found_at", "pk"))
    own = [each for each in here if each.visit_id == row.pk]
    follows = [each for each in here if each.follow_up_id == row.pk]
    others = [each for each in here if each not in own and each not in follows]
    photos = VisitPhoto.objects.filter(visit=row, removed_at=None)
    return WholeVisit(
        row=row,
        list=_carried(row),
        photos=tuple(photos.order_by("added_at", "pk")),
        findings=tuple(own),
        follows=tuple(follows),
        open_here=tuple(others),
        before=_before(row),
    )


def whole_call(account: Account, *, call_id: int) -> WholeCall:
    """Return a call with its visits, in two queries."""
    row = get_one(ServiceCall, account, call_id)
    visits = row.visits.order_by("planned_on", "pk")
    return WholeCall(row, tuple(visits))


def one_finding(account: Account, *, finding_id: int) -> Finding:
    """Return a finding with its site and visits, in two queries."""
    row = get_one(Finding, account, finding_id)
    found = Finding.objects.select_related("site", "visit", "follow_up")
    return found.get(pk=row.pk)


def open_calls(account: Account) -> list[ServiceCall]:
    """Return the calls that are open, what was promised first, in one query."""
    rows = ServiceCall.objects.for_account(account).filter(closed_at=None)
    found = rows.select_related("site").defer("site__record", "site__si")
    return sorted(found, key=_soonest)


def closed_calls(account: Account, *, at_most: int) -> list[ServiceCall]:
    """Return the calls that were closed last, in one query."""
    rows = ServiceCall.objects.for_account(account).exclude(closed_at=None)
    found = rows.select_related("site").defer("site__record", "site__si")
    return list(found.order_by("-closed_at", "-pk")[:at_most])


def open_findings(account: Account) -> list[Finding]:
    """Return what was found and is not closed, what is due first, in one query."""
    rows = Finding.objects.for_account(account).filter(closed_at=None)
    found = rows.select_related("site", "follow_up").defer("site__record", "site__si")
    return sorted(
        found, key=lambda each: (each.due_on or date.max, each.found_at, each.pk)
    )


def _soonest(row: ServiceCall) -> tuple[bool, date, datetime, int]:
    return (
        row.urgency != "today",
        row.promised_by or date.max,
        row.received_at,
        row.pk,
    )


def _carried(row: Visit) -> CarriedList | None:
    there: SeasonList | None = row.season_list
    attached = there is not None
    if there is None and row.state != "ended":
        there = find_list(row)
    if there is None:
        return None
    return CarriedList(
        id=there.pk,
        attached=attached,
        closed=there.closed_at is not None,
        open_zones=tuple(zones_still_open(row)),
    )


def _before(row: Visit) -> Before | None:
    same = Visit.objects.filter(site=row.site_id, kind=row.kind, state="ended")
    last = same.exclude(pk=row.pk).order_by("-left_at", "-pk")
    told = last.values_list(
        "pk", "outcome", "outcome_note", "notes", "worker", "left_at"
    ).first()
    return Before(*told) if told else None
