"""What is due, what will be sent, what was: looked at, ended, put off, sent again."""

import pytest
from django.utils import timezone

from maintenance.models import DeliveryTry, Message, Obligation, Recipient, Webhook
from maintenance.services.accounts import local_account
from maintenance.services.reminders.beats import FOUND, beat
from maintenance.services.reminders.settings_of_kinds import settings_of
from tests.web.conftest import text_of
from tests.web.reminder_pages import in_days, keep_due, keep_message, keep_person

PAGES = (
    "/due/",
    "/due/?show=all",
    "/due/new/",
    "/due/coming/",
    "/due/sent/",
    "/due/sent/?needs",
    "/due/people/",
    "/due/people/new/",
    "/due/addresses/new/",
    "/due/steps/",
    "/due/steps/head_audit/",
    "/due/steps/shutdown_planning/",
    "/due/calendars/",
)


@pytest.mark.parametrize("address", PAGES)
@pytest.mark.parametrize("kept", [False, True])
def test_each_page_stands_empty_and_full(office, address, kept):
    if kept:
        person = keep_person()
        keep_message(keep_due(days=-3), person, state="failed", why="550 no")
        keep_due("Far away", days=200)
    answer = office.get(address)
    assert answer.status_code == 200
    body = answer.content.decode()
    assert body.count("<h1") == 1
    assert "style=" not in body


def test_what_is_due_is_listed_the_first_first(office):
    keep_due("Second", days=20)
    keep_due("First", days=-3)
    keep_due("Far away", days=90)
    text = text_of(office.get("/due/"))
    assert "2 things due within 60 days, 1 of them overdue." in text
    assert text.index("First") < text.index("Second")
    assert "Far away" not in text
    assert "Far away" in text_of(office.get("/due/?show=all"))


def test_nothing_is_said_to_be_due_only_once_it_was_looked_for(office):
    assert "Not known yet" in text_of(office.get("/due/"))
    beat(FOUND, at=timezone.now())
    assert "Nothing is due within 60 days." in text_of(office.get("/due/"))


def test_something_of_one_s_own_is_added_and_told_about(office):
    keep_person()
    given = {"what": "Renew the lease", "due_on": str(in_days(40)), "why": "Contract"}
    answer = office.post("/due/new/", given, follow=True)
    text = text_of(answer)
    assert "Renew the lease" in text
    assert "Contract" in text
    assert "30 days before" in text
    assert "Ada" in text


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"what": "", "due_on": "2027-01-01"}, "Say what is due"),
        ({"what": "x", "due_on": ""}, "Write a day"),
        ({"what": "x", "due_on": "soon"}, "Write a day"),
        ({"what": "x", "due_on": "2999-01-01"}, "ten years"),
    ],
)
def test_what_cannot_be_due_is_refused_in_a_sentence(office, given, said):
    answer = office.post("/due/new/", given)
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert not Obligation.objects.exists()


def test_what_is_done_elsewhere_is_told_no_more(office):
    row = keep_due(days=3)
    message = keep_message(row, keep_person())
    given = {"word": "done_elsewhere", "version": row.version}
    text = text_of(office.post(f"/due/{row.pk}/end/", given, follow=True))
    assert "done by someone else" in text
    message.refresh_from_db()
    assert message.state == "cancelled"
    row.refresh_from_db()
    office.post(f"/due/{row.pk}/reopen/", {"version": row.version})
    row.refresh_from_db()
    assert row.ended_at is None


def test_what_is_put_off_is_told_on_that_day(office):
    keep_person()
    row = keep_due(days=3)
    given = {"until": str(in_days(10)), "version": row.version}
    text = text_of(office.post(f"/due/{row.pk}/put-off/", given, follow=True))
    assert "nobody is told before" in text
    assert "7 days after" in text


@pytest.mark.parametrize("days", [-1, 0, 400])
def test_it_is_put_off_to_a_day_ahead_and_by_a_year_at_most(office, days):
    row = keep_due(days=3)
    given = {"until": str(in_days(days)), "version": row.version}
    answer = office.post(f"/due/{row.pk}/put-off/", given)
    assert answer.status_code == 422
    row.refresh_from_db()
    assert row.snoozed_until is None


def test_who_was_slower_is_told_so(office):
    row = keep_due()
    office.post(f"/due/{row.pk}/end/", {"word": "done", "version": row.version})
    answer = office.post(
        f"/due/{row.pk}/end/", {"word": "done", "version": row.version}
    )
    assert answer.status_code == 409


def test_what_will_be_sent_is_looked_at_before_it_happens(office):
    keep_person("Ada", time_zone="America/Denver")
    keep_person("Grace", daily=True)
    keep_due(days=20)
    text = text_of(office.get("/due/coming/"))
    assert "08:00 (Denver)" in text
    assert "in the letter of the day" in text
    assert "7 days before" in text
    assert not Message.objects.exists(), "looking writes nothing"


