"""What an account owns itself, and what belongs to its sites."""

from typing import Self, TypeVar

from django.db import models

from maintenance.models.accounts import Account

_Row = TypeVar("_Row", bound=models.Model)


class OwnedQuerySet(models.QuerySet[_Row]):
    """Rows that an account owns directly."""

    def for_account(self, account: Account) -> Self:
        """Keep what is the account's."""
        return self.filter(account=account)

    def standing(self) -> Self:
        """Keep what is not retired."""
        return self.filter(retired_at=None)


class OfSiteQuerySet(models.QuerySet[_Row]):
    """Rows that belong to a site."""

    def for_account(self, account: Account) -> Self:
        """Keep what belongs to the account's sites."""
        return self.filter(site__account=account)


class OfDeviceQuerySet(models.QuerySet[_Row]):
    """Rows that belong to a backflow assembly."""

    def for_account(self, account: Account) -> Self:
        """Keep what belongs to assemblies at the account's sites."""
        return self.filter(device__site__account=account)
