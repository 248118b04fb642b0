"""Seasons, their first and last freezes, and the seasons that cannot be judged."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, strategies as st

from maintenance.engine.climate.freeze_dates import freeze_dates
from maintenance.engine.climate.seasons import (
    complete_seasons,
    month_day,
    season_events,
    touched_seasons,
)
from maintenance.engine.errors import InputError
from tests.engine.climate.made_series import AUGUST, degf, mild_year, series_of

FREEZES = {
    date(2001, 10, 3): 30.0,
    date(2001, 12, 20): 10.0,
    date(2002, 5, 4): 31.0,
}
NAN = float("nan")


def event(series, threshold, season):
    year = 2001 if season == "fall" else 2002
    return season_events(series, degf(threshold), season, (year, year))[0]


@pytest.mark.parametrize(
    ("threshold", "season", "day", "number"),
    [
        (32, "fall", date(2001, 10, 3), 63),
        (28, "fall", date(2001, 12, 20), 141),
        (32, "spring", date(2002, 5, 4), 124),
        (28, "spring", date(2001, 12, 20), -11),
        (5, "fall", None, None),
        (5, "spring", None, None),
    ],
)
def test_first_and_last_day_of_one_season(threshold, season, day, number):
    found = event(mild_year(FREEZES), threshold, season)
    assert (found.day, found.number, found.valid) == (day, number, True)


@pytest.mark.parametrize(("missing", "valid"), [(10, True), (11, False)])
def test_ten_days_may_be_missing_before_the_first_freeze(missing, valid):
    gone = {AUGUST + timedelta(days=2 * n): NAN for n in range(missing)}
    after = {date(2001, 11, 1) + timedelta(days=n): NAN for n in range(100)}
    found = event(mild_year({**FREEZES, **gone, **after}), 32, "fall")
    assert found.valid is valid
    assert (found.day is not None) is valid
    if not valid:
        assert "11 days are missing before the first freeze found" in (found.why or "")


@pytest.mark.parametrize(("missing", "valid"), [(10, True), (11, False)])
def test_ten_days_may_be_missing_after_the_last_freeze(missing, valid):
    gone = {date(2002, 6, 1) + timedelta(days=n): NAN for n in range(missing)}
    before = {AUGUST + timedelta(days=n): NAN for n in range(60)}
    found = event(mild_year({**FREEZES, **gone, **before}), 32, "spring")
    assert found.valid is valid


@pytest.mark.parametrize(("missing", "valid"), [(10, True), (11, False)])
@pytest.mark.parametrize("season", ["fall", "spring"])
def test_a_season_without_a_freeze_needs_nearly_all_its_days(season, missing, valid):
    gone = {AUGUST + timedelta(days=30 * n): NAN for n in range(missing)}
    found = event(mild_year(gone), 32, season)
    assert (found.day, found.valid) == (None, valid)


def test_days_before_and_after_the_record_are_missing_too():
    late = mild_year(FREEZES | {date(2001, 9, 1): 30.0}, first=date(2001, 8, 12))
    assert not event(late, 32, "fall").valid
    early = mild_year(FREEZES, first=date(2001, 8, 11), days=340)
    assert event(early, 32, "fall").day == date(2001, 10, 3)
    outside = season_events(early, degf(32), "fall", (1990, 1991))
    assert [found.valid for found in outside] == [False, False]


@pytest.mark.parametrize(
    ("first", "days", "fall", "spring"),
    [
        (date(1982, 1, 1), 13514, (1982, 2017), (1983, 2018)),
        (AUGUST, 365, (2001, 2001), (2002, 2002)),
        (AUGUST, 364, None, None),
        (date(2001, 8, 2), 365, None, None),
    ],
)
def test_complete_seasons_are_those_spanned_from_end_to_end(first, days, fall, spring):
    series = series_of([50.0] * days, first=first)
    assert complete_seasons(series, "fall") == fall
    assert complete_seasons(series, "spring") == spring


@pytest.mark.parametrize(("days", "last"), [(212, 2001), (213, 2002)])
def test_seasons_touched_have_at_least_a_day(days, last):
    series = series_of([50.0] * days, first=date(2002, 1, 1))
    assert touched_seasons(series, "fall") == (2001, last)
    assert touched_seasons(series, "spring") == (2002, last + 1)


@pytest.mark.parametrize(
    ("years", "sentence"),
    [
        ((2005, 2001), "ends before it begins"),
        ((1950, 1960), "it runs from 2001 to 2001"),
        (None, "holds no whole season"),
    ],
)
def test_seasons_that_are_not_there_are_refused(years, sentence):
    with pytest.raises(InputError, match=sentence):
        freeze_dates(mild_year({}, days=300), degf(32), "fall", years=years)


@pytest.mark.parametrize(
    ("number", "season", "written"),
    [
        (0.0, "fall", "08-01"),
        (-0.5, "fall", "08-01"),
        (-0.51, "fall", None),
        (364.49, "fall", "07-31"),
        (364.5, "fall", None),
        (211.0, "fall", "02-28"),
        (212.0, "fall", "03-01"),
        (1.0, "spring", "01-01"),
        (0.0, "spring", "12-31"),
        (-152.0, "spring", "08-01"),
        (212.0, "spring", "07-31"),
        (59.5, "spring", "03-01"),
    ],
)
def test_a_day_number_is_written_on_a_calendar_of_365_days(number, season, written):
    assert month_day(number, season) == written


@given(
    st.lists(st.one_of(st.just(NAN), st.floats(0.0, 60.0)), min_size=365, max_size=365),
    st.integers(5, 40),
    st.integers(5, 40),
)
def test_a_colder_threshold_is_never_earlier_in_fall_nor_later_in_spring(
    minima, one, other
):
    series = series_of(minima)
    colder, warmer = sorted((one, other))
    for season, sign in (("fall", 1), ("spring", -1)):
        cold, warm = (event(series, t, season) for t in (colder, warmer))
        if cold.number is not None and warm.number is not None:
            assert sign * cold.number >= sign * warm.number
        if cold.number is not None and warm.valid:
            assert warm.number is not None


@given(st.lists(st.floats(10.0, 60.0), min_size=365, max_size=365), st.integers(5, 40))
def test_first_and_last_day_by_looking_at_each(minima, threshold):
    series = series_of(minima)
    cold = [n for n, degf_ in enumerate(minima) if np.floor(degf_ + 0.5) <= threshold]
    found = {season: event(series, threshold, season) for season in ("fall", "spring")}
    if not cold:
        assert found["fall"].day is None
        assert found["spring"].day is None
    else:
        assert found["fall"].day == AUGUST + timedelta(days=cold[0])
        assert found["spring"].day == AUGUST + timedelta(days=cold[-1])
