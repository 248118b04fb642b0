"""A forecast by days of the calendar at the site, and its coldest hour."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.climate.forecast_minima import coldest_hour, day_minima

DENVER = ZoneInfo("America/Denver")


def hours(begin: datetime, air_k: np.ndarray) -> Forecast:
    nothing = np.full(len(air_k), np.nan)
    return Forecast(
        begin=begin.astimezone(UTC),
        temperature_k=air_k,
        wind_m_per_s=nothing,
        sky_cover=nothing,
        issued_at=None,
        source="made",
    )


def test_a_day_is_that_of_the_site():
    noon = datetime(2026, 10, 5, 12, tzinfo=DENVER)
    air_k = np.full(72, 290.0)
    air_k[11], air_k[12] = 280.0, 270.0  # 23:00 today, 0:00 tomorrow
    air_k[35], air_k[36] = 275.0, 272.0  # 23:00 tomorrow, 0:00 after it
    found = day_minima(hours(noon, air_k), DENVER, noon)
    assert [(each.day, each.lead, each.minimum_k) for each in found] == [
        (date(2026, 10, 6), 1, 270.0),
        (date(2026, 10, 7), 2, 272.0),
    ]


@pytest.mark.parametrize(
    ("day", "length"), [(date(2026, 11, 1), 25), (date(2026, 3, 8), 23)]
)
def test_a_day_on_which_the_clock_changes_has_its_own_length(day, length):
    eve = day - timedelta(days=1)
    now = datetime(eve.year, eve.month, eve.day, 12, tzinfo=DENVER)
    air_k = np.full(12 + length + 24, 290.0)
    air_k[12 + length - 1] = 271.0  # its last hour
    air_k[12 + length] = 260.0  # the first of the next
    first, second = day_minima(hours(now, air_k), DENVER, now)
    assert (first.day, first.minimum_k) == (day, 271.0)
    assert second.minimum_k == 260.0


def test_a_day_with_too_few_known_hours_has_no_minimum():
    midnight = datetime(2026, 10, 5, tzinfo=DENVER)
    air_k = np.full(72, 290.0)
    air_k[24:31] = np.nan  # 7 of 24 hours of the first day, 6 of the second
    air_k[48:54] = np.nan
    found = day_minima(hours(midnight, air_k), DENVER, midnight)
    assert [each.lead for each in found] == [2]


def test_the_coldest_hour_is_one_of_the_next_day():
    now = datetime(2026, 10, 5, 12, 40, tzinfo=UTC)
    air_k = np.full(72, 290.0)
    air_k[[0, 17, 30]] = 285.0, 274.0, 250.0
    forecast = hours(now.replace(minute=0), air_k)
    assert coldest_hour(forecast, now) == (datetime(2026, 10, 6, 5, tzinfo=UTC), 274.0)
    assert coldest_hour(forecast, now + timedelta(days=9)) is None
