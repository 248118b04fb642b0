"""Signs of life of what runs in the background."""

from datetime import datetime
from typing import Final

from maintenance.models import Heartbeat

DRAINED: Final = "reminders sent"
PLANNED: Final = "reminders planned"
FOUND: Final = "obligations found"


def beat(name: str, *, at: datetime) -> None:
    """Say that something has finished its round."""
    Heartbeat.objects.update_or_create(name=name, defaults={"at": at})


def last_beat(name: str) -> datetime | None:
    """Return when something last finished its round."""
    return Heartbeat.objects.filter(name=name).values_list("at", flat=True).first()
