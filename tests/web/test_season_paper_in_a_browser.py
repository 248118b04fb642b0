"""A season's list in a real browser: on two sheets of paper, and entered from them."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from maintenance.services.accounts import local_account
from maintenance.services.seasons.queries import season_list
from tests.barriers import barriers
from tests.web.season_lists import (
    A_YEAR,
    MORNING,
    carry_out,
    closed,
    opened_larkmoor,
)

SHEETS_TO_FOLLOW = 2
LEAST_TYPE_PT = 7.0
PAPER_MM = {"A4": 210.0, "Letter": 215.9}
SIDE_MM = 7.0
PX_PER_MM, PX_PER_PT = 96 / 25.4, 96 / 72
FOOT = "Larkmoor Gardens: Shutdown list 2026, compiled 14 Oct 2026"
TYPE = """() => [...document.querySelectorAll('#season-print *')]
  .filter(e => e.checkVisibility() && !e.closest('svg')
    && [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()))
  .map(e => [parseFloat(getComputedStyle(e).fontSize), e.textContent.slice(0, 40)])"""
COLOURS = """() => [...new Set([...document.querySelectorAll('#season-print *')]
  .filter(e => e.checkVisibility() && e.textContent.trim() && !e.closest('svg'))
  .map(e => getComputedStyle(e).color))]"""
OUTSIDE = """() => [...document.querySelectorAll('#season-print :is(td, th, li)')]
  .filter(e => e.checkVisibility() && e.scrollWidth > e.clientWidth + 1)
  .map(e => e.textContent.trim().slice(0, 60))"""


@dataclass(frozen=True)
class Served:
    """Where Larkmoor's list stands."""

    office: str
    list_id: int

    def page(self, name: str) -> str:
        return f"{self.office}/sites/larkmoor/lists/{self.list_id}/{name}/"


@pytest.fixture
def served(live_server: Any) -> Served:
    return Served(str(live_server.url), opened_larkmoor(local_account()))


@pytest.fixture
def complaints(page: Page) -> Iterator[list[str]]:
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    yield said
    # The browser itself writes this down when a form with faults is answered 422.
    assert [text for text in said if "a status of 422" not in text] == []


def printed(page: Page, paper: str) -> list[str]:
    """Return the words of each sheet that comes out of the printer."""
    reader = PdfReader(BytesIO(page.pdf(format=paper)))
    return [re.sub(r"\s+", " ", sheet.extract_text()) for sheet in reader.pages]


@pytest.mark.parametrize("paper", PAPER_MM)
def test_the_list_prints_on_two_sheets_and_one_to_hang_up(
    served: Served, page: Page, complaints: list[str], paper: str
) -> None:
    page.goto(served.page("print"))
    *follow, hang = printed(page, paper)
    assert len(follow) == SHEETS_TO_FOLLOW
    whole = season_list(local_account(), list_id=served.list_id)
    for line in whole.all_steps:
        assert any(f" {line.number} " in f" {sheet} " for sheet in follow), line.number
    assert "Checked against 12 rules" in follow[0]
    assert "STAYS OPEN" in hang
    assert not any("STAYS OPEN" in sheet for sheet in follow)
    for each in whole.stays_open:
        assert each.id in hang
    for number, sheet in enumerate((*follow, hang), start=1):
        assert FOOT in sheet
        assert f"page {number} of {SHEETS_TO_FOLLOW + 1}" in sheet


@pytest.mark.parametrize("paper", PAPER_MM)
def test_on_paper_the_type_is_legible_black_and_inside_its_cell(
    served: Served, page: Page, complaints: list[str], paper: str
) -> None:
    page.emulate_media(media="print", color_scheme="dark")
    width = int((PAPER_MM[paper] - 2 * SIDE_MM) * PX_PER_MM)
    page.set_viewport_size({"width": width, "height": 1000})
    page.goto(served.page("print"))
    sizes = page.evaluate(TYPE)
    assert len(sizes) > 400
    small = [(px, text) for px, text in sizes if px < LEAST_TYPE_PT * PX_PER_PT - 0.01]
    assert small == []
    assert page.evaluate(COLOURS) == ["rgb(0, 0, 0)"]
    assert page.evaluate(OUTSIDE) == []
    expect(page.get_by_role("navigation", name="Main")).to_be_hidden()
    for column in ("Set", "Front", "Then passes", "Done at", "Read", "Time"):
        heads = page.get_by_role("columnheader", name=re.compile(f"^{column}\\b"))
        expect(heads.first).to_be_visible()
    boxes = page.locator("#season-print .box")
    assert boxes.count() > 100
    assert all(box.is_visible() for box in boxes.all()[:20])


