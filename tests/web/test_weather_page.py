"""The page of a site's weather: what is given there is stored, told and counted."""

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from maintenance.models import (
    KeptForecast,
    ObservedNight,
    SiteOutlook,
    SiteWeather,
    WeatherStation,
)
from maintenance.services.accounts import local_account
from maintenance.services.weather.site_weather import stated_of
from tests.exchange.weather.weather_files import plain_csv, some_days, summaries_csv
from tests.services.weather.weather import keep
from tests.web.conftest import text_of
from tests.web.weather_pages import CLIMATE, KEY, PAGE, YEARS, a_file, give

pytestmark = pytest.mark.usefixtures("lateral")


def after(office: Client, answer: object) -> str:
    """Follow a redirect to the page and return what it says."""
    assert getattr(answer, "status_code", 0) == 302, text_of(answer)
    return text_of(office.get(PAGE))


def test_without_a_station_the_page_says_what_to_give(office: Client) -> None:
    page = text_of(office.get(PAGE))
    assert "No station stands for this site yet" in page
    assert "Give a file of a station" in page
    assert f'href="{PAGE}"' in office.get(f"/sites/{KEY}/").content.decode()


def test_a_file_is_stored_attached_and_its_completeness_told(office: Client) -> None:
    said = after(
        office,
        give(office, station_name="North field", latitude="40.4", longitude="-101.7"),
    )
    assert "North field stands for this site: 3 whole seasons" in said
    assert "Few: 30 are the custom" in said
    row = WeatherStation.objects.get()
    minima = row.record["tmin_k"]
    known = sum(value is not None for value in minima)
    assert (
        f"{known:,} with a lowest temperature, {len(minima) - known:,} without" in said
    )
    assert "Longest gaps" in said
    assert "Missing days by year" in said
    assert "in °C, as its header says" in said
    assert "north.csv, read" in said
    assert SiteWeather.objects.get().station == row
    assert SiteOutlook.objects.get().site.key == KEY


def test_what_the_file_tells_of_its_station_need_not_be_typed(office: Client) -> None:
    give(office, summaries_csv(some_days(500)), station_id="")
    row = WeatherStation.objects.get()
    assert (row.key, row.name) == ("USC00251664", "CHAMPION, NE US")
    assert (row.latitude, row.longitude, row.elevation_m) == (40.4, -101.73, 1072.0)


def test_the_difference_in_height_is_shown_and_corrects_nothing(office: Client) -> None:
    version = office.get(f"/sites/{KEY}/place/").content.decode()
    assert "version" in version
    give(office, latitude="40.4", longitude="-101.7", elevation="1000 m")
    said = text_of(office.get(PAGE))
    assert "the site or the station has no position" in said
    account = local_account()
    account.sites.update(latitude=40.5, longitude=-101.7)
    said = text_of(office.get(PAGE))
    # A tenth of a degree of latitude is 6.9 miles.
    assert "Distance 6.9 mi" in said
    assert "The site lies 3281 ft lower than the station. Nothing is corrected" in said
    office.cookies["units"] = "si"
    assert "Distance 11 km" in text_of(office.get(PAGE))


def test_a_newer_file_tells_what_changed(office: Client) -> None:
    give(office, plain_csv(some_days(1000)))
    said = after(office, give(office, plain_csv(some_days(1100))))
    assert "The record runs 5 Mar 2001 to" in said
    assert "before 5 Mar 2001 to 29 Nov 2003" in said
    assert "days more with a minimum" in said
    said = after(office, give(office, plain_csv(some_days(1100))))
    assert "was here already; nothing of the station changed" in said


def test_a_station_of_the_list_is_attached_and_let_go(office: Client) -> None:
    keep(local_account(), "south")
    page = office.get(PAGE).content.decode()
    assert 'value="south"' in page
    said = after(office, office.post(f"{PAGE}attach/", {"station": "south"}))
    assert "south stands for this site" in said
    assert "No dates come from this station" in said
    assert SiteWeather.objects.get().history.get().actor == "Someone"
    said = after(office, office.post(f"{PAGE}attach/", {"station": ""}))
    assert "No station stands for this site yet" in said


