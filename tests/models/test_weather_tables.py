"""What the tables of the weather refuse, whoever writes."""

from datetime import UTC, date, datetime

import pytest
from django.db import IntegrityError, transaction
from django.db.models import ProtectedError

from maintenance.models import (
    Account,
    ForecastNight,
    KeptForecast,
    ObservedNight,
    PartAlert,
    Site,
    SiteOutlook,
    SiteWeather,
    WeatherStation,
)

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 10, 5, 18, tzinfo=UTC)
DAY = date(2026, 10, 5)
WORTH = ("value_of_a_day", "cost_of_damage", "share_saved")


@pytest.fixture
def rows():
    """Return an account, a site, and the valid columns of each table."""
    account = Account.objects.create(key="a", name="A")
    site = Site.objects.create(
        account=account, key="s", name="S", elevation_m=0, time_zone="UTC", record={}
    )
    station = {"first_day": DAY, "last_day": DAY, "record": {}, "read_at": NOW}
    night = {"site": site, "day": DAY, "minimum_k": 270.0}
    outlook = {"worked_out_at": NOW, "site_version": 1, "level": 0, "parts": 0}
    return {
        WeatherStation: {"account": account, "key": "k", "name": "K", **station},
        SiteWeather: {"site": site},
        KeptForecast: {
            "site": site,
            "came_from": "file",
            "source": "CSV",
            "received_at": NOW,
            "begin": NOW,
            "hours": {},
        },
        ForecastNight: {**night, "lead": 1},
        ObservedNight: {**night, "seen_at": "site"},
        SiteOutlook: {"site": site, "act": "wait", "reason": "", **outlook},
        PartAlert: {"site": site, "part": "B1", "level": 1, "found": 1},
    }


def refused(rows, model, **columns):
    with pytest.raises(IntegrityError), transaction.atomic():
        model.objects.create(**(rows[model] | columns))
    return True


@pytest.mark.parametrize(
    ("model", "columns"),
    [
        (WeatherStation, {"last_day": date(2026, 10, 4)}),
        (WeatherStation, {"latitude": 90.1}),
        (WeatherStation, {"longitude": -180.1}),
        (SiteWeather, {"offset_k": 15.1}),
        (SiteWeather, {"offset_k": -15.1}),
        (SiteWeather, dict(zip(WORTH, (-1.0, 1.0, 0.5), strict=True))),
        (SiteWeather, dict(zip(WORTH, (1.0, 0.0, 0.5), strict=True))),
        (SiteWeather, dict(zip(WORTH, (1.0, 1.0, 1.1), strict=True))),
        (KeptForecast, {"came_from": "hearsay"}),
        (ForecastNight, {"lead": 0}),
        (ForecastNight, {"lead": 8}),
        (ObservedNight, {"seen_at": "elsewhere"}),
        (SiteOutlook, {"level": 5}),
        (PartAlert, {"level": 5}),
        (PartAlert, {"found": 5}),
    ],
)
def test_what_cannot_be_is_refused(rows, model, columns):
    assert refused(rows, model, **columns)
    assert model.objects.create(**rows[model]).pk


@pytest.mark.parametrize(
    "model",
    [
        WeatherStation,
        SiteWeather,
        KeptForecast,
        ForecastNight,
        ObservedNight,
        SiteOutlook,
        PartAlert,
    ],
)
def test_the_same_row_is_there_once(rows, model):
    model.objects.create(**rows[model])
    assert refused(rows, model)


@pytest.mark.parametrize("left_out", [*WORTH, WORTH[:2], WORTH[1:]])
def test_the_worth_is_stated_whole_or_not(rows, left_out):
    whole = dict(zip(WORTH, (5.0, 400.0, 0.8), strict=True))
    names = {left_out} if isinstance(left_out, str) else set(left_out)
    part = {name: value for name, value in whole.items() if name not in names}
    assert refused(rows, SiteWeather, **part)
    assert SiteWeather.objects.create(**rows[SiteWeather], **whole).pk


def test_a_station_that_stands_for_a_site_cannot_be_deleted(rows):
    station = WeatherStation.objects.create(**rows[WeatherStation])
    SiteWeather.objects.create(**rows[SiteWeather], station=station)
    with pytest.raises(ProtectedError):
        station.delete()


def test_the_history_of_a_station_leaves_its_record_out(rows):
    station = WeatherStation.objects.create(**rows[WeatherStation])
    assert "record" not in {f.name for f in station.history.model._meta.get_fields()}
    assert "version" in {f.name for f in station.history.model._meta.get_fields()}
