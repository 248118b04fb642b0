"""Compressors: kept by the account, since they travel from site to site."""

from django.db import models
from django.db.models import Q

from maintenance.models.accounts import Account
from maintenance.models.fields import KEY_LENGTH, RecordField, refuse_unstorable
from maintenance.models.history import kept_history
from maintenance.models.owned import OwnedQuerySet


class Compressor(models.Model):
    """A compressor as entered, with free air and receiver in SI."""

    account = models.ForeignKey(Account, models.PROTECT, related_name="compressors")
    key = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])
    label = models.TextField(blank=True, default="")
    free_air_m3_per_s = models.FloatField()
    receiver_m3 = models.FloatField()
    record = RecordField()
    si = models.JSONField(default=dict, blank=True)
    version = models.PositiveIntegerField(default=1)
    demo = models.BooleanField(default=False)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = OwnedQuerySet["Compressor"].as_manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["account", "key"], name="compressor_key_is_unique_in_account"
            ),
            models.CheckConstraint(
                condition=Q(version__gte=1), name="compressor_version_starts_at_one"
            ),
            models.CheckConstraint(
                condition=Q(free_air_m3_per_s__gte=0, receiver_m3__gte=0),
                name="compressor_gives_and_holds_no_less_than_nothing",
            ),
        )

    def __str__(self) -> str:
        """Return the label, else the id."""
        return self.label or self.key
