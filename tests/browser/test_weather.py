"""A station is attached from a file, its report read, a forecast given, all printed."""

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from django.urls import NoReverseMatch, reverse
from playwright.sync_api import Page, expect

from tests.browser.weather_ways import WEATHER, put_weather
from tests.exchange.weather.forecast_files import csv_forecast

CHAMPION = Path(__file__).parents[2] / "fixtures" / "climate" / "champion.csv"


def _outlook() -> str:
    try:
        return reverse("freeze_outlook", args=["larkmoor"])
    except NoReverseMatch:
        return ""


def _forecast(path: Path) -> Path:
    begin = datetime.now(UTC).replace(minute=0, second=0, microsecond=0)
    hours = [(begin + timedelta(hours=n), 40.0 - n % 24, 5.0, 50.0) for n in range(96)]
    path.write_text(csv_forecast([*hours]), encoding="utf-8")
    return path


def test_from_a_file_to_the_outlook(
    demo_office: str, page: Page, complaints: list[str], tmp_path: Path
) -> None:
    page.goto(f"{demo_office}/sites/larkmoor/")
    page.get_by_role("link", name="Its weather").click()
    main = page.get_by_role("main")
    page.get_by_label("A file of daily temperatures").set_input_files(CHAMPION)
    page.get_by_role("button", name="Store it and attach it").click()

    # The file tells no station: it is asked for, and what it is for is still open.
    expect(page.get_by_role("alert")).to_contain_text("give it an id")
    expect(page.get_by_role("alert")).to_contain_text("choose it again")
    page.get_by_label("Id of the station").fill("champion")
    page.get_by_label("Name of the station").fill("Champion, Nebraska")
    page.get_by_label("A file of daily temperatures").set_input_files(CHAMPION)
    page.get_by_role("button", name="Store it and attach it").click()
    expect(main).to_contain_text("Stored: 13,514 days with a minimum.")
    expect(main).to_contain_text("36 whole seasons, 100 % of the days known")
    expect(main).to_contain_text("13,514 with a lowest temperature, 0 without")

    given = _forecast(tmp_path / "forecast.csv")
    page.get_by_label("A file with an hourly forecast").set_input_files(given)
    page.get_by_role("button", name="Store the forecast").click()
    expect(main).to_contain_text("Stored: a forecast of 96 hours.")
    expect(main).to_contain_text("less than an hour old")

    if address := _outlook():
        page.get_by_role("link", name="Freeze outlook").click()
        expect(page).to_have_url(re.compile(re.escape(address)))
        expect(page.get_by_role("heading", level=1)).to_be_visible()


def test_while_it_works_it_says_so_and_the_button_is_off(
    demo_office: str, page: Page, complaints: list[str]
) -> None:
    put_weather()
    page.goto(f"{demo_office}{WEATHER}")
    # The browser driver looks at no page that waits for an answer: none is sent for.
    page.evaluate("document.addEventListener('submit', e => e.preventDefault())")
    button = page.get_by_role("button", name="Store the offset")
    button.click()
    expect(page.get_by_text("Working the dates out anew")).to_be_visible()
    expect(button).to_be_disabled()
    expect(page.get_by_role("button", name="Store the terms")).to_be_enabled()


@pytest.mark.parametrize("address", [WEATHER, "/stations/", "/stations/north/"])
def test_printed_it_is_a_record_and_no_form(
    demo_office: str, page: Page, complaints: list[str], address: str
) -> None:
    put_weather()
    page.goto(f"{demo_office}{address}")
    page.emulate_media(media="print")
    main = page.get_by_role("main")
    expect(main).to_contain_text("North field")
    for shown in ("form.questions", "button", "input[type=file]"):
        for each in main.locator(shown).all():
            expect(each).not_to_be_visible()
    if "stations" not in address:
        expect(main).to_contain_text("The site lies")


def test_on_a_phone_a_station_is_attached_without_scrolling_sideways(
    demo_office: str, page: Page, complaints: list[str]
) -> None:
    put_weather()
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"{demo_office}{WEATHER}")
    button = page.get_by_role("button", name="Attach East ridge")
    box = button.bounding_box()
    assert box is not None
    assert box["x"] + box["width"] <= 360
    button.click()
    expect(page.get_by_role("main")).to_contain_text("East ridge stands for this site")