@pytest.mark.parametrize(
    ("typed", "side", "offset_k", "said"),
    [
        ("2", "colder degF", -2 / 1.8, "2 °F colder than its station"),
        ("1.5", "warmer degC", 1.5, "2.7 °F warmer than its station"),
        ("0", "colder degC", 0.0, "as cold as its station"),
    ],
)
def test_the_offset_is_a_difference_of_temperatures(
    office: Client, typed: str, side: str, offset_k: float, said: str
) -> None:
    give(office)
    answer = office.post(f"{PAGE}offset/", {"offset": typed, "offset_side": side})
    assert said in after(office, answer)
    assert SiteWeather.objects.get().offset_k == pytest.approx(offset_k)


def test_terms_are_stated_and_what_is_not_is_marked(office: Client) -> None:
    page = text_of(office.get(PAGE))
    assert "2 days after the call (assumed)" in page
    assert "from a chance of 10 % (assumed)" in page
    said = after(
        office,
        office.post(
            f"{PAGE}terms/",
            {
                "crew_days": "1",
                "value_of_a_day": "5",
                "cost_of_damage": "$ 400",
                "share_saved": "80 %",
            },
        ),
    )
    # 5 / (400 (1 - 0.8)), as in the example of `chance_worth_acting_on`.
    assert "1 day after the call. It is called from a chance of 6.25 % of a" in said
    assert stated_of(SiteWeather.objects.get()).worth == (5.0, 400.0, 0.8)
    body = office.get(PAGE).content.decode()
    assert 'value="400"' in body
    assert 'value="80"' in body


def test_a_forecast_file_is_kept_and_its_age_told(office: Client) -> None:
    lines = (CLIMATE / "larkmoor_forecast.csv").read_text("utf-8").splitlines()
    hour = timezone.now().replace(minute=0)
    begin = datetime(2026, 10, 5, 12, tzinfo=UTC)
    moved = [lines[0]]
    for line in lines[1:]:
        time, _, rest = line.partition(",")
        at = datetime.fromisoformat(time).replace(tzinfo=UTC) - begin + hour
        moved.append(f"{at:%Y-%m-%dT%H:%M}+00:00,{rest}")
    content = "\n".join(moved)
    answer = office.post(f"{PAGE}forecast/", {"forecast_file": a_file(content)})
    said = after(office, answer)
    assert "Stored: a forecast of 156 hours." in said
    assert "CSV, from a file; less than an hour old" in said
    assert KeptForecast.objects.get().came_from == "file"


def test_last_night_is_kept_with_who_read_it(office: Client) -> None:
    office.cookies["who"] = "Ann"
    today = timezone.now().date().isoformat()
    typed = {"night_day": "2026-01-05", "night_low": "-4.5", "night_unit": "degC"}
    said = after(office, office.post(f"{PAGE}night/", typed))
    assert "5 Jan 2026 24 Ann" in said
    row = ObservedNight.objects.get()
    assert row.minimum_k == pytest.approx(268.65)
    assert row.day == date(2026, 1, 5) < date.fromisoformat(today)


def test_a_page_with_all_of_it_asks_the_database_this_often(office: Client) -> None:
    give(office, YEARS, latitude="40.4", longitude="-101.7")
    for key in ("south", "east", "west"):
        keep(local_account(), key)
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        assert fresh.get(PAGE).status_code == 200
    assert len(seen) == 10


def test_looking_changes_nothing(office: Client) -> None:
    give(office)
    with CaptureQueriesContext(connection) as seen:
        office.get(PAGE)
    writes = ("INSERT", "UPDATE", "DELETE")
    assert not [q for q in seen if q["sql"].lstrip().startswith(writes)]
