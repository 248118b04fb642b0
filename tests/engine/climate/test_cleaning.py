"""Absurd values are rejected and listed; everything else is left as it was."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given, strategies as st

from maintenance.engine.climate.cleaning import clean
from maintenance.engine.climate.completeness import Gap, completeness
from maintenance.engine.climate.degrees import degf_of
from maintenance.engine.climate.series import with_offset
from tests.engine.climate.made_series import AUGUST, mild_year, series_of

JULY = date(2002, 7, 10)


@pytest.mark.parametrize(
    ("value", "why"),
    [
        (-72.0, "more than 60 °F from the days around it"),
        (-91.0, "outside -90 to 135 °F"),
        (136.0, "outside -90 to 135 °F"),
        (111.0, "more than 60 °F from the days around it"),
        (-11.0, "more than 60 °F from the days around it"),
        (110.0, None),
        (-10.0, None),
    ],
)
def test_a_minimum_far_from_all_others(value, why):
    cleaned, rejected = clean(mild_year({JULY: value}))
    if why is None:
        assert rejected == ()
        assert np.isfinite(cleaned.tmin_k).all()
        return
    (one,) = rejected
    assert (one.day, one.of) == (JULY, "minimum")
    assert one.why == f"is {why}"
    assert float(degf_of(one.value_k)) == pytest.approx(value)
    assert np.flatnonzero(np.isnan(cleaned.tmin_k)).tolist() == [(JULY - AUGUST).days]


def test_the_ends_of_what_is_possible_are_kept():
    cold, warm = [-90.0] * 30, [135.0] * 30
    for degf in (cold, warm):
        cleaned, rejected = clean(series_of(degf, degf))
        assert rejected == ()
        assert np.isfinite(cleaned.tmin_k).all()


def test_where_minimum_and_maximum_cross_both_go():
    minima, maxima = [50.0] * 30, [70.0] * 30
    minima[10], maxima[10] = 60.0, 58.0
    cleaned, rejected = clean(series_of(minima, maxima))
    assert [each.why for each in rejected] == ["is above the maximum of its day"]
    assert np.isnan(cleaned.tmin_k[10])
    assert np.isnan(cleaned.tmax_k[10])
    assert np.isfinite(cleaned.tmin_k).sum() == 29


def test_an_absurd_maximum_does_not_take_a_good_minimum_with_it():
    minima, maxima = [50.0] * 30, [70.0] * 30
    maxima[10] = -100.0
    cleaned, (one,) = clean(series_of(minima, maxima))
    assert one.of == "maximum"
    assert np.isfinite(cleaned.tmin_k).all()


def test_one_absurd_value_does_not_make_its_neighbours_absurd():
    minima = [50.0] * 40
    minima[18], minima[20], minima[22] = -85.0, -5.0, -85.0
    _, rejected = clean(series_of(minima))
    assert [(each.day - AUGUST).days for each in rejected] == [18, 22]


def test_a_value_alone_is_kept():
    _, rejected = clean(series_of([-20.0, *[np.nan] * 30, 80.0]))
    assert rejected == ()


@given(
    st.lists(
        st.one_of(st.just(float("nan")), st.floats(-150.0, 200.0)),
        min_size=1,
        max_size=60,
    )
)
def test_what_is_left_and_what_is_rejected_are_all_there_was(minima):
    series = series_of(minima)
    cleaned, rejected = clean(series)
    gone = {series.index(each.day): each.value_k for each in rejected}
    for index, before in enumerate(series.tmin_k):
        after = cleaned.tmin_k[index]
        if index in gone:
            assert np.isnan(after)
            assert gone[index] == before
        else:
            assert after == before or (np.isnan(after) and np.isnan(before))
    assert not cleaned.tmin_k.flags.writeable


def test_the_report_names_every_gap_and_counts_by_year():
    minima = [50.0] * 700
    for index in (5, 6, 7, *range(140, 160), 699):
        minima[index] = float("nan")
    report = completeness(series_of(minima))
    assert report.gaps == (
        Gap(date(2001, 8, 6), date(2001, 8, 8), 3),
        Gap(date(2001, 12, 19), date(2002, 1, 7), 20),
        Gap(date(2003, 7, 1), date(2003, 7, 1), 1),
    )
    assert [gap.days for gap in report.longest_gaps] == [20, 3, 1]
    assert report.missing_by_year == ((2001, 16), (2002, 7), (2003, 1))
    assert (report.known, report.missing) == (676, 24)
    assert report.share == pytest.approx(676 / 700)


def test_the_offset_of_a_site_shifts_all_temperatures_and_nothing_unknown():
    series = series_of([50.0, float("nan")], [70.0, 71.0])
    colder = with_offset(series, -2.0)
    assert (series.tmin_k[0] - colder.tmin_k[0]) == pytest.approx(2.0)
    assert (series.tmax_k - colder.tmax_k).tolist() == pytest.approx([2.0, 2.0])
    assert np.isnan(colder.tmin_k[1])
