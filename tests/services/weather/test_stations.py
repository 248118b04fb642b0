"""A station is kept once, replaced by a newer file, retired when nothing uses it."""

from datetime import date

import numpy as np
import pytest

from maintenance.engine.climate.series import Station
from maintenance.models import WeatherStation
from maintenance.services.accounts import local_account
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.weather import queries
from maintenance.services.weather.replaced import what_changed
from maintenance.services.weather.site_weather import attach_station, detach_station
from maintenance.services.weather.station_rows import record_of, station_of
from maintenance.services.weather.stations import keep_station, retire_station
from tests.services.weather.weather import (
    LATER,
    NOW,
    SITE,
    a_record,
    at_once,
    keep,
    put_site,
)


def the_row():
    return WeatherStation.objects.get()


def test_a_record_comes_back_as_it_was_read(owner):
    record = a_record()
    keep(owner, "north", latitude_deg=40.4, longitude_deg=-101.7, elevation_m=1073.0)
    found = record_of(the_row())
    assert found.series.first == record.series.first
    np.testing.assert_array_equal(found.series.tmin_k, record.series.tmin_k)
    np.testing.assert_array_equal(found.series.tmax_k, record.series.tmax_k)
    assert np.isnan(found.series.tmin_k).any()
    assert found.rejected == record.rejected
    assert (found.unit, found.unit_from) == (record.unit, record.unit_from)
    place = Station("north", "north", 40.4, -101.7, 1073.0)
    assert found.series.station == station_of(the_row()) == place


def test_the_same_file_twice_changes_nothing(owner):
    first = keep(owner)
    again = keep(owner, now=LATER)
    assert (first.created, first.changed) == (True, True)
    assert (again.created, again.changed, again.replaced) == (False, False, None)
    assert (the_row().version, the_row().read_at) == (1, NOW)
    assert the_row().history.count() == 1


def test_a_newer_file_takes_the_place_and_tells_what_it_changed(owner):
    before, after = a_record(400), a_record(460)
    keep(owner, record=before)
    kept = keep(owner, record=after, now=LATER, actor="Ben")
    assert kept.replaced == what_changed(before.series, after.series)
    assert (kept.replaced.was_last, kept.replaced.last) == (
        before.series.last,
        after.series.last,
    )
    known = int(np.isfinite(after.series.tmin_k[400:]).sum())
    assert (kept.replaced.came, kept.replaced.went) == (known, 0)
    assert the_row().last_day == after.series.last > before.series.last
    newest = the_row().history.first()
    assert (newest.actor, newest.history_date, newest.version) == ("Ben", LATER, 2)


def test_days_that_went_or_read_otherwise_are_counted():
    before, after = a_record(100), a_record(100)
    minima = after.series.tmin_k.copy()
    known = np.flatnonzero(np.isfinite(minima))
    minima[known[3]] += 1.0
    minima[known[4]] = np.nan
    changed = what_changed(
        before.series, type(after.series)(after.series.first, minima, minima)
    )
    assert (changed.came, changed.went, changed.otherwise) == (0, 1, 1)


def test_records_that_do_not_overlap_are_compared_all_the_same():
    before, after = a_record(50), a_record(60, first=date(2010, 1, 1))
    changed = what_changed(before.series, after.series)
    assert changed.went == int(np.isfinite(before.series.tmin_k).sum())
    assert changed.came == int(np.isfinite(after.series.tmin_k).sum())
    assert changed.otherwise == 0


def test_name_and_place_stay_where_a_newer_file_tells_none(owner):
    keep(owner, name="Champion", latitude_deg=40.4, longitude_deg=-101.7)
    keep(owner, record=a_record(450), elevation_m=1073.0)
    row = the_row()
    assert (row.name, row.latitude, row.longitude) == ("Champion", 40.4, -101.7)
    assert row.elevation_m == 1073.0
    keep(owner, record=a_record(450), latitude_deg=41.0, longitude_deg=-100.0)
    assert (the_row().latitude, the_row().elevation_m) == (41.0, 1073.0)


