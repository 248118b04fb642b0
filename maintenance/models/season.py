"""Season lists: the steps of one season at one site, and what was done of them."""

from typing import Final, Self, TypeVar

from django.db import models
from django.db.models import F, Q

from maintenance.models.accounts import Account, at_sites
from maintenance.models.fields import KEY_LENGTH, RecordField, refuse_unstorable
from maintenance.models.history import kept_history
from maintenance.models.sites import Site

NAME_LENGTH: Final = 200
"""Of a person; the history's actor has the same length."""
LONGEST_ID: Final = 100
"""Of a report; a random id has fewer than half as many characters."""
SEASONS: Final = ("shutdown", "startup", "frost_night", "frost_undo")
OUTCOMES: Final = ("done", "skipped")
ZONE_ENDS: Final = ("done", "partly", "not_found", "skipped")

_Row = TypeVar("_Row", bound=models.Model)


class SeasonListQuerySet(models.QuerySet["SeasonList"]):
    """Season lists."""

    def for_account(self, account: Account) -> Self:
        """Keep the lists of the account's sites."""
        return self.filter(at_sites(account, "site__"))

    def open(self) -> Self:
        """Keep what is not closed."""
        return self.filter(closed_at=None)


class OfListQuerySet(models.QuerySet[_Row]):
    """What belongs to season lists: steps and zones."""

    def for_account(self, account: Account) -> Self:
        """Keep what belongs to lists of the account's sites."""
        return self.filter(at_sites(account, "list__site__"))

    def standing(self) -> Self:
        """Keep what no rebuild has left out, in order."""
        return self.filter(retired_at=None).order_by("rank")


class StepRecordQuerySet(models.QuerySet["StepRecord"]):
    """What was recorded at steps."""

    def for_account(self, account: Account) -> Self:
        """Keep what was recorded at the account's sites."""
        return self.filter(at_sites(account, "step__list__site__"))

    def standing(self) -> Self:
        """Keep what was not undone."""
        return self.filter(undone_at=None)


