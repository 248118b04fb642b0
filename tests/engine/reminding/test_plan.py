"""Who is told when: mornings, quiet hours, snoozes, escalation, and what is overtaken."""

from datetime import UTC, date, datetime, time

import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.reminding.plan import Owed, Reader, Telling, newest, plan
from maintenance.engine.reminding.quiet import Quiet, when_allowed
from maintenance.engine.reminding.steps import Steps, read_steps, step_days

DENVER = "America/Denver"
DUE = date(2027, 3, 31)


def owed(due_on=DUE, zone=DENVER, **more):
    return Owed(1, "backflow_test", 5, due_on, zone, **more)


def planned(reader, *, until, steps=None, **more):
    telling = Telling((reader,), {"backflow_test": steps} if steps else {})
    return plan(telling, owed(**more), until=until)


def at(year, month, day, hour=0, minute=0):
    return datetime(year, month, day, hour, minute, tzinfo=UTC)


def test_the_usual_steps_come_in_the_morning_of_the_site():
    found = planned(Reader(1, "email"), until=at(2027, 4, 8))
    assert [each.step for each in found] == [60, 30, 7, 0, -7]
    # 30 January and 1 March lie in winter time, 24 and 31 March in summer time.
    assert [each.send_at for each in found] == [
        at(2027, 1, 30, 15),
        at(2027, 3, 1, 15),
        at(2027, 3, 24, 14),
        at(2027, 3, 31, 14),
        at(2027, 4, 7, 14),
    ]


@pytest.mark.parametrize(
    ("day", "morning", "zone", "instant"),
    [
        # Rows 7, 8, 11, 13, 14 and 15 of reference note 8, section 3.2.
        (date(2027, 3, 14), time(2, 30), "America/New_York", at(2027, 3, 14, 7, 30)),
        (date(2027, 11, 7), time(1, 30), "America/New_York", at(2027, 11, 7, 5, 30)),
        (date(2027, 7, 1), time(8), "America/Phoenix", at(2027, 7, 1, 15)),
        (date(2027, 7, 1), time(8), "America/Denver", at(2027, 7, 1, 14)),
        (date(2027, 3, 14), time(0), "America/Havana", at(2027, 3, 14, 5)),
        (date(2027, 4, 4), time(8), "Australia/Lord_Howe", at(2027, 4, 3, 21, 30)),
        (date(2011, 12, 30), time(12), "Pacific/Apia", at(2011, 12, 30, 22)),
    ],
)
def test_a_morning_that_the_clocks_skip_or_repeat_comes_once(
    day, morning, zone, instant
):
    reader = Reader(1, "email", morning=morning)
    found = planned(
        reader,
        until=at(2028, 1, 1),
        steps=Steps((0,), weekly=False),
        due_on=day,
        zone=zone,
    )
    assert [each.send_at for each in found] == [instant]


def test_a_leap_day_has_its_step_and_its_week_after():
    found = planned(
        Reader(1, "email"),
        until=at(2028, 3, 8),
        steps=Steps((7, 0)),
        due_on=date(2028, 2, 29),
    )
    assert [(each.step, each.day) for each in found] == [
        (7, date(2028, 2, 22)),
        (0, date(2028, 2, 29)),
        (-7, date(2028, 3, 7)),
    ]


def test_a_person_s_own_zone_counts_before_the_site_s():
    reader = Reader(1, "email", zone="Europe/Berlin")
    found = planned(reader, until=at(2027, 4, 1), steps=Steps((0,), weekly=False))
    assert found[0].send_at == at(2027, 3, 31, 6)


def test_quiet_hours_move_a_reminder_to_their_end():
    night = Quiet(time(22), time(7))
    assert when_allowed(at(2027, 7, 1, 12), night, DENVER) == at(2027, 7, 1, 13)
    assert when_allowed(at(2027, 7, 1, 5), night, DENVER) == at(2027, 7, 1, 13)
    assert when_allowed(at(2027, 7, 1, 13), night, DENVER) == at(2027, 7, 1, 13)
    noon = Quiet(time(12), time(13))
    assert when_allowed(at(2027, 7, 1, 18, 30), noon, DENVER) == at(2027, 7, 1, 19)


