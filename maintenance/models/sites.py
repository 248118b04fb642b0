"""Sites: the whole of a buried system at one place."""

from typing import Self

from django.db import models
from django.db.models import Q

from maintenance.models.accounts import Account, at_sites
from maintenance.models.fields import KEY_LENGTH, RecordField, refuse_unstorable
from maintenance.models.history import kept_history
from maintenance.models.owned import OwnedQuerySet


class SiteQuerySet(OwnedQuerySet["Site"]):
    """Sites."""

    def for_account(self, account: Account) -> Self:
        """Keep the account's sites that its reader sees."""
        return self.filter(at_sites(account))


class Site(models.Model):
    """A site; its parts stand in tables of their own.

    ``record`` is the site's file without its parts: an empty list stands where the
    points, links, zones and controllers were. ``version`` counts the changes of the
    site and of its parts together.
    """

    account = models.ForeignKey(Account, models.PROTECT, related_name="sites")
    key = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])
    name = models.CharField(max_length=500, validators=[refuse_unstorable])
    elevation_m = models.FloatField()
    latitude = models.FloatField(null=True, blank=True)
    longitude = models.FloatField(null=True, blank=True)
    time_zone = models.CharField(max_length=100, validators=[refuse_unstorable])
    record = RecordField()
    si = models.JSONField(default=dict, blank=True)
    version = models.PositiveIntegerField(default=1)
    demo = models.BooleanField(default=False)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = SiteQuerySet.as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["account", "key"], name="site_key_is_unique_in_account"
            ),
            models.CheckConstraint(
                condition=Q(version__gte=1), name="site_version_starts_at_one"
            ),
            models.CheckConstraint(
                condition=Q(latitude=None) | Q(latitude__range=(-90, 90)),
                name="site_latitude_is_on_earth",
            ),
            models.CheckConstraint(
                condition=Q(longitude=None) | Q(longitude__range=(-180, 180)),
                name="site_longitude_is_on_earth",
            ),
        )

    def __str__(self) -> str:
        """Return the name."""
        return self.name
