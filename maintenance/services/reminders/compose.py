"""A message becomes what is delivered: a letter or a signed request, from its rows."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final

from django.conf import settings

from maintenance.engine.reminding.letters import (
    Delivery,
    Envelope,
    HookCall,
    Item,
    Letter,
    digest_of,
    hook_body,
    letter_about,
    test_letter,
)
from maintenance.engine.reminding.plan import Planned, newest, plan
from maintenance.models import Message, Obligation, Recipient
from maintenance.services.reminders.digests import told_on
from maintenance.services.reminders.materialise import open_owed
from maintenance.services.reminders.stop_links import stop_address
from maintenance.services.reminders.telling import telling_of

IN_PLACE: Final = "In place of "


@dataclass(frozen=True, slots=True)
class NotWanted:
    """Why a message is not sent after all."""

    why: str


def compose(message: Message) -> Delivery | NotWanted:
    """Return what to deliver, or why nothing is to be delivered any more."""
    if message.channel == "webhook":
        return _hook_call(message)
    person = message.recipient
    if person is None or person.retired_at or person.stopped_at or not person.email:
        return NotWanted("This person gets no reminders any more.")
    if message.channel == "digest":
        return _digest(message, person)
    if message.obligation is None:
        return test_letter(_envelope(message, person))
    gone = _no_longer_owed(message.obligation, message)
    return gone or letter_about(
        item_of(message.obligation, message.step), _envelope(message, person)
    )


def item_of(row: Obligation, step: int) -> Item:
    """Return an obligation in the words of a letter."""
    return Item(
        what=row.what,
        kind=row.kind,
        due_on=row.due_on,
        step=step,
        why=row.why,
        site=row.site.name if row.site else "",
        address=f"{settings.PUBLIC_URL}/due/{row.pk}/",
    )


def _hook_call(message: Message) -> Delivery | NotWanted:
    hook, owed = message.webhook, message.obligation
    if hook is None or hook.retired_at or owed is None:
        return NotWanted("This address is told no more.")
    body = hook_body(item_of(owed, message.step), key=message.key)
    return _no_longer_owed(owed, message) or HookCall(
        message.key, hook.url, hook.secret, body
    )


def _no_longer_owed(row: Obligation, message: Message) -> NotWanted | None:
    if row.ended_at is not None:
        return NotWanted("It was done or ended before this was sent.")
    day = message.due_on - timedelta(days=message.step)
    if row.snoozed_until is not None and day < row.snoozed_until:
        return NotWanted(f"Put off until {row.snoozed_until}.")
    return None


def _envelope(message: Message, person: Recipient) -> Envelope:
    note = message.why if message.why.startswith(IN_PLACE) else ""
    return Envelope(
        key=message.key,
        to=person.email,
        name=person.name,
        stop_address=stop_address(person.pk),
        all_address=f"{settings.PUBLIC_URL}/due/",
        note=note.partition(".")[0] + "." if note else "",
    )


def _digest(message: Message, person: Recipient) -> Letter | NotWanted:
    planned = list(_told(message, person))
    rows = Obligation.objects.select_related("site").in_bulk(
        [each.owed.id for each in planned]
    )
    items = [item_of(rows[each.owed.id], each.step) for each in planned]
    if not items:
        return NotWanted("Nothing of it is open any more.")
    return digest_of(message.due_on, items, _envelope(message, person))


def _told(message: Message, person: Recipient) -> list[Planned]:
    """Return what stands in a letter: the newest step of each thing in its days."""
    telling = telling_of(message.account)
    until = datetime.combine(message.due_on, datetime.max.time(), UTC)
    found: list[Planned] = []
    for chunk in open_owed(message.account, until=until):
        for owed in chunk:
            mine = [
                each
                for each in plan(telling, owed, until=until + timedelta(days=1))
                if each.reader.id == person.pk
                and each.reader.channel == "digest"
                and told_on(each, message.due_on, message.step)
            ]
            found += newest(mine)[0].values()
    return found
