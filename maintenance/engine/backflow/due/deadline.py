"""Deadlines as rules write them: days, business days or hours after something."""

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final, Literal

from maintenance.engine.calendar.business_days import Holidays, add_business_days
from maintenance.engine.calendar.local_time import add_hours
from maintenance.engine.errors import InputError

Unit = Literal["days", "business_days", "hours"]

_TEXT: Final = re.compile(r"(\d{1,4}) (business day|day|hour)s?", re.ASCII)
_UNITS: Final[dict[str, Unit]] = {
    "day": "days",
    "business day": "business_days",
    "hour": "hours",
}


@dataclass(frozen=True, slots=True)
class Deadline:
    """So many days, business days or hours after something."""

    count: int
    unit: Unit

    @property
    def words(self) -> str:
        """The deadline in words, as `parse_deadline` reads it [text]."""
        unit = self.unit.replace("_", " ")
        return f"{self.count} {unit.removesuffix('s') if self.count == 1 else unit}"


def parse_deadline(text: str) -> Deadline:
    """Read a deadline.

    Parameters
    ----------
    text : str
        ``30 days``, ``10 business days`` or ``24 hours`` [text].

    Returns
    -------
    Deadline
        From 1 up [-].

    Raises
    ------
    InputError
        If it cannot be read.
    """
    match = _TEXT.fullmatch(text.strip())
    if match is None or int(match[1]) < 1:
        raise InputError(
            f'"{text[:40]}" is no deadline; write one like "30 days", '
            '"10 business days" or "24 hours"'
        )
    return Deadline(int(match[1]), _UNITS[match[2]])


def deadline_after(
    deadline: Deadline, on: date, at: datetime | None, holidays: Holidays
) -> date | datetime:
    """Return the end of a deadline.

    Parameters
    ----------
    deadline : Deadline
        How long [d, business days or h].
    on : date
        Date at the site from which it runs; the day after is day 1 [date].
    at : datetime or None
        The instant, for hours; None where only the date is known [instant].
    holidays : container of date
        Holidays of the place [dates].

    Returns
    -------
    date or datetime
        An instant for hours counted from an instant, else the last date [date].

    Raises
    ------
    InputError
        If the deadline leaves the calendar, or ``at`` has no offset.

    Notes
    -----
    Hours from a date alone run from the start of that day: the answer is the last whole
    day that ends in time whatever the hour of the test was.
    """
    try:
        match deadline.unit:
            case "business_days":
                return add_business_days(on, deadline.count, holidays)
            case "hours" if at is not None:
                return add_hours(at, deadline.count)
            case "hours":
                return on + timedelta(days=deadline.count // 24 - 1)
            case _:
                return on + timedelta(days=deadline.count)
    except OverflowError as error:
        raise InputError(
            f"{deadline.words} after {on} leaves the calendar, which ends in the year "
            "9999; give an earlier date"
        ) from error
