"""The pages in a real browser: no sideways scroll, no complaint, no barrier."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.test import Client
from playwright.sync_api import Page, expect

from tests.barriers import barriers
from tests.web.conftest import COMPRESSOR, FIXTURES, LATERAL

LARKMOOR = FIXTURES / "demo" / "larkmoor.json"
ADDRESSES = (
    "/",
    "/look/",
    "/import/",
    "/nowhere/",
    "/sites/new/",
    "/sites/begun/pipes/",
    "/sites/example-lateral/",
    "/sites/larkmoor/",
    "/sites/example-lateral/compressor/",
    "/sites/example-lateral/history/",
    "/sites/example-lateral/place/",
    "/sites/larkmoor/links/B1/edit/",
    "/sites/larkmoor/zones/add/quick/",
    "/sites/larkmoor/zones/17/edit/",
    "/compressors/",
    "/compressors/new/",
    "/compressors/shop-25/edit/",
)


@pytest.fixture
def served(live_server: Any) -> str:
    """Serve two sites, a third one begun, and a compressor."""
    office = Client()
    for path in (LATERAL, COMPRESSOR, LARKMOOR):
        answer = office.post("/import/", {"text": path.read_text("utf-8")})
        assert answer.status_code == 302
    office.post("/sites/new/", {"name": "Begun"})
    return str(live_server.url)


@pytest.fixture
def complaints(page: Page) -> Iterator[list[str]]:
    """Collect what the console of the browser says."""
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    yield said
    expected = "status of 404"
    assert [text for text in said if expected not in text] == []


@pytest.mark.slow
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_no_page_has_a_barrier_or_scrolls_sideways(
    served: str, page: Page, complaints: list[str], width: int, scheme: Any
) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.emulate_media(color_scheme=scheme)
    for address in ADDRESSES:
        page.goto(f"{served}{address}")
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= width, address
        # Folded text must hold up as well; once open, all of a page is looked at.
        page.evaluate(
            "document.querySelectorAll('details').forEach(d => d.open = true)"
        )
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= width, f"{address} opened"
        assert barriers(page) == [], address


def test_the_search_for_barriers_finds_one(served: str, page: Page) -> None:
    page.goto(f"{served}/look/")
    page.evaluate("document.querySelector('#id_length').removeAttribute('id')")
    assert any(found.startswith("label") for found in barriers(page))


def test_what_a_finger_presses_is_large_enough(served: str, page: Page) -> None:
    page.set_viewport_size({"width": 360, "height": 800})
    page.goto(f"{served}/sites/new/")
    small = page.evaluate(
        """() => [...document.querySelectorAll(
            'button, a.button, select, input:not([type=hidden]), nav a, summary')]
          .map(e => [e.outerHTML.slice(0, 80), e.getBoundingClientRect().height])
          .filter(([_, height]) => height < 44)"""
    )
    assert small == []


def test_a_site_is_typed_in_by_forms_only(
    served: str, page: Page, complaints: list[str]
) -> None:
    page.goto(served)
    page.get_by_role("link", name="Type in a site").first.click()
    page.get_by_label("Name of the site").fill("Orchard end")
    page.get_by_role("button", name="Store and go on to the pipes").click()
    page.get_by_label("Its length, from the assembly").fill("120")
    page.get_by_role("button", name="Store and go on to the compressor").click()
    expect(page.get_by_role("alert")).to_contain_text('write "120 ft"')
    page.get_by_label("Its length, from the assembly").fill("120 ft")
    page.get_by_role("button", name="One more zone").click()
    expect(page.get_by_text("Zone 2", exact=True)).to_be_visible()
    expect(page.get_by_label("Its length, from the assembly")).to_have_value("120 ft")
    page.get_by_role("button", name="Store and go on to the compressor").click()
    expect(page.get_by_role("heading", name="Which compressor")).to_be_visible()
    # A browser writes down the refusal of a form: that one was meant.
    complaints[:] = [text for text in complaints if "status of 422" not in text]


def test_a_part_is_retired_and_put_back_with_the_keyboard(
    served: str, page: Page, complaints: list[str]
) -> None:
    page.goto(f"{served}/sites/example-lateral/points/H6/edit/")
    page.get_by_role("button", name="Retire it").press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Retired: H6")
    page.get_by_role("button", name="Undo").press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Back again")


def test_a_straight_run_is_laid_out_and_taken_back_with_the_keyboard(
    served: str, page: Page, complaints: list[str]
) -> None:
    page.goto(f"{served}/sites/larkmoor/zones/17/edit/")
    page.get_by_role("button", name="Lay it out part by part").press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Zone 17 is laid out")
    page.goto(f"{served}/sites/larkmoor/points/17.h1/edit/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Head 17.h1")
    page.goto(f"{served}/sites/larkmoor/")
    page.get_by_role("button", name="Undo").press("Enter")
    expect(page.get_by_role("status")).to_contain_text("a straight run again")


def test_the_keyboard_reaches_the_content_first(served: str, page: Page) -> None:
    page.goto(served)
    page.keyboard.press("Tab")
    skip = page.get_by_role("link", name="Skip to the content")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()


def test_paper_shows_no_strip_and_no_buttons(served: str, page: Page) -> None:
    page.goto(f"{served}/sites/larkmoor/")
    page.emulate_media(media="print")
    expect(page.get_by_role("navigation")).to_be_hidden()
    expect(page.get_by_role("button", name="Retire this site")).to_be_hidden()
    expect(page.get_by_role("heading", name="Larkmoor Gardens")).to_be_visible()
    colours = page.evaluate(
        "() => [getComputedStyle(document.body).color,"
        " getComputedStyle(document.documentElement).backgroundColor]"
    )
    assert colours == ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]
    for size in ("A4", "Letter"):
        assert page.pdf(format=size).startswith(b"%PDF")
