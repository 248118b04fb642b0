"""Secret links: calendars that can be taken back, and the link that ends reminders."""

import logging

import pytest
from django.test import Client
from django.utils import timezone

from maintenance.models import Account, FeedLink, Message, Recipient
from maintenance.services.accounts import local_account
from maintenance.services.reminders.feeds import make_link
from maintenance.services.reminders.stop_links import stop_address, stop_token
from maintenance.web.secret_links import hidden
from tests.web.reminder_pages import keep_due, keep_message, keep_person


def made(**of):
    _, secret = make_link(
        local_account(), name="Due dates", now=timezone.now(), actor="Office", **of
    )
    return f"/calendar/{secret}/due.ics"


def body(answer):
    return answer.content.decode()


def test_a_calendar_is_read_without_signing_in(office):
    keep_due("Look at the drain")
    answer = Client().get(made())
    assert answer.status_code == 200
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer["Referrer-Policy"] == "no-referrer"
    assert "SUMMARY:Look at the drain" in body(answer)
    assert FeedLink.objects.get().last_used_on == timezone.now().date()


def test_only_the_hash_of_a_link_is_kept_and_it_is_shown_once(office):
    answer = office.post("/due/calendars/", {"name": "Phone", "of": ""})
    link = answer.context["link"]
    secret = link.split("/")[-2]
    assert len(secret) >= 43, "32 bytes"
    assert answer["Referrer-Policy"] == "no-referrer"
    assert secret not in str(FeedLink.objects.values().get())
    assert secret not in body(office.get("/due/calendars/"))
    assert Client().get(link.removeprefix("http://testserver")).status_code == 200


def test_a_link_that_was_taken_back_leads_nowhere_at_once(office):
    address = made()
    row = FeedLink.objects.get()
    assert Client().get(address).status_code == 200
    office.post(f"/due/calendars/{row.pk}/take-back/")
    for _ in range(100):
        assert Client().get(address).status_code == 404
    assert office.post(f"/due/calendars/{row.pk}/take-back/").status_code == 404


def test_what_has_not_changed_is_not_sent_again(office):
    row = keep_due()
    address = made()
    tag = Client().get(address)["ETag"]
    again = Client().get(address, headers={"If-None-Match": tag})
    assert (again.status_code, again.content) == (304, b"")
    office.post(f"/due/{row.pk}/end/", {"word": "done", "version": row.version})
    after = Client().get(address, headers={"If-None-Match": tag})
    assert after.status_code == 200
    assert "STATUS:CANCELLED" in body(after)


def test_an_entry_keeps_its_id_and_counts_its_changes(office):
    row = keep_due()
    address = made()
    before = body(Client().get(address))
    office.post(f"/due/{row.pk}/end/", {"word": "done", "version": row.version})
    after = body(Client().get(address))

    def line(text, name):
        return next(each for each in text.splitlines() if each.startswith(name))

    assert line(before, "UID") == line(after, "UID")
    assert (line(before, "SEQUENCE"), line(after, "SEQUENCE")) == (
        "SEQUENCE:1",
        "SEQUENCE:2",
    )


def test_a_person_s_calendar_holds_what_they_are_reminded_of(office):
    person = keep_person(kinds=("head_audit",))
    keep_due()
    assert "BEGIN:VEVENT" not in body(Client().get(made(person_id=person.pk)))
    assert "BEGIN:VEVENT" in body(Client().get(made()))


def test_looking_at_the_stop_link_stops_nobody(office):
    person = keep_person()
    address = f"/stop/{stop_token(person.pk)}/"
    for _ in range(3):
        answer = Client().get(address)
        assert answer.status_code == 200
        assert "Stop all reminders" in body(answer)
    Client().head(address)
    person.refresh_from_db()
    assert person.stopped_at is None


def test_one_press_stops_without_a_session_and_without_a_token(office):
    person = keep_person()
    message = keep_message(keep_due(), person)
    stranger = Client(enforce_csrf_checks=True)
    # RFC 8058, section 3.2: what a mail program sends.
    answer = stranger.post(
        f"/stop/{stop_token(person.pk)}/",
        "List-Unsubscribe=One-Click",
        content_type="application/x-www-form-urlencoded",
    )
    assert answer.status_code == 200
    assert "Stopped" in body(answer)
    person.refresh_from_db()
    message.refresh_from_db()
    assert person.stopped_at is not None
    assert message.state == "cancelled"
    assert "Stopped on" in body(office.get("/due/people/"))
    office.post(f"/due/people/{person.pk}/resume/")
    person.refresh_from_db()
    assert person.stopped_at is None


@pytest.mark.parametrize("method", ["get", "post"])
def test_a_wrong_stop_link_finds_nobody(office, method):
    keep_person()
    assert getattr(Client(), method)("/stop/wrong/").status_code == 404
    assert not Recipient.objects.filter(stopped_at__isnull=False).exists()


def test_the_stop_link_of_a_letter_is_the_one_that_works(office, settings):
    settings.PUBLIC_URL = "https://plan.example.org"
    person = keep_person()
    address = stop_address(person.pk)
    assert address.startswith("https://plan.example.org/stop/")
    path = address.removeprefix("https://plan.example.org")
    assert Client().get(path).status_code == 200


def test_no_secret_stands_in_a_log(office, caplog):
    address = made()
    FeedLink.objects.update(revoked_at=timezone.now())
    secret = address.split("/")[2]
    with caplog.at_level(logging.DEBUG):
        Client().get(address)
        Client().get(f"/calendar/{secret}/other.ics")
        Client().post(f"/stop/{secret}/")
    told = "\n".join(record.getMessage() for record in caplog.records)
    assert "/stop/…" in told, "there is something to hide"
    assert secret not in told
    assert hidden(f"GET {address} 200") == "GET /calendar/…/due.ics 200"


def test_a_stranger_s_calendar_holds_nothing_of_ours(office):
    other = Account.objects.create(key="other", name="Other")
    keep_due("Ours")
    keep_due("Theirs", account=other)
    _, secret = make_link(other, name="x", now=timezone.now(), actor="x")
    text = body(Client().get(f"/calendar/{secret}/due.ics"))
    assert "Theirs" in text
    assert "Ours" not in text
    assert not Message.objects.exists()
