"""Devices: the backflow assembly that stands, or stood, at a link."""

from typing import Self

from django.db import models
from django.db.models import F, Q

from maintenance.models.accounts import Account, at_sites
from maintenance.models.fields import refuse_unstorable
from maintenance.models.history import kept_history
from maintenance.models.links import Link
from maintenance.models.sites import Site


class DeviceQuerySet(models.QuerySet["Device"]):
    """Backflow assemblies."""

    def for_account(self, account: Account) -> Self:
        """Keep the devices at the account's sites."""
        return self.filter(at_sites(account, "site__"))

    def standing(self) -> Self:
        """Keep those that stand at their link now."""
        return self.filter(until=None)


class Device(models.Model):
    """An assembly with its serial; the link stays when the device is replaced.

    ``since`` and ``until`` are when it was recorded as set and as removed;
    ``installed`` is the day that the file tells, where it is a date.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="devices")
    link = models.ForeignKey(Link, models.PROTECT, related_name="devices")
    kind = models.CharField(max_length=40)
    size = models.TextField(blank=True, default="")
    serial = models.CharField(
        max_length=500, blank=True, default="", validators=[refuse_unstorable]
    )
    installed = models.DateField(null=True, blank=True)
    since = models.DateTimeField()
    until = models.DateTimeField(null=True, blank=True)

    objects = DeviceQuerySet.as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["link"],
                condition=Q(until=None),
                name="device_is_alone_at_its_link",
            ),
            models.UniqueConstraint(
                fields=["link", "serial"],
                condition=~Q(serial=""),
                name="device_serial_is_unique_at_link",
            ),
            models.CheckConstraint(
                condition=Q(until=None) | Q(until__gte=F("since")),
                name="device_ends_after_it_begins",
            ),
        )

    def __str__(self) -> str:
        """Return kind and serial."""
        return f"{self.kind} {self.serial}".strip()
