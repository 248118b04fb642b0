"""A season list that takes an assembly out, or puts it back, tells the register."""

from datetime import date, timedelta

import pytest

from maintenance.models import AssemblyEvent, Device
from maintenance.services.backflow.due_queries import due_lines
from maintenance.services.backflow.events import Happened, record_event
from maintenance.services.backflow.facts import StatedFacts, store_facts
from maintenance.services.seasons.carry_out import (
    record_step,
    record_steps,
    skip_step,
    undo_step,
)
from tests.services.seasons.lists import (
    EVENING,
    FIRST,
    NOON,
    ids,
    opened,
    step,
    tick,
)

TAKE_OUT = step("remove B1", "B1", "removed", act="remove")
PUT_BACK = step("install B1", "B1", "in_place", act="install")
COVER = step("install cover B1", act="install", on="B1", to="covered")
PUMP_OUT = step("remove F1", "F1", "taken_out", act="remove")


@pytest.fixture
def list_id(owner):
    return opened(owner, TAKE_OUT, COVER, PUMP_OUT, FIRST, PUT_BACK)


def events(**where):
    rows = AssemblyEvent.objects.filter(**where).order_by("pk")
    return [(row.kind, row.on, row.undone_at is None) for row in rows]


def do(account, list_id, key, now=NOON, **fields):
    sent = tick(ids(account, list_id)[key], **fields)
    record_step(account, list_id=list_id, tick=sent, now=now, actor="Ben")
    return sent


def take_back(account, list_id, sent, now=EVENING):
    return undo_step(
        account,
        list_id=list_id,
        step=sent.step,
        client_id=sent.client_id,
        now=now,
        actor="Cy",
    )


def test_taking_it_out_is_told_once_however_often_it_is_sent(owner, list_id):
    sent = do(owner, list_id, "remove B1", note="in the cellar")
    again = record_step(owner, list_id=list_id, tick=sent, now=EVENING, actor="Ben")
    assert again is False
    assert events() == [("removed", date(2026, 10, 14), True)]
    row = AssemblyEvent.objects.get()
    assert (row.reported_by, row.note) == ("Ben", "in the cellar")
    assert row.device == Device.objects.get(link__key="B1", until=None)


def test_covers_other_parts_and_skipped_steps_tell_nothing(owner, list_id):
    for key in ("install cover B1", "remove F1", "first"):
        do(owner, list_id, key)
    skip_step(
        owner,
        list_id=list_id,
        step=ids(owner, list_id)["remove B1"],
        client_id="s1",
        reason="stays in",
        now=NOON,
        actor="Ben",
    )
    assert events() == []


def test_taking_the_report_back_takes_the_event_back_once(owner, list_id):
    sent = do(owner, list_id, "remove B1")
    assert take_back(owner, list_id, sent) is True
    assert take_back(owner, list_id, sent, EVENING + timedelta(hours=1)) is False
    assert AssemblyEvent.objects.get().undone_at == EVENING
    do(owner, list_id, "remove B1")
    assert [standing for *_, standing in events()] == [False, True]


def test_the_day_is_that_of_the_deed_not_of_its_arrival(owner, list_id):
    do(owner, list_id, "remove B1", done_at=NOON - timedelta(days=3))
    assert events() == [("removed", date(2026, 10, 11), True)]


def test_what_a_person_told_already_is_not_told_again(owner, list_id):
    record_event(
        owner,
        device_id=Device.objects.get(link__key="B1").pk,
        told=Happened(kind="removed", on=date(2026, 10, 13), stored_at="shed"),
        now=NOON,
        actor="Ann",
    )
    sent = do(owner, list_id, "remove B1")
    take_back(owner, list_id, sent)
    assert events() == [("removed", date(2026, 10, 13), True)]


def test_out_and_back_in_one_sending_are_both_told(owner, list_id):
    steps = ids(owner, list_id)
    ticks = [tick(steps["remove B1"]), tick(steps["install B1"])]
    record_steps(owner, list_id=list_id, ticks=ticks, now=NOON, actor="Ben")
    assert [kind for kind, *_ in events()] == ["removed", "reinstalled"]


def test_a_refused_sending_tells_nothing(owner, list_id):
    steps = ids(owner, list_id)
    bad = tick(steps["first"], outcome="skipped")
    with pytest.raises(Exception, match="reason"):
        record_steps(
            owner,
            list_id=list_id,
            ticks=[tick(steps["remove B1"]), bad],
            now=NOON,
            actor="Ben",
        )
    assert events() == []


def test_a_step_that_takes_it_out_raises_the_test_of_the_place(owner, list_id):
    """North Riverside, Illinois: tested before it goes back (its page on winter)."""
    device = Device.objects.get(link__key="B1")
    store_facts(
        owner,
        device_id=device.pk,
        stated=StatedFacts(place="north-riverside"),
        version=0,
        now=NOON,
        actor="Ann",
    )
    owed = ("before_service", "north-riverside-reinstalled/1")
    assert _state(owner) != owed
    sent = do(owner, list_id, "remove B1")
    assert _state(owner) == owed
    take_back(owner, list_id, sent)
    assert _state(owner) != owed


def _state(account):
    (line,), _ = due_lines(account, now=EVENING)
    assert line.rule
    return line.state, str(line.rule.ref)
