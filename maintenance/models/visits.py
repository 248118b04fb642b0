"""Service calls, the visits that come of them, and what was found there."""

from typing import Final, Self

from django.db import models
from django.db.models import F, Q

from maintenance.models.accounts import Account
from maintenance.models.compressors import Compressor
from maintenance.models.fields import RecordField, refuse_unstorable
from maintenance.models.history import kept_history
from maintenance.models.owned import OfSiteQuerySet, OwnedQuerySet
from maintenance.models.season import SeasonList
from maintenance.models.sites import Site

URGENCIES: Final = ("when_passing", "within_days", "today")
KINDS: Final = ("shutdown", "startup", "backflow_test", "head_audit", "repair", "other")
OPEN_STATES: Final = ("planned", "under_way")
STATES: Final = (*OPEN_STATES, "ended", "called_off")
OUTCOMES: Final = (
    "done",
    "partly",
    "not_found",
    "refused",
    "done_by_others",
    "no_access",
)
STANDINGS: Final = ("same", "changed", "sold", "stopped")


def _words(length: int = 500) -> "models.CharField[str, str]":
    return models.CharField(
        max_length=length, blank=True, default="", validators=[refuse_unstorable]
    )


def _text() -> "models.TextField[str, str]":
    return models.TextField(blank=True, default="", validators=[refuse_unstorable])


class ServiceCall(models.Model):
    """Somebody asked for something at a site; open until it is closed with a word."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="calls")
    caller = _words(200)
    reach_at = _words(200)
    what = models.TextField(validators=[refuse_unstorable])
    urgency = models.CharField(max_length=20, default="within_days")
    promised_by = models.DateField(null=True, blank=True)
    received_at = models.DateTimeField()
    received_by = models.CharField(max_length=200, validators=[refuse_unstorable])
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = _words(200)
    closed_as = _text()
    version = models.PositiveIntegerField(default=1)

    objects = OfSiteQuerySet["ServiceCall"].as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(urgency__in=URGENCIES), name="call_urgency_is_known"
            ),
            models.CheckConstraint(
                condition=Q(closed_at=None) | Q(closed_at__gte=F("received_at")),
                name="call_ends_after_it_begins",
            ),
        )
        indexes = (
            models.Index(
                fields=["site", "received_at"],
                condition=Q(closed_at=None),
                name="call_open_at_site",
            ),
        )

    def __str__(self) -> str:
        """Return what was asked for."""
        return self.what[:60]


class VisitQuerySet(models.QuerySet["Visit"]):
    """Visits."""

    def for_account(self, account: Account) -> Self:
        """Keep what is the account's, at sites that its reader sees."""
        rows = self.filter(account=account)
        if account.site_keys is None:
            return rows
        return rows.filter(site__key__in=account.site_keys)

    def open(self) -> Self:
        """Keep what has not ended and was not called off."""
        return self.filter(state__in=OPEN_STATES)


class Visit(models.Model):
    """Someone goes to a site: planned, then under way, then ended with an outcome.

    ``account`` is that of the site, beside the visit so that an index leads to any page
    of a long list. ``worker`` is a person or a crew by name. A visit of a season carries its year and,
    once there is one, the season's list: while zones of it are open it has not ended.
    """

    account = models.ForeignKey(Account, models.PROTECT, related_name="visits")
    site = models.ForeignKey(Site, models.PROTECT, related_name="visits")
    call = models.ForeignKey(
        ServiceCall, models.PROTECT, null=True, blank=True, related_name="visits"
    )
    kind = models.CharField(max_length=20)
    season_year = models.PositiveIntegerField(null=True, blank=True)
    season_list = models.ForeignKey(
        SeasonList, models.PROTECT, null=True, blank=True, related_name="visits"
    )
    planned_on = models.DateField(null=True, blank=True)
    window = _words(100)
    worker = _words(200)
    compressor = models.ForeignKey(
        Compressor, models.PROTECT, null=True, blank=True, related_name="visits"
    )
    state = models.CharField(max_length=20, default="planned")
    arrived_at = models.DateTimeField(null=True, blank=True)
    left_at = models.DateTimeField(null=True, blank=True)
    outcome = models.CharField(max_length=20, blank=True, default="")
    outcome_note = _text()
    notes = _text()
    parts_used = _text()
    readings = RecordField(default=dict, blank=True)
    version = models.PositiveIntegerField(default=1)

    objects = VisitQuerySet.as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(kind__in=KINDS), name="visit_kind_is_known"
            ),
            models.CheckConstraint(
                condition=Q(state__in=STATES), name="visit_state_is_known"
            ),
            models.CheckConstraint(
                condition=Q(outcome__in=("", *OUTCOMES)), name="visit_outcome_is_known"
            ),
            models.CheckConstraint(
                condition=~Q(state="ended") | ~Q(outcome=""),
                name="visit_that_ended_has_an_outcome",
            ),
            models.CheckConstraint(
                condition=~Q(kind__in=("shutdown", "startup"))
                | Q(season_year__range=(1900, 2200)),
                name="visit_of_a_season_has_its_year",
            ),
            models.CheckConstraint(
                condition=Q(left_at=None) | Q(left_at__gte=F("arrived_at")),
                name="visit_leaves_after_it_arrives",
            ),
        )
        indexes = (
            models.Index(fields=["account", "planned_on", "id"], name="visit_by_day"),
            models.Index(
                fields=["account", "state", "planned_on", "id"], name="visit_by_state"
            ),
            models.Index(
                fields=["account", "worker", "planned_on", "id"],
                name="visit_by_worker",
            ),
            models.Index(
                fields=["kind", "season_year", "site"], name="visit_by_season"
            ),
        )

    def __str__(self) -> str:
        """Return the kind and the day."""
        return f"{self.kind} {self.planned_on or ''}".strip()


