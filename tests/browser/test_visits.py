"""A call is answered on a phone: list done, finding noted, follow-up closed."""

import re
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from maintenance.models import Finding, ServiceCall, Visit
from maintenance.services.accounts import local_account
from maintenance.services.seasons.carry_out import Tick, record_steps
from maintenance.services.seasons.queries import lists_of_site, season_list
from tests.browser.test_pages_are_accessible import _faults
from tests.browser.visit_ways import EMPTY_VISIT_WAYS, VISIT_WAYS
from tests.services.visits.kept import MORNING, planned
from tests.web.season_pages import SITE, keep_site

PHONE = {"width": 360, "height": 740}
LEAST_TARGET_PX = 44


@pytest.fixture
def garden(live_server: Any) -> str:
    """Serve a small site and a compressor; return the office's address."""
    keep_site()
    return str(live_server.url)


@pytest.fixture
def phone(page: Page) -> Page:
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    return page


def _take_the_call(page: Page, office: str) -> None:
    page.goto(f"{office}/visits/")
    page.get_by_role("link", name="Take a call").click()
    page.get_by_label("Site", exact=True).select_option(SITE)
    page.get_by_label("What is asked for").fill("Blow it out before Friday")
    page.get_by_label("How soon").select_option("today")
    page.get_by_role("button", name="Keep the call").click()
    page.get_by_role("link", name="Plan a visit").click()
    page.get_by_label("What for").select_option("shutdown")
    page.get_by_label("Year of the season").fill("2026")
    page.get_by_label("Who goes").fill("Ann")
    page.get_by_label("Compressor that comes").select_option(index=1)
    page.get_by_role("button", name="Plan it").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Shutdown 2026")


def _do_the_list(page: Page, visit: str) -> None:
    """Do the first step by hand; the others' reports come as from another phone."""
    page.get_by_role("button", name="Open the list").click()
    expect(page).to_have_url(re.compile(r"/lists/\d+/$"))
    page.get_by_role("button", name="Done: step 1", exact=True).click()
    expect(page.locator(".bar")).to_contain_text("1 of")
    account = local_account()
    number = lists_of_site(account, site_key=SITE)[0].head.id
    rest = season_list(account, list_id=number).steps_left
    ticks = [Tick(step=s.id, client_id=f"o{s.id}", outcome="done") for s in rest]
    record_steps(account, list_id=number, ticks=ticks, now=MORNING, actor="Ann")
    page.goto(visit)
    page.get_by_label("Done", exact=True).check()
    page.get_by_role("button", name="End the visit").click()
    expect(page.get_by_role("alert")).to_contain_text("zone 1")
    page.get_by_role("link", name="Go to the list").click()
    page.get_by_role("button", name=re.compile("Take over what the steps say")).click()
    expect(page.locator(".bar")).to_contain_text("Next: close")
    page.goto(visit)


def test_from_the_call_over_the_list_to_the_closed_follow_up(
    garden: str, phone: Page, complaints: list[str]
) -> None:
    page = phone
    _take_the_call(page, garden)
    visit = page.url
    page.get_by_role("button", name="I am there: begin").click()
    expect(page.locator(".answer")).to_contain_text("under way")
    _do_the_list(page, visit.split("#")[0])
    page.get_by_label("What was found").fill("Box lid cracked")
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("#findings")).to_contain_text("Box lid cracked")
    page.get_by_label("Readings").fill("static pressure: 48 psi")
    page.get_by_role("button", name="Keep what is written").click()
    expect(page.get_by_role("status")).to_contain_text("Written down")
    page.get_by_label("Done", exact=True).check()
    page.get_by_role("button", name="End the visit").click()
    expect(page.locator(".answer")).to_contain_text("done")
    assert ServiceCall.objects.get().closed_at is not None

    page.get_by_role("link", name="Box lid cracked").click()
    page.get_by_label("Who goes").fill("Ben")
    page.get_by_role("button", name="Plan the follow-up").click()
    page.get_by_role("button", name="I am there: begin").click()
    page.get_by_label("Done", exact=True).check()
    page.get_by_role("button", name="End the visit").click()
    expect(page.locator(".answer")).to_contain_text("done")
    page.get_by_role("link", name="Box lid cracked").click()
    page.get_by_label("What was done").fill("New lid")
    page.get_by_role("button", name="Close the finding").click()
    expect(page.locator("dl.facts")).to_contain_text("closed")
    assert Finding.objects.get().closed_as == "New lid"

    page.goto(f"{garden}/visits/board/?season=shutdown&year=2026")
    expect(page.locator(".missing")).to_contain_text("0 sites have no outcome yet")
    page.get_by_role("main").locator("tbody th a").click()
    for told in ("Finding closed", "Visit, shutdown 2026: done", "Call closed"):
        expect(page.get_by_role("main")).to_contain_text(told)


def test_a_visit_is_done_without_scripts(garden: str, browser: Browser) -> None:
    visit = planned(local_account(), SITE)
    context = browser.new_context(java_script_enabled=False, viewport=PHONE)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(f"{garden}/visits/{visit}/")
    page.get_by_role("button", name="I am there: begin").click()
    page.get_by_label("Notes").fill("wet")
    page.get_by_role("button", name="Keep what is written").click()
    page.get_by_label("Refused").check()
    page.locator("#end-note").fill("not today")
    page.get_by_role("button", name="End the visit").click()
    expect(page.locator(".answer")).to_contain_text("refused")
    context.close()
    row = Visit.objects.get()
    assert (row.outcome, row.outcome_note, row.notes) == ("refused", "not today", "wet")


def test_what_is_pressed_on_a_visit_is_large_enough_for_a_glove(
    garden: str, phone: Page, complaints: list[str]
) -> None:
    visit = planned(local_account(), SITE, kind="shutdown", season_year=2026)
    phone.goto(f"{garden}/visits/{visit}/")
    phone.get_by_role("button", name="I am there: begin").click()
    small = phone.evaluate(
        f"""() => [...document.querySelectorAll(
              'main button, main input:not([type=hidden], [type=radio]), main textarea, '
              + 'main label:has([type=radio]), main summary, main a.tall')]
          .map(e => [e, e.getBoundingClientRect()])
          .filter(([e, box]) => box.height > 0 && box.height < {LEAST_TARGET_PX})
          .map(([e, box]) => `${{box.height}} ${{e.outerHTML.slice(0, 90)}}`)"""
    )
    assert small == []
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


@pytest.mark.slow
@pytest.mark.parametrize("name", VISIT_WAYS)
def test_a_page_has_no_barrier_no_complaint_and_no_sideways_scroll(
    demo_office: str, page: Page, complaints: list[str], name: str
) -> None:
    VISIT_WAYS[name](page, demo_office)
    assert _faults(page) == []


@pytest.mark.slow
@pytest.mark.parametrize("name", EMPTY_VISIT_WAYS)
def test_an_empty_page_has_no_barrier_and_no_complaint(
    empty_office: str, page: Page, complaints: list[str], name: str
) -> None:
    EMPTY_VISIT_WAYS[name](page, empty_office)
    assert _faults(page) == []
