"""All ways to deliver, as the settings have them."""

from collections.abc import Callable
from datetime import datetime

from django.conf import settings

from maintenance.exchange.delivery.mail import MailChannel
from maintenance.exchange.delivery.webhook import WebhookChannel


def channels(
    clock: Callable[[], datetime],
) -> dict[str, MailChannel | WebhookChannel]:
    """Return each channel by its name; ``clock`` gives the time of a signature."""
    mail = MailChannel(settings.DEFAULT_FROM_EMAIL)
    return {"email": mail, "digest": mail, "webhook": WebhookChannel(clock)}
