"""Accounts: whoever keeps sites here."""

from django.db import models

from maintenance.models.fields import KEY_LENGTH, refuse_unstorable
from maintenance.models.history import kept_history


class Account(models.Model):
    """One who keeps sites and compressors; every query starts from one.

    ``weather_contact`` is the address that the weather service is told, which it asks
    of everyone; while it is empty the service is not asked.
    """

    key = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])
    name = models.CharField(max_length=KEY_LENGTH, validators=[refuse_unstorable])

    weather_contact = models.EmailField(blank=True, default="")

    objects = models.Manager()
    history = kept_history()

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["key"], name="account_key_is_unique"),
        )

    def __str__(self) -> str:
        """Return the name."""
        return self.name
