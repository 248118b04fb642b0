"""Signs of life, and turns that only one process may take.

Both go by the clock of the database: those of the workers may differ.
"""

from datetime import UTC, datetime, timedelta
from typing import Final

from django.db.models import Q
from django.db.models.functions import Now

from maintenance.models import Heartbeat

BEAT: Final = "beat"
"""Written each minute by whoever does the schedule's task: schedule, queue, worker."""

_NEVER: Final = datetime(2000, 1, 1, tzinfo=UTC)


def give_sign(name: str) -> None:
    """Write that something lives."""
    Heartbeat.objects.bulk_create(
        [Heartbeat(name=name, at=Now())],
        update_conflicts=True,
        unique_fields=["name"],
        update_fields=["at"],
    )


def take_turn(name: str, *, every: timedelta) -> bool:
    """Take the turn of something that happens once in a while: True for one process.

    Two schedules, or a schedule that makes up for the time it was off, do it once.
    """
    Heartbeat.objects.bulk_create(
        [Heartbeat(name=name, at=_NEVER)], ignore_conflicts=True
    )
    # A sign that is still to come was given while the clock was wrong.
    over = Q(at__lte=Now() - every) | Q(at__gt=Now())
    return bool(Heartbeat.objects.filter(over, name=name).update(at=Now()))


def ages() -> dict[str, timedelta]:
    """Return how long ago each last gave a sign; one query."""
    rows = Heartbeat.objects.values_list("name", "at", Now())
    return {name: now - at for name, at, now in rows}
