"""Within a day, what is on record is ordered so that no test that is owed is hidden."""

from datetime import UTC, date, datetime

import pytest

from maintenance.engine.backflow.due.facts import Facts
from maintenance.engine.backflow.due.next_due import next_due
from maintenance.engine.backflow.due.table import find_rule, shipped_rules
from maintenance.services.backflow.due_events import (
    OnRecord,
    SignedResult,
    clock_events,
    last_judged,
)

DAY = date(2026, 4, 15)
ZONE = "America/Denver"


def seen(result, hour=16, day=15):
    at = datetime(2026, 4, day, hour, 0, tzinfo=UTC)
    return SignedResult(hour, hour, at, result, None)


def kinds(happened, tests, kind="RP", **more):
    told = clock_events(kind, [OnRecord(k, DAY) for k in happened], tests, ZONE, **more)
    return [e.result or e.kind for e in told]


@pytest.mark.parametrize(
    ("happened", "results", "order"),
    [
        (["reinstalled"], ["passed"], ["reinstalled", "passed"]),
        (["removed"], ["passed"], ["passed", "removed"]),
        (["removed", "reinstalled"], ["passed"], ["removed", "reinstalled", "passed"]),
        (["reinstalled", "removed"], ["passed"], ["reinstalled", "passed", "removed"]),
        (["repaired"], ["failed"], ["failed", "repaired"]),
        (["repaired"], ["failed", "passed"], ["failed", "repaired", "passed"]),
        (["last_used"], ["passed"], ["passed", "last_used"]),
        (["in_service"], ["passed"], ["in_service", "passed"]),
    ],
)
def test_the_order_within_a_day(happened, results, order):
    tests = [seen(result, 15 + n) for n, result in enumerate(results)]
    assert kinds(happened, tests) == order


def test_days_come_in_order_and_the_instant_is_that_of_the_site():
    late = SignedResult(1, 1, datetime(2026, 4, 16, 3, 0, tzinfo=UTC), "passed", None)
    told = clock_events("RP", [OnRecord("frozen", DAY)], [late], ZONE, installed=DAY)
    assert [e.kind for e in told] == ["installed", "frozen", "tested"]
    assert told[-1].on == DAY
    assert told[-1].at == late.at


@pytest.mark.parametrize("kind", ["AVB", "AG"])
def test_a_record_of_what_is_only_inspected_is_both(kind):
    told = clock_events(kind, [], [seen("passed")], ZONE)
    assert [(e.kind, e.result) for e in told] == [
        ("tested", "passed"),
        ("inspected", "passed"),
    ]


def test_a_pass_before_the_removal_of_a_day_leaves_the_spring_test_owed():
    """North Riverside, by its village's page: tested before it goes back."""
    rule = find_rule(shipped_rules(), "north-riverside-reinstalled")
    told = clock_events("RP", [OnRecord("removed", DAY)], [seen("passed")], ZONE)
    assert next_due([rule], Facts(kind="RP"), told, DAY).state == "before_service"


def test_deadlines_run_from_the_last_test_that_was_judged():
    found = last_judged([seen("failed", 9), seen("passed", 8), seen("not_tested", 12)])
    assert found is not None
    assert found.result == "failed"
    assert last_judged([]) is None
