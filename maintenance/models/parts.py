"""What all parts of a site have in common."""

from typing import ClassVar, Self, TypeVar

from django.db import models

from maintenance.models.accounts import Account, at_sites
from maintenance.models.fields import KEY_LENGTH, RecordField, refuse_unstorable
from maintenance.models.sites import Site

_Row = TypeVar("_Row", bound=models.Model)


class PartQuerySet(models.QuerySet[_Row]):
    """Parts of sites."""

    def for_account(self, account: Account) -> Self:
        """Keep the parts of the account's sites."""
        return self.filter(at_sites(account, "site__"))

    def standing(self) -> Self:
        """Keep what is not retired, in the order of the file."""
        return self.filter(retired_at=None).order_by("rank")


class Part(models.Model):
    """A part: its id in the file, its record as entered and the SI values beside it.

    ``rank`` is its place in the file. It has no history: putting a part in front
    changes nothing about those behind it. ``si`` holds the value of each quantity
    under its key.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="%(class)ss")
    key = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])
    rank = models.PositiveIntegerField()
    record = RecordField()
    si = models.JSONField(default=dict, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        abstract = True
        constraints: ClassVar[tuple[models.BaseConstraint, ...]] = (
            models.UniqueConstraint(
                fields=["site", "key"], name="%(class)s_key_is_unique_in_site"
            ),
        )

    def __str__(self) -> str:
        """Return the id."""
        return self.key
