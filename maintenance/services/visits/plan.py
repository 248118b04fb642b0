"""A visit is planned: what for, when, who goes, with which compressor."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from maintenance.models import Account, Compressor, ServiceCall, Site, Visit
from maintenance.models.visits import KINDS, OPEN_STATES
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.claims import get_row
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.seasons.open_list import FIRST_YEAR, LAST_YEAR
from maintenance.services.visits.calls import settle_call
from maintenance.services.visits.holding import (
    checked_day,
    claim_one,
    get_one,
    refuse_retired,
    word_of,
)
from maintenance.services.visits.words import SEASONS, STATES

_PLAN = (
    *("kind", "season_year", "planned_on", "window", "worker"),
    *("compressor", "notes"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitPlan:
    """What is planned; ``season_year`` counts for a shutdown or a start-up only.

    ``compressor`` is the id of one that comes along, empty for none; ``notes`` is what
    whoever goes should know.
    """

    kind: str
    season_year: int | None = None
    planned_on: date | None = None
    window: str = ""
    worker: str = ""
    compressor: str = ""
    notes: str = ""


@transaction.atomic
def plan_visit(
    account: Account,
    *,
    site_key: str,
    plan: VisitPlan,
    call_id: int | None = None,
    now: datetime,
    actor: str,
) -> int:
    """Plan a visit and return its number; one that is sent twice is planned once.

    Raises
    ------
    NotFoundError
        If there is no such site, call or compressor.
    ServiceError
        If the plan does not hold, or the call is closed or of another site.
    """
    site = get_row(Site, account, site_key)
    refuse_retired(site)
    call = _call_for(account, call_id, site)
    columns = {"site": site, "call": call, **columns_of(account, plan)}
    twin = Visit.objects.filter(state="planned", **columns).first()
    if twin is not None:
        return twin.pk
    row = Visit(account=account, **columns)
    add_rows(Visit, [row], Act(actor, now))
    return row.pk


def add_visits(
    account: Account, plans: Sequence[tuple[Site, VisitPlan]], act: Act
) -> None:
    """Plan visits at many standing sites, without compressors, in one statement."""
    rows = [
        Visit(account=account, site=site, **columns_of(account, plan))
        for site, plan in plans
    ]
    add_rows(Visit, rows, act)


@transaction.atomic
def change_plan(
    account: Account,
    *,
    visit_id: int,
    version: int,
    plan: VisitPlan,
    now: datetime,
    actor: str,
) -> None:
    """Change the plan of a visit that has not ended.

    Raises
    ------
    ConflictError
        If someone else changed the visit meanwhile.
    ServiceError
        If it ended, or another kind is chosen although it is under way.
    """
    columns = columns_of(account, plan)
    row = claim_one(Visit, account, visit_id, version)
    if row.state not in OPEN_STATES:
        raise ServiceError(
            f"The visit is {STATES[row.state]}: its plan is not changed any more."
        )
    same = (row.kind, row.season_year) == (columns["kind"], columns["season_year"])
    if not same and row.state != "planned":
        raise ServiceError(
            "The visit is under way: plan another one for something else, and end this."
        )
    if not same:
        row.season_list = None
    for name in _PLAN:
        setattr(row, name, columns[name])
    change_rows(Visit, [row], [*_PLAN, "season_list", "version"], Act(actor, now))


@transaction.atomic
def call_off_visit(
    account: Account,
    *,
    visit_id: int,
    version: int,
    word: str,
    now: datetime,
    actor: str,
) -> None:
    """Call a visit off, with why.

    Raises
    ------
    ConflictError
        If someone else changed the visit meanwhile.
    ServiceError
        If there is no word, or it ended already.
    """
    written = word_of(word, "Write why the visit is called off.")
    row = claim_one(Visit, account, visit_id, version)
    if row.state != "planned":
        raise ServiceError(
            f"The visit is {STATES[row.state]}: only a planned one is called off."
        )
    act = Act(actor, now)
    row.state, row.outcome_note = "called_off", written
    change_rows(Visit, [row], ["state", "outcome_note", "version"], act)
    settle_call(row, act)


def columns_of(account: Account, plan: VisitPlan) -> dict[str, object]:
    """Return what is kept of a plan, or refuse it; one query with a compressor."""
    if plan.kind not in KINDS:
        raise ServiceError(
            f'"{plan.kind}" is no kind of visit: choose one of the list.'
        )
    year = plan.season_year if plan.kind in SEASONS else None
    if plan.kind in SEASONS and (year is None or not FIRST_YEAR <= year <= LAST_YEAR):
        raise ServiceError(
            f"A visit for a {SEASONS[plan.kind]} belongs to a year: write one such as "
            "2026."
        )
    machine = get_row(Compressor, account, plan.compressor) if plan.compressor else None
    return {
        "kind": plan.kind,
        "season_year": year,
        "planned_on": checked_day(plan.planned_on, "The planned day"),
        "window": plan.window.strip(),
        "worker": " ".join(plan.worker.split()),
        "compressor": machine,
        "notes": plan.notes.strip(),
    }


def _call_for(account: Account, call_id: int | None, site: Site) -> ServiceCall | None:
    if call_id is None:
        return None
    call = get_one(ServiceCall, account, call_id)
    if call.site_id != site.pk:
        raise ServiceError("The call is about another site: plan its visit there.")
    if call.closed_at is not None:
        raise ServiceError("The call is closed: open it again first, then plan.")
    return call
