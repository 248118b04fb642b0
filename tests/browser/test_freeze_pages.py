"""The freeze outlook in a browser: read, opened, worked out again, printed."""

import re
from itertools import combinations
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from maintenance.documents.drawing.lettering import boxes_overlap
from tests.browser.freeze_ways import outlook

SHOWN = """() => [...document.querySelectorAll('figure svg text')]
  .map(text => [text.textContent, text.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0)
  .map(([text, box]) => [text, [box.left, box.top, box.right, box.bottom]])"""


@pytest.mark.slow
def test_the_outlook_is_read_opened_and_worked_out_again(
    demo_office: str, page: Page, complaints: list[str]
) -> None:
    outlook(page, demo_office)
    page.reload()
    expect(page.locator(".now")).to_contain_text("tonight")
    first = page.locator(".frost.parts tbody tr").first
    expect(first).to_contain_text("B1")
    door = page.locator(".frost.nights .door").first
    expect(door.locator(".working")).to_be_hidden()
    door.locator("summary").click()
    expect(door.locator(".working")).to_contain_text("heat balance of the part")
    page.get_by_role("button", name="Work it out again").click()
    expect(page.get_by_role("status")).to_contain_text("Worked out again")
    expect(page.locator(".now")).to_contain_text("tonight")
    page.get_by_role("link", name="Frost-night card").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Frost night list")


@pytest.mark.slow
def test_the_chart_carries_its_letters_on_a_phone_too(
    demo_office: str, page: Page, complaints: list[str]
) -> None:
    outlook(page, demo_office)
    for width in (1280, 360):
        page.set_viewport_size({"width": width, "height": 800})
        shown = page.evaluate(SHOWN)
        boxes = [tuple(box) for _, box in shown]
        assert not [pair for pair in combinations(boxes, 2) if boxes_overlap(*pair)]
        assert all(box[3] - box[1] >= 9 for box in boxes)
        words = [word for word, _ in shown]
        assert any(re.match(r"today", word) for word in words)
        assert {word[0] for word in words if re.match(r"[A-E]\b", word)} == set("ABCDE")


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_print_takes_two_pages_with_numbered_notes(
    demo_office: str, page: Page, tmp_path: Path, paper: str
) -> None:
    outlook(page, demo_office)
    page.reload()
    path = tmp_path / "outlook.pdf"
    page.pdf(path=str(path), format=paper)
    pages = PdfReader(path).pages
    assert len(pages) <= 2
    text = "\n".join(each.extract_text() for each in pages)
    assert "Notes" in text
    assert "Dates above ground" in text
    assert "Work it out again" not in text
    assert "Show metric units" not in text
