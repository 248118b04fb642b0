"""Rows appear when their time has come: once, the newest to be sent, the rest told."""

from datetime import date, timedelta

import pytest

from maintenance.models import Message, ReminderSteps
from maintenance.services.reminders.materialise import materialise
from tests.services.reminders.conftest import NOW

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


def states():
    rows = Message.objects.order_by("-step", "pk").values_list("step", "state")
    return list(rows)


def test_any_number_of_times_writes_one_row_for_each_step(person, due):
    person()
    due()
    assert materialise(now=NOW) == 4
    assert materialise(now=NOW) == 0
    assert states() == [
        (60, "superseded"),
        (30, "superseded"),
        (7, "superseded"),
        (0, "due"),
    ]


def test_nothing_is_written_before_its_morning(person, due):
    person()
    due(date(2026, 9, 22))
    early = NOW.replace(hour=13, minute=59)
    materialise(now=early)
    assert (7, "due") not in states()
    materialise(now=early + timedelta(minutes=1))
    assert states()[-1] == (7, "due")


def test_after_thirty_days_off_only_the_newest_waits(person, due):
    person()
    for number in range(5):
        due(date(2026, 10, 1), f"custom:{number}")
    materialise(now=NOW)
    materialise(now=NOW + 30 * DAY)
    waiting = Message.objects.filter(state="due")
    assert list(waiting.values_list("step", flat=True)) == [-14] * 5
    told = Message.objects.filter(state="superseded")
    assert all(row.why for row in told)
    # 60 and 30 at the first look, 30 days later 7, 0, -7.
    assert told.count() == 5 * 5


def test_what_waits_gives_way_to_a_newer_step(person, due):
    person()
    due(date(2026, 9, 22))
    materialise(now=NOW)
    materialise(now=NOW + 7 * DAY)
    assert states()[-2:] == [(7, "superseded"), (0, "due")]
    assert "newer" in Message.objects.get(step=7).why


def test_what_was_sent_stays_sent(person, due):
    person()
    due(date(2026, 9, 22))
    materialise(now=NOW)
    Message.objects.filter(step=7).update(state="sent")
    materialise(now=NOW + 7 * DAY)
    assert states()[-2:] == [(7, "sent"), (0, "due")]


def test_stated_steps_count_for_their_kind(owner, person, due):
    person()
    due()
    ReminderSteps.objects.create(
        account=owner, kind="custom", steps={"days": [3], "weekly": False}
    )
    materialise(now=NOW)
    assert states() == [(3, "due")]


def test_an_instant_is_kept_with_the_edition_of_the_zones(person, due):
    person()
    due()
    materialise(now=NOW)
    row = Message.objects.get(state="due")
    assert row.send_at == NOW.replace(hour=14)
    assert row.zone_data.startswith("20")


def test_what_has_ended_is_told_nobody(person, due):
    person()
    due(ended_at=NOW, ended_as="done")
    assert materialise(now=NOW) == 0


def test_one_account_s_people_hear_nothing_of_another_s(person, due, stranger):
    person()
    due(account=stranger)
    assert materialise(now=NOW) == 0


def test_a_webhook_is_told_too(hook, due):
    due()
    materialise(now=NOW)
    row = Message.objects.get(state="due")
    assert (row.channel, row.webhook, row.recipient) == ("webhook", hook, None)


def test_who_wants_one_letter_a_day_gets_one(person, due):
    person(daily=True, time_zone="America/Denver")
    due(about="custom:1")
    due(about="custom:2")
    materialise(now=NOW)
    (row,) = Message.objects.all()
    assert (row.channel, row.due_on) == ("digest", date(2026, 9, 15))
    Message.objects.update(state="sent")
    materialise(now=NOW + DAY)
    assert Message.objects.count() == 1, "nothing new on the day after"
    materialise(now=NOW + 7 * DAY)
    assert Message.objects.count() == 2


def test_a_daily_letter_that_was_not_sent_gives_way_to_the_next(person, due):
    person(daily=True, time_zone="America/Denver")
    due()
    materialise(now=NOW)
    materialise(now=NOW + 7 * DAY)
    rows = Message.objects.order_by("due_on").values_list("state", "step")
    assert [state for state, _ in rows] == ["superseded", "due"]


def test_where_one_is_not_reached_the_next_person_is_told(person, due):
    second = person("Grace", kinds={"kinds": ["head_audit"]})
    person(escalate_to=second)
    due()
    materialise(now=NOW)
    Message.objects.filter(state="due").update(state="failed")
    materialise(now=NOW)
    row = Message.objects.get(recipient=second)
    assert (row.state, row.step) == ("due", 0)
    assert row.why.startswith("In place of Ada")
    assert materialise(now=NOW) == 0


def test_a_zone_that_is_not_known_here_silences_nobody(person, due):
    person()
    due(time_zone="Mars/Olympus")
    materialise(now=NOW)
    assert Message.objects.filter(state="due").exists()
