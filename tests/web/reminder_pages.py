"""What the tests of these pages share: people, things due, messages, by the services."""

from datetime import date, timedelta
from typing import Any

from django.utils import timezone

from maintenance.models import Account, Message, Obligation, Recipient
from maintenance.services.accounts import local_account
from maintenance.services.reminders.deeds import add_obligation
from maintenance.services.reminders.people import StatedPerson, store_person


def in_days(days: int) -> date:
    return timezone.now().date() + timedelta(days=days)


def keep_person(
    name: str = "Ada", account: Account | None = None, **more: Any
) -> Recipient:
    return store_person(
        account or local_account(),
        stated=StatedPerson(name=name, email=f"{name.lower()}@example.org", **more),
        now=timezone.now(),
        actor="Office",
    )


def keep_due(
    what: str = "Look at the drain", *, days: int = 10, account: Account | None = None
) -> Obligation:
    return add_obligation(
        account or local_account(),
        what=what,
        due_on=in_days(days),
        now=timezone.now(),
        actor="Office",
    )


def keep_message(row: Obligation, person: Recipient, **more: Any) -> Message:
    return Message.objects.create(
        **{
            "account": row.account,
            "obligation": row,
            "recipient": person,
            "channel": "email",
            "step": 7,
            "due_on": row.due_on,
            "send_at": timezone.now(),
            "key": f"o{row.pk}:{more.get('step', 7)}:email:r{person.pk}",
            **more,
        }
    )
