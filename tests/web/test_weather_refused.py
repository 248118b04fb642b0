"""What is refused at a site's weather: one sentence each, and nothing stored."""

import re
from collections import Counter
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.test import Client

from maintenance.engine.errors import InputError
from maintenance.models import SiteWeather, WeatherStation
from maintenance.services.accounts import local_account
from tests.exchange.weather.mutations import mutated_files
from tests.exchange.weather.weather_files import (
    dly,
    plain_csv,
    shown,
    some_days,
    summaries_csv,
)
from tests.services.weather.weather import NOW, everything, keep
from tests.web.conftest import text_of
from tests.web.weather_pages import PAGE, a_file, give

pytestmark = pytest.mark.usefixtures("lateral")
DAYS = some_days(40)
UNTOLD = "date,tmin\n" + "".join(f"{d.day},{shown(d.tmin, 'degC')}\n" for d in DAYS)


@pytest.fixture
def kept(office: Client) -> dict[str, list[str]]:
    """Store a station and return all rows as they then are."""
    give(office)
    return everything()


def refused(answer: Any, *sentences: str) -> str:
    assert answer.status_code == 422, answer.status_code
    page = text_of(answer)
    for sentence in sentences:
        assert sentence in page
    assert "Nothing was stored" in page
    assert "--" not in page
    return page


@pytest.mark.parametrize(
    ("content", "why"),
    [
        ("", "The file is empty"),
        ("hello", "The file"),
        (b"\x1f\x8bxx", "The file is packed; unpack it first."),
        (b"date,tmin_c\n2001-01-01,\xff\n", "Line 2: is not UTF-8"),
        ("date,tmin_c\n2001-01-01,warm\n", 'Line 2: "warm" is no temperature'),
        ("date,tmin_c\n", "has a header and no days"),
    ],
)
def test_a_file_that_is_none_is_refused_and_all_stays(
    office: Client, kept: dict[str, list[str]], content: str | bytes, why: str
) -> None:
    page = refused(give(office, content), why)
    assert "A browser does not keep a chosen file: choose it again." in page
    assert everything() == kept


def test_a_file_that_does_not_tell_its_unit_asks_for_it_and_keeps_what_was_typed(
    office: Client,
) -> None:
    answer = give(office, UNTOLD, station_id="", station_name="Hill")
    refused(
        answer,
        "Unit of its numbers : The file does not say whether its temperatures are",
        "choose its unit here.",
        "Id of the station : The file does not say which station it is of",
    )
    body = answer.content.decode()
    assert 'value="Hill"' in body
    assert re.search(r'<details class="fold" open><summary>The file does not', body)
    assert not WeatherStation.objects.exists()
    assert give(office, UNTOLD, station_name="Hill", unit="degC").status_code == 302
    row = WeatherStation.objects.get()
    assert (row.name, row.record["unit"]) == ("Hill", "degC")
    assert "in °C, as you said" in text_of(office.get(PAGE))


@pytest.mark.parametrize("content", [dly(DAYS), plain_csv(DAYS, "degF")])
def test_a_unit_against_the_files_own_word_is_refused(
    office: Client, content: str
) -> None:
    refused(give(office, content, station_id="", unit="degC"), "choose no unit here")


def test_how_the_unit_is_known_is_told_in_the_words_of_a_page(office: Client) -> None:
    give(office, summaries_csv(some_days(400)), station_id="")
    page = text_of(office.get(PAGE))
    assert "if that is wrong, give the file again with its unit" in page
    assert "--" not in page


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ({"station_id": "other"}, "is of station"),
        ({"latitude": "40"}, "both latitude and longitude"),
        ({"latitude": "forty"}, '"forty" is no number of degrees'),
        ({"latitude": "91", "longitude": "0"}, "nowhere on Earth"),
        ({"elevation": "1000"}, '"1000" has no unit'),
        ({"elevation": "99 km"}, "No ground on Earth"),
        ({"unit": "kelvin"}, "kelvin"),
        ({"station_name": "n" * 501}, "500"),
    ],
)
def test_what_is_typed_beside_the_file_is_refused_by_name(
    office: Client, typed: dict[str, str], why: str
) -> None:
    content = summaries_csv(DAYS).replace('"40.40","-101.73","1072.0"', ",,")
    asked = {"station_id": ""} | typed
    refused(give(office, content, **asked), why)
    assert not WeatherStation.objects.exists()
    assert not SiteWeather.objects.exists()


@pytest.mark.parametrize("address", ["file/", "forecast/"])
def test_without_a_file_a_file_is_asked_for(office: Client, address: str) -> None:
    refused(office.post(f"{PAGE}{address}", {}), "Choose a file first.")


