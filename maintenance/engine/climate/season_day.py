"""Which winter a day looks to."""

from datetime import date
from typing import Final

SEASON_ENDS: Final = 303
"""Days after 1 August from which the planning date is that of next autumn [d]: 31 May;
project choice."""


def season_day(today: date) -> tuple[date, int]:
    """Return 1 August of the winter that a day looks to, and the day's number in it.

    Parameters
    ----------
    today : date
        A day. [-]

    Returns
    -------
    tuple of date and int
        From the end of May on, those of next autumn: the number is negative. [d]

    Examples
    --------
    >>> season_day(date(2026, 7, 30))
    (datetime.date(2026, 8, 1), -2)
    """
    begin = date(today.year if today.month >= 8 else today.year - 1, 8, 1)
    if (today - begin).days >= SEASON_ENDS:
        begin = date(begin.year + 1, 8, 1)
    return begin, (today - begin).days
