"""Ways to the pages of stations and of a site's weather, empty, full and refused."""

from collections.abc import Callable
from datetime import timedelta

from django.utils import timezone
from playwright.sync_api import Page, expect

from maintenance.exchange.weather.record_file import read_record
from maintenance.services.accounts import local_account
from maintenance.services.weather.forecasts import keep_forecast
from maintenance.services.weather.observations import observe_night
from maintenance.services.weather.site_weather import attach_station
from tests.exchange.weather.weather_files import plain_csv, some_days
from tests.services.weather.weather import a_forecast, keep

Way = Callable[[Page, str], object]
WEATHER = "/sites/larkmoor/weather/"


def put_weather() -> None:
    """Let a station with gaps and rejected values stand for Larkmoor, beside others."""
    account, now = local_account(), timezone.now()
    lines = plain_csv(some_days(1500)).splitlines()
    lines[30] = lines[30].split(",", maxsplit=1)[0] + ",70.0,75.0"
    del lines[100:110]
    record = read_record("\n".join(lines))
    keep(
        account,
        "north",
        record=record,
        name="North field",
        latitude_deg=44.2,
        longitude_deg=-110.3,
        elevation_m=1700.0,
    )
    keep(account, "east", name="East ridge", latitude_deg=44.0, longitude_deg=-109.0)
    keep(account, "idle")
    attach_station(
        account, site_key="larkmoor", station_key="north", now=now, actor="Ann"
    )
    begin = now.replace(minute=0, second=0, microsecond=0)
    keep_forecast(account, site_key="larkmoor", forecast=a_forecast(begin), now=now)
    observe_night(
        account,
        site_key="larkmoor",
        day=(now - timedelta(days=2)).date(),
        minimum_k=270.0,
        now=now,
        actor="Ann",
    )


def _with_weather(address: str, heading: str) -> Way:
    def go(page: Page, office: str) -> None:
        put_weather()
        page.goto(f"{office}{address}")
        expect(page.get_by_role("heading", level=1)).to_have_text(heading)
        for fold in page.locator("main details.fold").all():
            fold.evaluate("each => each.open = true")

    return go


def _bare(page: Page, office: str) -> None:
    page.goto(f"{office}{WEATHER}")
    expect(page.get_by_text("No station stands for this site yet")).to_be_visible()


def _refused(page: Page, office: str) -> None:
    page.goto(f"{office}{WEATHER}")
    file = {"name": "x.csv", "mimeType": "text/csv", "buffer": b"date,tmin\n"}
    page.get_by_label("A file of daily temperatures").set_input_files(file)  # type: ignore[arg-type]
    page.get_by_role("button", name="Store it and attach it").click()
    expect(page.get_by_role("alert")).to_contain_text("choose it again")


WEATHER_WAYS: dict[str, Way] = {
    "weather of a site": _with_weather(WEATHER, "Weather"),
    "weather, bare": _bare,
    "weather, refused": _refused,
    "stations": _with_weather("/stations/", "Stations"),
    "station": _with_weather("/stations/north/", "North field"),
}
