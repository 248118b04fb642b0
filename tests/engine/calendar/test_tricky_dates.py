"""Twenty-five dates on which a calendar goes wrong, with the answer that is right.

The numbers and the expected answers are those of a table measured with python-dateutil,
zoneinfo and the library ``holidays``; the table is kept with the project's notes.
"""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise

import pytest
from dateutil.rrule import MONTHLY, YEARLY, rrule

from maintenance.engine.backflow.due.events import Event
from maintenance.engine.backflow.due.facts import Facts
from maintenance.engine.backflow.due.next_due import next_due
from maintenance.engine.backflow.due.plain_rules import plain_rule
from maintenance.engine.backflow.due.rule import Rule
from maintenance.engine.calendar.anchors import Period, first_occurrence, occurrence
from maintenance.engine.calendar.business_days import shift_back, shift_forward
from maintenance.engine.calendar.local_time import (
    add_hours,
    at_local_time,
    local_date,
    start_of_day,
    zone_named,
)
from maintenance.engine.calendar.regions import region_holidays
from maintenance.engine.calendar.window import window_state

YEAR, MONTH, DAY = Period(1, "years"), Period(1, "months"), Period(1, "days")
NEW_YORK = "America/New_York"

NOT_DATES = {
    20: "no RRULE is read anywhere, so none is refused",
    21: "the same",
    23: "a phone's clock beside the server's: where a record is received",
    25: "a server's clock that steps back: where reminders are sent",
}
"""Cases that these modules cannot meet, and whose they are."""


def dates(anchor, period, *numbers):
    return [occurrence(anchor, period, n).isoformat() for n in numbers]


def utc(text):
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def on_wall(instant, zone):
    return instant.astimezone(zone_named(zone)).strftime("%Y-%m-%d %H:%M")


def case_1():
    return dates(date(2024, 2, 29), YEAR, 1, 2, 3, 4), [
        "2025-02-28",
        "2026-02-28",
        "2027-02-28",
        "2028-02-29",
    ]


def case_2():
    chained = date(2024, 2, 29)
    for _ in range(4):
        chained = occurrence(chained, YEAR, 1)
    assert chained == date(2028, 2, 28), "chaining no longer drifts: a check gone void"
    return dates(date(2024, 2, 29), YEAR, 4), ["2028-02-29"]


def case_3():
    return dates(date(2027, 1, 31), MONTH, 0, 1, 2, 3, 4), [
        "2027-01-31",
        "2027-02-28",
        "2027-03-31",
        "2027-04-30",
        "2027-05-31",
    ]


def case_4():
    found, after = [], date(2027, 1, 30)
    for _ in range(5):
        after = first_occurrence(date(2027, 1, 31), MONTH, after=after)
        found.append(after.isoformat())
    return found, case_3()[1]


def case_5():
    monthly = rrule(
        MONTHLY,
        dtstart=datetime(2027, 1, 31),  # noqa: DTZ001  (a wall clock)
        bymonthday=(28, 29, 30, 31),
        bysetpos=-1,
        count=60,
    )
    yearly = rrule(
        YEARLY,
        dtstart=datetime(2024, 2, 29),  # noqa: DTZ001
        bymonth=2,
        bymonthday=-1,
        count=40,
    )
    ours = dates(date(2027, 1, 31), MONTH, *range(60))
    ours += dates(date(2024, 2, 29), YEAR, *range(40))
    return ours, [each.date().isoformat() for each in (*monthly, *yearly)]


def case_6():
    return dates(date(2027, 1, 30), MONTH, 0, 1, 2), [
        "2027-01-30",
        "2027-02-28",
        "2027-03-30",
    ]


def case_7():
    instant = at_local_time(date(2027, 3, 14), time(2, 30), NEW_YORK)
    return (instant, on_wall(instant, NEW_YORK)), (
        utc("2027-03-14 07:30"),
        "2027-03-14 03:30",
    )


def case_8():
    for fold in (0, 1):
        instant = at_local_time(date(2027, 11, 7), time(1, 30, fold=fold), NEW_YORK)
        assert instant == utc("2027-11-07 05:30")
    return instant, utc("2027-11-07 05:30")


def case_9():
    days = [occurrence(date(2027, 3, 13), DAY, n) for n in range(3)]
    found = [at_local_time(day, time(2, 30), NEW_YORK) for day in days]
    return [on_wall(each, NEW_YORK) for each in found], [
        "2027-03-13 02:30",
        "2027-03-14 03:30",
        "2027-03-15 02:30",
    ]


