"""What the killed workers deliver through: this machine only, and without long waits."""

from datetime import UTC, datetime

from maintenance.engine.reminding import attempts
from maintenance.exchange.delivery.mail import MailChannel
from maintenance.exchange.delivery.webhook import WebhookChannel
from maintenance.models import Message
from maintenance.services.reminders.compose import NotWanted, compose
from maintenance.services.reminders.drain import Channel

# Hours fit into a minute; one that often died with its worker waits no longer.
attempts.FIRST_WAIT_S, attempts.LONGEST_WAIT_S = 1, 8  # type: ignore[misc]
LEASE_S = 3
CHANNELS: dict[str, Channel] = {
    "webhook": WebhookChannel(
        lambda: datetime.now(UTC),
        resolve=lambda _host, _port: ["127.0.0.1"],
        may_reach=lambda address: address == "127.0.0.1",
        schemes=("http",),
    ),
    "email": MailChannel("office@example.org"),
}


def deliver_at_once(number: int) -> None:
    """Deliver a message past the outbox, as the control arms do."""
    message = Message.objects.select_related(
        "account", "obligation__site", "webhook"
    ).get(pk=number)
    delivery = compose(message)
    assert not isinstance(delivery, NotWanted)
    CHANNELS["webhook"].deliver(delivery)
