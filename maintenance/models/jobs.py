"""Long work, cut into pieces, and signs of life of what works in the background."""

from typing import Final

from django.db import models
from django.db.models import Q

from maintenance.models.accounts import Account
from maintenance.models.fields import RecordField, refuse_unstorable
from maintenance.models.owned import OwnedQuerySet

JOB_STATES: Final = ("waiting", "running", "done", "failed", "cancelled")


class Job(models.Model):
    """A long job of an account: the row is the truth, a message is only a nudge.

    ``asked`` holds what to do, ``result`` what came of it; ``done`` of ``total`` pieces
    are finished. A worker holds it by ``token`` until ``lease_until``.
    """

    account = models.ForeignKey(Account, models.PROTECT, related_name="jobs")
    kind = models.CharField(max_length=40)
    asked = RecordField(default=dict, blank=True)
    result = RecordField(default=dict, blank=True)
    state = models.CharField(max_length=20, default="waiting")
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    asked_at = models.DateTimeField()
    asked_by = models.CharField(max_length=200, validators=[refuse_unstorable])
    cancel_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    tries = models.PositiveIntegerField(default=0)
    lease_until = models.DateTimeField(null=True, blank=True)
    token = models.CharField(max_length=64, blank=True, default="")
    error = models.TextField(blank=True, default="", validators=[refuse_unstorable])

    objects = OwnedQuerySet["Job"].as_manager()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(state__in=JOB_STATES), name="job_state_is_known"
            ),
        )
        indexes = (
            models.Index(
                fields=["asked_at"],
                condition=Q(state__in=("waiting", "running")),
                name="job_unfinished",
            ),
        )

    def __str__(self) -> str:
        """Return the kind."""
        return self.kind


class Heartbeat(models.Model):
    """When something that runs in the background last said that it lives."""

    name = models.CharField(max_length=40, unique=True)
    at = models.DateTimeField()

    objects = models.Manager()

    def __str__(self) -> str:
        """Return the name."""
        return self.name
