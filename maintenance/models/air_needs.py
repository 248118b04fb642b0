"""What air the blow-out of a site needs: what lists of many sites are sorted by."""

from typing import Final

from django.db import models
from django.db.models import Q

from maintenance.models.owned import OfSiteQuerySet
from maintenance.models.sites import Site

AIR_NEEDS: Final = ("none", "small", "towed", "unknown")


class SiteAirNeed(models.Model):
    """The air need of a site, worked out once for a version of it.

    ``least_free_air_m3_per_s`` is the most that any of its rows needs on the sheet of
    the largest compressor kept; None where nothing is blown out, or nothing is known.
    It is worked out, and so has no history.
    """

    site = models.OneToOneField(Site, models.PROTECT, related_name="air_need")
    site_version = models.PositiveIntegerField()
    need = models.CharField(max_length=20)
    least_free_air_m3_per_s = models.FloatField(null=True, blank=True)
    why = models.TextField(blank=True, default="")
    worked_out_at = models.DateTimeField()

    objects = OfSiteQuerySet["SiteAirNeed"].as_manager()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(need__in=AIR_NEEDS), name="air_need_is_known"
            ),
        )

    def __str__(self) -> str:
        """Return the need."""
        return self.need
