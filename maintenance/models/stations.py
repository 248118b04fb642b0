"""Weather stations of an account, and which of them stands for a site."""

from django.db import models
from django.db.models import Q

from maintenance.engine.climate.series import MOST_OFFSET_K
from maintenance.models.accounts import Account
from maintenance.models.fields import KEY_LENGTH, RecordField, refuse_unstorable
from maintenance.models.history import kept_history
from maintenance.models.owned import OfSiteQuerySet, OwnedQuerySet
from maintenance.models.sites import Site


class WeatherStation(models.Model):
    """A record of daily temperatures, as it was read from a file.

    ``record`` holds the series in kelvin with what was rejected; it is large, so that
    lists leave it out, and the history does too: ``version`` counts the files.
    """

    account = models.ForeignKey(Account, models.PROTECT, related_name="stations")
    key = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])
    name = models.CharField(max_length=500, validators=[refuse_unstorable])
    latitude = models.FloatField(null=True, blank=True)
    longitude = models.FloatField(null=True, blank=True)
    elevation_m = models.FloatField(null=True, blank=True)
    file_name = models.CharField(
        max_length=500, blank=True, default="", validators=[refuse_unstorable]
    )
    first_day = models.DateField()
    last_day = models.DateField()
    record = RecordField()
    read_at = models.DateTimeField()
    version = models.PositiveIntegerField(default=1)
    demo = models.BooleanField(default=False)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = OwnedQuerySet["WeatherStation"].as_manager()
    history = kept_history(but=("record",))

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["account", "key"], name="station_key_is_unique_in_account"
            ),
            models.CheckConstraint(
                condition=Q(last_day__gte=models.F("first_day")),
                name="station_record_ends_after_it_begins",
            ),
            models.CheckConstraint(
                condition=Q(latitude=None) | Q(latitude__range=(-90, 90)),
                name="station_latitude_is_on_earth",
            ),
            models.CheckConstraint(
                condition=Q(longitude=None) | Q(longitude__range=(-180, 180)),
                name="station_longitude_is_on_earth",
            ),
        )

    def __str__(self) -> str:
        """Return the name."""
        return self.name


class SiteWeather(models.Model):
    """What a person has stated of the weather at a site.

    ``offset_k`` is what the site differs from its station and from the forecast, by
    the person's own word [K]. The crew's delay [d], the value of a day of watering,
    the cost of damage and the share that hurrying out saves: None takes the default.
    """

    site = models.OneToOneField(Site, models.PROTECT, related_name="weather")
    station = models.ForeignKey(
        WeatherStation, models.PROTECT, null=True, blank=True, related_name="sites"
    )
    offset_k = models.FloatField(default=0.0)
    crew_days = models.PositiveSmallIntegerField(null=True, blank=True)
    value_of_a_day = models.FloatField(null=True, blank=True)
    cost_of_damage = models.FloatField(null=True, blank=True)
    share_saved = models.FloatField(null=True, blank=True)

    objects = OfSiteQuerySet["SiteWeather"].as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(offset_k__range=(-MOST_OFFSET_K, MOST_OFFSET_K)),
                name="site_offset_is_no_other_climate",
            ),
            models.CheckConstraint(
                condition=Q(value_of_a_day=None, cost_of_damage=None, share_saved=None)
                # A comparison with an unknown value refuses nothing by itself.
                | Q(
                    value_of_a_day__isnull=False,
                    cost_of_damage__isnull=False,
                    share_saved__isnull=False,
                    value_of_a_day__gte=0,
                    cost_of_damage__gt=0,
                    share_saved__range=(0, 1),
                ),
                name="site_worth_is_stated_whole_or_not",
            ),
        )

    def __str__(self) -> str:
        """Return whose weather it is."""
        return f"weather of {self.site}"


class KeptDates(models.Model):
    """The dates of a site's parts, worked out once: following the ground takes seconds.

    They hold for these versions of the site and of the station, and for this offset;
    without a station the row goes. No history: they can be worked out again.
    """

    site = models.OneToOneField(Site, models.PROTECT, related_name="kept_dates")
    station = models.ForeignKey(WeatherStation, models.PROTECT, related_name="+")
    site_version = models.PositiveIntegerField()
    station_version = models.PositiveIntegerField()
    offset_k = models.FloatField()
    dates = RecordField()

    objects = OfSiteQuerySet["KeptDates"].as_manager()

    def __str__(self) -> str:
        """Return whose dates they are."""
        return f"dates of {self.site}"
