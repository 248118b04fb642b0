"""Freeze outlooks as last worked out: what lists of many sites are sorted by."""

from django.db import models
from django.db.models import Q

from maintenance.models.owned import OfSiteQuerySet
from maintenance.models.sites import Site


class SiteOutlook(models.Model):
    """The outlook of a site in one row; its page works it out anew.

    ``planning_date`` is the day before which the first part comes to harm in one year
    of ten; ``chance`` the worst chance of a damaging night that a crew called now
    could still protect [-]; ``first_ice_at`` when ice first forms within a day.
    """

    site = models.OneToOneField(Site, models.PROTECT, related_name="outlook")
    worked_out_at = models.DateTimeField()
    site_version = models.PositiveIntegerField()
    level = models.PositiveSmallIntegerField()
    act = models.CharField(max_length=20)
    reason = models.TextField()
    shutdown_by = models.DateField(null=True, blank=True)
    planning_date = models.DateField(null=True, blank=True)
    chance = models.FloatField(null=True, blank=True)
    first_ice_at = models.DateTimeField(null=True, blank=True)
    parts = models.PositiveIntegerField()
    forecast_received_at = models.DateTimeField(null=True, blank=True)

    objects = OfSiteQuerySet["SiteOutlook"].as_manager()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(level__range=(0, 4)), name="outlook_level_is_0_to_4"
            ),
        )

    def __str__(self) -> str:
        """Return whose outlook it is."""
        return f"outlook of {self.site}"


class PartAlert(models.Model):
    """The alert of a part by the last forecast, and the one before that.

    A level falls only after two forecasts in a row, so that working out the same
    forecast again must start from ``level_before`` and ``found_before``.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="part_alerts")
    part = models.CharField(max_length=200)
    level = models.PositiveSmallIntegerField()
    found = models.PositiveSmallIntegerField()
    level_before = models.PositiveSmallIntegerField(null=True, blank=True)
    found_before = models.PositiveSmallIntegerField(null=True, blank=True)
    forecast_received_at = models.DateTimeField(null=True, blank=True)

    objects = OfSiteQuerySet["PartAlert"].as_manager()

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["site", "part"], name="part_has_one_alert"),
            models.CheckConstraint(
                condition=Q(level__range=(0, 4), found__range=(0, 4)),
                name="alert_level_is_0_to_4",
            ),
        )

    def __str__(self) -> str:
        """Return the part and its level."""
        return f"{self.part}: {self.level}"
