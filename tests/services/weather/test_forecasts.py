"""The last good forecast of a site, and what each forecast said of the days ahead."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from maintenance.models import ForecastNight, KeptForecast
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.weather.forecast_rows import forecast_of
from maintenance.services.weather.forecasts import keep_forecast
from tests.services.weather.weather import LATER, NOW, SITE, a_forecast, put_site

BEGIN = datetime(2026, 10, 5, 18, tzinfo=UTC)


def keep(account, forecast, now=NOW):
    keep_forecast(account, site_key=SITE, forecast=forecast, now=now)


def nights():
    return list(
        ForecastNight.objects.order_by("day", "lead").values_list(
            "day", "lead", "minimum_k"
        )
    )


def test_a_forecast_comes_back_as_it_was_given(owner):
    put_site(owner)
    given = a_forecast(BEGIN, issued=BEGIN)
    keep(owner, given)
    row = KeptForecast.objects.get()
    found = forecast_of(row)
    for name in ("temperature_k", "wind_m_per_s", "sky_cover"):
        np.testing.assert_array_equal(getattr(found, name), getattr(given, name))
    assert (found.begin, found.issued_at) == (BEGIN, BEGIN)
    assert (found.source, found.rejected) == (given.source, given.rejected)
    assert (row.came_from, row.received_at) == ("file", NOW)


def test_each_day_ahead_is_kept_by_its_lead_on_the_sites_calendar(owner):
    put_site(owner)
    keep(owner, a_forecast(BEGIN, 200))
    found = nights()
    assert [(day, lead) for day, lead, _ in found] == [
        (date(2026, 10, 5) + timedelta(days=n), n) for n in range(1, 8)
    ]
    # 6 Oct begins at 06:00 UTC in Denver: hour 12 of the forecast.
    assert [low for *_, low in found] == [270.0 + 0.5 * n for n in range(7)]


def test_a_newer_forecast_takes_the_place_and_the_older_days_stay(owner):
    put_site(owner)
    keep(owner, a_forecast(BEGIN, 200))
    keep(owner, a_forecast(BEGIN + timedelta(days=1), 200, k=260.0), LATER)
    assert KeptForecast.objects.get().received_at == LATER
    found = nights()
    assert len(found) == 14
    on_the_seventh = [(lead, low) for day, lead, low in found if day.day == 7]
    assert on_the_seventh == [(1, 260.0), (2, 270.5)]


def test_given_again_on_one_day_the_last_word_counts(owner):
    put_site(owner)
    keep(owner, a_forecast(BEGIN, 200))
    keep(owner, a_forecast(BEGIN, 200, k=265.0), NOW + timedelta(hours=1))
    assert len(nights()) == 7
    assert nights()[0][2] == 265.0


def test_a_forecast_that_is_over_is_refused_and_the_kept_one_stays(owner):
    put_site(owner)
    keep(owner, a_forecast(BEGIN))
    before = nights()
    old = a_forecast(NOW - timedelta(days=3, minutes=30), 24)
    with pytest.raises(ServiceError, match="before now: get a newer one"):
        keep(owner, old)
    assert KeptForecast.objects.get().begin == BEGIN
    assert nights() == before


def test_a_strangers_site_gets_no_forecast(owner, stranger):
    put_site(stranger)
    with pytest.raises(NotFoundError):
        keep(owner, a_forecast(BEGIN))
    assert not KeptForecast.objects.exists()


def test_keeping_a_forecast_takes_a_few_statements(
    owner, django_assert_max_num_queries
):
    put_site(owner)
    forecast = a_forecast(BEGIN)
    with django_assert_max_num_queries(5):
        keep(owner, forecast)
