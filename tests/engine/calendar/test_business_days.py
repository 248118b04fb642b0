"""Business days: what counts, which way a date moves, and whose holidays."""

import subprocess
import sys
from datetime import date, timedelta

import pytest

from maintenance.engine.calendar.business_days import (
    add_business_days,
    is_business_day,
    shift_back,
    shift_forward,
)
from maintenance.engine.calendar.regions import read_holidays, region_holidays
from maintenance.engine.errors import InputError


class EveryDay:
    def __contains__(self, day):
        return True


def test_the_day_after_is_day_one_and_weekends_never_count():
    friday = date(2025, 5, 16)
    assert add_business_days(friday, 1) == date(2025, 5, 19)
    assert add_business_days(friday + timedelta(days=1), 1) == date(2025, 5, 19)
    assert add_business_days(friday, 5) == date(2025, 5, 23)


def test_a_holiday_puts_the_end_off_only_where_it_falls_on_a_business_day():
    friday = date(2025, 5, 16)
    assert add_business_days(friday, 10, {date(2025, 5, 26)}) == date(2025, 6, 2)
    assert add_business_days(friday, 10, {date(2025, 5, 25)}) == date(2025, 5, 30)
    assert add_business_days(friday, 10, {date(2025, 6, 2)}) == date(2025, 5, 30)


def test_a_deadline_moves_back_a_visit_forward_and_a_business_day_not_at_all():
    for n in range(800):
        day = date(2026, 1, 1) + timedelta(days=n)
        back, forward = shift_back(day), shift_forward(day)
        assert back <= day <= forward
        assert is_business_day(back)
        assert is_business_day(forward)
        assert (back == forward) == is_business_day(day)


def test_a_calendar_without_business_days_is_refused_and_does_not_hang():
    for move in (shift_back, shift_forward):
        with pytest.raises(InputError, match="every day is a holiday"):
            move(date(2026, 1, 1), EveryDay())


@pytest.mark.parametrize("count", [0, -1, 10_001])
def test_a_count_out_of_range_is_refused(count):
    with pytest.raises(InputError, match="cannot be counted"):
        add_business_days(date(2026, 1, 1), count)


def test_regions_have_their_own_holidays_with_the_days_observed():
    assert date(2027, 7, 5) in region_holidays("US")
    assert date(2027, 12, 31) in region_holidays("us-co")
    assert date(2025, 2, 17) in region_holidays("CA-AB")
    assert date(2025, 2, 17) not in region_holidays("CA-QC")
    assert "2027-07-05" not in region_holidays("US")


def test_dates_and_regions_stand_in_one_list():
    both = read_holidays("2025-05-27, CA-AB,")
    assert date(2025, 5, 27) in both
    assert date(2025, 7, 1) in both
    assert date(2025, 5, 28) not in both
    assert read_holidays(" ") == frozenset()
    assert read_holidays("2025-05-27") == frozenset({date(2025, 5, 27)})


@pytest.mark.parametrize("text", ["2025-13-01", "US-ZZ", "XX", "usa!", "26 May", "U"])
def test_what_is_neither_a_date_nor_a_region_is_refused(text):
    with pytest.raises(InputError, match="holidays: ") as caught:
        read_holidays(f"2025-05-26, {text}")
    assert caught.value.input == "holidays"
    assert text in str(caught.value)


def test_the_library_is_read_only_when_a_region_is_asked_for():
    code = (
        "import sys; from maintenance.engine.worksheets.registry import WORKSHEETS; "
        'WORKSHEETS["next_due"].answer({"rule": "yearly", "tested": "2025-04-15"}); '
        'print("holidays" in sys.modules)'
    )
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert run.stdout.strip() == "False"
