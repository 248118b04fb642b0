"""A refresh asks where it is due, keeps the last good forecast, and counts its work."""

from dataclasses import replace
from datetime import timedelta

import pytest

from maintenance.engine.climate.fetched import (
    Addresses,
    Fetched,
    NotModified,
    Unreachable,
)
from maintenance.models import ForecastNight, ForecastSource, KeptForecast, SiteOutlook
from maintenance.services.accounts import state_weather_contact
from maintenance.services.inventory.store import store_site
from maintenance.services.weather.refresh import refresh_outlooks, refresh_site
from tests.services.inventory.files import card_file, read, rich_file
from tests.services.weather.skies import HOUR, NOW, SITE, forecast, keep_site

THERE = Addresses("https://weather.test/hourly", "https://weather.test/grid")


class Service:
    """Answers as told, and remembers what it was asked."""

    def __init__(self, answer=None):
        self.answer = answer or Fetched(forecast(30.0), THERE, "Mon, 05 Oct 2026")
        self.asked = []

    def __call__(self, place, contact):
        self.asked.append((place, contact))
        return self.answer


@pytest.fixture
def account(owner):
    keep_site(owner)
    state_weather_contact(owner, address="office@example.org", now=NOW, actor="Robin")
    return owner


def refresh(account, service, now=NOW):
    *_, done = refresh_outlooks(account, ask=service, now=now, jitter=0.5)
    return done


def test_a_forecast_that_comes_is_kept_with_its_days(account):
    service = Service()
    done = refresh(account, service)
    assert (done.sites, done.asked, done.new, done.failed) == (1, 1, 1, 0)
    assert service.asked[0][1] == "office@example.org"
    kept = KeptForecast.objects.get()
    assert kept.came_from == "service"
    assert sorted(ForecastNight.objects.values_list("lead", flat=True)) == [
        1, 2, 3, 4, 5, 6,
    ]  # fmt: skip
    assert SiteOutlook.objects.get().forecast_received_at == NOW


def test_nobody_is_asked_without_a_contact_address(account):
    state_weather_contact(account, address="", now=NOW, actor="Robin")
    service = Service()
    assert refresh(account, service).asked == 0
    assert service.asked == []
    assert SiteOutlook.objects.count() == 1


def test_a_site_without_a_position_is_not_asked_for(account):
    store_site(read(card_file()), account=account, now=NOW)
    service = Service()
    done = refresh(account, service)
    assert (done.sites, done.asked) == (2, 1)


def test_it_asks_once_an_hour_and_for_what_has_changed(account):
    service = Service()
    refresh(account, service)
    assert refresh(account, service, NOW + HOUR / 2).asked == 0
    refresh(account, service, NOW + HOUR)
    first, second = service.asked
    assert (first[0].addresses, first[0].last_modified) == (None, None)
    assert second[0].addresses == THERE
    assert second[0].last_modified == "Mon, 05 Oct 2026"


def test_what_is_not_modified_leaves_the_forecast_and_its_time(account):
    refresh(account, Service())
    done = refresh(account, Service(NotModified(THERE)), NOW + 2 * HOUR)
    assert (done.asked, done.new, done.failed) == (1, 0, 0)
    assert KeptForecast.objects.get().received_at == NOW
    assert ForecastSource.objects.get().last_modified == "Mon, 05 Oct 2026"


def test_a_failure_keeps_the_last_good_forecast_and_waits_longer_each_time(account):
    refresh(account, Service())
    away = Service(Unreachable("The weather service does not answer.", None, False))
    at, waits = NOW + HOUR, []
    for _ in range(3):
        assert refresh(account, away, at).failed == 1
        source = ForecastSource.objects.get()
        waits.append(source.next_try_at - at)
        at = source.next_try_at
    assert waits == sorted(waits)
    assert len(set(waits)) == 3
    assert (source.failures, source.grid_address) == (3, THERE.grid)
    assert KeptForecast.objects.get().received_at == NOW
    refresh(account, Service(), at)
    source = ForecastSource.objects.get()
    assert (source.failures, source.trouble) == (0, "")


def test_what_the_service_asks_to_wait_is_waited(account):
    busy = Service(Unreachable("Busy.", 7200.0, False))
    refresh(account, busy)
    wait = ForecastSource.objects.get().next_try_at - NOW
    assert wait >= timedelta(hours=2)


def test_a_place_that_is_not_covered_is_left_for_a_week(account):
    nowhere = Service(Unreachable("Not covered.", None, True))
    refresh(account, nowhere)
    assert refresh(account, nowhere, NOW + timedelta(days=6)).asked == 0
    assert refresh(account, nowhere, NOW + timedelta(days=7)).asked == 1


def test_a_person_who_presses_does_not_wait(account):
    away = Service(Unreachable("Away.", None, False))
    refresh(account, away)
    service = Service()
    done = refresh_site(account, site_key=SITE, ask=service, now=NOW, jitter=0.0)
    assert (done.asked, done.new) == (1, 1)


def test_a_site_that_moved_is_asked_for_anew(account):
    refresh(account, Service())
    file = rich_file()
    file["place"] |= {"latitude": 45.0}
    store_site(read(file), account=account, now=NOW)
    service = Service()
    assert refresh(account, service, NOW + HOUR / 60).asked == 1
    assert service.asked[0][0].addresses is None


def test_sites_in_one_square_of_the_grid_are_asked_for_once(account):
    refresh(account, Service())
    neighbour = read(rich_file() | {"id": "neighbour"})
    store_site(neighbour, account=account, now=NOW)
    refresh(account, Service(), NOW + HOUR)
    service = Service()
    done = refresh(account, service, NOW + 2 * HOUR)
    assert (done.asked, done.new, len(service.asked)) == (2, 2, 1)


def test_a_forecast_from_a_file_is_no_reason_to_hear_of_no_change(account):
    refresh(account, Service())
    KeptForecast.objects.update(came_from="file")
    service = Service()
    refresh(account, service, NOW + HOUR)
    assert service.asked[0][0].last_modified is None


def test_the_statements_do_not_grow_with_the_sites(
    account, django_assert_max_num_queries
):
    site = read(rich_file())
    for number in range(39):
        store_site(replace(site, id=f"site-{number}"), account=account, now=NOW)
    answer = Fetched(forecast(20.0), THERE, None)
    with django_assert_max_num_queries(24) as captured:
        refresh(account, Service(answer))
    assert SiteOutlook.objects.count() == 40
    one = len(captured)
    with django_assert_max_num_queries(one):
        refresh(account, Service(answer), NOW + HOUR)
