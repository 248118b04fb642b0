"""A failing test, its repair and its retest, written down on a phone and printed."""

import io
import re
from typing import Any

import pypdf
import pytest
from playwright.sync_api import Browser, Page, expect

from maintenance.models import AssemblyFacts, Device, TestDraft, TestRecord
from maintenance.services.accounts import local_account
from maintenance.services.backflow.verify import verify_records
from tests.browser.test_pages_are_accessible import _faults as faults_of
from tests.services.backflow.field_tests import SITE
from tests.web.field_tests import keep_orchard

PHONE = {"width": 360, "height": 740}
LEAST_TARGET_PX = 44


@pytest.fixture
def orchard(live_server: Any) -> str:
    """Serve a site with an assembly of each kind; return the office's address."""
    keep_orchard()
    device = Device.objects.get(link__key="B1")
    # Where a failed test is to be reported within 24 hours.
    AssemblyFacts.objects.create(device=device, place="willows")
    return str(live_server.url)


def page_of(link: str) -> str:
    return f"/sites/{SITE}/assemblies/{link}/tests/"


def _choose(page: Page, name: str, word: str) -> None:
    page.locator(f"#{name}").get_by_label(word, exact=True).check()


def _read(page: Page, name: str, check_1: str) -> None:
    holds = "shut_off_2_holds" if name == "initial" else "final_shut_off_2_holds"
    page.locator("#supply_pressure").fill("62")
    _choose(page, holds, "yes")
    _choose(page, f"{name}_relief_air_gap", "yes")
    page.locator(f"#{name}_check_1").fill(check_1)
    page.locator(f"#{name}_relief").fill("1.9" if check_1 < "5" else "3.1")
    page.locator(f"#{name}_check_2").fill("1.8")
    _choose(page, f"{name}_check_2_held", "yes")


def _begin(page: Page, office: str, link: str = "B1") -> None:
    page.goto(f"{office}{page_of(link)}")
    page.get_by_role("button", name="Begin a test").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("assembly OR-10")


def test_a_failing_test_then_its_retest_are_on_the_printed_report(
    orchard: str, page: Page, complaints: list[str]
) -> None:
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    _begin(page, orchard)
    _read(page, "initial", "4.9")
    expect(page.locator("#verdict .verdict")).to_have_text(re.compile("failed"))
    expect(page.locator("#verdict")).to_contain_text("Check valve 1 reads 4.9 psid")
    expect(page.locator("#bar-result")).to_contain_text("failed")
    page.get_by_label("Who signs").fill("Ada")
    page.get_by_role("button", name="Sign", exact=True).click()
    expect(page.locator(".verdict")).to_contain_text("failed")
    deadline = page.get_by_role("region", name="What has to follow")
    expect(deadline).to_contain_text("report by")
    deadline.locator("summary").first.click()
    expect(deadline).to_contain_text("Willows")
    assert faults_of(page) == []
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    page.get_by_role("button", name="Retest after the repair").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Retest")
    page.get_by_label("What was repaired").fill("New spring in check valve 1")
    _read(page, "final", "7.2")
    expect(page.locator("#bar-result")).to_contain_text("passed")
    assert faults_of(page) == []
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    page.get_by_role("button", name="Sign", exact=True).click()
    expect(page.get_by_role("main")).to_contain_text("retest after test 1")
    assert faults_of(page) == []
    page.get_by_role("link", name="Report", exact=True).click()
    report = page.locator(".report")
    expect(report).to_contain_text("4.9")
    expect(report).to_contain_text("7.2")
    expect(report).to_contain_text("New spring in check valve 1")
    assert faults_of(page) == []
    for paper in ("A4", "Letter"):
        printed = pypdf.PdfReader(io.BytesIO(page.pdf(format=paper)))
        assert len(printed.pages) == 1, paper
        text = printed.pages[0].extract_text()
        assert "4.9" in text
        assert "7.2" in text
        assert "Sites" not in text, "the strip stays off the paper"
    found = verify_records(local_account())
    assert (found.records, found.findings) == (2, [])


