"""What is kept of each change, beside the row as it then was."""

from typing import Any

from django.db import models
from simple_history.models import HistoricalRecords


class Acted(models.Model):
    """Who made a change, in words; every history table has this column."""

    actor = models.CharField(max_length=200, blank=True, default="")

    class Meta:
        abstract = True


def kept_history(*, but: tuple[str, ...] = ()) -> Any:
    """Return the history of a table; ``but`` names the columns that it leaves out."""
    return HistoricalRecords(bases=[Acted], excluded_fields=list(but))
