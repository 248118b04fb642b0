"""Whether the reminders of an account are silent: one question for every page."""

from datetime import datetime
from typing import Final

from django.db.models import BooleanField, Exists, OuterRef, Subquery
from django.db.models.expressions import RawSQL

from maintenance.engine.reminding.watching import judge
from maintenance.models import Account, Heartbeat, Message, Recipient, Webhook
from maintenance.services.reminders.beats import DRAINED

# Written out, so that SQLite sees that the partial index holds them all.
_WAITING: Final = "U0.state IN ('due', 'sending')"


def silent_because(account: Account, *, now: datetime) -> tuple[str, ...]:
    """Return why reminders do not go out, in sentences; none where they do.

    One query, by an index; the watchdog's own judgement.
    """
    of_it = {"account": OuterRef("pk")}
    waiting = Message.objects.filter(
        RawSQL(_WAITING, [], output_field=BooleanField()),  # noqa: S611  (no input)
        **of_it,
        send_at__lte=now,
    )
    asked = Account.objects.filter(pk=account.pk).annotate(
        people=Exists(Recipient.objects.filter(retired_at=None, **of_it)),
        hooks=Exists(Webhook.objects.filter(retired_at=None, **of_it)),
        oldest=Subquery(waiting.order_by("send_at").values("send_at")[:1]),
        drained=Subquery(Heartbeat.objects.filter(name=DRAINED).values("at")[:1]),
    )
    for people, hooks, oldest, drained in asked.values_list(
        "people", "hooks", "oldest", "drained"
    ):
        return judge(
            anyone=people or hooks,
            oldest_due_s=(now - oldest).total_seconds() if oldest else None,
            last_drain_s=(now - drained).total_seconds() if drained else None,
        ).reasons
    return ()
