"""Obligations are found and kept: again and again, by any number of us at once."""

from collections.abc import Iterable
from datetime import datetime
from typing import Final, Protocol

from django.db import transaction

from maintenance.engine.reminding.reconcile import Changes, Found, Kept, reconcile
from maintenance.models import Account, Message, Obligation
from maintenance.services.inventory.rows import Act, change_rows
from maintenance.services.reminders.beats import FOUND, beat
from maintenance.services.reminders.sources import (
    audits,
    backflow,
    calls,
    kit,
    seasons,
)
from maintenance.services.reminders.sources.looked import Looked
from maintenance.services.reminders.stop_links import cancel_waiting

CHUNK: Final = 500
_FINDER: Final = "found"
_TOLD: Final = ("what", "why", "time_zone", "last_done_on", "version")


class Look(Protocol):
    """A source: what is due of some kinds."""

    def __call__(self, account: Account, *, now: datetime) -> Looked:
        """Find it."""


SOURCES: Final[tuple[Look, ...]] = (
    backflow.look,
    kit.look,
    seasons.look,
    calls.look,
    audits.look,
)


def find_all(*, now: datetime) -> int:
    """Find what is due in all accounts and keep it; return how many rows changed."""
    changed = sum(
        find_for(account, now=now) for account in Account.objects.order_by("pk")
    )
    beat(FOUND, at=now)
    return changed


def find_for(
    account: Account, *, now: datetime, sources: Iterable[Look] = SOURCES
) -> int:
    """Find what is due in an account and keep it; return how many rows changed."""
    changed = 0
    for look in sources:
        looked = look(account, now=now)
        changes = reconcile(_kept(account, looked.kinds), looked.found, looked.done)
        changed += write_changes(account, changes, now=now)
    return changed


def _kept(account: Account, kinds: Iterable[str]) -> list[Kept]:
    rows = Obligation.objects.for_account(account).filter(ended_at=None, kind__in=kinds)
    return [Kept(row.pk, _as_found(row)) for row in rows]


def _as_found(row: Obligation) -> Found:
    return Found(
        kind=row.kind,
        about=row.about,
        due_on=row.due_on,
        what=row.what,
        why=row.why,
        zone=row.time_zone,
        site=row.site_id,
        address=row.address,
        last_done_on=row.last_done_on,
    )


@transaction.atomic
def write_changes(account: Account, changes: Changes, *, now: datetime) -> int:
    """Write what has to be written; what is there already stays as it is."""
    act = Act(_FINDER, now)
    _end(changes, act)
    _reword(changes, act)
    again = _reopen(account, [found for found, _ in changes.new], act)
    rows = [
        _row(account, found, now if put_off else None)
        for found, put_off in changes.new
        if (found.place, found.due_on) not in again
    ]
    # The unique key holds against others who find the same at the same time.
    Obligation.objects.bulk_create(rows, ignore_conflicts=True, batch_size=CHUNK)
    return len(changes.ended) + len(changes.reworded) + len(rows)


def _row(account: Account, found: Found, remind_from: datetime | None) -> Obligation:
    return Obligation(
        account=account,
        site_id=found.site,
        kind=found.kind,
        about=found.about,
        what=found.what[:500],
        why=found.why,
        address=found.address,
        due_on=found.due_on,
        time_zone=found.zone,
        last_done_on=found.last_done_on,
        remind_from=remind_from,
    )


def _end(changes: Changes, act: Act) -> None:
    told = {row: (word, reason) for row, word, reason in changes.ended}
    rows = list(Obligation.objects.filter(pk__in=told, ended_at=None))
    for row in rows:
        row.ended_at = act.now
        row.ended_as, row.ended_by = told[row.pk]
        row.version += 1
    change_rows(Obligation, rows, ["ended_at", "ended_as", "ended_by", "version"], act)
    cancel_waiting(
        Message.objects.filter(obligation__in=rows), "It ended before this was sent."
    )


def _reword(changes: Changes, act: Act) -> None:
    told = dict(changes.reworded)
    rows = list(Obligation.objects.filter(pk__in=told))
    for row in rows:
        found = told[row.pk]
        row.what, row.why = found.what[:500], found.why
        row.time_zone, row.last_done_on = found.zone, found.last_done_on
        row.version += 1
    change_rows(Obligation, rows, _TOLD, act)


def _reopen(
    account: Account, found: list[Found], act: Act
) -> set[tuple[tuple[str, str], object]]:
    """Open again what we ourselves had withdrawn, and leave what a person has ended.

    Returns the places and dates that are kept already, one way or the other.
    """
    places = {(each.place, each.due_on) for each in found}
    kept = Obligation.objects.for_account(account).filter(
        about__in={each.about for each in found}, ended_at__isnull=False
    )
    rows = [row for row in kept if ((row.kind, row.about), row.due_on) in places]
    ours = [row for row in rows if row.ended_as == "withdrawn"]
    for row in ours:
        row.ended_at, row.ended_as, row.ended_by = None, "", ""
        row.version += 1
    change_rows(Obligation, ours, ["ended_at", "ended_as", "ended_by", "version"], act)
    return {((row.kind, row.about), row.due_on) for row in rows}
