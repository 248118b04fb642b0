"""Addresses that are told by a signed request."""

from datetime import datetime

from django.db import transaction

from maintenance.engine.reminding.kinds import KINDS
from maintenance.models import Account, Message, Webhook
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.reminders.stop_links import cancel_waiting


def all_webhooks(account: Account) -> list[Webhook]:
    """Return the addresses that are told, in one query."""
    return list(Webhook.objects.for_account(account).standing().order_by("pk"))


@transaction.atomic
def add_webhook(
    account: Account,
    *,
    url: str,
    secret: str,
    kinds: tuple[str, ...] = (),
    now: datetime,
) -> Webhook:
    """Add an address; whoever calls has looked at it and made the secret.

    Raises
    ------
    ServiceError
        If it is told already.
    """
    if set(kinds) - set(KINDS):
        raise ServiceError("One of these kinds is not known.")
    if any(each.url == url for each in all_webhooks(account)):
        raise ServiceError("This address is told already.")
    row = Webhook(
        account=account,
        url=url,
        secret=secret,
        kinds={"kinds": sorted(kinds)} if kinds else {},
        added_at=now,
    )
    row.full_clean(exclude=["account"])
    row.save()
    return row


@transaction.atomic
def retire_webhook(account: Account, *, webhook_id: int, now: datetime) -> None:
    """Tell an address no more.

    Raises
    ------
    NotFoundError
        If there is none.
    """
    rows = Webhook.objects.for_account(account).standing().filter(pk=webhook_id)
    if rows.update(retired_at=now) != 1:
        raise NotFoundError("There is no address of that number.")
    cancel_waiting(
        Message.objects.filter(webhook=webhook_id), "This address is told no more."
    )