def test_the_end_of_quiet_hours_is_never_earlier_than_now():
    # On 7 November 2027 New York has 01:30 twice; the second one lies after 01:45.
    second = at(2027, 11, 7, 6, 30)
    quiet = Quiet(time(0), time(1, 45))
    assert when_allowed(second, quiet, "America/New_York") >= second


def test_a_snooze_leaves_out_what_comes_before_its_end():
    found = planned(
        Reader(1, "email"), until=at(2027, 4, 9), snoozed_until=date(2027, 3, 28)
    )
    assert [each.step for each in found] == [3, 0, -7]


def test_a_snooze_past_the_due_date_is_told_as_overdue():
    found = planned(
        Reader(1, "email"), until=at(2027, 4, 15), snoozed_until=date(2027, 4, 5)
    )
    assert [each.step for each in found] == [-5, -7, -14]


def test_after_downtime_only_the_newest_is_sent():
    telling = Telling((Reader(1, "email"), Reader(2, "webhook")))
    found = plan(telling, owed(), until=at(2027, 4, 22))
    last, overtaken = newest(found)
    assert sorted(last) == ["o1:-21:email:r1", "o1:-21:webhook:w2"]
    assert len(overtaken) == 2 * 6


def test_nobody_is_told_of_steps_before_they_were_added():
    reader = Reader(1, "email", since=at(2027, 3, 10))
    assert [e.step for e in planned(reader, until=at(2027, 4, 1))] == [7, 0]


def test_a_date_that_was_put_off_is_not_told_anew():
    found = planned(
        Reader(1, "email"), until=at(2027, 4, 1), remind_from=at(2027, 3, 2)
    )
    assert [each.step for each in found] == [7, 0]


def test_a_second_person_is_told_of_what_is_overdue():
    first = Reader(1, "email", escalate_to=2, escalate_after_days=14)
    second = Reader(2, "email", kinds=frozenset({"head_audit"}))
    found = plan(Telling((first, second)), owed(), until=at(2027, 4, 22))
    told = [(each.step, each.instead_of) for each in found if each.reader.id == 2]
    assert told == [(-14, 1), (-21, 1)]


def test_the_second_person_takes_over_from_one_who_stopped():
    first = Reader(1, "email", escalate_to=2, silent=True)
    second = Reader(2, "email", kinds=frozenset({"head_audit"}))
    found = plan(Telling((first, second)), owed(), until=at(2027, 4, 1))
    assert [(e.reader.id, e.step) for e in found] == [(2, 60), (2, 30), (2, 7), (2, 0)]


def test_a_second_person_who_is_told_anyway_is_told_once():
    first = Reader(1, "email", escalate_to=2, escalate_after_days=7)
    found = plan(Telling((first, Reader(2, "email"))), owed(), until=at(2027, 4, 8))
    told = [each for each in found if each.reader.id == 2]
    assert [each.step for each in told] == [60, 30, 7, 0, -7]
    assert {each.instead_of for each in told} == {None}


def test_people_are_told_of_their_kinds_and_sites_only():
    until = at(2027, 4, 1)
    assert planned(Reader(1, "email", kinds=frozenset({"custom"})), until=until) == []
    assert planned(Reader(1, "email", sites=frozenset({6})), until=until) == []
    assert planned(Reader(1, "email", sites=frozenset({5})), until=until)


def test_weekly_reminders_end_after_a_year():
    days = list(step_days(Steps(()), date(2027, 1, 1), until=date(2040, 1, 1)))
    assert len(days) == 52
    assert days[-1] == (-364, date(2027, 12, 31))


def test_steps_near_the_end_of_the_calendar_are_left_out():
    days = list(step_days(Steps((7, 0)), date(1, 1, 3), until=date(1, 1, 4)))
    assert days == [(0, date(1, 1, 3))]
    assert list(step_days(Steps(()), date(9999, 12, 30), until=date.max)) == []


@pytest.mark.parametrize(
    "text", ["a week", "-3", "7.5", "999", "٣", "1 2 3 4 5 6 7 8 9 10 11 12 13"]
)
def test_steps_that_cannot_be_read_are_refused(text):
    with pytest.raises(InputError):
        read_steps(text, weekly=True)
