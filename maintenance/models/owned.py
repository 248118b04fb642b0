"""What an account owns itself, and what belongs to its sites."""

from typing import Self, TypeVar

from django.db import models

from maintenance.models.accounts import Account, at_sites

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
        return self.filter(at_sites(account, "site__"))


class OwnedAtDeviceQuerySet(OwnedQuerySet[_Row]):
    """Rows of an account that name the backflow assembly that they are about."""

    def for_account(self, account: Account) -> Self:
        """Keep the account's, at sites that its reader sees."""
        rows = super().for_account(account)
        if account.site_keys is None:
            return rows
        return rows.filter(device__site__key__in=account.site_keys)


class OfRecordQuerySet(models.QuerySet[_Row]):
    """Rows that belong to a signed test."""

    def for_account(self, account: Account) -> Self:
        """Keep what belongs to the account's tests."""
        rows = self.filter(record__account=account)
        if account.site_keys is None:
            return rows
        return rows.filter(record__device__site__key__in=account.site_keys)


class OfDeviceQuerySet(models.QuerySet[_Row]):
    """Rows that belong to a backflow assembly."""

    def for_account(self, account: Account) -> Self:
        """Keep what belongs to assemblies at the account's sites."""
        return self.filter(at_sites(account, "device__site__"))
