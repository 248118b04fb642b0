"""The stations of the account, a station's report, and whom the tool asks."""

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from maintenance.models import Account, WeatherStation
from maintenance.services.accounts import local_account
from tests.exchange.weather.weather_files import plain_csv, some_days, summaries_csv
from tests.services.weather.weather import everything, keep
from tests.web.conftest import text_of
from tests.web.weather_pages import KEY, a_file, give


def newer(office: Client, content: str, key: str = "north") -> object:
    return office.post(f"/stations/{key}/", {"record_file": a_file(content)})


def test_without_stations_the_page_says_where_to_give_one(office: Client) -> None:
    page = text_of(office.get("/stations/"))
    assert "There is no station yet" in page
    assert "give a station’s file there" in page


def test_each_station_is_listed_with_what_it_stands_for(
    office: Client, lateral: str
) -> None:
    give(office, elevation="1000 m")
    keep(local_account(), "idle")
    page = text_of(office.get("/stations/"))
    assert "3280.8 Example lateral" in page
    assert "unknown no site" in page


def test_an_idle_station_is_retired_and_its_file_brings_it_back(
    office: Client, lateral: str
) -> None:
    keep(local_account(), "idle")
    assert office.post("/stations/idle/retire/").status_code == 302
    assert "There is no station yet" in text_of(office.get("/stations/"))
    assert "Stations : retired" in text_of(office.get("/stations/idle/"))
    assert newer(office, plain_csv(some_days(400)), "idle")
    assert "idle" in text_of(office.get("/stations/"))


def test_a_station_in_use_is_not_retired(office: Client, lateral: str) -> None:
    give(office)
    answer = office.post("/stations/north/retire/")
    assert answer.status_code == 422
    assert "stands for Example lateral" in text_of(answer)
    assert "Retire" not in text_of(office.get("/stations/north/"))


def test_the_report_tells_gaps_rejected_values_and_repeated_days(
    office: Client, lateral: str
) -> None:
    lines = plain_csv(some_days(420)).splitlines()
    lines[30] = lines[30].rpartition(",")[0].rpartition(",")[0] + ",70.0,75.0"
    lines.append(lines[50])
    del lines[100:110]
    give(office, "\n".join(lines))
    page = text_of(office.get("/stations/north/"))
    assert "1 day , with the same values" in page.replace("day,", "day ,")
    assert "10 days from 12 Jun 2001" in page
    assert "minimum 158" in page
    assert "Missing days by year" in page


def test_a_newer_file_is_given_at_the_station(office: Client, lateral: str) -> None:
    give(office, plain_csv(some_days(500)))
    answer = newer(office, plain_csv(some_days(600)))
    assert getattr(answer, "status_code", 0) == 302
    page = text_of(office.get("/stations/north/"))
    assert "The record runs 5 Mar 2001 to" in page
    assert WeatherStation.objects.get().version == 2


def test_the_file_of_another_station_is_refused_there(
    office: Client, lateral: str
) -> None:
    give(office)
    before = everything()
    answer = newer(office, summaries_csv(some_days(400)))
    page = text_of(answer)
    assert getattr(answer, "status_code", 0) == 422
    assert 'The file is of station "USC00251664", not of "north"' in page
    assert everything() == before


def test_the_service_is_off_until_an_address_is_given_and_off_again(
    office: Client,
) -> None:
    page = text_of(office.get("/stations/"))
    assert "Off: nothing is sent to anyone" in page
    assert "the service at https://api.weather.gov is asked" in page
    assert "that position, this address" in page
    office.post("/weather-service/", {"contact": "office@example.org"})
    assert local_account().weather_contact == "office@example.org"
    assert "under the address office@example.org" in text_of(office.get("/stations/"))
    office.post("/weather-service/", {"contact": ""})
    assert local_account().weather_contact == ""
    actors = Account.history.order_by("history_date").values_list("actor", flat=True)
    assert list(actors)[-2:] == ["Someone", "Someone"]


def test_the_service_of_the_settings_is_named(office: Client, settings: object) -> None:
    settings.WEATHER_SERVICE_URL = "http://127.0.0.1:9/own"  # type: ignore[attr-defined]
    assert "http://127.0.0.1:9/own" in text_of(office.get("/stations/"))


def test_what_is_no_address_is_refused_and_kept_in_sight(office: Client) -> None:
    answer = office.post("/weather-service/", {"contact": "the office"})
    assert answer.status_code == 422
    assert '"the office" is no e-mail address' in text_of(answer)
    assert 'value="the office"' in answer.content.decode()
    assert local_account().weather_contact == ""


def test_a_strangers_station_is_not_there(office: Client) -> None:
    stranger = Account.objects.create(key="stranger", name="A stranger")
    keep(stranger, "north")
    assert office.get("/stations/north/").status_code == 404
    assert newer(office, plain_csv(some_days(400))).status_code == 404  # type: ignore[attr-defined]
    assert office.post("/stations/north/retire/").status_code == 404
    assert "north" not in text_of(office.get("/stations/"))


@pytest.mark.parametrize("key", ["a/b", "..", "add", "ä ö", "50%"])
def test_any_id_of_a_station_has_its_page(office: Client, key: str) -> None:
    keep(local_account(), key)
    body = office.get("/stations/").content.decode()
    address = body.split('<th scope="row"><a href="')[1].split('"')[0]
    assert office.get(address).status_code == 200


@pytest.mark.parametrize(
    ("address", "most"), [("/stations/", 3), ("/stations/north/", 3)]
)
def test_the_pages_ask_the_database_this_often(
    office: Client, lateral: str, address: str, most: int
) -> None:
    give(office)
    for key in ("south", "east"):
        keep(local_account(), key)
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        assert fresh.get(address).status_code == 200
    assert len(seen) == most


def test_every_page_has_one_heading_and_no_id_twice(
    office: Client, lateral: str
) -> None:
    give(office)
    for address in (f"/sites/{KEY}/weather/", "/stations/", "/stations/north/"):
        body = office.get(address).content.decode()
        assert body.count("<h1") == 1
        ids = re.findall(r'\sid="([^"]+)"', body)
        assert sorted(ids) == sorted(set(ids))
        assert not re.search(r"<style\b|\sstyle=|\son[a-z]+=|javascript:", body)
