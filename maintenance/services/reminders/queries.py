"""What is due, what will be sent about it, and what was sent."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from django.db.models import Prefetch, QuerySet

from maintenance.engine.calendar.local_time import local_date
from maintenance.engine.reminding.plan import Planned, Telling, plan
from maintenance.models import (
    Account,
    DeliveryTry,
    Message,
    Obligation,
    Recipient,
    Webhook,
)
from maintenance.services.reminders.materialise import open_owed
from maintenance.services.reminders.telling import known_zone, owed_of, telling_of

AHEAD_DAYS: Final = 60
PAGE: Final = 50
MOST_COMING: Final = 500


@dataclass(frozen=True, slots=True)
class DueRow:
    """One thing that is due, with the days until then at its site."""

    row: Obligation
    days: int

    @property
    def overdue(self) -> bool:
        """Whether its day is over."""
        return self.days < 0


@dataclass(frozen=True, slots=True)
class Coming:
    """One reminder that will be sent, in words; ``again`` says why it is another's."""

    planned: Planned
    obligation: Obligation
    to: str
    instead_of: str = ""


@dataclass(frozen=True, slots=True)
class Ahead:
    """What will be sent within the next days; ``more`` were left out of the page."""

    rows: Sequence[Coming]
    more: int


def due_rows(
    account: Account, *, now: datetime, within_days: int | None = None
) -> list[DueRow]:
    """Return what is open, the first due first, in one query."""
    rows = Obligation.objects.for_account(account).filter(ended_at=None)
    if within_days is not None:
        rows = rows.filter(due_on__lte=now.date() + timedelta(days=within_days))
    return [
        DueRow(row, _days(row, now))
        for row in rows.select_related("site").order_by("due_on", "pk")
    ]


def due_row(row: Obligation, *, now: datetime) -> DueRow:
    """Return one with its days."""
    return DueRow(row, _days(row, now))


def coming(account: Account, *, now: datetime, days: int = AHEAD_DAYS) -> Ahead:
    """Return what will be sent, to whom and when, by the plan that makes the rows."""
    telling, until = telling_of(account), now + timedelta(days=days)
    found: list[Planned] = []
    if telling.readers:
        for chunk in open_owed(account, until=until):
            for owed in chunk:
                found += [
                    each
                    for each in plan(telling, owed, until=until)
                    if each.send_at > now
                ]
    found.sort(key=lambda each: (each.send_at, each.key))
    return Ahead(
        _named(account, telling, found[:MOST_COMING]), len(found[MOST_COMING:])
    )


def coming_about(
    account: Account, row: Obligation, *, now: datetime, days: int = AHEAD_DAYS
) -> Sequence[Coming]:
    """Return what will be sent about one thing."""
    if row.ended_at is not None:
        return ()
    telling, until = telling_of(account), now + timedelta(days=days)
    (owed,) = owed_of([row])
    found = [e for e in plan(telling, owed, until=until) if e.send_at > now]
    return _named(account, telling, found)


def sent(
    account: Account, *, before: int | None = None, states: Sequence[str] = ()
) -> list[Message]:
    """Return messages with their attempts, the newest first, a page at a time.

    ``before`` is the number of the last one of the page before.
    """
    rows = Message.objects.for_account(account)
    if before is not None:
        rows = rows.filter(pk__lt=before)
    if states:
        rows = rows.filter(state__in=states)
    return list(_with_attempts(rows).order_by("-pk")[: PAGE + 1])


def sent_about(row: Obligation) -> list[Message]:
    """Return all messages about one thing, the newest first."""
    return list(_with_attempts(row.messages.all()).order_by("-send_at", "-pk"))


def _with_attempts(rows: QuerySet[Message]) -> QuerySet[Message]:
    tries = DeliveryTry.objects.order_by("at", "pk")
    return rows.select_related(
        "obligation__site", "recipient", "webhook"
    ).prefetch_related(Prefetch("tries", queryset=tries))


def _days(row: Obligation, now: datetime) -> int:
    today: date = local_date(now, known_zone(row.time_zone))
    return (row.due_on - today).days


def _named(
    account: Account, telling: Telling, found: Sequence[Planned]
) -> list[Coming]:
    people = dict(Recipient.objects.for_account(account).values_list("pk", "name"))
    hooks = dict(Webhook.objects.for_account(account).values_list("pk", "url"))
    rows = Obligation.objects.select_related("site").in_bulk(
        {each.owed.id for each in found}
    )
    return [
        Coming(
            each,
            rows[each.owed.id],
            (hooks if each.reader.channel == "webhook" else people)[each.reader.id],
            people.get(each.instead_of, "") if each.instead_of else "",
        )
        for each in found
    ]
