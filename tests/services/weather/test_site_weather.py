"""What a person states of a site's weather: the last word counts, all are kept."""

import pytest

from maintenance.engine.climate.alert import ACT_AT, CREW_DAYS
from maintenance.engine.errors import InputError
from maintenance.models import (
    ForecastNight,
    KeptDates,
    ObservedNight,
    Site,
    SiteWeather,
    WeatherStation,
)
from maintenance.services.accounts import local_account
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.weather.site_weather import (
    Stated,
    attach_station,
    detach_station,
    state_offset,
    state_terms,
    stated_of,
)
from maintenance.services.weather.stations import retire_station
from tests.services.weather.weather import LATER, NOW, SITE, at_once, keep, put_site


def attach(account, key, now=NOW, actor="Ann"):
    attach_station(account, site_key=SITE, station_key=key, now=now, actor=actor)


def offset(account, offset_k, actor="Ann"):
    state_offset(account, site_key=SITE, offset_k=offset_k, now=NOW, actor=actor)


def terms(account, stated):
    state_terms(account, site_key=SITE, stated=stated, now=NOW, actor="Ann")


def the_row():
    return SiteWeather.objects.get()


def test_the_last_station_attached_counts_and_each_change_names_who_made_it(owner):
    put_site(owner)
    keep(owner, "north")
    keep(owner, "south")
    attach(owner, "north")
    attach(owner, "south", LATER, "Ben")
    attach(owner, "south", LATER, "Cy")
    assert the_row().station.key == "south"
    told = [(each.actor, each.history_date) for each in the_row().history.all()]
    assert told == [("Ben", LATER), ("Ann", NOW)]


def test_what_the_station_before_saw_and_dates_from_it_go_with_it(owner):
    put_site(owner)
    keep(owner, "north")
    keep(owner, "south")
    attach(owner, "north")
    site, north = Site.objects.get(), WeatherStation.objects.get(key="north")
    day = north.first_day
    ForecastNight.objects.create(site=site, day=day, lead=1, minimum_k=270.0)
    for seen_at, low in (("station", 1.0), ("site", 2.0)):
        ObservedNight.objects.create(site=site, day=day, minimum_k=low, seen_at=seen_at)
    KeptDates.objects.create(
        site=site,
        station=north,
        site_version=1,
        station_version=1,
        offset_k=0.0,
        dates={},
    )
    attach(owner, "south")
    assert not KeptDates.objects.exists()
    seen = dict(ObservedNight.objects.values_list("seen_at", "minimum_k"))
    assert seen["site"] == 2.0
    assert seen["station"] > 200.0
    detach_station(owner, site_key=SITE, now=LATER, actor="Ann")
    assert the_row().station is None
    assert list(ObservedNight.objects.values_list("seen_at", flat=True)) == ["site"]


@pytest.mark.parametrize("offset_k", [15.1, -15.1, float("nan"), float("inf")])
def test_an_offset_of_another_climate_is_refused(owner, offset_k):
    put_site(owner)
    with pytest.raises(ServiceError, match=r"at most 15 K \(27 °F\)"):
        offset(owner, offset_k)
    assert not SiteWeather.objects.exists()


def test_an_offset_is_kept_with_who_stated_it(owner):
    put_site(owner)
    offset(owner, -1.0)
    offset(owner, -1.5, "Ben")
    assert the_row().offset_k == -1.5
    assert [each.actor for each in the_row().history.all()] == ["Ben", "Ann"]


def test_terms_are_kept_whole_and_taken_back_whole(owner):
    put_site(owner)
    stated = Stated(1, (5.0, 400.0, 0.8))
    terms(owner, stated)
    assert stated_of(the_row()) == stated
    assert stated.terms.act_at == pytest.approx(0.0625)
    assert stated.terms.assumed == ()
    terms(owner, Stated())
    assert stated_of(the_row()) == Stated()
    assert (Stated().terms.crew_days, Stated().terms.act_at) == (CREW_DAYS, ACT_AT)
    assert len(Stated().terms.assumed) == 2


@pytest.mark.parametrize(
    "stated",
    [
        Stated(7),
        Stated(-1),
        Stated(1, (0.0, 400.0, 0.8)),
        Stated(1, (5.0, float("nan"), 0.8)),
        Stated(1, (5.0, 400.0, 1.0)),
    ],
)
def test_terms_that_cannot_be_change_nothing(owner, stated):
    put_site(owner)
    terms(owner, Stated(2))
    with pytest.raises(InputError):
        terms(owner, stated)
    assert stated_of(the_row()) == Stated(2)
    assert the_row().history.count() == 1


def test_a_strangers_site_is_not_there(owner, stranger):
    put_site(stranger)
    keep(owner)
    for deed in (
        lambda: attach(owner, "north"),
        lambda: offset(owner, 1.0),
        lambda: terms(owner, Stated(1)),
        lambda: detach_station(owner, site_key=SITE, now=NOW, actor="Ann"),
    ):
        with pytest.raises(NotFoundError):
            deed()
    assert not SiteWeather.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_people_who_state_something_for_the_first_time_at_once_all_succeed():
    account = local_account()
    put_site(account)
    keep(account)
    told = at_once(
        lambda: attach(account, "north", actor="Ann"),
        lambda: offset(account, -2.0, "Ben"),
        lambda: terms(account, Stated(3)),
        lambda: offset(account, -2.5, "Cy"),
    )
    assert told == [None] * 4
    row = the_row()
    assert (row.station.key, row.crew_days) == ("north", 3)
    assert row.offset_k in (-2.0, -2.5)
    assert {each.actor for each in row.history.all()} >= {"Ann", "Ben", "Cy"}


@pytest.mark.django_db(transaction=True)
def test_a_station_attached_and_retired_at_once_is_only_one_of_both():
    account = local_account()
    for n in range(4):
        put_site(account, f"site-{n}")
        keep(account, f"station-{n}")
        told = at_once(
            lambda n=n: attach_station(
                account,
                site_key=f"site-{n}",
                station_key=f"station-{n}",
                now=NOW,
                actor="Ann",
            ),
            lambda n=n: retire_station(
                account, key=f"station-{n}", now=NOW, actor="Ben"
            ),
        )
        assert sum(isinstance(each, ServiceError) for each in told) == 1
        row = WeatherStation.objects.get(key=f"station-{n}")
        assert (row.retired_at is None) == row.sites.exists()
