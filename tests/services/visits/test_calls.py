"""A call is open until its visits have answered it, or somebody closes it with a word."""

from datetime import date

import pytest

from maintenance.models import ServiceCall, Visit
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.store import retire_site
from maintenance.services.visits.calls import (
    CallTold,
    change_call,
    close_call,
    reopen_call,
    take_call,
)
from maintenance.services.visits.carry_out import end_visit, start_visit
from maintenance.services.visits.one_visit import closed_calls, open_calls
from maintenance.services.visits.plan import VisitPlan, call_off_visit, plan_visit
from tests.services.visits.kept import MORNING, NOON, TODAY

LEAK = CallTold(what="Water by the path", caller="A neighbour", urgency="today")


@pytest.fixture
def call(owner, site):
    return take_call(owner, site_key=site, told=LEAK, now=MORNING, actor="office")


def visit_for(owner, call, **fields):
    plan = VisitPlan(kind="repair", planned_on=TODAY, **fields)
    return plan_visit(
        owner,
        site_key="example-lateral",
        plan=plan,
        call_id=call,
        now=MORNING,
        actor="office",
    )


def end(owner, visit, outcome, note="because"):
    if outcome in ("done", "partly", "not_found"):
        start_visit(owner, visit_id=visit, version=1, now=MORNING, actor="Ann")
    row = Visit.objects.get(pk=visit)
    end_visit(
        owner,
        visit_id=visit,
        version=row.version,
        outcome=outcome,
        note=note,
        now=NOON,
        actor="Ann",
    )


@pytest.mark.parametrize("outcome", ["done", "refused", "done_by_others"])
def test_a_call_closes_when_its_last_visit_ends(owner, call, outcome):
    first, second = visit_for(owner, call), visit_for(owner, call, worker="Ben")
    end(owner, first, outcome)
    assert ServiceCall.objects.get(pk=call).closed_at is None
    end(owner, second, outcome)
    row = ServiceCall.objects.get(pk=call)
    assert (row.closed_at, row.closed_by) == (NOON, "Ann")
    assert row.closed_as.startswith("Its visits ended: ")
    assert row.history.first().actor == "Ann"


@pytest.mark.parametrize("outcome", ["partly", "not_found", "no_access"])
def test_it_stays_open_after_a_visit_that_leaves_something_to_do(owner, call, outcome):
    end(owner, visit_for(owner, call), outcome)
    assert ServiceCall.objects.get(pk=call).closed_at is None


def test_a_visit_that_is_called_off_does_not_answer_a_call(owner, call):
    visit = visit_for(owner, call)
    call_off_visit(
        owner, visit_id=visit, version=1, word="rain", now=NOON, actor="office"
    )
    assert ServiceCall.objects.get(pk=call).closed_at is None


def test_it_closes_with_a_word_and_with_no_visit_to_come(owner, call):
    def close(word, version=1):
        close_call(
            owner, call_id=call, version=version, word=word, now=NOON, actor="office"
        )

    with pytest.raises(ServiceError, match="closed with a word"):
        close("  ")
    visit = visit_for(owner, call)
    with pytest.raises(ServiceError, match="1 visit for this call did not end"):
        close("forgot")
    call_off_visit(owner, visit_id=visit, version=1, word="x", now=NOON, actor="o")
    close("It was the neighbour's hose.")
    assert [each.pk for each in closed_calls(owner, at_most=5)] == [call]
    assert open_calls(owner) == []
    with pytest.raises(ServiceError, match="closed already"):
        close("again", version=2)
    reopen_call(owner, call_id=call, version=2, now=NOON, actor="office")
    assert [each.pk for each in open_calls(owner)] == [call]


def test_who_changes_an_old_version_is_told_and_nothing_is_stored(owner, call):
    first = CallTold(what="Water by the path, less now", promised_by=TODAY)
    change_call(owner, call_id=call, version=1, told=first, now=NOON, actor="a")
    with pytest.raises(ConflictError):
        change_call(owner, call_id=call, version=1, told=LEAK, now=NOON, actor="b")
    row = ServiceCall.objects.get(pk=call)
    assert (row.what, row.promised_by, row.version) == (first.what, TODAY, 2)
    assert row.history.count() == 2


def test_a_call_that_is_sent_twice_is_kept_once(owner, site, call):
    again = take_call(owner, site_key=site, told=LEAK, now=NOON, actor="office")
    assert again == call
    assert ServiceCall.objects.count() == 1


def test_nothing_is_taken_without_a_wish_a_site_or_a_day_of_our_time(owner, site):
    def take(told, key=site):
        take_call(owner, site_key=key, told=told, now=MORNING, actor="office")

    with pytest.raises(ServiceError, match="what is asked for"):
        take(CallTold(what=" "))
    with pytest.raises(ServiceError, match="how soon"):
        take(CallTold(what="x", urgency="at once"))
    with pytest.raises(ServiceError, match="no day of our time"):
        take(CallTold(what="x", promised_by=date(1026, 1, 1)))
    with pytest.raises(NotFoundError):
        take(CallTold(what="x"), key="nowhere")
    retire_site(owner, key=site, now=NOON)
    with pytest.raises(ServiceError, match="retired"):
        take(CallTold(what="x"))
    assert ServiceCall.objects.count() == 0


def test_a_stranger_reaches_no_call(owner, stranger, call):
    with pytest.raises(NotFoundError):
        close_call(stranger, call_id=call, version=1, word="mine", now=NOON, actor="s")
    assert open_calls(stranger) == []
