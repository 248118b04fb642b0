"""What waits though something newer of the same thing is there is not sent any more."""

from typing import Final

from django.db.models import Exists, OuterRef, Q

from maintenance.models import Message
from maintenance.models.owned import OwnedQuerySet
from maintenance.services.reminders.database_clock import lease_over

NEWER: Final = "A newer reminder of the same thing took its place."
_GONE: Final = ("cancelled", "superseded")


def replace_overtaken() -> int:
    """Mark waiting messages that a newer one has overtaken; return how many."""
    waiting = Message.objects.filter(state="due").filter(
        # One that a worker holds is left to it; one that only waits is not held.
        Q(token="") | lease_over()
    )
    newer = Message.objects.exclude(state__in=_GONE)
    changed = 0
    for column in ("recipient", "webhook"):
        same = newer.filter(
            obligation=OuterRef("obligation"),
            channel=OuterRef("channel"),
            step__lt=OuterRef("step"),
            **{column: OuterRef(column)},
        )
        changed += _overtake(waiting.filter(Exists(same)))
    next_day = newer.filter(
        channel="digest",
        recipient=OuterRef("recipient"),
        due_on__gt=OuterRef("due_on"),
    )
    return changed + _overtake(waiting.filter(Exists(next_day), channel="digest"))


def _overtake(rows: OwnedQuerySet[Message]) -> int:
    return rows.update(state="superseded", why=NEWER, token="", lease_until=None)
