"""What is due, whom to remind of it, and each message as a row that is the truth."""

from typing import Final, Self

from django.db import models
from django.db.models import Q

from maintenance.models.accounts import Account
from maintenance.models.fields import RecordField, refuse_unstorable
from maintenance.models.history import kept_history
from maintenance.models.owned import OwnedQuerySet
from maintenance.models.sites import Site

OBLIGATIONS: Final = (
    "backflow_test",
    "backflow_report",
    "backflow_repair",
    "head_audit",
    "shutdown_planning",
    "startup_planning",
    "gauge_calibration",
    "certificate_renewal",
    "promised_call",
    "custom",
)
ENDS: Final = ("done", "done_elsewhere", "not_required", "withdrawn")
CHANNELS: Final = ("email", "digest", "webhook")
MESSAGE_STATES: Final = (
    "due",
    "sending",
    "sent",
    "uncertain",
    "failed",
    "cancelled",
    "superseded",
)


class ObligationQuerySet(OwnedQuerySet["Obligation"]):
    """Obligations, of which one who sees some sites only meets those of these."""

    def for_account(self, account: Account) -> Self:
        """Keep the account's, at sites that its reader sees."""
        rows = super().for_account(account)
        if account.site_keys is None:
            return rows
        return rows.filter(site__key__in=account.site_keys)


class MessageQuerySet(OwnedQuerySet["Message"]):
    """Messages, of which one who sees some sites only meets those about these."""

    def for_account(self, account: Account) -> Self:
        """Keep the account's, about sites that its reader sees."""
        rows = super().for_account(account)
        if account.site_keys is None:
            return rows
        return rows.filter(obligation__site__key__in=account.site_keys)


def _words(length: int = 500) -> "models.CharField[str, str]":
    return models.CharField(
        max_length=length, blank=True, default="", validators=[refuse_unstorable]
    )


class Obligation(models.Model):
    """One thing that is due on a day at its site, found again by what it is about.

    ``about`` names the thing ("device:12"), ``why`` the rule or the outlook that gave
    the day. It is written again and again without doubling; it ends with a word.
    ``last_done_on`` is the day from which it was counted; of a date that was only put
    off nothing is told again that should have been told before ``remind_from``.
    """

    account = models.ForeignKey(Account, models.PROTECT, related_name="obligations")
    site = models.ForeignKey(
        Site, models.PROTECT, null=True, blank=True, related_name="obligations"
    )
    kind = models.CharField(max_length=30)
    about = models.CharField(max_length=200, validators=[refuse_unstorable])
    what = models.CharField(max_length=500, validators=[refuse_unstorable])
    why = models.TextField(blank=True, default="", validators=[refuse_unstorable])
    address = _words()
    due_on = models.DateField()
    time_zone = models.CharField(max_length=100, validators=[refuse_unstorable])
    last_done_on = models.DateField(null=True, blank=True)
    remind_from = models.DateTimeField(null=True, blank=True)
    snoozed_until = models.DateField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_as = models.CharField(max_length=20, blank=True, default="")
    ended_by = _words(200)
    version = models.PositiveIntegerField(default=1)

    objects = ObligationQuerySet.as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["account", "kind", "about", "due_on"],
                name="obligation_is_written_once",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=OBLIGATIONS), name="obligation_kind_is_known"
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None, ended_as="")
                | Q(ended_at__isnull=False, ended_as__in=ENDS),
                name="obligation_ends_with_a_word",
            ),
        )
        indexes = (
            models.Index(
                fields=["due_on", "id"],
                condition=Q(ended_at=None),
                name="obligation_open_by_day",
            ),
        )

    def __str__(self) -> str:
        """Return what is due."""
        return self.what


