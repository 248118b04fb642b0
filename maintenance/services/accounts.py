"""Whose sites these are."""

from typing import Final

from maintenance.models import Account
from maintenance.services.errors import NotFoundError

LOCAL: Final = "local"


def local_account() -> Account:
    """Return the one account of this machine, made when it is first asked for."""
    account, _ = Account.objects.get_or_create(
        key=LOCAL, defaults={"name": "This machine"}
    )
    return account


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
