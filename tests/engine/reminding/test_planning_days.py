"""When seasons are to be planned and heads looked at."""

from datetime import date

import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.reminding.planning_days import (
    a_year_on,
    next_audit,
    plan_shutdown_by,
    plan_startup_by,
)


def test_the_shutdown_is_planned_before_the_crew_is_called():
    by = plan_shutdown_by(date(2026, 10, 20), crew_days=3, lead_days=21)
    assert by.on == date(2026, 9, 26)
    assert "2026-10-20" in by.why


def test_a_start_up_by_last_year_says_so():
    by = plan_startup_by(date(2027, 4, 20), lead_days=14, last_year=date(2026, 4, 20))
    assert by.on == date(2027, 4, 6)
    assert "2026-04-20" in by.why
    assert "nothing better" in by.why


@pytest.mark.parametrize(
    ("day", "after", "found"),
    [
        # Reference note 8, section 3.2, row 1: never counted one from another.
        (date(2024, 2, 29), date(2024, 12, 1), date(2025, 2, 28)),
        (date(2024, 2, 29), date(2028, 1, 1), date(2028, 2, 29)),
        (date(2026, 4, 20), date(2026, 11, 1), date(2027, 4, 20)),
        (date(2026, 4, 20), date(2027, 4, 21), date(2028, 4, 20)),
    ],
)
def test_a_year_on_is_counted_from_the_day_itself(day, after, found):
    assert a_year_on(day, after=after) == found


def test_audits_follow_the_owner_s_rule():
    first = date(2026, 6, 1)
    assert next_audit("yearly", last=None, first=first).on == first
    last = date(2026, 8, 31)
    assert next_audit("every 6 months", last=last, first=first).on == date(2027, 2, 28)
    assert next_audit("even years", last=last, first=first).on == date(2028, 12, 31)
    assert next_audit("odd years", last=last, first=first).on == date(2027, 12, 31)


def test_what_cannot_be_read_is_refused():
    with pytest.raises(InputError, match="no interval"):
        next_audit("now and then", last=None, first=date(2026, 6, 1))
    with pytest.raises(InputError, match="out of range"):
        plan_shutdown_by(date(2026, 10, 20), crew_days=3, lead_days=-1)
