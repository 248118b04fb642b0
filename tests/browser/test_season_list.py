"""A season's list done on a phone: ticked, skipped, put in another order, closed."""

import re
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from maintenance.services.accounts import local_account
from maintenance.services.seasons.queries import lists_of_site, season_list
from tests.web.season_pages import LISTS, SITE, keep_site

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


def _kept():
    account = local_account()
    line = lists_of_site(account, site_key=SITE)[0]
    return season_list(account, list_id=line.head.id)


def _start(page: Page, office: str) -> None:
    page.goto(f"{office}/sites/{SITE}/")
    page.get_by_role("link", name="Start the autumn list").click()
    page.get_by_role("button", name="Compile and open it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text(
        re.compile("Shutdown list")
    )


def _done(page: Page, number: int) -> Locator:
    return page.get_by_role("button", name=f"Done: step {number}", exact=True)


def _next(page: Page) -> Locator:
    return page.locator("[aria-current=step]")


def test_a_whole_list_is_done_on_a_phone_and_closed(
    garden: str, phone: Page, complaints: list[str]
) -> None:
    page = phone
    _start(page, garden)
    page.get_by_label("Who is at work").fill("Ann")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.get_by_label("Who is at work")).to_have_value("Ann")
    steps = len(_kept().steps)

    _skip_the_first(page)
    _move_the_fourth_up(page)
    for number in range(2, steps + 1):
        expect(_next(page).locator(".no")).to_have_text(str(number))
        row = _next(page)
        if row.get_by_label("Gauge at the end").count():
            row.get_by_label("Gauge at the end").fill("12 psi")
            row.get_by_label("Seconds of air").fill("1:10")
        row.get_by_role("button", name=f"Done: step {number}", exact=True).click()
    expect(page.locator(".bar")).to_contain_text(f"{steps} of {steps}")

    page.get_by_role("link", name="Next: the zones").click()
    page.get_by_role("button", name=re.compile("Take over what the steps say")).click()
    expect(page.get_by_role("link", name="Next: close")).to_be_visible()
    page.get_by_label("What next season should know").fill("Box lid cracked")
    page.get_by_role("button", name="Keep the notes").click()
    page.get_by_role("link", name="Next: close").click()
    expect(page.get_by_role("main")).to_contain_text("nobody at home")
    page.get_by_role("button", name="Close it").click()
    expect(page.get_by_text("it is read only")).to_be_visible()
    expect(page.get_by_role("button", name=re.compile("Done|Undo"))).to_have_count(0)
    _look_at_what_was_kept(_kept(), steps)


def _skip_the_first(page: Page) -> None:
    row = _next(page)
    row.get_by_text("Why, note, skip").click()
    row.get_by_role("button", name="Skip step 1").click()
    expect(page.get_by_role("alert")).to_contain_text("needs its reason")
    row = _next(page)
    row.get_by_label("Why step 1 is skipped").fill("nobody at home")
    row.get_by_role("button", name="Skip step 1").click()
    expect(page.get_by_role("alert")).to_have_count(0)
    expect(_next(page).locator(".no")).to_have_text("2")
    expect(page.locator(".step").first).to_contain_text("Because: nobody at home.")


def _move_the_fourth_up(page: Page) -> None:
    row = page.locator(".step", has=_done(page, 4))
    text = row.locator(".text").inner_text()
    row.locator(".acts summary").click()
    row.get_by_role("button", name="Move up: step 4").click()
    third = page.locator(".step", has=_done(page, 3))
    expect(third.locator(".text")).to_have_text(text)
    expect(third).to_contain_text("Moved here by a person")


def _look_at_what_was_kept(whole: Any, steps: int) -> None:
    assert whole.head.closed_by == "Ann"
    assert whole.head.notes == "Box lid cracked"
    outcomes = [line.report.outcome for line in whole.steps]
    assert outcomes == ["skipped"] + ["done"] * (steps - 1)
    assert {line.report.who for line in whole.steps} == {"Ann"}
    blown = [line.report for line in whole.steps if line.step.act == "blow"]
    assert {(each.reading.kind, each.seconds) for each in blown} == {("pressure", 70.0)}
    assert {zone.outcome for zone in whole.zones} == {"done"}
    assert any(line.placed for line in whole.steps)


