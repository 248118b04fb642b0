"""One who was reminded is forgotten: name and address go, what was sent stays counted."""

from collections.abc import Collection
from datetime import datetime
from typing import Any, Final

from django.db import transaction

from maintenance.models import Account, DeliveryTry, FeedLink, Message, Recipient
from maintenance.services.reminders.people import retire_person

_GONE: Final = "What was answered is gone with the person."


@transaction.atomic
def forget_reminded(
    account: Account,
    *,
    name: str,
    addresses: Collection[str],
    erased: str,
    now: datetime,
    actor: str,
) -> None:
    """Take a person off all reminders, and their name and address out of these rows.

    Parameters
    ----------
    account : Account
        Whose reminders they are.
    name : str
        The person's name in the account.
    addresses : collection of str
        The person's addresses, in small letters.
    erased : str
        What stands in place of the name from now on.
    now : datetime
        When this happens.
    actor : str
        Who does it.
    """
    found = [
        row
        for row in Recipient.objects.for_account(account)
        if row.name == name or row.email.lower() in addresses
    ]
    for row in found:
        if row.retired_at is None:
            retire_person(
                account, person_id=row.pk, version=row.version, now=now, actor=actor
            )
    ids = [row.pk for row in found]
    history: Any = Recipient.history
    for rows in (Recipient.objects.all(), history):
        rows.filter(id__in=ids).update(name=erased, email="")
    links = FeedLink.objects.filter(recipient__in=ids)
    links.filter(revoked_at=None).update(revoked_at=now)
    links.update(name=erased)
    # A mail server repeats the address in what it answers.
    tries = DeliveryTry.objects.filter(message__recipient__in=ids).exclude(error="")
    tries.update(error=_GONE)
    told = Message.objects.filter(recipient__in=ids, state__in=("failed", "uncertain"))
    told.update(why=_GONE)
