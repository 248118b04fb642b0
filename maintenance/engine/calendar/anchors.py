"""Dates that come again, counted from their anchor and never one from another.

Chained, a date drifts: 29 February would stay on the 28th for good, and the 31st
would become the 28th after one February.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final, Literal

from dateutil.relativedelta import relativedelta

from maintenance.engine.errors import InputError

Unit = Literal["days", "weeks", "months", "years"]

_MEAN_DAYS: Final = {"days": 1.0, "weeks": 7.0, "months": 30.436875, "years": 365.2425}


@dataclass(frozen=True, slots=True)
class Period:
    """A length of time in the calendar, such as 6 months."""

    count: int
    unit: Unit

    def __post_init__(self) -> None:
        if self.count < 1:
            raise InputError(
                f"a period of {self.count} {self.unit} never ends; count from 1 up"
            )

    @property
    def words(self) -> str:
        """The period in words [text]."""
        unit = self.unit.removesuffix("s") if self.count == 1 else self.unit
        return f"{self.count} {unit}"


def occurrence(anchor: date, period: Period, n: int) -> date:
    """Return the n-th date after an anchor.

    Parameters
    ----------
    anchor : date
        The date counted from, itself the one with n = 0 [date].
    period : Period
        Time between two dates [calendar time].
    n : int
        Which one; below 0 it lies before the anchor [-].

    Returns
    -------
    date
        anchor + n periods; a day that the month does not have becomes its last [date].

    Raises
    ------
    InputError
        If the date lies outside the years 1 to 9999.

    Notes
    -----
    Proleptic Gregorian calendar, any date of it. Month ends are clamped from the
    anchor: a project choice, since the rules of law read do not say.

    Examples
    --------
    >>> [str(occurrence(date(2024, 2, 29), Period(1, "years"), n)) for n in (1, 4)]
    ['2025-02-28', '2028-02-29']
    """
    count = n * period.count
    try:
        match period.unit:
            case "days":
                return anchor + timedelta(days=count)
            case "weeks":
                return anchor + timedelta(weeks=count)
            case "months":
                return anchor + relativedelta(months=count)
            case _:
                return anchor + relativedelta(years=count)
    except (OverflowError, ValueError) as error:
        raise InputError(
            f"{period.words} counted {n} times from {anchor} leaves the calendar, "
            "which ends in the year 9999; give a shorter time"
        ) from error


def first_occurrence(anchor: date, period: Period, *, after: date) -> date:
    """Return the first date counted from an anchor that lies later than a day.

    Parameters
    ----------
    anchor : date
        The date counted from [date].
    period : Period
        Time between two dates [calendar time].
    after : date
        The day that it must be later than [date].

    Returns
    -------
    date
        The earliest anchor + n periods later than ``after``; n may be below 0 [date].

    Raises
    ------
    InputError
        If the date lies outside the years 1 to 9999.

    Examples
    --------
    >>> monthly = Period(1, "months")
    >>> str(first_occurrence(date(2027, 1, 31), monthly, after=date(2027, 2, 28)))
    '2027-03-31'
    """
    # A guess from the mean length, then the calendar itself decides.
    n = int((after - anchor).days / (_MEAN_DAYS[period.unit] * period.count))
    while occurrence(anchor, period, n) > after:
        n -= 1
    while occurrence(anchor, period, n) <= after:
        n += 1
    return occurrence(anchor, period, n)