def case_10():
    one, next_day = (
        at_local_time(date(2027, 3, day), time(7), NEW_YORK) for day in (13, 14)
    )
    later = add_hours(one.astimezone(zone_named(NEW_YORK)), 24)
    return (next_day - one, on_wall(later, NEW_YORK)), (
        timedelta(hours=23),
        "2027-03-14 08:00",
    )


def case_11():
    day = date(2027, 7, 1)
    zones = ("America/Phoenix", "America/Denver")
    return [at_local_time(day, time(8), zone) for zone in zones], [
        utc("2027-07-01 15:00"),
        utc("2027-07-01 14:00"),
    ]


def case_12():
    zones = (NEW_YORK, "America/Phoenix", "Pacific/Honolulu", "Asia/Kathmandu")
    due = date(2027, 4, 1)
    found = []
    for night in (utc("2027-04-01 03:00"), utc("2027-04-02 03:00")):
        found.append([window_state(local_date(night, zone), due) for zone in zones])
    return found, [
        ["due_soon", "due_soon", "due_soon", "due"],
        ["due", "due", "due", "overdue"],
    ]


def case_13():
    starts = [
        (date(2027, 3, 14), "America/Havana"),
        (date(2027, 4, 30), "Africa/Cairo"),
    ]
    return [on_wall(start_of_day(day, zone), zone) for day, zone in starts], [
        "2027-03-14 01:00",
        "2027-04-30 01:00",
    ]


def case_14():
    noons = [
        at_local_time(date(2027, 4, day), time(12), "Australia/Lord_Howe")
        for day in (3, 4)
    ]
    return noons[1] - noons[0], timedelta(hours=24, minutes=30)


def case_15():
    noon = at_local_time(date(2011, 12, 30), time(12), "Pacific/Apia")
    return local_date(noon, "Pacific/Apia"), date(2011, 12, 31)


def shifted(day):
    holidays = region_holidays("US")
    return shift_back(day, holidays), shift_forward(day, holidays)


def case_16():
    return shifted(date(2027, 7, 4)), (date(2027, 7, 2), date(2027, 7, 6))


def case_17():
    return shifted(date(2027, 12, 25)), (date(2027, 12, 23), date(2027, 12, 27))


def case_18():
    due = occurrence(date(2027, 1, 1), YEAR, 1)
    return (shifted(due)[0], due.year), (date(2027, 12, 30), 2028)


def case_19():
    assert date(2027, 1, 1).isocalendar()[:2] == (2026, 53)
    passed = Event("tested", date(2027, 1, 1), result="passed")
    odd = plain_rule("odd years")
    assert odd is not None
    found = next_due([odd], Facts(), [passed], None)
    return found.due, date(2029, 12, 31)


def case_22():
    old = at_local_time(date(2027, 7, 1), time(8), "US/Mountain")
    moved = at_local_time(date(2027, 7, 1), time(8), "America/Chicago")
    return (old, moved), (utc("2027-07-01 14:00"), utc("2027-07-01 13:00"))


def case_24():
    fixed = Rule(id="april", trigger="fixed_dates", dates=((4, 1),), source="made up")
    passed = Event("tested", date(2027, 3, 10), result="passed")
    found = next_due([fixed], Facts(), [passed], date(2027, 3, 11))
    return found.due, date(2028, 4, 1)


CASES = {
    int(name.removeprefix("case_")): function
    for name, function in list(globals().items())
    if name.startswith("case_")
}


@pytest.mark.parametrize("number", sorted(CASES))
def test_the_date_is_the_one_of_the_table(number):
    found, expected = CASES[number]()
    assert found == expected


def test_every_case_is_held_here_or_named_as_not_of_dates():
    assert set(CASES) | set(NOT_DATES) == set(range(1, 26))
    assert not set(CASES) & set(NOT_DATES)


@pytest.mark.parametrize("n", [-3, -1, 0, 5])
def test_the_next_occurrence_is_the_first_one_later(n):
    for anchor in (date(2024, 2, 29), date(2027, 1, 31), date(2026, 12, 31)):
        for period in (YEAR, MONTH, DAY, Period(2, "weeks"), Period(5, "months")):
            day = occurrence(anchor, period, n)
            after = occurrence(anchor, period, n + 1)
            assert first_occurrence(anchor, period, after=day) == after
            early = first_occurrence(anchor, period, after=day - timedelta(days=1))
            assert early == day


def test_occurrences_never_turn_back():
    for period in (YEAR, MONTH, Period(7, "months")):
        found = [occurrence(date(2023, 10, 31), period, n) for n in range(-60, 60)]
        assert all(one < later for one, later in pairwise(found))
