"""Field tests of backflow assemblies: drafts, and signed records that never change."""

from django.db import models
from django.db.models import Q

from maintenance.models.accounts import Account
from maintenance.models.assemblies import Gauge, Tester
from maintenance.models.devices import Device
from maintenance.models.fields import RecordField, refuse_unstorable
from maintenance.models.history import kept_history
from maintenance.models.owned import (
    OfDeviceQuerySet,
    OfRecordQuerySet,
    OwnedAtDeviceQuerySet,
    OwnedQuerySet,
)

HASH_LENGTH = 64
"""SHA-256 in hexadecimal."""


class TestDraft(models.Model):
    """A test that is being written down; signing makes a record of it.

    ``answers`` holds the fields of the form as typed, by key: nothing is lost that
    cannot be read yet. ``follows`` is the failed test after whose repair this one is.
    """

    __test__ = False  # not a case for pytest

    device = models.ForeignKey(Device, models.PROTECT, related_name="test_drafts")
    tester = models.ForeignKey(Tester, models.PROTECT, null=True, blank=True)
    gauge = models.ForeignKey(Gauge, models.PROTECT, null=True, blank=True)
    answers = RecordField(default=dict, blank=True)
    follows = models.ForeignKey(
        "TestRecord", models.PROTECT, null=True, blank=True, related_name="+"
    )
    corrects = models.ForeignKey(
        "TestRecord", models.PROTECT, null=True, blank=True, related_name="+"
    )
    started_at = models.DateTimeField()
    started_by = models.CharField(max_length=200, validators=[refuse_unstorable])
    version = models.PositiveIntegerField(default=1)
    signed_at = models.DateTimeField(null=True, blank=True)
    dropped_at = models.DateTimeField(null=True, blank=True)

    objects = OfDeviceQuerySet["TestDraft"].as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(signed_at=None) | Q(dropped_at=None),
                name="test_draft_is_signed_or_dropped",
            ),
        )

    def __str__(self) -> str:
        """Return when it was begun."""
        return f"test begun {self.started_at:%Y-%m-%d}"


class TestChain(models.Model):
    """How many records an account has signed, and the hash of the last one.

    The demonstration has a chain of its own: it goes away whole.
    """

    __test__ = False

    account = models.ForeignKey(Account, models.PROTECT, related_name="test_chains")
    demo = models.BooleanField(default=False)
    count = models.PositiveIntegerField(default=0)
    hash = models.CharField(max_length=HASH_LENGTH, blank=True, default="")

    objects = OwnedQuerySet["TestChain"].as_manager()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["account", "demo"], name="account_has_one_test_chain"
            ),
        )

    def __str__(self) -> str:
        """Return the number of records."""
        return f"{self.count} records"


class TestRecord(models.Model):
    """A signed test as it was signed: triggers refuse to change or to delete it.

    Only one of the demonstration can go, with all of it. ``payload`` is canonical JSON
    with everything that was known: place, assembly, readings before and after repair,
    criteria, verdicts, tester and gauge; the columns repeat what lists ask for.
    ``hash`` is that of all columns and of the record before.
    """

    __test__ = False

    account = models.ForeignKey(Account, models.PROTECT, related_name="test_records")
    demo = models.BooleanField(default=False)
    number = models.PositiveIntegerField()
    device = models.ForeignKey(Device, models.PROTECT, related_name="test_records")
    tested_at = models.DateTimeField()
    tested_on = models.DateField()
    result = models.CharField(max_length=20)
    payload = models.TextField()
    follows = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="retests"
    )
    corrects = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="corrections"
    )
    signed_at = models.DateTimeField()
    signed_by = models.CharField(max_length=200)
    previous_hash = models.CharField(max_length=HASH_LENGTH, blank=True, default="")
    hash = models.CharField(max_length=HASH_LENGTH)

    objects = OwnedAtDeviceQuerySet["TestRecord"].as_manager()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["account", "demo", "number"],
                name="test_record_number_is_unique",
            ),
            models.UniqueConstraint(
                fields=["corrects"],
                condition=~Q(corrects=None),
                name="test_record_is_corrected_once",
            ),
        )

    def __str__(self) -> str:
        """Return the number and the day."""
        return f"test {self.number} of {self.tested_on}"


class ReportFiled(models.Model):
    """That the report of a test was handed in: to whom, when and how."""

    record = models.ForeignKey(TestRecord, models.PROTECT, related_name="filings")
    filed_on = models.DateField()
    to = models.CharField(max_length=500, validators=[refuse_unstorable])
    note = models.TextField(blank=True, default="", validators=[refuse_unstorable])
    reported_by = models.CharField(max_length=200, validators=[refuse_unstorable])
    reported_at = models.DateTimeField()
    undone_at = models.DateTimeField(null=True, blank=True)

    objects = OfRecordQuerySet["ReportFiled"].as_manager()
    history = kept_history()

    def __str__(self) -> str:
        """Return the day."""
        return f"filed {self.filed_on}"


class ReportOrder(models.Model):
    """The order in which an account's authority wants the fields of a report."""

    account = models.OneToOneField(Account, models.PROTECT, related_name="report_order")
    order = RecordField(default=dict, blank=True)

    objects = OwnedQuerySet["ReportOrder"].as_manager()
    history = kept_history()

    def __str__(self) -> str:
        """Return whose order it is."""
        return f"order of {self.account}"
