"""Certificates and calibrations count on the day of the test, the last day included."""

from datetime import date, timedelta

import pytest
from hypothesis import given, strategies as st

from maintenance.engine.backflow.validity import (
    calibration_on,
    certificate_on,
    months_after,
    years_after,
)
from maintenance.engine.errors import InputError

ENDS = date(2025, 4, 30)
AFTER = date(2025, 5, 1)


@pytest.mark.parametrize("standing_on", [calibration_on, certificate_on])
def test_the_last_day_counts_and_the_day_after_is_flagged(standing_on):
    assert standing_on(ENDS, ends=ENDS).state == "in date"
    assert not standing_on(ENDS, ends=ENDS).flagged
    late = standing_on(AFTER, ends=ENDS)
    assert (late.state, late.flagged) == ("ended", True)
    assert "2025-04-30" in late.text
    assert "2025-05-01" in late.text
    assert late.text.count(".") == 1


def test_a_test_before_the_first_day_is_flagged():
    first = date(2025, 4, 1)
    assert calibration_on(first, calibrated=first, ends=ENDS).state == "in date"
    early = calibration_on(date(2025, 3, 31), calibrated=first, ends=ENDS)
    assert early.state == "not begun"
    assert early.text == (
        "The gauge's calibration was done on 2025-04-01, after the test on 2025-03-31."
    )
    early = certificate_on(date(2025, 3, 31), issued=first)
    assert early.state == "not begun"
    assert "tester's certificate begins" in early.text


def test_an_unknown_end_is_flagged_as_unknown():
    for found in (
        certificate_on(ENDS),
        certificate_on(ENDS, issued=date(2025, 1, 1)),
        calibration_on(ENDS, calibrated=date(2025, 1, 1)),
    ):
        assert (found.state, found.flagged) == ("unknown", True)
        assert "not recorded" in found.text


def test_an_unknown_beginning_does_not_matter_where_the_end_is_known():
    assert certificate_on(ENDS, ends=ENDS).state == "in date"


@given(st.dates(), st.none() | st.dates(), st.none() | st.dates())
def test_in_date_means_between_both_days_and_everything_else_has_a_sentence(
    tested, issued, ends
):
    found = certificate_on(tested, issued=issued, ends=ends)
    within = ends is not None and (issued or date.min) <= tested <= ends
    assert (found.state == "in date") == within
    assert (found.text == "") == within


def test_a_certificate_of_three_years():
    assert years_after(date(2024, 2, 29), 3) == date(2027, 2, 28)
    assert years_after(date(2024, 2, 29), 4) == date(2028, 2, 29)
    assert years_after(date(2023, 2, 28), 1) == date(2024, 2, 28)
    assert months_after(date(2025, 8, 31), 6) == date(2026, 2, 28)


@given(st.dates(date(1900, 1, 1), date(2100, 1, 1)), st.integers(1, 40))
def test_an_anniversary_falls_in_its_year_and_month(start, years):
    end = years_after(start, years)
    assert (end.year, end.month) == (start.year + years, start.month)
    assert start.day - end.day in (0, 1)
    assert end.day == start.day or (end + timedelta(days=1)).month == 3


def test_a_span_that_is_none_is_refused():
    for years in (0, -1, 101):
        with pytest.raises(InputError, match="span"):
            years_after(ENDS, years)
    with pytest.raises(InputError, match="year"):
        years_after(date(9999, 1, 1), 3)
