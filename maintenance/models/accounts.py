"""Accounts: whoever keeps sites here."""

from typing import Final

from django.db import models
from django.db.models import Q

from maintenance.models.fields import KEY_LENGTH, refuse_unstorable
from maintenance.models.history import kept_history

KINDS: Final = ("owner", "contractor")


class Account(models.Model):
    """One who keeps sites and compressors; every query starts from one.

    ``site_keys`` is no column: whoever reads an account for a person who sees some
    of its sites only puts their ids there, and every query keeps to them.
    ``weather_contact`` is the address that the weather service is told, which it asks
    of everyone; while it is empty the service is not asked.
    """

    key = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])
    name = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])
    kind = models.CharField(max_length=20, default="owner")
    weather_contact = models.EmailField(blank=True, default="")

    objects = models.Manager()
    history = kept_history()

    site_keys: frozenset[str] | None = None

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["key"], name="account_key_is_unique"),
            models.CheckConstraint(
                condition=Q(kind__in=KINDS), name="account_kind_is_known"
            ),
        )

    def __str__(self) -> str:
        """Return the name."""
        return self.name


def at_sites(account: Account, path: str = "") -> Q:
    """Return what holds of rows at the account's sites that its reader sees.

    ``path`` leads from the rows to their site, such as ``list__site__``.
    """
    theirs = Q(**{f"{path}account": account})
    if account.site_keys is not None:
        theirs &= Q(**{f"{path}key__in": account.site_keys})
    return theirs
