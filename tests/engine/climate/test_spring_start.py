"""Filling in spring: the last freeze, the soil and the week ahead each have a say."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, strategies as st

from maintenance.engine.climate.site_outlook import site_outlook
from maintenance.engine.climate.spring_start import spring_start, start_after
from tests.engine.climate.test_kept_dates import fresh
from tests.engine.climate.test_site_outlook import NOW, SITE, forecast_of

MARCH, APRIL, JUNE = date(2027, 3, 1), date(2027, 4, 20), date(2027, 6, 10)
WARM = forecast_of([60.0] * 168)


def found_on(today, *, dates="kept", forecast=WARM):
    dates = fresh() if dates == "kept" else dates
    return site_outlook(SITE, NOW, today, dates=dates, forecast=forecast)


def start_of(found, **other):
    return spring_start(found, **other)


def conditions(start):
    return {each.name: each for each in start.conditions}


def test_in_march_the_last_freeze_and_the_soil_are_still_to_come():
    start = start_of(found_on(MARCH))
    each = conditions(start)
    assert [each[name].holds for name in ("last_freeze", "soil", "forecast")] == [
        False,
        False,
        True,
    ]
    assert each["soil"].since < each["last_freeze"].since == start.earliest
    assert not start.holds


def test_in_june_all_three_hold_today():
    start = start_of(found_on(JUNE))
    assert start.holds
    assert start.earliest == JUNE


def test_who_can_protect_and_drain_need_not_wait_for_the_last_freeze_but_for_the_soil():
    start = start_of(found_on(MARCH), protected=True)
    each = conditions(start)
    assert each["last_freeze"].holds
    assert start.earliest == each["soil"].since > MARCH


def test_a_cold_night_ahead_moves_the_day_beyond_it():
    cold = forecast_of([60.0] * 80 + [24.0] * 8 + [60.0] * 80)
    start = start_of(found_on(JUNE, forecast=cold))
    forecast = conditions(start)["forecast"]
    assert not forecast.holds
    assert start.earliest == forecast.since == JUNE + timedelta(days=4)


@pytest.mark.parametrize("hours", [None, 72])
def test_a_week_that_nobody_knows_whole_does_not_hold(hours):
    forecast = None if hours is None else forecast_of([60.0] * hours)
    start = start_of(found_on(JUNE, forecast=forecast))
    assert conditions(start)["forecast"].holds is None
    assert not start.holds
    assert start.earliest == JUNE


def test_without_a_record_or_its_maxima_no_day_is_told():
    start = start_of(found_on(MARCH, dates=None))
    assert start.earliest is None
    assert [each.holds for each in start.conditions] == [None, None, True]
    bare = replace(
        fresh(),
        soil_k=(),
        dates={
            reach: None if reach.threshold_of == "soil" else dates
            for reach, dates in fresh().dates.items()
        },
    )
    start = start_of(found_on(MARCH, dates=bare))
    assert start.earliest is None
    assert "measure it" in conditions(start)["soil"].text


def test_where_freezes_are_rarer_than_the_chance_no_day_is_waited_for():
    rare = replace(fresh(), last_freezes=(*[None] * 29, 40))
    last = conditions(start_of(found_on(MARCH, dates=rare)))["last_freeze"]
    assert (last.holds, last.since) == (True, None)


def test_a_single_event_makes_no_law_and_is_waited_for():
    one = replace(fresh(), last_freezes=(None, None, 80))
    last = conditions(start_of(found_on(MARCH, dates=one)))["last_freeze"]
    assert (last.holds, last.since) == (False, date(2027, 3, 22))
    assert "in 1 of 3 springs" in last.text


@given(st.floats(0.02, 0.5), st.floats(1.0, 1.9))
def test_who_accepts_more_never_starts_later(chance, more):
    found = found_on(MARCH)
    assert (
        start_of(found, chance=chance * more).earliest
        <= start_of(found, chance=chance).earliest
    )


def test_a_colder_site_never_starts_sooner():
    numbers = fresh().last_freezes
    later = tuple(None if number is None else number + 5 for number in numbers)
    day = start_after(numbers, 0.1)
    assert day is not None
    assert start_after(later, 0.1) == day + 5
    assert start_after((), 0.1) is None


def test_an_autumn_day_looks_to_the_spring_after_it():
    start = start_of(found_on(date(2026, 10, 5)))
    assert start.earliest.year == 2027
    assert start_of(found_on(APRIL)).earliest == start.earliest