def test_without_scripts_every_deed_of_a_row_works(
    garden: str, browser: Browser
) -> None:
    context = browser.new_context(java_script_enabled=False, viewport=PHONE)  # type: ignore[arg-type]
    page = context.new_page()
    _start(page, garden)
    first, second = _kept().steps[:2]
    _done(page, 1).click()
    expect(page).to_have_url(re.compile(rf"#step-{second.id}$"))
    page.get_by_role("button", name="Undo: step 1", exact=True).click()
    expect(page).to_have_url(re.compile(rf"#step-{first.id}$"))
    row = page.locator(f"#step-{first.id}")
    row.locator(".acts summary").click()
    row.get_by_label("Note on step 1").fill("dog about")
    _done(page, 1).click()
    row = page.locator(f"#step-{second.id}")
    row.locator(".acts summary").click()
    row.get_by_label("Why step 2 is skipped").fill("no key")
    row.get_by_role("button", name="Skip step 2").click()
    row = page.locator(".step", has=_done(page, 3))
    row.locator(".acts summary").click()
    row.get_by_role("button", name="Move down: step 3").click()
    page.get_by_role("button", name="Done: zone 1", exact=True).click()
    expect(page.locator("#zone-0")).to_contain_text("done")
    assert page.locator(".clock").first.inner_text() == ""
    context.close()
    whole = _kept()
    told = [
        (s.report.outcome, s.report.reason or s.report.note) for s in whole.steps[:2]
    ]
    assert told == [("done", "dog about"), ("skipped", "no key")]
    assert whole.steps[3].placed
    assert whole.zones[0].outcome == "done"


def test_a_tick_pressed_twice_in_a_hurry_is_one_report(
    garden: str, phone: Page, complaints: list[str]
) -> None:
    _start(phone, garden)
    _done(phone, 1).dblclick()
    expect(phone.locator(".bar")).to_contain_text("1 of")
    expect(phone.get_by_role("alert")).to_have_count(0)
    line = _kept().steps[0]
    assert line.report is not None
    assert line.undone == ()


def test_without_a_connection_nothing_is_lost_and_pressing_again_stores_it_once(
    garden: str, phone: Page
) -> None:
    page = phone
    _start(page, garden)
    row = _next(page)
    row.locator(".acts summary").click()
    row.get_by_label("Note on step 1").fill("gate code 12")
    page.context.set_offline(True)
    _done(page, 1).click()
    expect(page.locator("#sending")).to_contain_text("no connection")
    expect(row.get_by_label("Note on step 1")).to_have_value("gate code 12")
    page.context.set_offline(False)
    _done(page, 1).click()
    expect(page.locator(".bar")).to_contain_text("1 of")
    expect(page.locator("#sending")).to_be_empty()
    assert _kept().steps[0].report.note == "gate code 12"


def test_what_is_next_comes_into_view_over_the_bar_and_takes_the_focus(
    garden: str, phone: Page, complaints: list[str]
) -> None:
    _start(phone, garden)
    for number in range(1, 6):
        _done(phone, number).click()
        expect(_next(phone).locator(".no")).to_have_text(str(number + 1))
        expect(_next(phone)).to_be_focused()
        box, bar = _next(phone).bounding_box(), phone.locator(".bar").bounding_box()
        assert box
        assert bar
        assert 0 <= box["y"] < bar["y"]
        assert bar["y"] + bar["height"] <= PHONE["height"] + 1


def test_the_keyboard_never_ends_under_the_bar(
    garden: str, phone: Page, complaints: list[str]
) -> None:
    _start(phone, garden)
    under: list[str] = []
    for _ in range(60):
        phone.keyboard.press("Tab")
        found = phone.evaluate(
            """() => {
              const e = document.activeElement, box = e.getBoundingClientRect();
              const bar = document.querySelector('.bar').getBoundingClientRect();
              const inside = e.closest('.bar');
              return inside || box.top < bar.top ? '' : e.outerHTML.slice(0, 80);
            }"""
        )
        under += [found] if found else []
    assert under == []


def test_all_that_is_pressed_in_a_row_is_large_enough_for_a_glove(
    garden: str, phone: Page, complaints: list[str]
) -> None:
    _start(phone, garden)
    for fold in phone.locator(".acts summary").all()[:3]:
        fold.click()
    small = phone.evaluate(
        f"""() => [...document.querySelectorAll(
              '.steps button, .steps input:not([type=hidden], [type=checkbox]), '
              + '.steps textarea, .clock label, .steps summary, .bar a, .steps a, .who button')]
          .map(e => [e, e.getBoundingClientRect()])
          .filter(([e, box]) => box.height > 0 && box.height < {LEAST_TARGET_PX})
          .map(([e, box]) => `${{box.height}} ${{e.outerHTML.slice(0, 90)}}`)"""
    )
    assert small == []
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_a_colleague_who_was_quicker_is_named_on_the_page(
    garden: str, phone: Page, browser: Browser, complaints: list[str]
) -> None:
    _start(phone, garden)
    context = browser.new_context()
    other = context.new_page()
    other.goto(garden + f"{LISTS}{_kept().head.id}/")
    other.get_by_label("Who is at work").fill("Ben")
    other.get_by_role("button", name="Keep", exact=True).click()
    _done(other, 1).click()
    expect(other.locator(".bar")).to_contain_text("1 of")
    context.close()
    _done(phone, 1).click()
    expect(phone.get_by_role("alert")).to_contain_text("Ben already reported")
    expect(_next(phone).locator(".no")).to_have_text("2")