class VisitPhoto(models.Model):
    """A photo taken on a visit; what is kept was drawn anew, without hidden data."""

    visit = models.ForeignKey(Visit, models.PROTECT, related_name="photos")
    file_name = models.CharField(max_length=100, unique=True)
    caption = _words()
    added_at = models.DateTimeField()
    added_by = _words(200)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = models.Manager()
    history = kept_history()

    def __str__(self) -> str:
        """Return the caption."""
        return self.caption or self.file_name


class Finding(models.Model):
    """Something found that is still to be done; it stays open until it is closed."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="findings")
    visit = models.ForeignKey(
        Visit, models.PROTECT, null=True, blank=True, related_name="findings"
    )
    about = _words(200)
    what = models.TextField(validators=[refuse_unstorable])
    due_on = models.DateField(null=True, blank=True)
    found_at = models.DateTimeField()
    found_by = models.CharField(max_length=200, validators=[refuse_unstorable])
    follow_up = models.ForeignKey(
        Visit, models.PROTECT, null=True, blank=True, related_name="follows_up"
    )
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = _words(200)
    closed_as = _text()
    version = models.PositiveIntegerField(default=1)

    objects = OfSiteQuerySet["Finding"].as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(closed_at=None) | ~Q(closed_as=""),
                name="finding_is_closed_with_a_word",
            ),
        )

    def __str__(self) -> str:
        """Return what was found."""
        return self.what[:60]


class SiteSeason(models.Model):
    """Whether a site belongs to a season: the same, changed, sold, or stopped.

    Written at the roll-over; a site that is sold or stopped needs no visit.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="seasons")
    season = models.CharField(max_length=20)
    year = models.PositiveIntegerField()
    standing = models.CharField(max_length=20)
    note = _text()
    decided_at = models.DateTimeField()
    decided_by = _words(200)
    version = models.PositiveIntegerField(default=1)

    objects = OfSiteQuerySet["SiteSeason"].as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["site", "season", "year"], name="site_stands_once_in_a_season"
            ),
            models.CheckConstraint(
                condition=Q(season__in=("shutdown", "startup")),
                name="site_season_is_known",
            ),
            models.CheckConstraint(
                condition=Q(standing__in=STANDINGS), name="site_standing_is_known"
            ),
        )

    def __str__(self) -> str:
        """Return the season and how the site stands in it."""
        return f"{self.season} {self.year}: {self.standing}"


class SavedFilter(models.Model):
    """A choice of visits that a person comes back to, as the page's own question."""

    account = models.ForeignKey(Account, models.PROTECT, related_name="filters")
    name = models.CharField(max_length=100, validators=[refuse_unstorable])
    question = models.TextField(validators=[refuse_unstorable])

    objects = OwnedQuerySet["SavedFilter"].as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["account", "name"], name="filter_name_is_unique_in_account"
            ),
        )

    def __str__(self) -> str:
        """Return the name."""
        return self.name
