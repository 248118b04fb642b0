"""A reminder is looked at before it goes out, put off, sent, and ended by its link."""

import re

import pytest
from django.core import mail
from django.core.management import call_command
from playwright.sync_api import Page, expect

from maintenance.models import Recipient
from maintenance.services.reminders.stop_links import stop_token
from tests.browser.reminder_ways import add_due, add_person, in_days


@pytest.mark.slow
def test_a_reminder_is_looked_at_put_off_and_ended_by_the_link_of_its_letter(
    empty_office: str, page: Page, complaints: list[str]
) -> None:
    add_person(page, empty_office)
    add_due(page, empty_office)
    page.goto(f"{empty_office}/due/coming/")
    expect(page.get_by_role("table")).to_contain_text("7 days before")
    page.get_by_role("link", name="Renew the lease").first.click()
    page.get_by_label("Tell nobody before").fill(in_days(18))
    page.get_by_role("button", name="Put it off").click()
    expect(page.get_by_role("status")).to_contain_text("nobody is told before")
    expect(page.get_by_role("table").first).to_contain_text("2 days before")
    expect(page.get_by_role("table").first).not_to_contain_text("7 days before")

    page.goto(f"{empty_office}/due/people/")
    page.get_by_role("button", name="Send a test to Ada Brook").click()
    call_command("send_reminders")
    page.reload()
    expect(page.get_by_role("table")).to_contain_text("sent")
    (letter,) = mail.outbox
    found = re.search(r"/stop/\w+/", str(letter.body))
    assert found is not None
    assert stop_token(Recipient.objects.get().pk) in found[0]

    page.goto(f"{empty_office}{found[0]}")
    expect(page.get_by_role("heading", level=1)).to_have_text("Reminders to Ada Brook")
    assert Recipient.objects.get().stopped_at is None, "looking stops nobody"
    page.get_by_role("button", name="Stop all reminders to this address").click()
    expect(page.locator(".answer")).to_contain_text("Stopped")
    page.goto(f"{empty_office}/due/coming/")
    expect(page.locator(".answer")).to_contain_text("Nothing will be sent")
