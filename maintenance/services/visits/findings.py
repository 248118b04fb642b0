"""What was found stays open until it is closed with a word."""

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from maintenance.models import Account, Finding, Site, Visit
from maintenance.models.visits import OPEN_STATES
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.claims import get_row
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.visits.holding import (
    checked_day,
    claim_one,
    get_one,
    not_before,
    refuse_retired,
    word_of,
)
from maintenance.services.visits.plan import VisitPlan, columns_of

_TOLD = ("about", "what", "due_on")


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingTold:
    """What was found, on which part, and by when it is to be done."""

    what: str
    about: str = ""
    due_on: date | None = None


@transaction.atomic
def note_finding(
    account: Account,
    *,
    told: FindingTold,
    visit_id: int | None = None,
    site_key: str = "",
    now: datetime,
    actor: str,
) -> int:
    """Note what was found on a visit, or at a site without one; return its number.

    One that is sent twice is noted once.

    Raises
    ------
    NotFoundError
        If there is no such visit or site.
    ServiceError
        If nothing is told.
    """
    visit = get_one(Visit, account, visit_id) if visit_id is not None else None
    site = visit.site if visit else get_row(Site, account, site_key)
    columns = {"site": site, "visit": visit, **_columns(told)}
    twin = Finding.objects.filter(closed_at=None, **columns).first()
    if twin is not None:
        return twin.pk
    row = Finding(found_at=now, found_by=actor, **columns)
    add_rows(Finding, [row], Act(actor, now))
    return row.pk


@transaction.atomic
def change_finding(
    account: Account,
    *,
    finding_id: int,
    version: int,
    told: FindingTold,
    now: datetime,
    actor: str,
) -> None:
    """Change what was noted; ConflictError if someone else did meanwhile."""
    columns = _columns(told)
    row = claim_one(Finding, account, finding_id, version)
    for name in _TOLD:
        setattr(row, name, columns[name])
    change_rows(Finding, [row], [*_TOLD, "version"], Act(actor, now))


@transaction.atomic
def plan_follow_up(
    account: Account,
    *,
    finding_id: int,
    version: int,
    plan: VisitPlan,
    now: datetime,
    actor: str,
) -> int:
    """Plan the visit that follows a finding up, in one step; return its number.

    Raises
    ------
    ConflictError
        If someone else changed the finding meanwhile.
    ServiceError
        If it is closed, or a visit that follows it up is still to come.
    """
    row = claim_one(Finding, account, finding_id, version)
    refuse_retired(row.site)
    if row.closed_at is not None:
        raise ServiceError("This finding is closed: note a new one.")
    if row.follow_up is not None and row.follow_up.state in OPEN_STATES:
        raise ServiceError("A visit that follows this up is planned already.")
    act = Act(actor, now)
    visit = Visit(account=account, site=row.site, **columns_of(account, plan))
    add_rows(Visit, [visit], act)
    row.follow_up = visit
    change_rows(Finding, [row], ["follow_up", "version"], act)
    return visit.pk


@transaction.atomic
def close_finding(
    account: Account,
    *,
    finding_id: int,
    version: int,
    word: str,
    now: datetime,
    actor: str,
) -> None:
    """Close a finding with a word: what was done, or why nothing will be.

    Raises
    ------
    ConflictError
        If someone else changed the finding meanwhile.
    ServiceError
        If there is no word, or it is closed already.
    """
    written = word_of(
        word, "A finding is closed with a word: write what was done, or why nothing is."
    )
    row = claim_one(Finding, account, finding_id, version)
    if row.closed_at is not None:
        raise ServiceError("This finding is closed already.")
    row.closed_at = not_before(now, row.found_at)
    row.closed_by, row.closed_as = actor, written
    columns = ["closed_at", "closed_by", "closed_as", "version"]
    change_rows(Finding, [row], columns, Act(actor, now))


def _columns(told: FindingTold) -> dict[str, object]:
    return {
        "about": told.about.strip(),
        "what": word_of(told.what, "Write what was found, in a few words."),
        "due_on": checked_day(told.due_on, "The day it is due"),
    }
