"""A call is taken, changed, and closed with a word or by the visits that answer it."""

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from maintenance.models import Account, ServiceCall, Site, Visit
from maintenance.models.visits import OPEN_STATES, URGENCIES
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.claims import get_row
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.visits.holding import (
    checked_day,
    claim_one,
    not_before,
    refuse_retired,
    word_of,
)
from maintenance.services.visits.words import OUTCOMES, TO_GO_BACK

_TOLD = ("caller", "reach_at", "what", "urgency", "promised_by")
_END = ("closed_at", "closed_by", "closed_as")


@dataclass(frozen=True, slots=True, kw_only=True)
class CallTold:
    """What a caller told: who, how to reach them, what, how soon, promised by when."""

    what: str
    caller: str = ""
    reach_at: str = ""
    urgency: str = "within_days"
    promised_by: date | None = None


@transaction.atomic
def take_call(
    account: Account, *, site_key: str, told: CallTold, now: datetime, actor: str
) -> int:
    """Keep a call and return its number; one that is sent twice is kept once.

    Raises
    ------
    NotFoundError
        If there is no such site.
    ServiceError
        If nothing was asked for, or the site is retired.
    """
    site = get_row(Site, account, site_key)
    refuse_retired(site)
    columns = _columns(told)
    twin = ServiceCall.objects.filter(site=site, closed_at=None, **columns).first()
    if twin is not None:
        return twin.pk
    row = ServiceCall(site=site, received_at=now, received_by=actor, **columns)
    add_rows(ServiceCall, [row], Act(actor, now))
    return row.pk


@transaction.atomic
def change_call(
    account: Account,
    *,
    call_id: int,
    version: int,
    told: CallTold,
    now: datetime,
    actor: str,
) -> None:
    """Change what a caller told.

    Raises
    ------
    ConflictError
        If someone else changed the call meanwhile.
    ServiceError
        If nothing is asked for any more.
    """
    columns = _columns(told)
    row = claim_one(ServiceCall, account, call_id, version)
    for name in _TOLD:
        setattr(row, name, columns[name])
    change_rows(ServiceCall, [row], [*_TOLD, "version"], Act(actor, now))


@transaction.atomic
def close_call(
    account: Account,
    *,
    call_id: int,
    version: int,
    word: str,
    now: datetime,
    actor: str,
) -> None:
    """Close a call with a word.

    Raises
    ------
    ServiceError
        If there is no word, the call is closed, or visits for it are still to come.
    ConflictError
        If someone else changed it meanwhile.
    """
    written = word_of(word, "A call is closed with a word: write what came of it.")
    row = claim_one(ServiceCall, account, call_id, version)
    if row.closed_at is not None:
        raise ServiceError("This call is closed already.")
    waiting = row.visits.filter(state__in=OPEN_STATES).count()
    if waiting:
        raise ServiceError(
            f"{waiting} visit{'s' if waiting > 1 else ''} for this call did not end "
            "yet: end or call off first, then close it."
        )
    _close(row, written, Act(actor, now))


@transaction.atomic
def reopen_call(
    account: Account, *, call_id: int, version: int, now: datetime, actor: str
) -> None:
    """Open a call again that was closed too soon; the history keeps the closing."""
    row = claim_one(ServiceCall, account, call_id, version)
    row.closed_at, row.closed_by, row.closed_as = None, "", ""
    change_rows(ServiceCall, [row], [*_END, "version"], Act(actor, now))


def settle_call(visit: Visit, act: Act) -> None:
    """Close the call of a visit that ended, if nothing is left to do for it.

    It stays open while another visit is to come, and after one that ended so that
    somebody must go again.
    """
    if visit.call_id is None or visit.outcome in (*TO_GO_BACK, ""):
        return
    others = Visit.objects.filter(call=visit.call_id, state__in=OPEN_STATES)
    if others.exclude(pk=visit.pk).exists():
        return
    row = ServiceCall.objects.select_for_update().get(pk=visit.call_id)
    if row.closed_at is None:
        row.version += 1
        _close(row, f"Its visits ended: {OUTCOMES[visit.outcome]}.", act)


def _close(row: ServiceCall, word: str, act: Act) -> None:
    row.closed_at = not_before(act.now, row.received_at)
    row.closed_by, row.closed_as = act.actor, word
    change_rows(ServiceCall, [row], [*_END, "version"], act)


def _columns(told: CallTold) -> dict[str, object]:
    if told.urgency not in URGENCIES:
        raise ServiceError(
            f'"{told.urgency}" says not how soon: choose one of the list.'
        )
    return {
        "caller": told.caller.strip(),
        "reach_at": told.reach_at.strip(),
        "what": word_of(told.what, "Write what is asked for, in a few words."),
        "urgency": told.urgency,
        "promised_by": checked_day(told.promised_by, "The promised day"),
    }
