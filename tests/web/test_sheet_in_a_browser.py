"""The blow-out sheet in a real browser: on paper, on a phone, with a compressor chosen."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from playwright.sync_api import Page, expect

from tests.barriers import barriers
from tests.web.conftest import FIXTURES

COMPRESSORS = FIXTURES / "demo" / "compressors"
SHEET = "/sites/larkmoor/blow-out/"
PAGES = (
    SHEET,
    f"{SHEET}?compressor=yard-25&compressor=pancake-6&compressor=towed-185",
    f"{SHEET}?set=25+psi&longest_pass=20+s&row=19",
    f"{SHEET}?zone=13&set=30+psi&passes=4",
    f"{SHEET}13/what-helps/?compressor=yard-25",
    f"{SHEET}27/what-helps/?compressor=pancake-6",
    "/worksheets/",
    "/worksheets/free_air/?free_air_delivery=25+cfm&elevation=1900+m&inlet_temperature=45+degF",
)
# Words of a drawing that are seen, and their height.
WORDS = """() => [...document.querySelectorAll('figure svg text')]
  .map(text => [text.textContent, text.getBoundingClientRect().height])
  .filter(([, height]) => height > 0)"""


@pytest.fixture
def served(live_server: Any) -> str:
    """Serve the estate with two compressors and one without a tank."""
    office = Client()
    names = ("yard-25", "pancake-6", "towed-185")
    files = [COMPRESSORS / f"{name}.json" for name in names]
    for path in (FIXTURES / "demo" / "larkmoor.json", *files):
        answer = office.post("/import/", {"text": path.read_text("utf-8")})
        assert answer.status_code == 302
    return str(live_server.url)


@pytest.fixture
def complaints(page: Page) -> Iterator[list[str]]:
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    yield said
    assert said == []


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_thirty_zones_print_on_two_pages(
    served: str, page: Page, tmp_path: Path, paper: str
) -> None:
    page.goto(served + SHEET)
    data = page.pdf(path=tmp_path / "sheet.pdf", format=paper)
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", data)) == 2
    page.emulate_media(media="print")
    for heading in ("If this happens", "Bring", "After", "Notes", "What is assumed"):
        expect(page.get_by_role("heading", name=heading, exact=True)).to_be_visible()
    for column in ("Start", "Reading", "Done"):
        expect(
            page.get_by_role("columnheader", name=column, exact=True)
        ).to_be_visible()
    cautions = page.locator(".rows .caution")
    assert cautions.count() > 5
    assert all(each.is_visible() for each in cautions.all())


@pytest.mark.slow
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_no_sheet_has_a_barrier_or_scrolls_sideways(
    served: str, page: Page, complaints: list[str], width: int, scheme: Any
) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.emulate_media(color_scheme=scheme)
    for address in PAGES:
        page.goto(served + address)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, address
        assert barriers(page) == [], address


@pytest.mark.slow
def test_a_newcomer_changes_the_compressor_and_reads_a_refusal(
    served: str, page: Page, complaints: list[str]
) -> None:
    page.goto(served + SHEET)
    expect(page.locator(".answer").first).to_contain_text("yard-25 should clear")
    page.get_by_label("yard-25").uncheck()
    page.get_by_label("towed-185").check()
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator(".answer").first).to_contain_text("towed-185 should clear")
    assert "compressor=towed-185" in page.url
    page.get_by_text("Air, setting, passes, one zone only").click()
    page.get_by_label("Setting, if not the tool’s own").fill("90 psi")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator(".fault").first).to_contain_text("above the limit of zone")
    expect(page.get_by_label("Setting, if not the tool’s own")).to_have_value("90 psi")


@pytest.mark.slow
def test_a_row_that_falls_short_leads_to_what_helps_and_back(
    served: str, page: Page, complaints: list[str]
) -> None:
    page.goto(f"{served}{SHEET}?compressor=pancake-6&air=40+degF")
    page.get_by_role("link", name="What would help zone 27").click()
    heading = page.get_by_role("heading", level=1)
    expect(heading).to_contain_text("What would help zone 27")
    expect(page.get_by_role("main")).to_contain_text("with pancake-6")
    words = page.evaluate(WORDS)
    assert len(words) >= 6
    assert min(height for _, height in words) >= 9
    page.set_viewport_size({"width": 360, "height": 800})
    inside, wide = page.locator(".scroll:has(.remedies)").evaluate(
        "box => [box.scrollWidth, box.clientWidth]"
    )
    assert inside <= wide
    page.get_by_role("link", name="Back to the sheet").click()
    expect(page).to_have_url(re.compile(r"compressor=pancake-6&air=40\+degF$"))


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_what_helps_prints_black_on_white_without_buttons(
    served: str, page: Page, tmp_path: Path, paper: str
) -> None:
    page.emulate_media(media="print", color_scheme="dark")
    page.goto(f"{served}{SHEET}27/what-helps/?compressor=pancake-6")
    expect(page.get_by_role("link", name="Back to the sheet")).to_be_hidden()
    expect(page.locator(".caution").last).to_be_visible()
    expect(page.locator("figure svg")).to_be_visible()
    colours = page.evaluate(
        "() => [...document.querySelectorAll('main :is(h1, h2, p, th, td, dd, li)')]"
        ".map(e => getComputedStyle(e).color)"
    )
    assert set(colours) == {"rgb(0, 0, 0)"}
    data = page.pdf(path=tmp_path / "help.pdf", format=paper)
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", data)) <= 2


@pytest.mark.slow
def test_one_zone_is_chosen_and_all_are_shown_again(
    served: str, page: Page, complaints: list[str]
) -> None:
    page.goto(f"{served}{SHEET}?compressor=yard-25")
    page.get_by_text("Air, setting, passes, one zone only").click()
    page.get_by_label("Zones shown").select_option("13")
    page.get_by_label("Passes on each row").fill("5")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("tr.main")).to_have_count(1)
    expect(page.locator("tr.main")).to_contain_text("5 × ")
    page.get_by_role("link", name="show all zones").click()
    expect(page.locator("tr.main").nth(20)).to_be_attached()
    expect(page.get_by_label("Passes on each row")).to_have_value("5")


@pytest.mark.slow
def test_a_figure_opens_in_place_on_how_it_was_worked_out(
    served: str, page: Page
) -> None:
    page.goto(served + SHEET)
    door = page.locator("tr.main .door").first
    expect(door.locator(".working")).not_to_be_visible()
    door.locator("summary").click()
    expect(door.locator(".working")).to_contain_text("Least over all parts")
    expect(door.locator(".working")).to_contain_text("Source:")
