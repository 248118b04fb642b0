"""What the modules on dates and instants refuse, in one sentence each."""

from datetime import UTC, date, datetime, time

import pytest

from maintenance.engine.calendar.anchors import Period, occurrence
from maintenance.engine.calendar.local_time import (
    add_hours,
    at_local_time,
    local_date,
    zone_named,
)
from maintenance.engine.errors import InputError


@pytest.mark.parametrize("name", ["Nowhere/Town", "", "../etc/passwd", "America"])
def test_a_zone_that_is_not_known_is_refused(name):
    with pytest.raises(InputError, match="is no time zone") as caught:
        zone_named(name)
    assert caught.value.input == "time_zone"


def test_an_instant_without_an_offset_is_none():
    naive = datetime(2027, 1, 1, 8)  # noqa: DTZ001  (what is refused)
    with pytest.raises(InputError, match="no instant"):
        local_date(naive, "UTC")
    with pytest.raises(InputError, match="no instant"):
        add_hours(naive, 24)


def test_a_time_on_the_wall_carries_no_zone():
    with pytest.raises(InputError, match="zone of its own"):
        at_local_time(date(2027, 1, 1), time(8, tzinfo=UTC), "UTC")


def test_a_period_is_at_least_one_and_dates_stay_in_the_calendar():
    with pytest.raises(InputError, match="never ends"):
        Period(0, "months")
    for period in (Period(1, "years"), Period(1, "months"), Period(1, "weeks")):
        with pytest.raises(InputError, match="leaves the calendar"):
            occurrence(date(9999, 12, 31), period, 1)
    assert Period(1, "years").words == "1 year"
    assert Period(6, "months").words == "6 months"
