"""Ways to the pages on reminders, for the test of every page."""

from collections.abc import Callable
from datetime import timedelta

from django.utils import timezone
from playwright.sync_api import Page, expect

Way = Callable[[Page, str], object]


def in_days(days: int) -> str:
    return (timezone.now().date() + timedelta(days=days)).isoformat()


def add_person(page: Page, office: str, name: str = "Ada Brook") -> None:
    page.goto(f"{office}/due/people/new/")
    page.get_by_label("Name", exact=True).fill(name)
    page.get_by_label("E-mail address").fill("ada@example.org")
    page.get_by_role("button", name="Store").click()
    expect(page.get_by_role("table").first).to_contain_text(name)


def add_due(page: Page, office: str, what: str = "Renew the lease") -> None:
    page.goto(f"{office}/due/new/")
    page.get_by_label("What is due").fill(what)
    page.get_by_label("On which day").fill(in_days(20))
    page.get_by_role("button", name="Store").click()
    expect(page.get_by_role("heading", level=1)).to_have_text(what)


def _goes_to(address: str, heading: str) -> Way:
    def go(page: Page, office: str) -> None:
        page.goto(f"{office}{address}")
        expect(page.get_by_role("heading", level=1)).to_have_text(heading)

    return go


def _full(address: str) -> Way:
    """Go to a page that has something to show."""

    def go(page: Page, office: str) -> None:
        add_person(page, office)
        add_due(page, office)
        page.goto(f"{office}{address}")
        expect(page.get_by_role("table").first).to_be_visible()

    return go


def _one(page: Page, office: str) -> None:
    add_person(page, office)
    add_due(page, office)


def _a_calendar(page: Page, office: str) -> None:
    page.goto(f"{office}/due/calendars/")
    page.get_by_label("Name").fill("Phone")
    page.get_by_role("button", name="Make the address").click()
    expect(page.locator("code.link")).to_be_visible()


def _a_secret(page: Page, office: str) -> None:
    page.goto(f"{office}/due/addresses/new/")
    page.get_by_label("Address").fill("https://hooks.example.org/due")
    page.get_by_role("button", name="Store and show the secret").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Stored")


REMINDER_WAYS: dict[str, Way] = {
    "due": _full("/due/"),
    "one thing due": _one,
    "reminders to come": _full("/due/coming/"),
    "reminders sent": _goes_to("/due/sent/", "What was sent"),
    "who is reminded": _full("/due/people/"),
    "a person to remind": _goes_to("/due/people/new/", "A person to remind"),
    "when to remind": _full("/due/steps/"),
    "steps of audits": _goes_to("/due/steps/head_audit/", "Audit of the heads"),
    "a calendar": _a_calendar,
    "an address told": _a_secret,
    "something due": _goes_to("/due/new/", "Something that is due"),
}
EMPTY_REMINDERS: dict[str, Way] = {
    "due": _goes_to("/due/", "Due"),
    "reminders to come": _goes_to("/due/coming/", "What will be sent"),
    "who is reminded": _goes_to("/due/people/", "Who is reminded"),
    "calendars": _goes_to("/due/calendars/", "Calendars"),
}
