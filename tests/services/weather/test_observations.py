"""What was observed later: at the site before its station, as each saw it."""

from datetime import date, timedelta

import pytest

from maintenance.engine.climate.forecast_errors import NightPair
from maintenance.models import ForecastNight, ObservedNight, Site
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.weather.observations import (
    LEARNT_FROM,
    night_pairs,
    observe_from_station,
    observe_night,
)
from tests.services.weather.weather import NOW, SITE, a_record, put_site

TODAY = date(2026, 10, 5)


def observe(account, minimum_k, day=TODAY, actor="Ann"):
    observe_night(
        account, site_key=SITE, day=day, minimum_k=minimum_k, now=NOW, actor=actor
    )


def forecast(site, day, lead=1, minimum_k=271.0):
    ForecastNight.objects.create(site=site, day=day, lead=lead, minimum_k=minimum_k)


def test_a_night_is_kept_and_a_later_report_of_it_counts(owner):
    put_site(owner)
    observe(owner, 270.0)
    observe(owner, 269.0, actor="Ben")
    row = ObservedNight.objects.get()
    assert (row.minimum_k, row.reported_by, row.seen_at) == (269.0, "Ben", "site")


def test_a_day_is_one_of_the_sites_calendar_and_has_come(owner):
    put_site(owner, time_zone="Pacific/Kiritimati")
    observe(owner, 270.0, TODAY + timedelta(days=1))
    with pytest.raises(ServiceError, match="7 Oct 2026 has not come yet"):
        observe(owner, 270.0, TODAY + timedelta(days=2))


@pytest.mark.parametrize("minimum_k", [204.9, 330.1, float("nan"), float("inf")])
def test_air_that_never_was_is_refused(owner, minimum_k):
    put_site(owner)
    with pytest.raises(ServiceError, match="look at the unit"):
        observe(owner, minimum_k)
    assert not ObservedNight.objects.exists()


def test_a_strangers_site_is_not_there(owner, stranger):
    put_site(stranger)
    with pytest.raises(NotFoundError):
        observe(owner, 270.0)


def test_a_station_is_booked_on_forecast_days_that_it_knows(owner):
    put_site(owner)
    site, series = Site.objects.get(), a_record().series
    known = [n for n in range(len(series.tmin_k)) if series.tmin_k[n] > 0]
    unknown = next(n for n in range(len(series.tmin_k)) if n not in known)
    for index, lead in ((known[0], 1), (known[0], 2), (known[5], 1), (unknown, 1)):
        forecast(site, series.day(index), lead)
    forecast(site, series.last + timedelta(days=1))
    assert observe_from_station([site], series) == 2
    assert observe_from_station([site], series) == 2
    found = ObservedNight.objects.order_by("day").values_list("day", "minimum_k")
    assert list(found) == [
        (series.day(n), float(series.tmin_k[n])) for n in (known[0], known[5])
    ]


def test_forecasts_are_paired_with_the_site_before_its_station(
    owner, django_assert_num_queries
):
    put_site(owner)
    site = Site.objects.get()
    yesterday = TODAY - timedelta(days=1)
    for day, seen_at, low in (
        (TODAY, "station", 272.0),
        (TODAY, "site", 268.0),
        (yesterday, "station", 275.0),
    ):
        ObservedNight.objects.create(site=site, day=day, minimum_k=low, seen_at=seen_at)
    forecast(site, TODAY, 1, 271.0)
    forecast(site, TODAY, 2, 270.0)
    forecast(site, yesterday, 1, 274.0)
    forecast(site, TODAY - timedelta(days=2), 1, 270.0)
    with django_assert_num_queries(2):
        pairs = night_pairs({site.pk: -2.0}, until=TODAY)
    # The offset is added to what the station saw, not to the thermometer at the site.
    assert sorted(pairs[site.pk], key=repr) == sorted(
        [
            NightPair(1, 271.0, 268.0),
            NightPair(2, 270.0, 268.0),
            NightPair(1, 274.0, 273.0),
        ],
        key=repr,
    )


def test_nights_of_more_than_three_winters_ago_teach_nothing(owner):
    put_site(owner)
    site, day = Site.objects.get(), TODAY - LEARNT_FROM - timedelta(days=1)
    ObservedNight.objects.create(site=site, day=day, minimum_k=270.0, seen_at="site")
    forecast(site, day)
    assert night_pairs({site.pk: 0.0}, until=TODAY) == {site.pk: []}
