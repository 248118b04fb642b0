"""Steps are reported once, however often a phone sends them, and never lost."""

from dataclasses import replace
from datetime import timedelta

import pytest

from maintenance.models import StepRecord
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.seasons.carry_out import (
    record_step,
    record_steps,
    skip_step,
    undo_step,
)
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.queries import season_list
from tests.services.seasons.lists import (
    EVENING,
    MORNING,
    NOON,
    do,
    finish,
    ids,
    opened,
    report,
    tick,
)


@pytest.fixture
def list_id(owner):
    return opened(owner)


def line(account, list_id, key):
    lines = season_list(account, list_id=list_id).steps
    return next(each for each in lines if each.step.key == key)


def undo(account, list_id, sent, now=NOON):
    return undo_step(
        account,
        list_id=list_id,
        step=sent.step,
        client_id=sent.client_id,
        now=now,
        actor="Cy",
    )


def test_a_report_is_kept_with_who_when_reading_and_seconds(owner, list_id):
    sent = tick(
        ids(owner, list_id)["blow"],
        who="Dee",
        done_at=MORNING,
        reading="45 psi",
        seconds=130.0,
        note="mist at the end",
    )
    assert record_step(owner, list_id=list_id, tick=sent, now=NOON, actor="Ben") is True
    kept = line(owner, list_id, "blow").report
    assert kept is not None
    assert (kept.outcome, kept.who, kept.note) == ("done", "Dee", "mist at the end")
    assert (kept.done_at, kept.received_at, kept.seconds) == (MORNING, NOON, 130.0)
    assert (kept.reading.text, kept.reading.kind) == ("45 psi", "pressure")
    # 1 psi = 6894.757 Pa (NIST SP 811, appendix B.8)
    assert kept.reading.value == pytest.approx(45 * 6894.757, rel=1e-6)
    entry = StepRecord.objects.get().history.get()
    assert (entry.actor, entry.history_date) == ("Ben", NOON)


def test_without_more_it_was_the_sender_and_now(owner, list_id):
    do(owner, list_id, "first")
    kept = line(owner, list_id, "first").report
    assert (kept.who, kept.done_at, kept.seconds) == ("Ben", NOON, None)
    assert (kept.reading.text, kept.reading.value) == ("", None)


def test_the_same_report_sent_again_is_kept_once(owner, colleague, list_id):
    sent = tick(ids(owner, list_id)["first"], seconds=20.0)
    assert report(owner, list_id, sent) == 1
    assert report(colleague, list_id, sent, now=EVENING) == 0
    assert report(owner, list_id, sent, sent) == 0
    assert StepRecord.objects.count() == 1
    assert line(owner, list_id, "first").report.received_at == NOON


@pytest.mark.parametrize(
    "other",
    [
        {"outcome": "skipped", "reason": "no key"},
        {"seconds": 21.0},
        {"reading": "45 psi"},
        {"note": "stiff"},
        {"who": "Dee"},
        {"done_at": MORNING},
    ],
)
def test_another_report_under_the_same_id_is_refused(owner, list_id, other):
    sent = tick(ids(owner, list_id)["first"])
    report(owner, list_id, sent)
    with pytest.raises(ConflictError, match="reported otherwise under the same id"):
        report(owner, list_id, replace(sent, **other))
    assert line(owner, list_id, "first").report.outcome == "done"


def test_a_step_has_one_outcome_and_the_second_is_told_whose(owner, list_id):
    do(owner, list_id, "first", who="Dee")
    with pytest.raises(ConflictError) as refusal:
        do(owner, list_id, "first", outcome="skipped", reason="no key")
    assert str(refusal.value) == (
        'Dee already reported the step "Close shut-off 1." as done: nothing was '
        "stored. Take that back first if it is wrong."
    )


def test_a_skipped_step_says_why(owner, list_id):
    step = ids(owner, list_id)["blow"]
    options = {"list_id": list_id, "step": step, "client_id": "x", "now": NOON}
    with pytest.raises(ServiceError, match="A skipped step needs its reason"):
        skip_step(owner, reason="  ", actor="Ben", **options)
    assert skip_step(owner, reason=" hose burst ", actor="Ben", **options) is True
    assert skip_step(owner, reason="hose burst", actor="Ben", **options) is False
    kept = line(owner, list_id, "blow").report
    assert (kept.outcome, kept.reason) == ("skipped", "hose burst")


def test_what_is_undone_stays_to_be_seen_and_comes_no_more(owner, list_id):
    sent = tick(ids(owner, list_id)["first"])
    report(owner, list_id, sent)
    assert undo(owner, list_id, sent) is True
    assert undo(owner, list_id, sent, now=EVENING) is False
    # The phone sends the first report once more: it stays undone.
    assert report(owner, list_id, sent) == 0
    shown = line(owner, list_id, "first")
    assert shown.report is None
    assert [
        (each.client_id, each.undone_at, each.undone_by) for each in shown.undone
    ] == [(sent.client_id, NOON, "Cy")]
    assert do(owner, list_id, "first") == 1
    assert undo(owner, list_id, sent) is False
    assert line(owner, list_id, "first").report is not None
    record = StepRecord.objects.get(client_id=sent.client_id)
    assert [entry.actor for entry in record.history.all()] == ["Cy", "Ben"]


