"""A station's file is stored with all that follows from it, or not at all."""

from datetime import timedelta

import pytest

from maintenance.engine.climate.series import Station
from maintenance.models import ForecastNight, ObservedNight, Site, WeatherStation
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.weather.site_weather import attach_station
from maintenance.services.weather.station_files import store_station_file
from tests.services.weather.weather import LATER, NOW, SITE, a_record, keep, put_site


def store(account, record=None, *, site_key=SITE, station="north"):
    return store_station_file(
        record or a_record(),
        account=account,
        station=Station(station),
        file_name="north.csv",
        now=NOW,
        actor="Ann",
        site_key=site_key,
    )


def test_the_file_of_a_site_stands_for_it_and_its_nights_are_booked(owner):
    put_site(owner)
    series = a_record().series
    ForecastNight.objects.create(
        site=Site.objects.get(), day=series.first, lead=1, minimum_k=270.0
    )
    stored = store(owner)
    assert (stored.site_keys, stored.nights) == ((SITE,), 1)
    assert Site.objects.filter(weather__station__key="north").exists()
    assert ObservedNight.objects.get().minimum_k == float(series.tmin_k[0])


def test_without_its_site_nothing_of_the_file_is_stored(owner):
    with pytest.raises(NotFoundError):
        store(owner, site_key="nowhere")
    assert not WeatherStation.objects.exists()
    assert not WeatherStation.history.exists()


def test_a_station_that_is_refused_leaves_the_site_as_it_was(owner):
    put_site(owner)
    with pytest.raises(ServiceError, match="no id"):
        store(owner, station=" ")
    assert not hasattr(Site.objects.get(), "weather")


def test_a_newer_file_books_nights_at_all_sites_that_it_stands_for(owner):
    keep(owner, record=a_record(300))
    for key in ("one", "two"):
        put_site(owner, key)
        attach_station(owner, site_key=key, station_key="north", now=NOW, actor="A")
    newer = a_record(400)
    day = newer.series.last
    for site in Site.objects.all():
        for back in range(3):
            ForecastNight.objects.create(
                site=site, day=day - timedelta(days=back), lead=1, minimum_k=270.0
            )
    stored = store(owner, newer, site_key=None)
    assert stored.site_keys == ("one", "two")
    assert stored.kept.replaced is not None
    assert stored.nights == ObservedNight.objects.count() > 0
    assert WeatherStation.objects.get().read_at == NOW < LATER
