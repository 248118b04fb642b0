"""Days and numbers as weather files write them."""

import re
from datetime import date
from functools import lru_cache
from typing import Final

FIRST_YEAR: Final = 1700
LAST_YEAR: Final = 2200
"""A year outside these is a slip of the pen: no daily record is older."""

_NUMBER: Final = re.compile(r"[+-]?(?:\d{1,7}\.?\d{0,9}|\.\d{1,9})", re.ASCII)


def iso_day(text: str) -> int | None:
    """Read a day written as 2012-01-31.

    Parameters
    ----------
    text : str
        A cell. [-]

    Returns
    -------
    int or None
        Days from the calendar's beginning; None where it is no such day. [d]
    """
    if len(text) != 10 or text[4] != "-" or text[7] != "-":
        return None
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day.toordinal() if FIRST_YEAR <= day.year <= LAST_YEAR else None


@lru_cache(maxsize=4096)  # a record repeats the same few hundred
def plain_number(text: str) -> float | None:
    """Read a decimal number.

    Parameters
    ----------
    text : str
        A cell, not blank. [-]

    Returns
    -------
    float or None
        The number; None where the cell holds something else. [-]
    """
    return float(text) if _NUMBER.fullmatch(text) else None