@pytest.mark.parametrize(
    ("address", "field"), [("file/", "record_file"), ("forecast/", "forecast_file")]
)
def test_a_file_of_more_than_ten_megabytes_is_not_read(
    office: Client, address: str, field: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_args: object) -> None:
        raise AssertionError("it was read")

    monkeypatch.setattr(SimpleUploadedFile, "read", never)
    for reader in ("read_record", "read_forecast"):
        monkeypatch.setattr(f"maintenance.web.forms.weather_files.{reader}", never)
    large = a_file(b"1" * 10_000_001)
    answer = office.post(f"{PAGE}{address}", {field: large, "station_id": "x"})
    refused(answer, "The file has 10 MB; at most 10 MB are read here")


@pytest.mark.parametrize(
    ("address", "typed", "why"),
    [
        ("offset/", {"offset": "cold", "offset_side": "colder degF"}, "is no number"),
        ("offset/", {"offset": "-2", "offset_side": "colder degF"}, "has a sign"),
        ("offset/", {"offset": "40", "offset_side": "colder degF"}, "wrong station"),
        ("offset/", {"offset": "2", "offset_side": "odd"}, "odd"),
        ("terms/", {"crew_days": "9"}, "write 0 to 6"),
        ("terms/", {"crew_days": "soon"}, '"soon" is no number of days'),
        ("terms/", {"value_of_a_day": "5"}, "or leave all three empty"),
        ("terms/", {"share_saved": "0.8"}, "could be a share or a percentage"),
        (
            "terms/",
            {"value_of_a_day": "5", "cost_of_damage": "400", "share_saved": "100"},
            "less than 1",
        ),
        ("terms/", {"cost_of_damage": "much"}, '"much" is no amount'),
        ("night/", {"night_low": "25", "night_day": "soon"}, "Write a day such as"),
        ("night/", {"night_low": "", "night_day": "2026-01-05"}, "Write a number"),
        ("night/", {"night_low": "25", "night_day": "2999-01-05"}, "not come yet"),
        ("night/", {"night_low": "999", "night_day": "2026-01-05"}, "at the unit"),
    ],
)
def test_what_cannot_be_is_refused_at_its_question(
    office: Client, address: str, typed: dict[str, str], why: str
) -> None:
    typed = {"night_unit": "degF"} | typed
    answer = office.post(f"{PAGE}{address}", typed)
    refused(answer, why)
    body = answer.content.decode()
    given = next(value for value in typed.values() if value != "degF")
    assert given in body
    assert not SiteWeather.objects.exists()


def test_a_station_that_is_gone_is_said_plainly(office: Client) -> None:
    assert office.post(f"{PAGE}attach/", {"station": "none"}).status_code == 404
    assert office.post(f"{PAGE}offset/", {}).status_code in (302, 422)
    for address in ("attach/", "file/", "offset/", "terms/", "forecast/", "night/"):
        assert office.get(f"{PAGE}{address}").status_code == 405
        gone = PAGE.replace("example-lateral", "nowhere")
        assert office.post(f"{gone}{address}", {}).status_code == 404


def test_an_outlook_that_fails_does_not_hide_that_it_was_stored(
    office: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_args: object, **_options: object) -> None:
        raise InputError("the ground is missing")

    monkeypatch.setattr("maintenance.web.outlook_anew.keep_outlook", fails)
    keep(local_account(), "south")
    assert office.post(f"{PAGE}attach/", {"station": "south"}).status_code == 302
    page = text_of(office.get(PAGE))
    assert "Stored: the station stands for this site." in page
    assert "No outlook can be worked out" in page
    assert "the ground is missing." in page


@pytest.mark.slow
def test_two_hundred_damaged_files_are_stored_whole_or_not_at_all(
    office: Client, kept: dict[str, list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    # The forecasts of the tests are of these days.
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOW)
    told: Counter[tuple[str, int]] = Counter()
    for each in mutated_files(200):
        file = a_file(each.content, f"{each.number}.txt")
        with transaction.atomic():
            if each.kind == "record":
                answer = give(office, each.content, name=f"{each.number}.txt")
                if answer.status_code == 422 and "is of station" in text_of(answer):
                    answer = give(office, each.content, station_id="")
            else:
                answer = office.post(f"{PAGE}forecast/", {"forecast_file": file})
            told[each.kind, answer.status_code] += 1
            if answer.status_code == 422:
                assert everything() == kept, (each.format, each.number)
                assert "--unit" not in text_of(answer)
            else:
                assert answer.status_code == 302, (each.format, each.number)
            transaction.set_rollback(True)
    assert sum(told.values()) == 200
    for kind in ("record", "forecast"):
        assert min(told[kind, status] for status in (302, 422)) >= 5, told
