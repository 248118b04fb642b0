"""The register of backflow assemblies: what is known of each, and what befell it."""

from typing import Final

from django.db import models
from django.db.models import Q

from maintenance.models.accounts import Account
from maintenance.models.devices import Device
from maintenance.models.fields import KEY_LENGTH, RecordField, refuse_unstorable
from maintenance.models.history import kept_history
from maintenance.models.owned import OfDeviceQuerySet, OwnedQuerySet
from maintenance.models.season import StepRecord

HAZARDS: Final = ("low", "moderate", "high")
HAPPENED: Final = (
    "installed",
    "inspected",
    "overhauled",
    "repaired",
    "relocated",
    "removed",
    "reinstalled",
    "frozen",
    "incident",
    "last_used",
    "in_service",
)
"""What can befall an assembly, beside its tests, which have a table of their own."""


def _words(length: int = 500) -> "models.CharField[str, str]":
    return models.CharField(
        max_length=length, blank=True, default="", validators=[refuse_unstorable]
    )


class AssemblyFacts(models.Model):
    """What the site file does not tell of an assembly; None and empty are unknown.

    ``place`` is the key of the place whose rules count, ``own_rule`` one in plain
    words ("every 2 years"), such as a letter of the water supplier gives.
    """

    device = models.OneToOneField(Device, models.PROTECT, related_name="facts")
    hazard = _words(20)
    protects = _words()
    place = _words(KEY_LENGTH)
    own_rule = _words(KEY_LENGTH)
    region = _words(20)
    residential = models.BooleanField(null=True, blank=True)
    chemicals = models.BooleanField(null=True, blank=True)
    months_used = models.PositiveSmallIntegerField(null=True, blank=True)
    make = _words()
    model = _words()
    account_number = _words()
    position = _words()
    height_m = models.FloatField(null=True, blank=True)
    safe_from_flooding = models.BooleanField(null=True, blank=True)
    kept_from_freezing = models.BooleanField(null=True, blank=True)
    oriented_properly = models.BooleanField(null=True, blank=True)
    installed_properly = models.BooleanField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    objects = OfDeviceQuerySet["AssemblyFacts"].as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(hazard__in=("", *HAZARDS)), name="hazard_is_known"
            ),
            models.CheckConstraint(
                condition=Q(months_used=None) | Q(months_used__range=(0, 12)),
                name="months_used_are_a_year_at_most",
            ),
        )

    def __str__(self) -> str:
        """Return whose facts they are."""
        return f"facts of device {self.device_id}"


class AssemblyEvent(models.Model):
    """Something that befell an assembly on a day at its site.

    ``stored_at`` tells where a removed one is and who has it. A wrong report is taken
    back, not deleted. ``step_record`` is the report of a season list that told it.
    """

    device = models.ForeignKey(Device, models.PROTECT, related_name="events")
    kind = models.CharField(max_length=20)
    on = models.DateField()
    stored_at = _words()
    note = models.TextField(blank=True, default="", validators=[refuse_unstorable])
    reported_by = _words(200)
    reported_at = models.DateTimeField()
    undone_at = models.DateTimeField(null=True, blank=True)
    step_record = models.ForeignKey(
        StepRecord,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="assembly_events",
    )

    objects = OfDeviceQuerySet["AssemblyEvent"].as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(kind__in=HAPPENED), name="assembly_event_is_known"
            ),
            models.UniqueConstraint(
                fields=["device", "step_record"],
                condition=~Q(step_record=None),
                name="assembly_event_of_a_step_is_kept_once",
            ),
        )

    def __str__(self) -> str:
        """Return what happened and when."""
        return f"{self.kind} {self.on}"


class AssemblyPhoto(models.Model):
    """A photo of an assembly; what is kept was drawn anew, without its hidden data."""

    device = models.ForeignKey(Device, models.PROTECT, related_name="photos")
    file_name = models.CharField(max_length=100, unique=True)
    caption = _words()
    added_at = models.DateTimeField()
    added_by = _words(200)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = OfDeviceQuerySet["AssemblyPhoto"].as_manager()
    history = kept_history()

    def __str__(self) -> str:
        """Return the caption."""
        return self.caption or self.file_name


class Tester(models.Model):
    """A person who tests, with the certificate to be shown on reports."""

    __test__ = False  # not a case for pytest

    account = models.ForeignKey(Account, models.PROTECT, related_name="testers")
    name = models.CharField(max_length=200, validators=[refuse_unstorable])
    certificate = _words(100)
    issued = models.DateField(null=True, blank=True)
    ends = models.DateField(null=True, blank=True)
    licence = _words(100)
    telephone = _words(100)
    version = models.PositiveIntegerField(default=1)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = OwnedQuerySet["Tester"].as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["account", "name", "certificate"],
                name="tester_is_unique_in_account",
            ),
        )

    def __str__(self) -> str:
        """Return the name."""
        return self.name


class Gauge(models.Model):
    """A test gauge with its calibration."""

    account = models.ForeignKey(Account, models.PROTECT, related_name="gauges")
    serial = models.CharField(max_length=200, validators=[refuse_unstorable])
    make = _words()
    calibrated = models.DateField(null=True, blank=True)
    ends = models.DateField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = OwnedQuerySet["Gauge"].as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["account", "serial"], name="gauge_is_unique_in_account"
            ),
        )

    def __str__(self) -> str:
        """Return make and serial."""
        return " ".join(filter(None, (self.make, self.serial)))


class OwnRule(models.Model):
    """A rule on tests that an account has added, one row for each version.

    ``record`` is the rule as the table's columns have it. A version is never changed:
    the next one takes its place, so that what it decided stays told.
    """

    account = models.ForeignKey(Account, models.PROTECT, related_name="own_rules")
    key = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])
    version = models.PositiveIntegerField()
    record = RecordField()
    added_at = models.DateTimeField()
    added_by = _words(200)

    objects = OwnedQuerySet["OwnRule"].as_manager()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["account", "key", "version"], name="own_rule_version_is_unique"
            ),
        )

    def __str__(self) -> str:
        """Return the id and the version."""
        return f"{self.key}/{self.version}"
