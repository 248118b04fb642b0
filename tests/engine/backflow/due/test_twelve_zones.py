"""Twelve time zones, forty years, eight rules: the same as a slow calendar says."""

import random
from datetime import UTC, date, datetime, time, timedelta

import pytest
from dateutil import tz

from maintenance.engine.backflow.due import events
from maintenance.engine.backflow.due.events import Event
from maintenance.engine.backflow.due.facts import Facts
from maintenance.engine.backflow.due.next_due import next_due
from maintenance.engine.backflow.due.plain_rules import plain_rule
from maintenance.engine.backflow.due.table import find_rule, shipped_rules
from maintenance.engine.calendar.local_time import at_local_time, start_of_day
from tests.engine.backflow.due.made_rules import rule
from tests.engine.backflow.due.slow_calendar import (
    SATURDAY,
    days_on,
    end_of_next_even_year,
    months_on,
    next_day,
    next_first_of_april,
    working_days_on,
)

# dateutil reads no clock changes after 2037; dates that follow may lie later.
YEARS = range(1996, 2036)
ZONES = (
    "UTC",
    "America/New_York",
    "America/Denver",
    "America/Phoenix",
    "America/St_Johns",
    "Pacific/Honolulu",
    "Pacific/Apia",
    "Pacific/Auckland",
    "Australia/Lord_Howe",
    "Asia/Kathmandu",
    "Europe/London",
    "America/Sao_Paulo",
)


def plain(on):
    return on.year, on.month, on.day


def instants(zone, year):
    """Around each end of a month and new year, at hours that fall on two dates."""
    chance = random.Random(f"{zone} {year}")  # noqa: S311  (a choice of days)
    ends = [datetime(year, 2, 28, tzinfo=UTC), datetime(year, 12, 31, tzinfo=UTC)]
    ends.append(datetime(year, chance.randint(1, 12), 28, tzinfo=UTC))
    return [
        end + timedelta(days=chance.randint(0, 3), minutes=chance.randint(0, 1439))
        for end in ends
    ]


def holidays_of(year):
    """Days made up for the year: any will do, as both sides are given the same."""
    chance = random.Random(year)  # noqa: S311
    start = date(year, 1, 1)
    return frozenset(start + timedelta(chance.randint(0, 700)) for _ in range(60))


def by_rule(name):
    return plain_rule(name) or find_rule(shipped_rules(), name)


DATES = {
    "yearly": lambda day: months_on(day, 12),
    "every 6 months": lambda day: months_on(day, 6),
    "every 3 months": lambda day: months_on(day, 3),
    "every 3 years": lambda day: months_on(day, 36),
    "even years": end_of_next_even_year,
}


@pytest.mark.parametrize("zone", ZONES)
def test_due_dates_are_those_of_the_slow_calendar(zone):
    april = rule("fixed_dates", dates=((4, 1),), counts_from_days=30)
    compared = 0
    for instant in (each for year in YEARS for each in instants(zone, year)):
        there = plain(instant.astimezone(tz.gettz(zone)).date())
        passed = events.tested(instant, zone, "passed")
        for name, slow in DATES.items():
            found = next_due([by_rule(name)], Facts(), [passed], None)
            assert plain(found.due) == slow(there), (name, instant)
            compared += 1
        found = next_due([april], Facts(), [passed], None)
        assert plain(found.due) == next_first_of_april(there, 30), instant
        compared += 1
    assert compared == 40 * 3 * 6


@pytest.mark.parametrize("zone", ZONES)
def test_deadlines_are_those_of_the_slow_calendar(zone):
    willows, talent = by_rule("willows-yearly"), by_rule("talent-yearly")
    calgary = by_rule("calgary-turned-on")
    for year in YEARS:
        holidays = holidays_of(year)
        free = {plain(day) for day in holidays}
        for instant in instants(zone, year):
            there = plain(instant.astimezone(tz.gettz(zone)).date())

            def found(rule, result, at=instant, off=holidays):
                test = events.tested(at, zone, result)
                return next_due([rule], Facts(), [test], None, off)

            ten = found(willows, "passed").report_by
            assert plain(ten) == working_days_on(there, 10, free)
            assert plain(found(talent, "passed").report_by) == days_on(there, 30)
            five = found(calgary, "failed").repair_by
            assert plain(five) == working_days_on(there, 5, free)
            hours = found(willows, "failed").report_by
            assert isinstance(hours, datetime)
            assert hours.timestamp() == instant.timestamp() + 24 * 3600


@pytest.mark.parametrize("zone", ZONES)
def test_idle_for_more_than_three_months_is_that_of_the_slow_calendar(zone):
    ankeny = by_rule("ankeny-idle")
    for instant in (each for year in YEARS for each in instants(zone, year)):
        there = plain(instant.astimezone(tz.gettz(zone)).date())
        limit = months_on(there, 3)
        for back, state in (
            (limit, "not_required"),
            (next_day(limit), "before_service"),
        ):
            past = [
                Event("last_used", date(*there)),
                Event("in_service", date(*back)),
            ]
            assert next_due([ankeny], Facts(), past, None).state == state


def slow_instant(day, at, zone):
    """Watch the clock on the wall from before the day, minute by minute."""
    there = tz.gettz(zone)
    wall = datetime.combine(day, at)
    instant = datetime.combine(day, at, UTC) - timedelta(hours=16)
    shown = instant.astimezone(there).replace(tzinfo=None)
    while True:
        if shown == wall:
            return instant
        before, before_shown = instant, shown
        instant += timedelta(minutes=1)
        shown = instant.astimezone(there).replace(tzinfo=None)
        if before_shown < wall < shown and shown - before_shown > timedelta(minutes=1):
            # Skipped: as long after the clocks moved as it lies beyond the gap's start.
            return before + (wall - before_shown)


@pytest.mark.parametrize("zone", ZONES)
def test_a_time_on_the_wall_is_the_instant_at_which_a_slow_clock_shows_it(zone):
    for year in YEARS:
        for instant in instants(zone, year)[:1]:
            day = instant.astimezone(tz.gettz(zone)).date()
            assert at_local_time(day, time(8), zone) == slow_instant(day, time(8), zone)


def changes(zone, year):
    """The days on which the clocks of a zone change in a year."""
    there = tz.gettz(zone)
    noons = [datetime(year, 1, 1, 12, tzinfo=UTC) + timedelta(n) for n in range(366)]
    offsets = [noon.astimezone(there).utcoffset() for noon in noons]
    return [
        noon.astimezone(there).date()
        for noon, one, two in zip(noons[1:], offsets, offsets[1:], strict=False)
        if one != two
    ]


@pytest.mark.parametrize("zone", ZONES)
def test_where_the_clocks_change_the_slow_clock_agrees_too(zone):
    seen = 0
    for year in YEARS[3::4]:
        for day in changes(zone, year):
            for at in (time(0), time(1, 30), time(2, 15), time(2, 30), time(8)):
                found = at_local_time(day, at, zone)
                assert found == slow_instant(day, at, zone), (day, at)
            assert start_of_day(day, zone) == at_local_time(day, time(0), zone)
            seen += 1
    fixed = {"UTC", "America/Phoenix", "Pacific/Honolulu", "Asia/Kathmandu"}
    assert (seen == 0) == (zone in fixed)


def test_the_slow_calendar_knows_its_saturday_and_its_leap_years():
    assert date(*SATURDAY).weekday() == 5
    day, count = SATURDAY, 0
    while day[0] < 2060:
        day, count = next_day(day), count + 1
    assert count == (date(2060, 1, 1) - date(*SATURDAY)).days
