"""The demonstration's station and forecast come once, and go without a trace."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from maintenance.exchange.demonstration import (
    STATION,
    read_demonstration,
    read_demonstration_weather,
)
from maintenance.models import (
    KeptDates,
    KeptForecast,
    SiteWeather,
    WeatherStation,
)
from maintenance.models.sites import Site
from maintenance.services.demonstration import (
    load_demonstration,
    remove_demonstration,
)
from maintenance.services.weather.demonstration import (
    INVENTED,
    WITH_FORECAST,
    WITH_STATION,
    keep_demonstration_outlooks,
    renew_forecasts,
)
from maintenance.services.weather.forecast_rows import forecast_of
from maintenance.services.weather.forecasts import keep_forecast
from maintenance.services.weather.queries import (
    outlook_lines,
    site_weather,
    station_report,
)
from maintenance.services.weather.site_weather import attach_station, detach_station
from tests.services.weather.weather import (
    LATER,
    NOW,
    SITE,
    a_forecast,
    a_record,
    everything,
    keep,
    put_site,
)

FILES, WEATHER = read_demonstration(), read_demonstration_weather()
LARKMOOR = [site for site in FILES.sites if site.id == "larkmoor"]


def load(account, now=NOW):
    return load_demonstration(
        account,
        sites=LARKMOOR,
        compressors=[],
        now=now,
        record=WEATHER.record,
        forecast=WEATHER.forecast,
    )


def test_its_record_is_real_and_says_that_its_place_is_not(owner):
    load(owner)
    report = station_report(owner, key=STATION.id)
    assert "stands in for an invented place" in report.line.name
    station = report.record.series.station
    assert station is not None
    assert (station.latitude_deg, station.elevation_m) == (None, None)
    # Champion, 1982 to 2018: fixtures/climate/README.md
    assert (report.complete.known, report.complete.missing) == (13_514, 0)
    found = site_weather(owner, site_key="larkmoor")
    assert found.station is not None
    assert found.station.key == STATION.id


def test_its_forecast_begins_at_this_hour_and_its_nights_stay_nights(owner):
    load(owner)
    found = forecast_of(KeptForecast.objects.get())
    assert found.source == INVENTED
    assert (found.begin, found.issued_at) == (NOW.replace(minute=0),) * 2
    given = WEATHER.forecast
    shift = given.end - found.end
    assert shift % timedelta(days=1) == timedelta(0)
    kept = len(found.temperature_k)
    assert 156 - 24 < kept <= 156
    np.testing.assert_array_equal(found.temperature_k, given.temperature_k[-kept:])


@pytest.mark.parametrize("hour", range(0, 24, 7))
def test_it_begins_at_the_hour_whatever_the_time_of_day(owner, hour):
    now = datetime(2027, 1, 9, hour, 59, tzinfo=ZoneInfo("America/Denver"))
    load(owner, now)
    found = forecast_of(KeptForecast.objects.get())
    assert timedelta(0) <= now - found.begin < timedelta(hours=1)
    assert found.end > now + timedelta(days=5)


def test_loaded_twice_it_changes_nothing(owner):
    assert load(owner) == ("larkmoor", STATION.id)
    before = everything()
    assert load(owner, LATER) == ()
    assert everything() == before


def test_removed_it_leaves_nothing_behind_and_takes_nothing_along(owner):
    put_site(owner)
    keep(owner)
    attach_station(owner, site_key=SITE, station_key="north", now=NOW, actor="Ann")
    before = everything()
    load(owner)
    assert everything() != before
    assert set(remove_demonstration(owner)) == {"larkmoor", STATION.id}
    assert everything() == before


def test_a_station_that_a_persons_site_uses_stays_and_is_theirs(owner):
    load(owner)
    put_site(owner)
    attach_station(owner, site_key=SITE, station_key=STATION.id, now=NOW, actor="A")
    remove_demonstration(owner)
    assert not WeatherStation.objects.get().demo
    assert SiteWeather.objects.filter(station__key=STATION.id).exists()
    # Loaded once more, it takes theirs as it is, even with a newer file.
    keep(owner, STATION.id, record=a_record())
    assert load(owner, LATER) == ("larkmoor",)
    assert WeatherStation.objects.get().version == 2
    remove_demonstration(owner)
    assert WeatherStation.objects.count() == 1


def test_dates_that_it_once_gave_to_a_persons_site_do_not_hold_it_back(owner):
    load(owner)
    put_site(owner)
    keep(owner)
    attach_station(owner, site_key=SITE, station_key="north", now=NOW, actor="Ann")
    # As a page that was at work while another station was attached would leave them.
    KeptDates.objects.create(
        site=Site.objects.get(key=SITE),
        station=WeatherStation.objects.get(key=STATION.id),
        site_version=1,
        station_version=1,
        offset_k=0.0,
        dates={},
    )
    remove_demonstration(owner)
    assert [row.key for row in WeatherStation.objects.all()] == ["north"]
    assert not KeptDates.objects.exists()


def test_what_a_person_did_on_it_stays(owner):
    load(owner)
    detach_station(owner, site_key="larkmoor", now=NOW, actor="Ann")
    keep_forecast(owner, site_key="larkmoor", forecast=a_forecast(NOW, 5), now=NOW)
    load(owner, LATER)
    assert SiteWeather.objects.get().station is None
    assert KeptForecast.objects.get().source == "a test"


def test_only_an_invented_forecast_that_is_over_is_given_anew(owner):
    load(owner)
    forecast = WEATHER.forecast
    assert not renew_forecasts(owner, forecast=forecast, now=NOW + timedelta(days=5))
    assert renew_forecasts(owner, forecast=forecast, now=NOW + timedelta(days=7))
    begin = NOW.replace(minute=0) + timedelta(days=7)
    assert KeptForecast.objects.get().begin == begin


def test_files_that_are_not_there_are_a_sentence(tmp_path):
    with pytest.raises(Exception, match="whole copy of its repository"):
        read_demonstration_weather(tmp_path)


@pytest.fixture
def whole(owner):
    def load_all(now=NOW):
        return load_demonstration(
            owner,
            sites=FILES.sites,
            compressors=FILES.compressors,
            now=now,
            record=WEATHER.record,
            forecast=WEATHER.forecast,
        )

    load_all()
    return load_all


def test_sites_nearby_share_the_station_and_the_lower_town_is_milder(owner, whole):
    stations = SiteWeather.objects.filter(station__key=STATION.id)
    assert set(stations.values_list("site__key", flat=True)) == set(WITH_STATION)
    rows = {row.site.key: forecast_of(row) for row in KeptForecast.objects.all()}
    assert set(rows) == set(WITH_FORECAST)
    colder = rows["whin-cottage"].temperature_k - rows["larkmoor"].temperature_k
    np.testing.assert_allclose(colder, 0.0065 * (1900 - 1620))


def test_loaded_whole_a_second_time_it_changes_nothing_and_then_goes(owner, whole):
    before = everything()
    assert whole(LATER) == ()
    assert everything() == before
    remove_demonstration(owner)
    assert not SiteWeather.objects.exists()
    assert not KeptForecast.objects.exists()


def test_the_list_of_all_sites_shows_a_spread(owner, whole):
    keep_demonstration_outlooks(owner, now=NOW)
    lines = {line.key: line.outlook for line in outlook_lines(owner)}
    with_weather = {key: lines[key] for key in WITH_STATION}
    assert len({row.level for row in with_weather.values() if row}) >= 2
    assert {row.chance is None for row in with_weather.values() if row} == {True, False}
    assert all(row and row.planning_date for row in with_weather.values())
    without = [key for key, row in lines.items() if row is None]
    assert len(without) == len(FILES.sites) - len(WITH_STATION)


def test_a_station_that_a_person_took_from_one_of_them_stays_away(owner, whole):
    detach_station(owner, site_key="whin-cottage", now=NOW, actor="Ann")
    keep_forecast(owner, site_key="tollgate-40", forecast=a_forecast(NOW, 5), now=NOW)
    whole(LATER)
    assert SiteWeather.objects.get(site__key="whin-cottage").station is None
    assert KeptForecast.objects.get(site__key="tollgate-40").source == "a test"
