"""The questions about the weather of sites, with the queries that each takes."""

from datetime import timedelta

import pytest

from maintenance.models import SiteOutlook
from maintenance.models.sites import Site
from maintenance.services.weather import queries
from maintenance.services.weather.observations import observe_night
from maintenance.services.weather.site_weather import attach_station, state_offset
from tests.services.weather.weather import NOW, SITE, keep, put_site


def attach(account, site_key, station_key):
    attach_station(
        account, site_key=site_key, station_key=station_key, now=NOW, actor="Ann"
    )


def test_stations_come_nearest_first_and_those_without_a_place_last(
    owner, django_assert_num_queries
):
    put_site(owner, elevation="1500 m")
    keep(owner, "far", latitude_deg=48.0, longitude_deg=-110.5, elevation_m=1600.0)
    keep(owner, "nowhere")
    keep(owner, "near", latitude_deg=44.25, longitude_deg=-111.5)
    with django_assert_num_queries(2):
        found = queries.stations_for(owner, site_key=SITE)
    assert [line.key for line in found] == ["near", "far", "nowhere"]
    # A degree of longitude at 44.25° north is 79.6 km on the sphere.
    assert found[0].distance_m == pytest.approx(79_650, rel=0.001)
    assert found[0].higher_m is None
    assert found[1].higher_m == pytest.approx(-100.0)
    assert (found[2].distance_m, found[2].higher_m) == (None, None)


def test_what_is_stated_of_a_site_takes_five_queries(owner, django_assert_num_queries):
    put_site(owner)
    keep(owner, latitude_deg=44.0, longitude_deg=-110.5)
    attach(owner, SITE, "north")
    state_offset(owner, site_key=SITE, offset_k=-1.0, now=NOW, actor="Ann")
    for back in range(9):
        observe_night(
            owner,
            site_key=SITE,
            day=(NOW - timedelta(days=back)).date(),
            minimum_k=270.0 + back,
            now=NOW,
            actor="Ann",
        )
    with django_assert_num_queries(5):
        found = queries.site_weather(owner, site_key=SITE)
    assert found.station is not None
    assert (found.station.key, found.offset_k) == ("north", -1.0)
    assert found.station.distance_m == pytest.approx(27_800, rel=0.001)
    assert [night.minimum_k for night in found.nights] == [270.0 + n for n in range(7)]
    assert (found.forecast, found.source) == (None, None)


def test_nothing_stated_is_told_as_nothing(owner):
    put_site(owner)
    found = queries.site_weather(owner, site_key=SITE)
    assert (found.station, found.offset_k, found.nights) == (None, 0.0, ())


def test_each_station_is_told_with_what_it_stands_for(owner, stranger):
    for key in ("b", "a"):
        put_site(owner, key)
    put_site(stranger, "theirs")
    keep(owner)
    keep(stranger)
    keep(owner, "idle")
    for key in ("b", "a"):
        attach(owner, key, "north")
    attach(stranger, "theirs", "north")
    found = queries.sites_by_station(owner)
    assert {key: [s.key for s in sites] for key, sites in found.items()} == {
        "north": ["a", "b"]
    }


def test_lists_and_the_report_take_one_query_each(owner, django_assert_num_queries):
    put_site(owner)
    keep(owner)
    attach(owner, SITE, "north")
    with django_assert_num_queries(1):
        assert len(queries.stations(owner)) == 1
    with django_assert_num_queries(1):
        assert len(queries.sites_by_station(owner)) == 1
    with django_assert_num_queries(1):
        report = queries.station_report(owner, key="north")
    assert report.complete.known + report.complete.missing == len(
        report.record.series.tmin_k
    )


def test_sites_come_by_exposure_and_those_not_worked_out_last(
    owner, django_assert_num_queries
):
    for key, level, chance in (
        ("calm", 0, 0.0),
        ("unsure", 2, None),
        ("risky", 2, 0.4),
        ("damage", 4, None),
        ("new", None, None),
    ):
        put_site(owner, key)
        if level is not None:
            SiteOutlook.objects.create(
                site=Site.objects.get(key=key),
                worked_out_at=NOW,
                site_version=1,
                level=level,
                act="wait",
                reason="",
                chance=chance,
                parts=1,
            )
    Site.objects.filter(key="calm").update(version=2)
    with django_assert_num_queries(2):
        found = queries.outlook_lines(owner)
    order = [line.key for line in found]
    assert order == ["damage", "risky", "unsure", "calm", "new"]
    assert [line.key for line in found if line.stale] == ["calm"]