def test_what_was_never_reported_cannot_be_undone(owner, list_id):
    with pytest.raises(NotFoundError, match="no such report"):
        undo(owner, list_id, tick(ids(owner, list_id)["first"]))


def test_a_sheet_of_paper_is_entered_whole_or_not_at_all(owner, list_id):
    numbers = ids(owner, list_id)
    good = [tick(numbers[key], done_at=MORNING) for key in ("first", "second")]
    with pytest.raises(ServiceError, match="needs its reason"):
        report(owner, list_id, *good, tick(numbers["blow"], outcome="skipped"))
    with pytest.raises(ConflictError, match="already reported"):
        report(owner, list_id, *good, tick(numbers["first"]))
    assert not StepRecord.objects.exists()
    assert report(owner, list_id, *good) == 2
    assert report(owner, list_id) == 0


def test_a_closed_list_takes_no_report_but_knows_those_it_has(owner, list_id):
    numbers = ids(owner, list_id)
    sent = tick(numbers["first"])
    report(owner, list_id, sent)
    finish(owner, list_id)
    close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
    assert report(owner, list_id, sent) == 0
    with pytest.raises(
        ConflictError, match=r"2026 of .* was closed by Ann: nothing was"
    ):
        report(owner, list_id, tick(numbers["first"]))
    with pytest.raises(ConflictError, match="was closed by Ann"):
        undo(owner, list_id, sent)
    assert line(owner, list_id, "first").report.client_id == sent.client_id


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"seconds": float("nan")}, "cannot take nan seconds"),
        ({"seconds": -1.0}, "cannot take -1.0 seconds"),
        ({"seconds": float("inf")}, "cannot take inf seconds"),
        ({"outcome": "half"}, 'cannot end as "half"'),
        ({"client_id": ""}, "needs an id of its own of 1 to 100 characters"),
        ({"client_id": "x" * 101}, "needs an id of its own"),
        ({"done_at": NOON.replace(tzinfo=None)}, "says nothing of its time zone"),
        ({"note": "nul \x00"}, "step record 'done': its note holds a character"),
        (
            {"who": "x" * 201},
            "The name of who did it is too long",
        ),
    ],
)
def test_what_cannot_be_true_is_refused_in_a_sentence(owner, list_id, fields, sentence):
    with pytest.raises(ServiceError, match=sentence):
        do(owner, list_id, "first", **fields)
    assert not StepRecord.objects.exists()


def test_a_clock_that_runs_ahead_loses_no_report_and_is_told(owner, list_id):
    ahead = NOON + timedelta(days=3)
    do(owner, list_id, "first", done_at=ahead)
    do(owner, list_id, "second", done_at=NOON + timedelta(minutes=9))
    assert line(owner, list_id, "first").report.clock_is_wrong
    assert line(owner, list_id, "first").report.done_at == ahead
    assert not line(owner, list_id, "second").report.clock_is_wrong


def test_a_step_of_another_list_or_account_is_not_found(owner, stranger, list_id):
    number = ids(owner, list_id)["first"]
    other = opened(owner, year=2027)
    with pytest.raises(NotFoundError, match="no step"):
        report(owner, other, tick(number))
    theirs = opened(stranger)
    with pytest.raises(NotFoundError, match="no step"):
        report(stranger, theirs, tick(number))
    with pytest.raises(NotFoundError, match="no season list"):
        report(stranger, list_id, tick(number))
    with pytest.raises(NotFoundError, match="no season list"):
        undo(stranger, list_id, tick(number))
    assert not StepRecord.objects.exists()


def test_positions_follow_what_is_done_and_what_is_skipped_changes_nothing(
    owner, list_id
):
    do(owner, list_id, "first")
    do(owner, list_id, "second", outcome="skipped", reason="stuck")
    reached = season_list(owner, list_id=list_id).reached
    assert reached.positions == {
        "B1/shutoff_1": "closed",
        "B1/shutoff_2": "open",
        "ZV1": "closed",
    }
    left = season_list(owner, list_id=list_id).procedure.steps
    assert [each.key for each in left] == ["first", "blow"]


def test_reports_need_few_queries(owner, list_id, django_assert_max_num_queries):
    numbers = ids(owner, list_id)
    # savepoint, list, held, list, steps, their records, record + history; release
    with django_assert_max_num_queries(9):
        record_steps(
            owner, list_id=list_id, ticks=[tick(numbers["first"])], now=NOON, actor="B"
        )
