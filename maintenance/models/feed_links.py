"""Secret links to calendars of what is due."""

from typing import Self

from django.db import models

from maintenance.models.accounts import Account
from maintenance.models.fields import refuse_unstorable
from maintenance.models.owned import OwnedQuerySet
from maintenance.models.reminders import Recipient
from maintenance.models.sites import Site


class FeedLinkQuerySet(OwnedQuerySet["FeedLink"]):
    """Calendar links, of which one who sees some sites only meets those of these."""

    def for_account(self, account: Account) -> Self:
        """Keep the account's, of sites that its reader sees."""
        rows = super().for_account(account)
        if account.site_keys is None:
            return rows
        return rows.filter(site__key__in=account.site_keys)


class FeedLink(models.Model):
    """A secret link to a calendar: only its hash is kept, and it can be taken back."""

    account = models.ForeignKey(Account, models.PROTECT, related_name="feed_links")
    site = models.ForeignKey(
        Site, models.PROTECT, null=True, blank=True, related_name="feed_links"
    )
    recipient = models.ForeignKey(
        Recipient, models.PROTECT, null=True, blank=True, related_name="feed_links"
    )
    name = models.CharField(max_length=200, validators=[refuse_unstorable])
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    made_by = models.CharField(
        max_length=200, blank=True, default="", validators=[refuse_unstorable]
    )
    last_used_on = models.DateField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects = FeedLinkQuerySet.as_manager()

    def __str__(self) -> str:
        """Return the name."""
        return self.name
