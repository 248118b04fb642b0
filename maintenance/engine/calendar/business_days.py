"""Business days: Monday to Friday without the holidays of the place.

The day after is day 1, as the deadlines read are worded ("within 10 business days of
the test"); Saturday and Sunday never count. Both are project choices where a rule of
law does not say.
"""

from collections.abc import Container
from datetime import date, timedelta
from typing import Final

from maintenance.engine.errors import InputError

Holidays = Container[date]
"""Anything that says of a date whether it is a holiday."""

_SATURDAY: Final = 5
_DAY: Final = timedelta(days=1)
_MOST: Final = 10_000


def is_business_day(day: date, holidays: Holidays = frozenset()) -> bool:
    """Whether business is done on a day.

    Parameters
    ----------
    day : date
        The day [date].
    holidays : container of date
        Holidays of the place; none means that only weekends are free [dates].

    Returns
    -------
    bool
        True from Monday to Friday unless it is a holiday [-].

    Examples
    --------
    >>> is_business_day(date(2025, 5, 26)), is_business_day(date(2025, 5, 24))
    (True, False)
    """
    return day.weekday() < _SATURDAY and day not in holidays


def add_business_days(day: date, count: int, holidays: Holidays = frozenset()) -> date:
    """Return the business day that many business days later.

    Parameters
    ----------
    day : date
        The day counted from; the day after it is day 1 [date].
    count : int
        How many, 1 to 10,000 [business days].
    holidays : container of date
        Holidays of the place [dates].

    Returns
    -------
    date
        Always a business day [date].

    Raises
    ------
    InputError
        If the count is outside its range, or no business day is found.

    Examples
    --------
    >>> str(add_business_days(date(2025, 5, 16), 10, {date(2025, 5, 26)}))
    '2025-06-02'
    """
    if not 1 <= count <= _MOST:
        raise InputError(
            f"{count} business days cannot be counted; give 1 to {_MOST}",
            low=1,
            high=_MOST,
        )
    for _ in range(count):
        day = shift_forward(day + _DAY, holidays)
    return day


def shift_back(day: date, holidays: Holidays = frozenset()) -> date:
    """Return the last business day on or before a day: for a deadline.

    Parameters
    ----------
    day : date
        The legal date, which stays what it is [date].
    holidays : container of date
        Holidays of the place [dates].

    Returns
    -------
    date
        Never later than ``day`` [date].

    Raises
    ------
    InputError
        If the holidays leave no business day.

    Examples
    --------
    >>> str(shift_back(date(2027, 7, 4)))
    '2027-07-02'
    """
    return _shifted(day, -_DAY, holidays)


def shift_forward(day: date, holidays: Holidays = frozenset()) -> date:
    """Return the first business day on or after a day: for a visit at one's ease.

    Parameters
    ----------
    day : date
        The day wished for [date].
    holidays : container of date
        Holidays of the place [dates].

    Returns
    -------
    date
        Never earlier than ``day`` [date].

    Raises
    ------
    InputError
        If the holidays leave no business day.

    Examples
    --------
    >>> str(shift_forward(date(2027, 7, 4), {date(2027, 7, 5)}))
    '2027-07-06'
    """
    return _shifted(day, _DAY, holidays)


def _shifted(day: date, by: timedelta, holidays: Holidays) -> date:
    started = day
    while not is_business_day(day, holidays):
        if abs((day - started).days) > _MOST:
            raise InputError(
                f"no business day is left near {started}: every day is a holiday"
            )
        day += by
    return day