@pytest.mark.parametrize(
    ("station", "why"),
    [
        (Station("  "), "no id"),
        (Station("x", latitude_deg=40.0), "both latitude and longitude"),
        (Station("x", latitude_deg=90.5, longitude_deg=0.0), "nowhere on Earth"),
        (Station("x", latitude_deg=0.0, longitude_deg=-181.0), "nowhere on Earth"),
        (Station("x", "", float("nan"), 0.0), "nowhere on Earth"),
        (Station("x", elevation_m=9001.0), "No ground on Earth"),
        (Station("x", elevation_m=float("nan")), "No ground on Earth"),
        (Station("x" * 201), "200"),
        (Station("x", "n" * 501), "500"),
        (Station("x\x00y"), "cannot be stored"),
    ],
)
def test_a_station_that_cannot_be_is_refused_in_one_sentence(owner, station, why):
    with pytest.raises(ServiceError, match=why):
        keep_station(
            a_record(),
            account=owner,
            station=station,
            file_name="x.csv",
            now=NOW,
            actor="Ann",
        )
    assert not WeatherStation.objects.exists()


def test_a_station_in_use_is_not_retired_and_says_where(owner):
    put_site(owner)
    keep(owner)
    attach_station(owner, site_key=SITE, station_key="north", now=NOW, actor="Ann")
    with pytest.raises(ServiceError, match=f"stands for Site {SITE}: give"):
        retire_station(owner, key="north", now=LATER, actor="Ann")
    assert the_row().retired_at is None
    detach_station(owner, site_key=SITE, now=LATER, actor="Ann")
    retire_station(owner, key="north", now=LATER, actor="Ann")
    assert the_row().retired_at == LATER
    assert queries.stations(owner) == []
    with pytest.raises(ServiceError, match="is retired: give its file again"):
        attach_station(owner, site_key=SITE, station_key="north", now=NOW, actor="A")


def test_its_file_given_again_brings_a_retired_station_back(owner):
    keep(owner)
    retire_station(owner, key="north", now=NOW, actor="Ann")
    assert keep(owner, now=LATER).changed
    assert [line.key for line in queries.stations(owner)] == ["north"]


@pytest.mark.parametrize("key", ["x\x00y", "", "x" * 300, "..", "ä ö"])
def test_an_id_that_nothing_can_have_is_not_there(owner, key):
    with pytest.raises(NotFoundError):
        queries.station_report(owner, key=key)


def test_a_strangers_station_is_not_there(owner, stranger):
    keep(stranger, "north")
    put_site(owner)
    with pytest.raises(NotFoundError):
        retire_station(owner, key="north", now=NOW, actor="Ann")
    with pytest.raises(NotFoundError):
        attach_station(owner, site_key=SITE, station_key="north", now=NOW, actor="A")
    with pytest.raises(NotFoundError):
        queries.station_report(owner, key="north")
    assert keep(owner, "north").created


@pytest.mark.django_db(transaction=True)
def test_of_two_who_keep_one_new_station_at_once_none_meets_an_error():
    account = local_account()
    told = at_once(*[lambda: keep(account, record=a_record(200))] * 3)
    assert sum(getattr(each, "created", False) for each in told) == 1
    assert all(isinstance(e, ConflictError) or e.key == "north" for e in told)
    row = the_row()
    assert (row.version, row.history.count()) == (1, 1)


@pytest.mark.django_db(transaction=True)
def test_of_two_newer_files_at_once_both_are_counted_or_one_is_told():
    account = local_account()
    keep(account, record=a_record(200))
    told = at_once(*(lambda n=n: keep(account, record=a_record(n)) for n in (210, 220)))
    kept = [each for each in told if not isinstance(each, ConflictError)]
    row = the_row()
    assert kept
    assert row.version == row.history.count() == 1 + len(kept)
    assert len(record_of(row).series.tmin_k) in (210, 220)