class SeasonList(models.Model):
    """The list of one season, open until it is closed.

    ``site_version`` is the version of the site that it was compiled from; ``basis``
    holds the positions that the list starts from and what stays open. ``left`` is
    written when the list is closed: the positions in which the system was left.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="season_lists")
    season = models.CharField(max_length=20)
    year = models.PositiveIntegerField()
    site_version = models.PositiveIntegerField()
    compressor = models.CharField(max_length=KEY_LENGTH, blank=True, default="")
    basis = RecordField(default=dict, blank=True)
    left = RecordField(default=dict, blank=True)
    notes = models.TextField(blank=True, default="", validators=[refuse_unstorable])
    opened_at = models.DateTimeField()
    opened_by = models.CharField(max_length=NAME_LENGTH, validators=[refuse_unstorable])
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.CharField(
        max_length=NAME_LENGTH, blank=True, default="", validators=[refuse_unstorable]
    )

    objects = SeasonListQuerySet.as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["site", "season", "year"],
                condition=Q(closed_at=None),
                name="season_list_is_open_once",
            ),
            models.CheckConstraint(
                condition=Q(season__in=SEASONS), name="season_list_season_is_known"
            ),
            models.CheckConstraint(
                condition=Q(year__range=(1900, 2200)),
                name="season_list_year_is_of_our_time",
            ),
            models.CheckConstraint(
                condition=Q(closed_at=None) | Q(closed_at__gte=F("opened_at")),
                name="season_list_ends_after_it_begins",
            ),
        )

    def __str__(self) -> str:
        """Return season and year."""
        return f"{self.season} {self.year}"


class ListFigures(models.Model):
    """The figures that a list used: a copy of the blow-out sheet as it then was.

    A rebuild adds a row and the newest one counts; an empty sheet says that none was
    used. Rows never change, and so have no history.
    """

    list = models.ForeignKey(SeasonList, models.PROTECT, related_name="figures")
    site_version = models.PositiveIntegerField()
    sheet = RecordField(default=dict, blank=True)
    kept_at = models.DateTimeField()

    objects = OfListQuerySet["ListFigures"].as_manager()

    def __str__(self) -> str:
        """Return the list and the version of its site."""
        return f"list {self.list_id}, site version {self.site_version}"


class ListStep(models.Model):
    """A step of a list, kept as it was worded.

    ``key`` is unique among those that stand; a step that was done and then became
    another deed stays behind, retired, under the same key. ``own`` was added by a
    person, ``placed`` was moved by one. ``rank`` has no history: moving one step
    changes nothing about the others.
    """

    list = models.ForeignKey(SeasonList, models.PROTECT, related_name="steps")
    key = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])
    rank = models.PositiveIntegerField()
    record = RecordField()
    own = models.BooleanField(default=False)
    placed = models.BooleanField(default=False)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = OfListQuerySet["ListStep"].as_manager()
    history = kept_history(but=("rank",))

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["list", "key"],
                condition=Q(retired_at=None),
                name="list_step_key_is_unique_where_it_stands",
            ),
        )

    def __str__(self) -> str:
        """Return the key."""
        return self.key


class StepRecord(models.Model):
    """What a person reported of a step; undone, never deleted.

    ``client_id`` is made where it is reported, so that a report sent twice is kept
    once. ``done_at`` is that place's clock, ``received_at`` ours. ``reading_si`` is
    in the SI unit of ``reading_kind``; both are empty where the reading is no
    quantity.
    """

    step = models.ForeignKey(ListStep, models.PROTECT, related_name="records")
    client_id = models.CharField(max_length=LONGEST_ID, validators=[refuse_unstorable])
    outcome = models.CharField(max_length=20)
    reason = models.TextField(blank=True, default="", validators=[refuse_unstorable])
    who = models.CharField(max_length=NAME_LENGTH, validators=[refuse_unstorable])
    done_at = models.DateTimeField()
    received_at = models.DateTimeField()
    reading = models.TextField(blank=True, default="", validators=[refuse_unstorable])
    reading_si = models.FloatField(null=True, blank=True)
    reading_kind = models.CharField(max_length=40, blank=True, default="")
    seconds = models.FloatField(null=True, blank=True)
    note = models.TextField(blank=True, default="", validators=[refuse_unstorable])
    undone_at = models.DateTimeField(null=True, blank=True)
    undone_by = models.CharField(
        max_length=NAME_LENGTH, blank=True, default="", validators=[refuse_unstorable]
    )

    objects = StepRecordQuerySet.as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["step", "client_id"], name="step_record_is_kept_once"
            ),
            models.UniqueConstraint(
                fields=["step"],
                condition=Q(undone_at=None),
                name="step_record_stands_alone",
            ),
            models.CheckConstraint(
                condition=Q(outcome__in=OUTCOMES), name="step_record_outcome_is_known"
            ),
            models.CheckConstraint(
                condition=~Q(outcome="skipped") | ~Q(reason=""),
                name="step_record_says_why_it_was_skipped",
            ),
            models.CheckConstraint(
                condition=Q(seconds=None) | Q(seconds__gte=0),
                name="step_record_took_no_less_than_no_time",
            ),
            models.CheckConstraint(
                condition=Q(reading_si=None) | ~Q(reading_kind=""),
                name="step_record_reading_has_its_kind",
            ),
        )

    def __str__(self) -> str:
        """Return the outcome."""
        return self.outcome


class ZoneOutcome(models.Model):
    """A zone of a list, with how it ended; ``outcome`` is empty until that is told."""

    list = models.ForeignKey(SeasonList, models.PROTECT, related_name="zones")
    zone = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])
    name = models.TextField(blank=True, default="")
    rank = models.PositiveIntegerField()
    outcome = models.CharField(max_length=20, blank=True, default="")
    note = models.TextField(blank=True, default="", validators=[refuse_unstorable])
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = OfListQuerySet["ZoneOutcome"].as_manager()
    history = kept_history(but=("rank",))

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["list", "zone"], name="zone_outcome_is_one_for_each_zone"
            ),
            models.CheckConstraint(
                condition=Q(outcome__in=("", *ZONE_ENDS)),
                name="zone_outcome_is_known",
            ),
            models.CheckConstraint(
                condition=~Q(outcome__in=("partly", "skipped")) | ~Q(note=""),
                name="zone_outcome_says_what_is_left",
            ),
        )

    def __str__(self) -> str:
        """Return the zone's id."""
        return self.zone
