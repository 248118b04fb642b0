"""Whose sites these are."""

from datetime import datetime
from typing import Final

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import transaction

from maintenance.models import Account
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, change_rows

LOCAL: Final = "local"


def local_account() -> Account:
    """Return the one account of this machine, made when it is first asked for."""
    account, _ = Account.objects.get_or_create(
        key=LOCAL, defaults={"name": "This machine"}
    )
    return account


def accounts() -> list[Account]:
    """Return every account, in one query: for what runs for all of them."""
    return list(Account.objects.order_by("pk"))


def account_named(key: str) -> Account:
    """Return an account by its name; only the local one is made on demand."""
    if key == LOCAL:
        return local_account()
    account = Account.objects.filter(key=key).first()
    if account is None:
        raise NotFoundError(
            f'There is no account "{key}": leave it out for the one of this machine.'
        )
    return account


@transaction.atomic
def state_weather_contact(
    account: Account, *, address: str, now: datetime, actor: str
) -> None:
    """State the address that the weather service is told; empty to ask it no more.

    Raises
    ------
    ServiceError
        If that is no e-mail address.
    """
    address = address.strip()
    if address:
        try:
            validate_email(address)
        except ValidationError as fault:
            raise ServiceError(
                f'"{address}" is no e-mail address: the weather service wants one that '
                "it can write to, such as office@example.org."
            ) from fault
    if account.weather_contact != address:
        account.weather_contact = address
        change_rows(Account, [account], ["weather_contact"], Act(actor, now))
