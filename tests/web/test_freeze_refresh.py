"""The button that works an outlook out again, whatever the weather service says."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from maintenance.engine.climate.fetched import (
    Addresses,
    Answer,
    Fetched,
    NotModified,
    PlaceAsked,
    Unreachable,
)
from maintenance.models import KeptForecast
from maintenance.models.outlooks import SiteOutlook
from maintenance.services.accounts import local_account, state_weather_contact
from tests.web.conftest import text_of
from tests.web.freeze_sites import NOW, dates_once, forecast, weathered

KEY = "larkmoor"
ADDRESSES = Addresses("https://weather.example/hourly", "https://weather.example/grid")


def address(key: str = KEY) -> str:
    return reverse("freeze_outlook", args=[key])


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let it be NOW, and work the dates of the demonstration out once."""
    monkeypatch.setattr("maintenance.services.weather.basis.dates_of_sites", dates_once)
    monkeypatch.setattr("maintenance.web.views.freeze.timezone.now", lambda: NOW)


@pytest.fixture
def mild(estate: Client) -> Client:
    """Larkmoor two days before its first damaging night."""
    weathered(local_account(), KEY)
    return estate


def press(office: Client, answer: Answer | None, monkeypatch: Any) -> str:
    """Press the button while the service answers so; return what the page says."""
    asked: list[PlaceAsked] = []

    def ask(place: PlaceAsked, contact: str) -> Answer:
        asked.append(place)
        assert contact == "office@quillbend.example"
        assert answer is not None
        return answer

    monkeypatch.setattr("maintenance.web.views.freeze.ask_service", ask)
    reply = office.post(reverse("freeze_refresh", args=[KEY]), follow=True)
    assert reply.redirect_chain == [(address(), 302)]
    assert bool(asked) == (answer is not None)
    return text_of(reply)


def contact() -> None:
    state_weather_contact(
        local_account(), address="office@quillbend.example", now=NOW, actor="Ann"
    )


def test_the_button_keeps_the_outlook_and_asks_nobody_without_a_contact(
    estate: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = press(estate, None, monkeypatch)
    assert "The weather service was not asked: no contact address is given." in said
    assert SiteOutlook.objects.filter(site__key=KEY).count() == 1


def test_a_new_forecast_is_kept_and_told(
    estate: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    contact()
    said = press(estate, Fetched(forecast(), ADDRESSES, None), monkeypatch)
    assert "Worked out again with a new forecast." in said
    assert KeptForecast.objects.get(site__key=KEY).came_from == "service"


def test_a_service_in_trouble_leaves_the_last_forecast_and_says_why(
    mild: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    contact()
    before = KeptForecast.objects.get(site__key=KEY).received_at
    trouble = "The weather service answered 503; it is asked again later."
    said = press(mild, Unreachable(trouble, None, permanent=False), monkeypatch)
    assert said.count(trouble) == 2
    assert "the last one stays" in said
    assert KeptForecast.objects.get(site__key=KEY).received_at == before


def test_a_forecast_that_is_still_the_latest_is_told_so(
    mild: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    contact()
    said = press(mild, NotModified(ADDRESSES), monkeypatch)
    assert "the forecast kept is still the latest" in said


def test_the_button_is_no_link_and_an_unknown_site_is_not_found(office: Client) -> None:
    assert office.get(reverse("freeze_refresh", args=["none"])).status_code == 405
    assert office.post(reverse("freeze_refresh", args=["none"])).status_code == 404
    assert office.get(address("none")).status_code == 404