class Recipient(models.Model):
    """A person who is reminded, by e-mail one by one or once a day.

    ``kinds`` and ``sites`` hold keys, empty for all. Between the two hours nothing is
    sent. ``escalate_to`` is told where this one does not answer for what is overdue.
    Of steps before ``added_at`` nobody is told.
    ``stop_hash`` is that of the link which ends all messages with one click.
    """

    account = models.ForeignKey(Account, models.PROTECT, related_name="recipients")
    name = models.CharField(max_length=200, validators=[refuse_unstorable])
    email = models.EmailField(blank=True, default="")
    daily = models.BooleanField(default=False)
    kinds = RecordField(default=dict, blank=True)
    sites = RecordField(default=dict, blank=True)
    morning = models.TimeField()
    quiet_from = models.TimeField(null=True, blank=True)
    quiet_until = models.TimeField(null=True, blank=True)
    time_zone = _words(100)
    escalate_to = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="escalated_from"
    )
    escalate_after_days = models.PositiveSmallIntegerField(default=7)
    stop_hash = models.CharField(max_length=64, blank=True, default="")
    stopped_at = models.DateTimeField(null=True, blank=True)
    added_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = OwnedQuerySet["Recipient"].as_manager()
    history = kept_history()

    def __str__(self) -> str:
        """Return the name."""
        return self.name


class ReminderSteps(models.Model):
    """When an account reminds of a kind: days before, and whether weekly when overdue."""

    account = models.ForeignKey(Account, models.PROTECT, related_name="reminder_steps")
    kind = models.CharField(max_length=30)
    steps = RecordField(default=dict, blank=True)

    objects = OwnedQuerySet["ReminderSteps"].as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["account", "kind"], name="kind_has_its_steps_once"
            ),
        )

    def __str__(self) -> str:
        """Return the kind."""
        return self.kind


class Webhook(models.Model):
    """An address that is told by a signed request; empty ``kinds`` stand for all."""

    account = models.ForeignKey(Account, models.PROTECT, related_name="webhooks")
    url = models.URLField(max_length=1000)
    secret = models.CharField(max_length=200)
    kinds = RecordField(default=dict, blank=True)
    added_at = models.DateTimeField(null=True, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = OwnedQuerySet["Webhook"].as_manager()

    def __str__(self) -> str:
        """Return the address."""
        return self.url


class Message(models.Model):
    """One reminder to one recipient by one channel: the row is the truth.

    ``step`` is the days before the due date, negative after it. ``key`` is unique, and
    the channel is told it, so that the same message is not sent twice. ``token`` and
    ``lease_until`` belong to the worker that has claimed it, by the database's clock.
    """

    account = models.ForeignKey(Account, models.PROTECT, related_name="messages")
    obligation = models.ForeignKey(
        Obligation, models.PROTECT, null=True, blank=True, related_name="messages"
    )
    recipient = models.ForeignKey(
        Recipient, models.PROTECT, null=True, blank=True, related_name="messages"
    )
    webhook = models.ForeignKey(
        Webhook, models.PROTECT, null=True, blank=True, related_name="messages"
    )
    channel = models.CharField(max_length=20)
    step = models.IntegerField()
    due_on = models.DateField()
    send_at = models.DateTimeField()
    zone_data = _words(20)
    key = models.CharField(max_length=200, unique=True)
    state = models.CharField(max_length=20, default="due")
    why = _words()
    attempts = models.PositiveIntegerField(default=0)
    lease_until = models.DateTimeField(null=True, blank=True)
    token = models.CharField(max_length=64, blank=True, default="")
    sent_at = models.DateTimeField(null=True, blank=True)
    provider_id = _words(200)
    body_hash = models.CharField(max_length=64, blank=True, default="")
    maybe_twice = models.PositiveIntegerField(default=0)

    objects = MessageQuerySet.as_manager()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(channel__in=CHANNELS), name="message_channel_is_known"
            ),
            models.CheckConstraint(
                condition=Q(state__in=MESSAGE_STATES), name="message_state_is_known"
            ),
        )
        indexes = (
            models.Index(
                fields=["send_at", "id"],
                condition=Q(state__in=("due", "sending")),
                name="message_waiting",
            ),
        )

    def __str__(self) -> str:
        """Return the key."""
        return self.key


class DeliveryTry(models.Model):
    """One attempt to deliver a message, with its error and whether that is for good."""

    message = models.ForeignKey(Message, models.PROTECT, related_name="tries")
    at = models.DateTimeField()
    ended = models.CharField(max_length=20)
    permanent = models.BooleanField(default=False)
    error = models.TextField(blank=True, default="", validators=[refuse_unstorable])

    objects = models.Manager()

    def __str__(self) -> str:
        """Return how it ended."""
        return self.ended
