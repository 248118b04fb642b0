"""Reminders whose time has come become rows: any number of times, by any number of us.

A row appears when its time has come and not before, so that a change of people, steps
or time zones needs no row to be planned anew; pages show the plan itself.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from maintenance.engine.reminding.plan import (
    Owed,
    Planned,
    Telling,
    newest,
    plan,
)
from maintenance.engine.reminding.steps import MOST_DAYS
from maintenance.models import Account, Message, Obligation, Recipient
from maintenance.services.reminders.beats import PLANNED, beat
from maintenance.services.reminders.digests import write_digests
from maintenance.services.reminders.overtaken import replace_overtaken
from maintenance.services.reminders.telling import owed_of, telling_of
from maintenance.services.reminders.zone_data import zone_data_version

CHUNK: Final = 500
_FURTHEST: Final = timedelta(days=MOST_DAYS + 1)
OVERTAKEN: Final = "Its time passed while nothing was sent; a newer reminder is."


def materialise(*, now: datetime) -> int:
    """Write the messages whose time has come, of all accounts; return how many."""
    written = 0
    for account in Account.objects.order_by("pk"):
        telling = telling_of(account)
        if telling.readers:
            written += _for_account(account, telling, now)
    beat(PLANNED, at=now)
    return written


def open_owed(account: Account, *, until: datetime) -> Iterator[list[Owed]]:
    """Give the open obligations that may be told of by then, in chunks."""
    rows = (
        Obligation.objects.for_account(account)
        .filter(ended_at=None, due_on__lte=until.date() + _FURTHEST)
        .only("kind", "site_id", "due_on", "time_zone", "remind_from", "snoozed_until")
    )
    last = 0
    while chunk := list(rows.filter(pk__gt=last).order_by("pk")[:CHUNK]):
        yield owed_of(chunk)
        last = chunk[-1].pk


def _for_account(account: Account, telling: Telling, now: datetime) -> int:
    written = 0
    daily: dict[int, list[Planned]] = defaultdict(list)
    for owed in open_owed(account, until=now):
        planned = [each for one in owed for each in plan(telling, one, until=now)]
        for each in planned:
            if each.reader.channel == "digest":
                daily[each.reader.id].append(each)
        single = [each for each in planned if each.reader.channel != "digest"]
        written += _write(account, telling, single)
    written += write_digests(account, daily, now=now)
    return written + _write_for_the_next_person(account, telling, now)


def _write(account: Account, telling: Telling, planned: list[Planned]) -> int:
    """Write what is not there yet: the newest to be sent, the rest as overtaken."""
    last, overtaken = newest(planned)
    names = _names(telling)
    rows = [_row(account, each, "due", names) for each in last.values()]
    rows += [_row(account, each, "superseded", names) for each in overtaken]
    added = _add_new(rows)
    replace_overtaken(last.values())
    return added


def _add_new(rows: Iterable[Message]) -> int:
    """Add the rows whose key is not there; the key itself holds against others."""
    by_key = {row.key: row for row in rows}
    obligations = {row.obligation_id for row in by_key.values()}
    kept = Message.objects.filter(obligation__in=obligations)
    for key in kept.values_list("key", flat=True):
        by_key.pop(key, None)
    new = list(by_key.values())
    Message.objects.bulk_create(new, ignore_conflicts=True, batch_size=CHUNK)
    return len(new)


def _row(account: Account, each: Planned, state: str, names: dict[int, str]) -> Message:
    hook = each.reader.channel == "webhook"
    why = in_place_of(names.get(each.instead_of, "someone")) if each.instead_of else ""
    return Message(
        account=account,
        obligation_id=each.owed.id,
        recipient_id=None if hook else each.reader.id,
        webhook_id=each.reader.id if hook else None,
        channel=each.reader.channel,
        step=each.step,
        due_on=each.owed.due_on,
        send_at=each.send_at,
        zone_data=zone_data_version(),
        key=each.key,
        state=state,
        why=OVERTAKEN if state == "superseded" else why,
    )


def _names(telling: Telling) -> dict[int, str]:
    if not any(each.escalate_to for each in telling.readers):
        return {}
    people = [each.id for each in telling.readers if each.channel != "webhook"]
    return dict(Recipient.objects.filter(pk__in=people).values_list("pk", "name"))


def in_place_of(name: str) -> str:
    """Say in whose place someone is told."""
    return f"In place of {name}, who was not reached or has not answered."


def _write_for_the_next_person(
    account: Account, telling: Telling, now: datetime
) -> int:
    """Tell the next person at once where one could not be reached for good."""
    readers = {each.id: each for each in telling.readers if each.channel != "webhook"}
    failed = Message.objects.for_account(account).filter(
        state="failed",
        channel="email",
        obligation__ended_at=None,
        recipient__escalate_to__isnull=False,
    )
    rows = []
    for message in failed.select_related("obligation", "recipient"):
        person, obligation = message.recipient, message.obligation
        if person is None or obligation is None:
            continue
        second = readers.get(person.escalate_to_id or 0)
        if second is not None and not second.silent:
            (owed,) = owed_of([obligation])
            by_mail = replace(second, channel="email")
            day = owed.due_on - timedelta(days=message.step)
            each = Planned(owed, by_mail, message.step, day, now, person.pk)
            rows.append(_row(account, each, "due", {person.pk: person.name}))
    return _add_new(rows)
