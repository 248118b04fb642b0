"""An assembly's facts, its photo and its winter, on a phone: what comes due, and why."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.assembly_ways import fill
from tests.services.backflow.test_photos import picture

PHONE = {"width": 360, "height": 740}
LEAST_TARGET_PX = 44
_PRESSED = """() => [...document.querySelectorAll(
  'main :is(button, input, select, a.button, .rooms a)')]
  .filter(each => each.offsetParent).length"""
_SMALLER_THAN = """least => [...document.querySelectorAll(
  'main :is(button, input, select, a.button, .rooms a)')]
  .filter(each => each.offsetParent)
  .filter(each => each.getBoundingClientRect().height < (each.closest('td') ? 24 : least))
  .map(each => each.outerHTML)"""


@pytest.fixture
def phone(page: Page) -> Page:
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    return page


def _reach(page: Page) -> int:
    reach: int = page.evaluate("document.documentElement.scrollWidth")
    return reach


def test_taken_out_for_winter_the_spring_test_is_raised_with_its_rule(
    demo_office: str, phone: Page, complaints: list[str]
) -> None:
    page = phone
    page.goto(f"{demo_office}/sites/larkmoor/")
    page.get_by_text("Backflow assembly: 1").click()
    page.get_by_role("link", name="B1 in the register").click()
    expect(page.get_by_role("main")).to_contain_text("Own interval")

    page.get_by_role("link", name="State its facts").first.click()
    page.get_by_label("Whose rules count").select_option(
        label="North Riverside, Illinois (village)"
    )
    page.get_by_label("A rule of its own").fill("")
    page.get_by_label("What it protects").fill("all zones of the estate")
    page.get_by_label("Height above the floor").fill("16 in")
    page.get_by_label("Kept from freezing").select_option(label="No")
    page.get_by_role("button", name="Store").click()
    expect(page.get_by_role("status")).to_have_text("Stored.")
    expect(page.get_by_role("main")).to_contain_text("all zones of the estate")

    page.get_by_role("link", name="Add a photo").click()
    page.get_by_label("Photo").set_input_files(
        {"name": "p.png", "mimeType": "image/png", "buffer": picture("PNG")}
    )
    page.get_by_label("What it shows").fill("cocks half open")
    page.get_by_role("button", name="Store").click()
    shown = page.get_by_alt_text("cocks half open")
    expect(shown).to_be_visible()
    expect(shown).to_have_js_property("naturalWidth", 80)

    page.get_by_role("link", name="It was taken out").click()
    page.get_by_label("On which day").fill("2025-10-14")
    page.get_by_label("where it is, and who has it").fill("shed, with Ann")
    page.get_by_role("button", name="Store").click()
    said = page.get_by_role("status")
    expect(said).to_contain_text("a test is due before it is reinstalled")
    expect(said).to_contain_text("North Riverside, Illinois")
    expect(page.get_by_role("main")).to_contain_text("stored: shed, with Ann")
    assert _reach(page) <= PHONE["width"]

    page.get_by_role("navigation", name="Main").get_by_role(
        "link", name="Backflow"
    ).click()
    row = page.get_by_role("row").filter(has_text="Larkmoor")
    expect(row).to_contain_text("before service")
    row.get_by_text("North Riverside, Illinois (village): test before").first.click()
    expect(row).to_contain_text("Source: northriverside-il.org/226/Winterizing")
    row.get_by_role("link", name="The rule north-riverside-reinstalled/1").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("North Riverside")


def test_what_is_pressed_on_a_phone_is_large_enough(
    demo_office: str, phone: Page
) -> None:
    device_id = fill()
    one = f"/sites/larkmoor/assemblies/B1/{device_id}/"
    for address in ("/backflow/", one, f"{one}facts/", f"{one}if-removed/"):
        phone.goto(f"{demo_office}{address}")
        assert phone.evaluate(_PRESSED) > 1
        # In a row of a table 24 px are enough: there are others beside it.
        assert phone.evaluate(_SMALLER_THAN, LEAST_TARGET_PX) == []


def test_the_list_prints_rules_with_their_sources_and_no_forms(
    demo_office: str, page: Page
) -> None:
    fill()
    page.goto(f"{demo_office}/backflow/")
    source = page.locator(".print-only", has_text="Source: WAC 246-290-490").first
    expect(source).to_be_hidden()
    page.emulate_media(media="print")
    expect(source).to_be_visible()
    expect(source).to_contain_text(re.compile(r"checked on \d+ \w+ \d{4}"))
    for gone in (".filters", ".rooms", ".strip"):
        expect(page.locator(gone)).to_be_hidden()
    expect(page.locator(".caution")).to_be_visible()