def test_what_is_typed_is_kept_without_pressing_anything(
    orchard: str, page: Page, complaints: list[str]
) -> None:
    _begin(page, orchard)
    page.locator("#initial_check_1").press_sequentially("7.25", delay=30)
    expect(page.locator("#saved")).to_have_text("Saved as typed.")
    page.reload()
    expect(page.locator("#initial_check_1")).to_have_value("7.25")
    page.locator("#initial_check_1").fill("7.3")
    page.get_by_role("button", name="Save").click()  # before the page saves by itself
    expect(page.get_by_role("alert")).to_have_count(0)
    expect(page.locator("#initial_check_1")).to_have_value("7.3")
    assert TestDraft.objects.get().answers["initial_check_1"] == "7.3"


def test_a_colleague_on_another_page_is_told_and_chooses(
    orchard: str, page: Page, browser: Browser
) -> None:
    _begin(page, orchard)
    context = browser.new_context()
    other = context.new_page()
    other.goto(page.url)
    other.locator("#initial_check_1").fill("6.0")
    expect(other.locator("#saved")).to_have_text("Saved as typed.")
    page.locator("#initial_check_1").fill("5.5")
    alert = page.get_by_role("alert")
    expect(alert).to_contain_text("nothing of theirs was overwritten")
    expect(alert.get_by_role("row", name=re.compile("5.5 6.0"))).to_be_visible()
    assert faults_of(page) == []
    page.get_by_role("button", name="Keep what is here").click()
    expect(page.get_by_role("alert")).to_have_count(0)
    assert TestDraft.objects.get().answers["initial_check_1"] == "5.5"
    context.close()


def test_a_good_test_is_few_touches_and_leads_to_the_next_assembly(
    orchard: str, page: Page, complaints: list[str]
) -> None:
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    _begin(page, orchard)
    _read(page, "initial", "7.2")  # eight touches
    page.get_by_label("Who signs").fill("Ada")
    page.get_by_role("button", name="Sign", exact=True).click()
    page.get_by_role("button", name=re.compile("Next assembly: B2")).click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("double check")
    expect(page.get_by_label("Who signs")).to_have_value("Ada")
    for name in ("tester", "gauge", "tested_on", "tested_at"):
        expect(page.locator(f"#{name}")).not_to_have_value("")


def test_without_scripts_a_test_is_saved_and_signed(
    orchard: str, browser: Browser
) -> None:
    context = browser.new_context(java_script_enabled=False, viewport=PHONE)  # type: ignore[arg-type]
    page = context.new_page()
    _begin(page, orchard)
    _read(page, "initial", "7.2")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#verdict")).to_contain_text("passed")
    page.get_by_label("Who signs").fill("Ada")
    page.get_by_role("button", name="Sign", exact=True).click()
    expect(page.locator(".verdict")).to_contain_text("passed")
    context.close()
    assert TestRecord.objects.get().result == "passed"


def test_all_that_is_touched_is_large_enough_for_a_glove(
    orchard: str, page: Page, complaints: list[str]
) -> None:
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    _begin(page, orchard)
    small = page.evaluate(
        f"""() => [...document.querySelectorAll(
              '#sheet :is(input:not([type=hidden], [type=radio]), select, textarea,'
              + ' button, .keys label, summary)')]
          .filter(e => e.checkVisibility())
          .map(e => [e.getBoundingClientRect(), e.outerHTML.slice(0, 80)])
          .filter(([box]) => box.height < {LEAST_TARGET_PX} || box.width < {LEAST_TARGET_PX})
          .map(([, text]) => text)"""
    )
    assert small == []


@pytest.mark.slow
@pytest.mark.parametrize(
    "address", ["/tests/", "/tests/report-order/", page_of("B1"), "/tests/1/tag/"]
)
def test_the_other_pages_have_no_barrier(
    orchard: str, page: Page, complaints: list[str], address: str
) -> None:
    _begin(page, orchard)
    _read(page, "initial", "7.2")
    page.get_by_label("Who signs").fill("Ada")
    page.get_by_role("button", name="Sign", exact=True).click()
    expect(page.locator(".verdict")).to_contain_text("passed")
    record = TestRecord.objects.get().pk
    page.goto(f"{orchard}{address.replace('/1/', f'/{record}/')}")
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    assert faults_of(page) == []
