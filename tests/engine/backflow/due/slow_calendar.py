"""A slow calendar for comparison: it walks from day to day and knows nothing else.

Written from the sentences of the rules, without the engine and without ``datetime``:
a day is (year, month, day), the next one follows from the lengths of the months, the
weekday is counted on from a known Saturday.
"""

from functools import cache

SATURDAY = (1983, 1, 1)  # a Saturday, read off a printed calendar
LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def is_leap(year):
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)


def is_last(day):
    year, month, number = day
    return number == LENGTHS[month - 1] + (month == 2 and is_leap(year))


def next_day(day):
    year, month, number = day
    if not is_last(day):
        return year, month, number + 1
    return (year, month + 1, 1) if month < 12 else (year + 1, 1, 1)


@cache
def weekdays():
    """Days since a Saturday, modulo 7, of every day that the tests can reach."""
    found, day, number = {}, SATURDAY, 0
    while day[0] < 2060:
        found[day] = number
        day, number = next_day(day), (number + 1) % 7
    return found


def is_working(day, holidays):
    return weekdays()[day] not in (0, 1) and day not in holidays


def days_on(day, count):
    for _ in range(count):
        day = next_day(day)
    return day


def working_days_on(day, count, holidays):
    while count:
        day = next_day(day)
        count -= is_working(day, holidays)
    return day


def months_on(day, count):
    """Walk until so many months have begun, then to the same number or the end."""
    wanted, month, begun = day[2], day[1], 0
    while True:
        if begun == count and (day[2] == wanted or is_last(day)):
            return day
        day = next_day(day)
        if day[1] != month:
            month, begun = day[1], begun + 1


def end_of_next_even_year(day):
    start = day[0]
    while not (day[0] > start and day[0] % 2 == 0 and day[1:] == (12, 31)):
        day = next_day(day)
    return day


def next_first_of_april(day, counts_from):
    """The first one from the day on; the one after, if the day is near enough."""
    steps = 0
    while day[1:] != (4, 1):
        day, steps = next_day(day), steps + 1
    if steps > counts_from:
        return day
    day = next_day(day)
    while day[1:] != (4, 1):
        day = next_day(day)
    return day
