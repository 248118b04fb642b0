"""Every page: no barrier that axe finds, no complaint, no sideways scroll."""

import re
from collections.abc import Callable
from itertools import product
from typing import Literal

import pytest
from playwright.sync_api import Page, expect

from tests.barriers import barriers
from tests.browser.assembly_ways import ASSEMBLY_WAYS
from tests.browser.background_ways import BACKGROUND_WAYS
from tests.browser.conftest import A_REFUSED_FORM
from tests.browser.freeze_ways import FREEZE_WAYS
from tests.browser.office_ways import OFFICE_WAYS
from tests.browser.reminder_ways import EMPTY_REMINDERS, REMINDER_WAYS
from tests.browser.season_ways import SEASON_WAYS
from tests.browser.weather_ways import WEATHER_WAYS

SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
WIDTHS = (360, 1280)
FAULTY = '{"format": "irrigation-site/1", "id": "x", "points": [{"id": "a"}, 3]}'

Way = Callable[[Page, str], object]


def _goes_to(address: str, heading: str) -> Way:
    def go(page: Page, office: str) -> None:
        page.goto(f"{office}{address}")
        expect(page.get_by_role("heading", level=1)).to_have_text(heading)

    return go


def _sheet(page: Page, office: str) -> None:
    page.goto(f"{office}/sites/larkmoor/blow-out/?compressor=yard-25")
    expect(page.get_by_role("table").first).to_be_visible()


def _sheet_of_three(page: Page, office: str) -> None:
    beside = "&".join(
        f"compressor={name}" for name in ("yard-25", "pancake-6", "towed-185")
    )
    page.goto(f"{office}/sites/larkmoor/blow-out/?{beside}")
    expect(page.get_by_role("table").first).to_be_visible()


def _one_zone(page: Page, office: str) -> None:
    asked = "compressor=yard-25&zone=13&set=30+psi&passes=4"
    page.goto(f"{office}/sites/larkmoor/blow-out/?{asked}")
    expect(page.get_by_label("Zones shown")).to_have_value("13")


def _a_refused_sheet(page: Page, office: str) -> None:
    page.goto(f"{office}/sites/larkmoor/blow-out/?zone=none&air=hot&passes=many")
    expect(page.locator(".fault")).to_have_count(3)


def _what_helps(page: Page, office: str) -> None:
    page.goto(f"{office}/sites/larkmoor/blow-out/?compressor=pancake-6")
    page.get_by_role("link", name="What would help zone 27").click()
    expect(page.locator("figure svg")).to_be_visible()


def _water_left(page: Page, office: str) -> None:
    asked = "compressor=yard-25&skip=13&skip=15&frost_depth=20+in&line=zone:15"
    page.goto(f"{office}/sites/larkmoor/water-left/?{asked}")
    expect(page.locator("figure svg")).to_have_count(2)
    for fold in page.locator("main details.fold").all():
        fold.evaluate("each => each.open = true")


def _a_refused_map(page: Page, office: str) -> None:
    page.goto(f"{office}/sites/larkmoor/water-left/?frost_depth=deep&line=none")
    expect(page.locator(".fault")).to_have_count(2)


def _faults_of_an_import(page: Page, office: str) -> None:
    page.goto(f"{office}/import/")
    page.get_by_label("Or paste it here").fill(FAULTY)
    page.get_by_role("button", name="Store").click()
    expect(page.get_by_role("alert")).to_contain_text("to mend")


def _a_worksheet(page: Page, office: str) -> None:
    page.goto(f"{office}/worksheets/")
    page.get_by_role("main").get_by_role("link").first.click()
    expect(page).to_have_url(re.compile(r"/worksheets/[^/]+/$"))
    expect(page.get_by_role("heading", level=1)).to_be_visible()


WAYS: dict[str, Way] = {
    "home": _goes_to("/", "Sites"),
    "site": _goes_to("/sites/larkmoor/", "Larkmoor Gardens"),
    "one card": _goes_to("/sites/cinder-walk-9/", "9 Cinder Walk, Quillbend"),
    "straight run": _goes_to("/sites/crook-lane-22/zones/4/edit/", "Zone 4"),
    "sheet": _sheet,
    "one zone": _one_zone,
    "refused sheet": _a_refused_sheet,
    "what helps": _what_helps,
    "water left": _water_left,
    "water drained": _goes_to(
        "/sites/larkmoor/water-left/?compressor=",
        "Where water is left: Larkmoor Gardens",
    ),
    "refused map": _a_refused_map,
    "three compressors": _sheet_of_three,
    "new site": _goes_to("/sites/new/", "Type in a site"),
    "faults": _faults_of_an_import,
    "compressors": _goes_to("/compressors/", "Compressors"),
    "worksheets": _goes_to("/worksheets/", "Worksheets"),
    "worksheet": _a_worksheet,
    **ASSEMBLY_WAYS,
    **BACKGROUND_WAYS,
    **SEASON_WAYS,
    **FREEZE_WAYS,
    **OFFICE_WAYS,
    **REMINDER_WAYS,
    **WEATHER_WAYS,
}
# A page must also hold up while there is nothing to show.
EMPTY: dict[str, Way] = {name: WAYS[name] for name in ("home", "compressors")} | {
    "season": _goes_to("/seasons/", "Season"),
    "backflow": _goes_to("/backflow/", "What is due"),
    "frost": _goes_to("/freeze/", "Frost"),
    "stations": _goes_to("/stations/", "Stations"),
    **EMPTY_REMINDERS,
}


def _faults(page: Page) -> list[str]:
    """Return what is wrong with the page as it stands, in each scheme and width."""
    found: list[str] = []
    for width, scheme in product(WIDTHS, SCHEMES):
        page.set_viewport_size({"width": width, "height": 800})
        page.emulate_media(color_scheme=scheme)
        reach = page.evaluate("document.documentElement.scrollWidth")
        if reach > width:
            found.append(f"{width} px: reaches {reach} px")
        found += [f"{width} px, {scheme}: {text}" for text in barriers(page)]
    return found


@pytest.mark.slow
@pytest.mark.parametrize("name", WAYS)
def test_a_page_has_no_barrier_no_complaint_and_no_sideways_scroll(
    demo_office: str, page: Page, complaints: list[str], name: str
) -> None:
    WAYS[name](page, demo_office)
    assert _faults(page) == []


@pytest.mark.slow
@pytest.mark.parametrize("name", EMPTY)
def test_an_empty_page_has_no_barrier_and_no_complaint(
    empty_office: str, page: Page, complaints: list[str], name: str
) -> None:
    EMPTY[name](page, empty_office)
    assert _faults(page) == []


def test_a_refused_form_is_the_one_complaint_that_is_let_pass(
    empty_office: str, page: Page, complaints: list[str]
) -> None:
    _faults_of_an_import(page, empty_office)
    assert [A_REFUSED_FORM in text for text in complaints] == [True]


def test_a_breach_of_the_policy_and_a_barrier_would_be_seen(
    empty_office: str, page: Page
) -> None:
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.goto(f"{empty_office}/sites/new/")
    page.evaluate(
        """() => {
          const script = document.createElement('script');
          script.textContent = 'window.itRan = true';
          document.body.append(script);
          document.querySelector('main label').remove();
          document.querySelector('h1').style.color = '#eee';
          document.querySelector('h1').style.width = '3000px';
        }"""
    )
    assert page.evaluate("window.itRan") is None
    assert any("Content Security Policy" in text for text in said)
    found = " ".join(_faults(page))
    assert "reaches" in found
    assert "label:" in found
    assert "color-contrast:" in found