def test_where_letters_reach_nobody_the_pages_say_so(office, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.EMAIL_FILE_PATH = "/somewhere/mail"
    assert "reach nobody" in text_of(office.get("/due/coming/"))
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    assert "reach nobody" not in text_of(office.get("/due/coming/"))


def test_what_was_sent_is_shown_with_its_attempts_and_sent_again(office):
    row = keep_due()
    message = keep_message(row, keep_person(), state="uncertain", maybe_twice=1)
    DeliveryTry.objects.create(
        message=message, at=timezone.now(), ended="unknown", error="no reply"
    )
    text = text_of(office.get("/due/sent/"))
    assert "may have been sent twice" in text
    assert "no answer (no reply)" in text
    office.post(f"/due/sent/{message.pk}/again/")
    message.refresh_from_db()
    assert message.state == "due"
    assert office.post(f"/due/sent/{message.pk}/again/").status_code == 409


def test_what_was_sent_is_read_page_by_page(office):
    row, person = keep_due(), keep_person()
    for step in range(120):
        keep_message(row, person, step=step, state="sent")
    first = office.get("/due/sent/")
    assert first.content.decode().count("<tr>") == 51
    second = office.get(f"/due/sent/?before={first.context['older']}")
    third = office.get(f"/due/sent/?before={second.context['older']}")
    assert third.content.decode().count("<tr>") == 21
    assert third.context["older"] is None


def test_the_list_costs_the_same_for_any_number(office, django_assert_max_num_queries):
    row, person = keep_due(), keep_person()
    for step in range(50):
        keep_due(f"Thing {step}")
        keep_message(row, person, step=step, state="sent")
    for address in ("/due/?show=all", "/due/sent/", "/due/coming/"):
        with django_assert_max_num_queries(14):
            office.get(address)


def test_a_person_is_added_changed_tried_and_taken_off(office):
    other = keep_person("Grace")
    given = {
        "name": "Ada",
        "email": "ada@example.org",
        "kinds": ["backflow_test"],
        "morning": "07:30",
        "quiet_from": "20:00",
        "quiet_until": "07:00",
        "time_zone": "America/Denver",
        "escalate_to": str(other.pk),
        "escalate_after_days": "14",
    }
    assert office.post("/due/people/new/", given).status_code == 302
    person = Recipient.objects.get(name="Ada")
    text = text_of(office.get("/due/people/"))
    for words in ("07:30", "Backflow test", "Grace", "quiet 20:00 to 07:00"):
        assert words in text
    address = f"/due/people/{person.pk}/"
    changed = {**given, "name": "Ada B", "version": person.version}
    assert office.post(address, changed).status_code == 302
    assert office.post(address, changed).status_code == 409
    office.post(f"{address}test/")
    assert Message.objects.get().key.startswith("test:")
    person.refresh_from_db()
    office.post(f"{address}take-off/", {"version": person.version})
    assert "Ada" not in text_of(office.get("/due/people/")).replace("Ada B is", "")
    assert Message.objects.get().state == "cancelled"


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"name": ""}, "name"),
        ({"email": "nowhere"}, "email"),
        ({"time_zone": "Mars"}, "no time zone"),
        ({"quiet_from": "20:00"}, "both a beginning and an end"),
        ({"escalate_after_days": "0"}, "greater than or equal to 1"),
        ({"escalate_to": "999"}, "not one of the available"),
    ],
)
def test_what_cannot_be_of_a_person_is_refused(office, wrong, said):
    given = {"name": "Ada", "email": "ada@example.org", **wrong}
    answer = office.post("/due/people/new/", given)
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert not Recipient.objects.exists()


def test_an_address_is_added_and_its_secret_shown_this_once(office):
    given = {"url": "https://hooks.example.org/due"}
    answer = office.post("/due/addresses/new/", given)
    row = Webhook.objects.get()
    assert row.secret in text_of(answer)
    assert row.secret not in text_of(office.get("/due/people/"))
    assert "already" in text_of(office.post("/due/addresses/new/", given))
    office.post(f"/due/addresses/{row.pk}/take-off/")
    assert "hooks.example.org" not in text_of(office.get("/due/people/"))


@pytest.mark.parametrize("url", ["http://example.org", "https://a:b@example.org", "x"])
def test_an_address_that_cannot_be_told_is_refused(office, url):
    answer = office.post("/due/addresses/new/", {"url": url})
    assert answer.status_code == 422
    assert not Webhook.objects.exists()


def test_the_steps_of_a_kind_are_stated(office):
    address = "/due/steps/head_audit/"
    given = {
        "days": "14, 3",
        "weekly": "on",
        "rule": "every 2 years",
        "first": "2027-05-01",
    }
    assert office.post(address, given).status_code == 302
    settings = settings_of(local_account(), "head_audit")
    assert settings.steps.days == (14, 3)
    assert settings.rule == "every 2 years"
    text = text_of(office.get("/due/steps/"))
    assert "14 days before, 3 days before, every week when overdue" in text


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"days": "soon"}, "no number of days"),
        ({"days": "7", "rule": "now and then", "first": "2027-05-01"}, "no interval"),
        ({"days": "7", "rule": "yearly"}, "first audit"),
    ],
)
def test_steps_that_cannot_be_are_refused(office, given, said):
    answer = office.post("/due/steps/head_audit/", given)
    assert answer.status_code == 422
    assert said in text_of(answer)


def test_no_kind_of_another_name_has_steps(office):
    assert office.get("/due/steps/nonsense/").status_code == 404


def test_silence_is_told(office):
    keep_person()
    assert "Nothing has ever looked" in text_of(office.get("/due/sent/"))
