"""Whether reminders go out: the watchdog's questions, of all accounts or of one."""

from datetime import datetime
from typing import Final

from django.db.models import BooleanField, Q
from django.db.models.expressions import RawSQL

from maintenance.engine.reminding.watching import Watch, judge
from maintenance.models import Account, DeliveryTry, Message, Recipient, Webhook
from maintenance.services.reminders.beats import DRAINED, FOUND, last_beat

# Written out, so that SQLite sees that the partial index holds them all.
_WAITING: Final = "maintenance_message.state IN ('due', 'sending')"
__all__ = ["Watch", "has_looked", "watch"]


def watch(*, now: datetime, account: Account | None = None) -> Watch:
    """Return what the watchdog sees now."""
    messages = (
        Message.objects.all()
        if account is None
        else (Message.objects.for_account(account))
    )
    waiting = messages.filter(
        RawSQL(_WAITING, [], output_field=BooleanField()),  # noqa: S611
        send_at__lte=now,
    )
    oldest = waiting.order_by("send_at", "pk").values_list("send_at", "pk").first()
    drained = last_beat(DRAINED)
    told = messages.filter(Q(state__in=("failed", "uncertain")))
    counts = dict.fromkeys(("failed", "uncertain"), 0)
    for state in told.values_list("state", flat=True):
        counts[state] += 1
    return judge(
        anyone=_anyone(account),
        oldest_due_s=(now - oldest[0]).total_seconds() if oldest else None,
        last_drain_s=(now - drained).total_seconds() if drained else None,
        last_error=_last_error(oldest[1]) if oldest else "",
        waiting=waiting.count(),
        failed=counts["failed"],
        uncertain=counts["uncertain"],
        maybe_twice=messages.filter(maybe_twice__gt=0).count(),
    )


def has_looked() -> bool:
    """Tell whether what is due was ever looked for: till then nothing is known."""
    return last_beat(FOUND) is not None


def _anyone(account: Account | None) -> bool:
    people, hooks = Recipient.objects.standing(), Webhook.objects.standing()
    if account is not None:
        people, hooks = people.for_account(account), hooks.for_account(account)
    return people.exists() or hooks.exists()


def _last_error(message_id: int) -> str:
    found = DeliveryTry.objects.filter(message=message_id).order_by("-at", "-pk")
    return found.values_list("error", flat=True).first() or ""