def test_a_list_done_in_part_is_printed_no_longer(
    served: Served, page: Page, complaints: list[str]
) -> None:
    carry_out(local_account(), served.list_id, now=MORNING, steps=60)
    page.goto(served.page("print"))
    sheets = printed(page, "Letter")
    assert len(sheets) == SHEETS_TO_FOLLOW + 1
    assert "60 of" in sheets[0]


@pytest.mark.slow
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_no_page_of_the_season_has_a_barrier_or_scrolls_sideways(
    served: Served, page: Page, complaints: list[str], width: int, scheme: Any
) -> None:
    account = local_account()
    before = opened_larkmoor(account, now=MORNING - A_YEAR)
    closed(account, before, now=MORNING - A_YEAR)
    carry_out(account, served.list_id, now=MORNING, psi=15, steps=90)
    page.set_viewport_size({"width": width, "height": 800})
    page.emulate_media(color_scheme=scheme)
    addresses = [served.page(name) for name in ("print", "paper", "whole")]
    years = f"{served.office}/sites/larkmoor/years/"
    for address in (*addresses, f"{served.office}/seasons/", years):
        page.goto(address)
        page.evaluate(
            "document.querySelectorAll('details').forEach(d => d.open = true)"
        )
        assert page.evaluate("document.documentElement.scrollWidth") <= width, address
        assert barriers(page) == [], address


def test_a_paper_is_entered_by_its_exceptions_on_one_screen(
    served: Served, page: Page, complaints: list[str]
) -> None:
    whole = season_list(local_account(), list_id=served.list_id)
    blown = next(line for line in whole.steps if line.step.act == "blow")
    page.goto(served.page("paper"))
    page.get_by_label("Done by").fill("Ben")
    page.get_by_label("Day").fill("2026-10-14")
    page.get_by_label("Time").fill("16:45")
    page.get_by_label("All else on the paper was ticked").check()
    page.get_by_label(f"Step {blown.number}: reading in psi").fill("2")
    page.get_by_label(f"Step {blown.number}: seconds").fill("2:13")
    page.get_by_label("Step 12: outcome").select_option("skipped")
    page.get_by_role("button", name="Store all of it").click()
    # The reason is missing, and no row of air tells of the zone that is drained.
    alert = page.get_by_role("alert")
    expect(alert).to_contain_text("Nothing was stored. 2 to mend:")
    alert.get_by_role("link", name="Step 12").click()
    expect(page.get_by_label("Step 12: outcome")).to_be_in_viewport()
    expect(page.get_by_label("Step 12: outcome")).to_have_value("skipped")
    expect(page.get_by_label(f"Step {blown.number}: seconds")).to_have_value("2:13")
    page.get_by_label("Step 12: why skipped, or a note").fill("stays on this winter")
    page.get_by_label("Zone 10: how it ended").select_option("done")
    page.get_by_role("button", name="Store all of it").click()
    count = len(whole.all_steps)
    expect(page.get_by_role("status")).to_contain_text(
        f"Stored from paper: {count} steps and 30 zones."
    )
    page.go_back()
    page.get_by_role("button", name="Store all of it").click()
    expect(page.get_by_role("status")).to_contain_text("nothing was stored twice")
    after = season_list(local_account(), list_id=served.list_id)
    assert (after.steps_left, after.zones_left) == ((), ())
    report = next(line.report for line in after.steps if line.id == blown.id)
    assert report is not None
    assert (report.reading.text, report.seconds, report.who) == ("2 psi", 133.0, "Ben")
