"""Claim, fence, call, settle: what a channel says decides, and whoever holds the row."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.db import connection

from maintenance.engine.reminding.attempts import Outcome
from maintenance.engine.reminding.letters import HookCall, Letter
from maintenance.models import DeliveryTry, Message
from maintenance.services.reminders import drain as draining
from maintenance.services.reminders.claim import claim, fence
from maintenance.services.reminders.database_clock import clock_sql
from maintenance.services.reminders.drain import drain
from maintenance.services.reminders.materialise import materialise
from maintenance.services.reminders.watch import watch
from tests.services.reminders.conftest import NOW

pytestmark = pytest.mark.django_db
LOST = Outcome("unknown", "no reply")
BUSY = Outcome("refused", "450 busy")


@pytest.fixture
def waiting(person, due):
    person()
    due()
    materialise(now=NOW)
    return Message.objects.get(state="due")


def again(message):
    """Let the wait of a message be over."""
    Message.objects.filter(pk=message.pk).update(lease_until=None)
    message.refresh_from_db()
    return message


def test_a_message_is_delivered_once_and_every_attempt_is_a_row(waiting, noting, ways):
    done = drain(ways, now=NOW)
    assert (done.sent, done.worked) == (1, 1)
    assert drain(ways, now=NOW).worked == 0
    waiting.refresh_from_db()
    assert (waiting.state, waiting.attempts, waiting.token) == ("sent", 1, "")
    assert waiting.body_hash == noting.got[0].body_hash
    (attempt,) = DeliveryTry.objects.all()
    assert (attempt.ended, attempt.permanent) == ("accepted", False)


def test_what_was_overtaken_is_never_delivered(waiting, noting, ways):
    assert Message.objects.filter(state="superseded").count() == 3
    drain(ways, now=NOW)
    assert len(noting.got) == 1


def test_a_refusal_is_tried_again_later_with_the_same_letter(waiting, noting, ways):
    noting.answers = [BUSY]
    assert drain(ways, now=NOW).refused == 1
    assert drain(ways, now=NOW).worked == 0, "it waits"
    assert drain(ways, now=NOW).worked == 0
    again(waiting)
    assert drain(ways, now=NOW).sent == 1
    assert noting.got[0] == noting.got[1]
    assert [t.ended for t in DeliveryTry.objects.order_by("pk")] == [
        "refused",
        "accepted",
    ]


def test_a_refusal_for_good_fails_and_says_why(waiting, noting, ways):
    noting.answers = [Outcome("refused_for_good", "550 no such person")]
    assert drain(ways, now=NOW).failed == 1
    waiting.refresh_from_db()
    assert (waiting.state, waiting.why) == ("failed", "550 no such person")
    assert DeliveryTry.objects.get().permanent


def test_a_lost_reply_of_mail_is_made_good_once_and_then_uncertain(
    waiting, noting, ways
):
    noting.answers = [LOST, LOST]
    drain(ways, now=NOW)
    again(waiting)
    assert (waiting.state, waiting.maybe_twice) == ("due", 1)
    drain(ways, now=NOW)
    again(waiting)
    assert (waiting.state, waiting.maybe_twice) == ("uncertain", 1)
    assert drain(ways, now=NOW).worked == 0
    seen = watch(now=NOW)
    assert (seen.uncertain, seen.maybe_twice) == (1, 1)


def test_a_lost_reply_of_a_channel_that_knows_keys_is_no_double(hook, due, ways):
    due()
    materialise(now=NOW)
    ways["webhook"].answers = [LOST, LOST, LOST]
    for _ in range(4):
        drain(ways, now=NOW)
        again(Message.objects.get(channel="webhook", step=0))
    row = Message.objects.get(channel="webhook", step=0)
    assert (row.state, row.maybe_twice, row.attempts) == ("sent", 0, 4)
    keys = {call.key for call in ways["webhook"].got if isinstance(call, HookCall)}
    assert keys == {row.key}


def test_what_a_dead_worker_was_sending_by_mail_is_sent_once_more(
    waiting, noting, ways
):
    for resends, state in ((0, "sent"), (1, "uncertain")):
        Message.objects.update(
            state="sending", token="dead", maybe_twice=resends, lease_until=NOW
        )
        Message.objects.exclude(pk=waiting.pk).delete()
        drain(ways, now=NOW)
        again(waiting)
        if waiting.state == "due":
            drain(ways, now=NOW)
            waiting.refresh_from_db()
        assert waiting.state == state


def test_what_a_dead_worker_was_sending_by_key_is_simply_taken_over(hook, due, ways):
    due()
    materialise(now=NOW)
    Message.objects.filter(step=0).update(
        state="sending", token="dead", lease_until=NOW
    )
    assert drain(ways, now=NOW).sent == 1
    assert Message.objects.get(step=0).maybe_twice == 0


def test_a_live_lease_is_left_alone(waiting, ways):
    claim(channels=["email"], keyed=[], token="other", lease_s=60, most=5)
    assert drain(ways, now=NOW).worked == 0


def test_whoever_lost_the_claim_keeps_the_hands_off(waiting):
    (mine,) = claim(channels=["email"], keyed=[], token="mine", lease_s=-1, most=5)
    claim(channels=["email"], keyed=[], token="theirs", lease_s=60, most=5)
    assert not fence(mine, token="mine", lease_s=60)
    assert fence(mine, token="theirs", lease_s=60)


def test_leases_go_by_the_database_s_clock_and_not_by_the_worker_s(
    waiting, ways, monkeypatch
):
    claim(channels=["email"], keyed=[], token="other", lease_s=60, most=5)
    for hours in (-24, -1, 1, 24):
        assert drain(ways, now=NOW + timedelta(hours=hours)).worked == 0
    for room in ("claim", "database_clock"):
        monkeypatch.setattr(
            f"maintenance.services.reminders.{room}.clock_sql",
            lambda ahead=0: clock_sql(ahead + 300),
        )
    assert drain(ways, now=NOW).sent == 1


def test_a_lease_that_no_claim_could_have_written_holds_nobody_back(waiting, ways):
    # As one that was written while the database's clock ran a day ahead.
    ahead = datetime.now(UTC) + timedelta(days=1)
    Message.objects.filter(pk=waiting.pk).update(token="dead", lease_until=ahead)
    assert drain(ways, now=NOW).sent == 1


def test_what_lies_ahead_by_the_database_s_clock_is_not_sent(waiting, ways):
    ahead = datetime.now(UTC) + timedelta(hours=1)
    Message.objects.update(send_at=ahead)
    assert drain(ways, now=ahead + timedelta(days=1)).worked == 0


def test_what_ended_or_was_put_off_meanwhile_is_not_sent(waiting, noting, ways):
    obligation = waiting.obligation
    obligation.snoozed_until = date(2026, 9, 20)
    obligation.save()
    assert drain(ways, now=NOW).cancelled == 1
    Message.objects.filter(pk=waiting.pk).update(state="due")
    obligation.snoozed_until, obligation.ended_at = None, NOW
    obligation.ended_as = "done"
    obligation.save()
    assert drain(ways, now=NOW).cancelled == 1
    assert noting.got == []


def test_a_person_who_stopped_meanwhile_gets_nothing(waiting, noting, ways):
    waiting.recipient.stopped_at = NOW
    waiting.recipient.save()
    assert drain(ways, now=NOW).cancelled == 1
    assert noting.got == []


def test_in_quiet_hours_it_waits_for_their_end(person, due, ways):
    person(quiet_from=time(20), quiet_until=time(7), morning=time(8))
    due()
    materialise(now=NOW)
    night = datetime(2026, 9, 16, 5, tzinfo=UTC)  # 23:00 in Denver
    assert drain(ways, now=night).postponed == 1
    row = Message.objects.get(state="due")
    assert row.send_at == datetime(2026, 9, 16, 13, tzinfo=UTC)
    assert row.attempts == 0


def test_a_daily_letter_holds_what_came_due_in_its_days(person, due, noting, ways):
    person(daily=True, time_zone="America/Denver")
    due(about="custom:1", what="First")
    due(date(2026, 9, 22), about="custom:2", what="Second")
    due(date(2027, 9, 22), about="custom:3", what="Far away")
    materialise(now=NOW)
    assert drain(ways, now=NOW).sent == 1
    (letter,) = noting.got
    assert isinstance(letter, Letter)
    assert "First" in letter.text
    assert "Second" in letter.text
    assert "Far away" not in letter.text


def test_a_letter_of_a_day_without_anything_open_is_not_sent(person, due, ways):
    person(daily=True, time_zone="America/Denver")
    row = due()
    materialise(now=NOW)
    row.ended_at, row.ended_as = NOW, "done"
    row.save()
    assert drain(ways, now=NOW).cancelled == 1


def test_one_message_that_makes_the_program_fail_stops_no_other(person, due, noting):
    class Failing:
        knows_keys = False

        def deliver(self, delivery):
            if "bad" in delivery.subject:
                raise ZeroDivisionError
            return noting.deliver(delivery)

    person()
    due(about="custom:1", what="a bad thing")
    due(about="custom:2", what="a good thing")
    materialise(now=NOW)
    done = drain({"email": Failing()}, now=NOW)
    assert (done.sent, done.refused) == (1, 1)
    assert "ZeroDivisionError" in DeliveryTry.objects.get(ended="unknown").error


def test_a_round_ends_after_so_many(person, due, ways):
    person()
    for number in range(5):
        due(about=f"custom:{number}")
    materialise(now=NOW)
    assert drain(ways, now=NOW, most=3).worked == 3
    assert drain(ways, now=NOW, within_s=0).worked == 0
    assert drain(ways, now=NOW).worked == 2


def test_a_channel_that_is_not_given_is_left_for_another_worker(waiting, ways):
    assert drain({"webhook": ways["webhook"]}, now=NOW).worked == 0


@pytest.mark.django_db(transaction=True)
def test_no_transaction_is_open_during_a_call(person, due):
    open_ones = []

    class Looking:
        knows_keys = False

        def deliver(self, _delivery):
            open_ones.append(connection.in_atomic_block)
            return Outcome("accepted")

    person()
    due()
    materialise(now=NOW)
    drain({"email": Looking()}, now=NOW)
    assert open_ones == [False]


def test_the_watchdog_sees_silence_and_its_end(waiting, ways):
    assert watch(now=NOW).silent
    drain(ways, now=NOW)
    assert not watch(now=NOW).silent
    assert watch(now=NOW + timedelta(minutes=6)).silent


def test_the_watchdog_names_the_last_refusal(waiting, noting, ways):
    noting.answers = [BUSY]
    drain(ways, now=NOW)
    seen = watch(now=NOW + timedelta(minutes=4))
    assert seen.silent
    assert "450 busy" in " ".join(seen.reasons)


def test_the_claim_is_one_statement(waiting, django_assert_num_queries):
    with django_assert_num_queries(1):
        claim(channels=["email"], keyed=["webhook"], token="t", lease_s=60, most=5)


def test_the_lease_is_longer_than_any_call_may_take():
    # Mail waits 30 s, a request 10 s and 20 s (their own settings).
    assert draining.LEASE_S > 2 * 30
