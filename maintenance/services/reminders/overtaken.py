"""What waits though something newer of the same thing is there is not sent any more."""

from collections.abc import Iterable
from datetime import date
from typing import Final

from django.db.models import Q, QuerySet

from maintenance.engine.reminding.plan import Planned
from maintenance.models import Message
from maintenance.services.reminders.database_clock import lease_over

NEWER: Final = "A newer reminder of the same thing took its place."


def replace_overtaken(newest: Iterable[Planned]) -> int:
    """Mark waiting messages that a newer one of the plan has overtaken; how many.

    What waits is few and is looked through here: asked for in one statement, a
    database may go through all that one person was ever sent, for each of them.
    """
    planned = list(newest)
    steps: dict[tuple[int, str, int], int] = {
        (each.owed.id, each.reader.channel, each.reader.id): each.step
        for each in planned
    }
    waiting = Message.objects.filter(
        obligation__in={each.owed.id for each in planned}, state="due"
    ).values_list(
        "pk", "obligation_id", "channel", "recipient_id", "webhook_id", "step"
    )
    old = [
        pk
        for pk, owed, channel, person, hook, step in waiting
        if step > steps.get((owed or 0, channel, person or hook or 0), step)
    ]
    return _overtake(Message.objects.filter(pk__in=old)) if old else 0


def replace_older_digests(recipient_id: int, day: date) -> int:
    """Mark the letters of earlier days that were not sent; the next tells it all."""
    return _overtake(
        Message.objects.filter(recipient=recipient_id, channel="digest", due_on__lt=day)
    )


def _overtake(rows: QuerySet[Message]) -> int:
    # One that a worker holds is left to it; one that only waits is not held.
    free = rows.filter(Q(token="") | lease_over(), state="due")
    return free.update(state="superseded", why=NEWER, token="", lease_until=None)
