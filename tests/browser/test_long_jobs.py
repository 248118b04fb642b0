"""A long job is asked for, watched while it runs, and found again after a reload."""

import pytest
from playwright.sync_api import Browser, Page, expect

from maintenance.jobs import tasks


@pytest.mark.slow
def test_progress_shows_by_itself_and_survives_a_reload(
    demo_office: str, page: Page, complaints: list[str]
) -> None:
    page.goto(f"{demo_office}/jobs/")
    page.get_by_label("Compressor, for a shutdown").select_option("yard-25")
    page.get_by_role("button", name="Make the lists").click()
    table = page.get_by_role("table")
    expect(table).to_contain_text("0 of 13")
    page.reload()
    expect(table).to_contain_text("0 of 13")
    tasks.work()  # as a worker does, in its own time
    expect(table).to_contain_text("13 of 13", timeout=10_000)  # nobody reloads
    expect(table).to_contain_text("11 made, 2 there already")
    expect(page.locator("#jobs[hx-trigger]")).to_have_count(0)


@pytest.mark.slow
def test_without_a_script_it_is_asked_for_watched_and_called_off(
    demo_office: str, browser: Browser
) -> None:
    context = browser.new_context(java_script_enabled=False)
    try:
        page = context.new_page()
        page.goto(f"{demo_office}/jobs/")
        page.get_by_role("button", name="Work all outlooks out again").click()
        page.get_by_role("link", name="look again").click()
        expect(page.get_by_role("table")).to_contain_text("0 of 13")
        page.get_by_role("button", name="Cancel").click()
        expect(page.get_by_role("table")).to_contain_text("called off")
    finally:
        context.close()


def test_what_is_asked_for_is_printed_and_the_forms_are_not(
    demo_office: str, page: Page
) -> None:
    page.goto(f"{demo_office}/jobs/")
    expect(page.locator(".ask")).to_be_visible()
    page.emulate_media(media="print")
    expect(page.locator(".ask")).to_be_hidden()
    expect(page.get_by_role("heading", name="Asked for")).to_be_visible()
