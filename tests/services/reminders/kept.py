"""Reminders of an account that stand in a database with others."""

from datetime import UTC, date, datetime
from typing import TypedDict

from maintenance.models import Account, Message
from maintenance.services.reminders.beats import DRAINED, beat
from maintenance.services.reminders.deeds import add_obligation
from maintenance.services.reminders.feeds import make_link
from maintenance.services.reminders.people import StatedPerson, store_person
from maintenance.services.reminders.webhooks import add_webhook

BEGUN = datetime(2026, 3, 1, tzinfo=UTC)


class KeptReminders(TypedDict):
    obligation: int
    message: int
    person: int
    webhook: int
    calendar: int


def keep_reminders(account: Account, site: str, word: str) -> KeptReminders:
    """Keep one of each, with a word in every text."""
    actor = f"{word} owner"
    stated = StatedPerson(name=f"{word} reader", email=f"read@{word.lower()}.example")
    person = store_person(account, stated=stated, now=BEGUN, actor=actor)
    obligation = add_obligation(
        account,
        what=f"{word} thing",
        due_on=date(2026, 9, 1),
        site_key=site,
        now=BEGUN,
        actor=actor,
    )
    message = Message.objects.create(
        account=account,
        obligation=obligation,
        recipient=person,
        channel="email",
        step=7,
        due_on=obligation.due_on,
        send_at=BEGUN,
        key=f"o{obligation.pk}:7:email:r{person.pk}",
        state="failed",
        why=f"{word} refused",
    )
    hook = add_webhook(
        account,
        url=f"https://{word.lower()}-{site}.example/due",
        secret="whsec_c2VjcmV0",
        now=BEGUN,
    )
    # Someone is reminded now, so that a silence would be told on every page.
    beat(DRAINED, at=datetime.now(UTC))
    link, _ = make_link(
        account, name=f"{word} calendar", site_key=site, now=BEGUN, actor=actor
    )
    return {
        "obligation": obligation.pk,
        "message": message.pk,
        "person": person.pk,
        "webhook": hook.pk,
        "calendar": link.pk,
    }
