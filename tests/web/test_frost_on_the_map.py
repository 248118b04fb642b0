"""The map of water counts with the frost depth of the site's station."""

import pytest
from django.test import Client
from django.utils import timezone

from maintenance.services.accounts import local_account
from maintenance.services.weather.forecasts import coldest_ahead, keep_forecast
from maintenance.services.weather.outlooks import keep_outlook
from tests.services.weather.skies import NOW, forecast, keep_champion
from tests.web.conftest import text_of


@pytest.fixture
def with_record(office: Client, lateral: str) -> str:
    keep_champion(local_account(), lateral)
    keep_outlook(local_account(), site_key=lateral, now=NOW)
    return f"/sites/{lateral}/water-left/"


def test_without_a_station_no_frost_depth_is_told(office: Client, lateral: str) -> None:
    page = text_of(office.get(f"/sites/{lateral}/water-left/"))
    assert "Frost depth there, if you know it" in page
    assert "one winter in ten" not in page
    assert "below frost depth" not in page


def test_the_record_tells_the_frost_depth_and_where_it_comes_from(
    office: Client, with_record: str
) -> None:
    page = text_of(office.get(with_record))
    assert "one winter in ten by the record of Champion" in page
    assert "in frost depth" in page


def test_what_a_person_states_counts_before_the_record(
    office: Client, with_record: str
) -> None:
    page = text_of(office.get(with_record, {"frost_depth": "2 in"}))
    assert "one winter in ten" not in page
    assert "below frost depth" in page


def test_the_card_for_a_frosty_night_begins_with_the_coldest_hour_forecast(
    office: Client, lateral: str
) -> None:
    now, account = timezone.now(), local_account()
    keep_forecast(account, site_key=lateral, forecast=forecast(20.0, now=now), now=now)
    low = coldest_ahead(account, site_key=lateral, now=now)
    assert low is not None
    assert low.hour == 12
    page = office.get(f"/sites/{lateral}/lists/start/frost_night/").content.decode()
    field = page[page.index('name="low_at"') - 200 : page.index('name="low_at"') + 300]
    assert f"{low:%Y-%m-%d}" in field
