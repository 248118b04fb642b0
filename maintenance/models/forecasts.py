"""Forecasts for a site, and what was observed later."""

from typing import Final

from django.db import models
from django.db.models import Q

from maintenance.models.fields import RecordField, refuse_unstorable
from maintenance.models.owned import OfSiteQuerySet
from maintenance.models.sites import Site

CAME_FROM: Final = ("file", "service")
SEEN_AT: Final = ("station", "site")


class ForecastSource(models.Model):
    """Where the weather service keeps a site's forecast, and how asking it went.

    The addresses hold for the position beside them, and are empty until the service
    has told them. ``trouble`` is why the last try failed, empty where it did not;
    nothing is asked before ``next_try_at``.
    """

    site = models.OneToOneField(Site, models.PROTECT, related_name="forecast_source")
    latitude = models.FloatField()
    longitude = models.FloatField()
    hourly_address = models.TextField(blank=True, default="")
    grid_address = models.TextField(blank=True, default="")
    last_modified = models.TextField(blank=True, default="")
    tried_at = models.DateTimeField()
    next_try_at = models.DateTimeField()
    failures = models.PositiveIntegerField(default=0)
    trouble = models.TextField(blank=True, default="", validators=[refuse_unstorable])

    objects = OfSiteQuerySet["ForecastSource"].as_manager()

    def __str__(self) -> str:
        """Return whose forecast it is."""
        return f"forecast source of {self.site}"


class KeptForecast(models.Model):
    """The last good forecast of a site, hour by hour from ``begin`` on.

    ``hours`` holds air [K], wind [m/s] and cloud cover [-], null where it says nothing.
    ``received_at`` tells two forecasts apart; a failed try leaves the row as it is.
    """

    site = models.OneToOneField(Site, models.PROTECT, related_name="kept_forecast")
    came_from = models.CharField(max_length=20)
    source = models.TextField(validators=[refuse_unstorable])
    issued_at = models.DateTimeField(null=True, blank=True)
    received_at = models.DateTimeField()
    begin = models.DateTimeField()
    hours = RecordField()

    objects = OfSiteQuerySet["KeptForecast"].as_manager()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(came_from__in=CAME_FROM), name="forecast_origin_is_known"
            ),
        )

    def __str__(self) -> str:
        """Return whose forecast it is."""
        return f"forecast for {self.site}"


class ForecastNight(models.Model):
    """What the lowest air of a day was forecast to be, ``lead`` days ahead [K].

    Of several forecasts on one day the last one counts.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="forecast_nights")
    day = models.DateField()
    lead = models.PositiveSmallIntegerField()
    minimum_k = models.FloatField()

    objects = OfSiteQuerySet["ForecastNight"].as_manager()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["site", "day", "lead"], name="night_is_forecast_once_a_lead"
            ),
            models.CheckConstraint(
                condition=Q(lead__range=(1, 7)), name="forecast_lead_is_a_week_at_most"
            ),
        )

    def __str__(self) -> str:
        """Return the day and the lead."""
        return f"{self.day}, {self.lead} days ahead"


class ObservedNight(models.Model):
    """The lowest air of a day as it was observed [K], at the site or its station.

    A thermometer at the site counts before the station.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="observed_nights")
    day = models.DateField()
    minimum_k = models.FloatField()
    seen_at = models.CharField(max_length=20)
    reported_by = models.CharField(
        max_length=200, blank=True, default="", validators=[refuse_unstorable]
    )

    objects = OfSiteQuerySet["ObservedNight"].as_manager()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["site", "day", "seen_at"], name="night_is_observed_once_a_place"
            ),
            models.CheckConstraint(
                condition=Q(seen_at__in=SEEN_AT), name="night_is_seen_where_we_know"
            ),
        )

    def __str__(self) -> str:
        """Return the day."""
        return f"{self.day}"
