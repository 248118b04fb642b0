"""How a certificate or a calibration stands on a day, in words and as a mark."""

from dataclasses import dataclass
from datetime import date
from typing import Final

from maintenance.documents.rule_words import short_day

SOON_DAYS: Final = 60
"""From so many days before its end it is said to end soon (project choice)."""


@dataclass(frozen=True, slots=True)
class Standing:
    """The mark, and the words beside it."""

    mark: str
    words: str


def standing(begins: date | None, ends: date | None, today: date) -> Standing:
    """Say how something that runs from one day to another stands; the last day counts.

    Examples
    --------
    >>> standing(None, date(2026, 10, 4), date(2026, 10, 3))
    Standing(mark='ends_soon', words='ends in 1 day')
    """
    if ends is not None and today > ends:
        return Standing("ended", f"ended {short_day(ends)}")
    if begins is not None and today < begins:
        return Standing("not_begun", f"begins {short_day(begins)}")
    if ends is None:
        return Standing("unknown", "unknown: its end is not recorded")
    left = (ends - today).days
    if left == 0:
        return Standing("ends_soon", "ends today")
    if left <= SOON_DAYS:
        return Standing("ends_soon", f"ends in {left} day{'' if left == 1 else 's'}")
    return Standing("valid", f"valid until {short_day(ends)}")
