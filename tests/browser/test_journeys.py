"""Two ways through the pages: from nothing to a sheet, and a newcomer at Larkmoor."""

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

MOST_PAGES = 5
MOST_SHEETS_OF_PAPER = 2
PAPER_WIDTH_MM = {"A4": 210.0, "Letter": 215.9}
PX_PER_MM = 96 / 25.4
MARGIN_MM = """() => {
  const rules = list => [...list].flatMap(
    rule => rule.media?.mediaText === 'print' ? rules(rule.cssRules) : [rule]);
  const pages = [...document.styleSheets].flatMap(sheet => rules(sheet.cssRules))
    .filter(rule => rule instanceof CSSPageRule);
  return parseFloat(pages.at(-1).style.marginLeft);
}"""
CELLS = """() => [...document.querySelectorAll('main table :is(td, th)')]
  .filter(cell => cell.getBoundingClientRect().width && cell.innerText.trim())
  .map(cell => {
    const walk = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT);
    const rects = [];
    while (walk.nextNode()) {
      if (!walk.currentNode.parentElement.checkVisibility()) continue;
      const words = document.createRange();
      words.selectNodeContents(walk.currentNode);
      rects.push(...[...words.getClientRects()].filter(r => r.width > 0));
    }
    const right = Math.max(0, ...rects.map(r => r.right));
    const lines = new Set(rects.map(r => Math.round(r.top))).size;
    const outside = right - cell.getBoundingClientRect().right;
    return [cell.innerText.trim(), outside, lines];
  })"""
LARKMOOR = Path(__file__).parents[2] / "fixtures" / "demo" / "larkmoor.json"


def _follow_pages(page: Page) -> list[str]:
    """Return a list that grows by each page that a person gets to see."""
    seen: list[str] = []
    page.on("domcontentloaded", lambda shown: seen.append(shown.url))
    return seen


def _zones() -> dict[str, str]:
    record = json.loads(LARKMOOR.read_text("utf-8"))
    return {zone["id"]: zone["name"] for zone in record["zones"]}


def _open_questions(page: Page) -> list[str]:
    """Return the choices that a person may leave at "I don't know"."""
    told: list[str] = page.evaluate(
        """() => [...document.querySelectorAll('main select')]
          .filter(e => e.selectedOptions[0].text === 'I don’t know')
          .map(e => e.name)"""
    )
    return told


def test_from_nothing_to_a_sheet_by_forms_only_in_five_pages(
    empty_office: str, page: Page, complaints: list[str]
) -> None:
    seen = _follow_pages(page)
    page.goto(f"{empty_office}/")
    expect(page.get_by_text("There is no site yet.")).to_be_visible()
    page.get_by_role("link", name="Type in a site").click()
    page.get_by_label("Name of the site").fill("Back garden")
    assert "source" in _open_questions(page)
    page.get_by_role("button", name="Store and go on to the pipes").click()
    expect(page.get_by_role("heading", name="Pipes and zones")).to_be_visible()
    page.get_by_role("button", name="Store and go on to the compressor").click()
    expect(page.get_by_role("heading", name="Which compressor")).to_be_visible()
    page.get_by_role("button", name="Store and show the blow-out sheet").click()

    expect(page).to_have_url(re.compile(r"/sites/back-garden/blow-out/\?compressor="))
    expect(page.get_by_role("main")).to_contain_text("Back garden")
    zone = page.get_by_role("rowheader").filter(has_text=re.compile(r"\b1\b"))
    expect(zone.first).to_be_visible()
    assert len(seen) <= MOST_PAGES, seen
    # What was never said is not passed off as known.
    expect(page.get_by_role("main")).to_contain_text(re.compile("guessed|assumed"))


def _sheet_of_larkmoor(office: str, page: Page) -> None:
    page.goto(f"{office}/")
    row = page.get_by_role("row").filter(has_text="Larkmoor Gardens")
    row.get_by_role("link", name="Blow-out sheet").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Larkmoor Gardens")


def test_a_newcomer_loads_the_demonstration_and_changes_the_compressor(
    empty_office: str, page: Page, complaints: list[str]
) -> None:
    page.goto(f"{empty_office}/")
    page.get_by_role("button", name="Load the demonstration").click()
    expect(page.get_by_role("status")).to_contain_text("demonstration")
    _sheet_of_larkmoor(empty_office, page)
    answers = {}
    for name in ("yard-25", "pancake-6"):
        _choose_compressor(page, name)
        expect(page).to_have_url(re.compile(f"compressor={name}"))
        answers[name] = page.locator("main .answer").first.inner_text()
        assert answers[name].strip()
    assert answers["yard-25"] != answers["pancake-6"]


def _choose_compressor(page: Page, name: str) -> None:
    for choice in page.get_by_role("checkbox").all():
        choice.set_checked(choice.get_attribute("value") == name)
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_text(f"Blow-out sheet with {name},")).to_be_visible()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_sheet_of_thirty_zones_prints_on_two_pages(
    demo_office: str, page: Page, complaints: list[str], paper: str
) -> None:
    page.goto(f"{demo_office}/sites/larkmoor/blow-out/?compressor=yard-25")
    page.emulate_media(media="print")
    expect(page.get_by_role("navigation", name="Main")).to_be_hidden()
    expect(page.get_by_role("contentinfo")).to_be_hidden()
    text = page.get_by_role("main").inner_text()
    zones = _zones()
    assert len(zones) == 30
    assert [name for name in zones.values() if name not in text] == []
    for heading in ("Before the engine starts", "If this happens"):
        assert heading.lower() in text.lower()
    for column in ("Start", "Reading", "Done"):
        expect(page.get_by_role("columnheader", name=column).first).to_be_visible()
    printed = page.pdf(format=paper)
    pages = len(re.findall(rb"/Type\s*/Page\b(?!s)", printed))
    assert 1 <= pages <= MOST_SHEETS_OF_PAPER


@pytest.mark.parametrize("paper", PAPER_WIDTH_MM)
def test_on_paper_no_word_leaves_its_cell_and_no_head_is_broken(
    demo_office: str, page: Page, complaints: list[str], paper: str
) -> None:
    page.emulate_media(media="print")
    page.goto(f"{demo_office}/sites/larkmoor/blow-out/?compressor=yard-25")
    margin_mm = page.evaluate(MARGIN_MM)
    assert 5 <= margin_mm <= 25
    width_px = int((PAPER_WIDTH_MM[paper] - 2 * margin_mm) * PX_PER_MM)
    page.set_viewport_size({"width": width_px, "height": 1000})
    cells = page.evaluate(CELLS)
    assert len(cells) > 300
    assert [text for text, outside, _ in cells if outside > 1] == []
    one_word = [cell for cell in cells if re.fullmatch(r"\w+", cell[0])]
    assert [text for text, _, lines in one_word if lines > 1] == []


def test_the_sheet_is_printed_black_on_white_in_a_dark_browser(
    demo_office: str, page: Page, complaints: list[str]
) -> None:
    page.emulate_media(media="print", color_scheme="dark")
    page.goto(f"{demo_office}/sites/larkmoor/blow-out/?compressor=yard-25")
    colours = page.evaluate(
        """() => {
          const seen = new Set();
          for (const e of document.querySelectorAll('main *')) {
            const box = e.getBoundingClientRect();
            if (box.width && e.childNodes.length && e.textContent.trim()
                && !e.closest('svg')) {
              seen.add(getComputedStyle(e).color);
            }
          }
          seen.add(getComputedStyle(document.documentElement).backgroundColor);
          return [...seen].sort();
        }"""
    )
    assert colours == ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]
