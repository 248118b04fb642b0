"""`refresh_outlooks`: asks the service, keeps what comes, and says how it went."""

from io import StringIO

import pytest
from django.core.management import call_command
from django.utils import timezone

from maintenance.models import ForecastSource, KeptForecast, SiteOutlook
from maintenance.services.accounts import local_account, state_weather_contact
from tests.exchange.weather.service.fake_service import GRID, POINT, started
from tests.services.weather.skies import keep_site

PLACE = {
    "elevation": "1900 m",
    "time_zone": "America/Denver",
    "latitude": 40.3212,
    "longitude": -106.1075,
}


@pytest.fixture
def service(settings):
    service, end = started()
    settings.WEATHER_SERVICE_URL = service.origin
    service.well()
    yield service
    end()


@pytest.fixture
def account(db):
    account = local_account()
    keep_site(account, place=PLACE)
    state_weather_contact(
        account, address="office@example.org", now=timezone.now(), actor="Robin"
    )
    return account


def run(*options: str) -> str:
    out = StringIO()
    call_command("refresh_outlooks", *options, stdout=out, stderr=StringIO())
    return out.getvalue().strip()


def test_a_forecast_comes_over_the_network_into_the_outlook(account, service):
    assert (
        run() == "1 outlooks worked out; 1 forecasts asked for, 1 new, 0 not reached."
    )
    assert KeptForecast.objects.get().came_from == "service"
    assert SiteOutlook.objects.get().parts > 0
    assert service.paths() == [POINT, GRID]


def test_offline_nobody_is_asked(account, service):
    assert "no forecast was due" in run("--offline")
    assert service.paths() == []
    assert SiteOutlook.objects.count() == 1


def test_a_service_that_is_away_leaves_the_outlook_and_says_why(account, settings):
    settings.WEATHER_SERVICE_URL = "http://127.0.0.1:9"
    assert run().endswith("1 forecasts asked for, 0 new, 1 not reached.")
    assert ForecastSource.objects.get().trouble
    assert SiteOutlook.objects.count() == 1


def test_an_account_without_a_contact_address_asks_nobody(account, service):
    state_weather_contact(account, address="", now=timezone.now(), actor="Robin")
    run()
    assert service.paths() == []
