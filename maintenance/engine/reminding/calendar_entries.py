"""What stands in a calendar: one entry for each obligation, in its site's own zone."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

KEPT_DAYS: Final = 60
"""How long an ended obligation stays in a calendar as cancelled (project choice)."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing in a calendar.

    ``uid`` stays the same for good and ``sequence`` grows with each change, so that a
    calendar that has it changes it in place.
    """

    uid: str
    sequence: int
    day: date
    zone: str
    what: str
    site: str = ""
    why: str = ""
    address: str = ""
    changed_at: datetime | None = None
    cancelled: bool = False
